package study

import (
	"math"

	"rinsewright/hydraulics"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/water"
)

// Opened is what each gun gets with so many open.
type Opened struct {
	Guns     int
	Each     quantity.Flow
	Share    quantity.Ratio // of what one gun open alone gets
	Pump     quantity.Flow
	Pressure quantity.Pressure // at the pump's outlet
	Line     quantity.Pressure // lost in the shared line
	Gun      quantity.Pressure // left at the gun
}

// PumpDuty is what the delivery pump does on the busiest day.
type PumpDuty struct {
	Runs   quantity.Time // if guns open one at a time
	Starts float64       // a number of starts that day without an accumulator: one for each vend
	// Drawdown is the accumulator's water between cut-in and cut-out that keeps
	// the pump at or below [mostPumpStarts] an hour however guns are pulled.
	Drawdown    quantity.Volume
	Accumulator quantity.Volume // vessel that has it, cut-in 30 and cut-out 50 psi
}

// Inlet is the pump's suction side with the tank at its low-level cut-off.
type Inlet struct {
	CutOff    quantity.Length // lowest level above the suction's top, at which the pump may still run
	Available quantity.Length // head at the pump's inlet above the vapour pressure, warmest water
	Margin    quantity.Length // of that above what a small centrifugal pump needs
	Holds     bool
}

// Habits of the trade for delivery pumps.
//
// Source: [TradeDefaults] (common practice, no source; from memory, unverified).
const (
	mostPumpStarts = 20.0          // an hour
	aboveSuction   = 6 * 0.0254    // m, against a vortex: 4 to 6 inches
	smallPumpNeeds = 2.0           // m of head at its inlet
	suctionMargin  = 0.6           // m kept above that
	cutInPSI       = 30.0          // of the pressure switch
	cutOutPSI      = 50.0          //
	prechargeBelow = 2.0           // psi under cut-in
	suctionLine    = 1.5           // m of tube between tank and pump
	suctionBore    = 0.75 * 0.0254 // m
)

// deliver tells what the guns get, and what the pump has to do for it.
func (b *Busy) deliver(s *site.Site, l *look, n *notes) error {
	fluid, err := fluidAt(l.raw.Water.Temperature)
	if err != nil {
		return err
	}
	d, flow, err := l.guns(s, fluid, n)
	if err != nil {
		return nil // not even one gun has its flow: told by an empty list
	}
	most := max(s.Demand.GunsAtOnce, l.profile.Bays, 1)
	for guns := 1; guns <= most && guns <= 50; guns++ {
		p, err := d.With(guns, fluid)
		if err != nil {
			return err
		}
		o := Opened{Guns: guns, Each: p.GunFlow, Share: 1, Pump: p.TotalFlow, Pressure: p.SupplyPressure, Line: p.SharedLoss, Gun: p.GunPressure}
		if guns > 1 {
			o.Share = quantity.Ratio(float64(o.Each) / float64(b.Delivery[0].Each))
		}
		b.Delivery = append(b.Delivery, o)
	}
	if !l.store.vented {
		return nil // no pump of its own
	}
	if b.PumpStarts, err = b.duty(flow); err != nil {
		return err
	}
	b.Suction, err = inlet(quantity.Flow(most)*flow, l)
	return err
}

// guns is the site's delivery and the flow of one gun open alone.
func (l *look) guns(s *site.Site, fluid hydraulics.Fluid, n *notes) (d hydraulics.Delivery, flow quantity.Flow, err error) {
	if d.From, err = l.deliverySupply(s, fluid, n); err != nil {
		return d, 0, err
	}
	if line := s.Rig.Line; line != nil {
		d.Rise = line.Rise.Or(0)
		if tube, ok := tubeNamed(line.Tube); ok {
			d.Shared = tube.Pipe(line.Length.Or(quantity.Metres(10)))
		}
	}
	flow = l.gunFlow(s)
	d.Gun, err = gunFor(d, flow, fluid)
	return d, flow, err
}

// duty sizes the accumulator: a pump that gives Q into a draw q between cut-in
// and cut-out makes
//
//	starts per time = q (1 - q/Q) / V ≤ Q / (4 V)
//
// so V = Q/(4 n) keeps it at n whatever the guns do. By conservation of volume.
func (b *Busy) duty(flow quantity.Flow) (PumpDuty, error) {
	p := PumpDuty{Runs: quantity.Time(float64(b.Demand.BusyDay) / float64(flow)), Starts: b.Demand.Busiest}
	pump := float64(b.Delivery[len(b.Delivery)-1].Pump)
	p.Drawdown = quantity.Volume(pump * 3600 / (4 * mostPumpStarts))
	unit := hydraulics.PressurisedTank{Volume: 1, Start: quantity.PSI(cutInPSI), Stop: quantity.PSI(cutOutPSI), Precharge: quantity.PSI(cutInPSI - prechargeBelow)}
	share, err := unit.Usable()
	if err != nil {
		return p, err
	}
	p.Accumulator = p.Drawdown / share
	return p, nil
}

// inlet works out the suction head with all guns open and the tank at its
// cut-off, for a pump on the floor beside it.
func inlet(flow quantity.Flow, l *look) (Inlet, error) {
	warm := max(l.raw.Water.Temperature, quantity.Celsius(30)) // a dark tank in the sun
	fluid, err := fluidAt(warm)
	if err != nil {
		return Inlet{}, err
	}
	vapour, err := water.VapourPressure(warm)
	if err != nil {
		return Inlet{}, err
	}
	line := hydraulics.Pipe{Length: quantity.Metres(suctionLine), Bore: quantity.Metres(suctionBore), MinorK: 2}
	loss, err := line.Loss(flow, fluid)
	if err != nil {
		return Inlet{}, err
	}
	in := Inlet{CutOff: quantity.Metres(aboveSuction)}
	in.Available, err = hydraulics.Suction{Level: in.CutOff, VapourPressure: vapour, LineLoss: loss}.NPSHAvailable(fluid)
	in.Margin = in.Available - smallPumpNeeds
	in.Holds = float64(in.Margin) >= suctionMargin && !math.IsNaN(float64(in.Margin))
	return in, err
}
