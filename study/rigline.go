package study

import (
	"rinsewright/hydraulics"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
)

// TubeCost is what one size of tube costs this rig at the flow that it then
// has.
type TubeCost struct {
	Tube     string
	Here     bool // the one that hangs there
	Length   quantity.Length
	Flow     quantity.Flow // through it: the permeate's, or all open guns'
	Loss     quantity.Pressure
	Velocity quantity.Speed
	Gun      quantity.Flow         // one of the open guns, for the line
	Strength quantity.Conductivity // of the permeate, for the permeate tube
	Why      string                // why there is no flow
}

// PumpLine is the pump's curve and the line's, and where they meet.
type PumpLine struct {
	Guns     int
	Flows    []quantity.Flow
	Pump     []quantity.Pressure
	Line     []quantity.Pressure // what rise, line and guns take
	Point    hydraulics.DeliveryPoint
	Throttle quantity.Pressure // what the line alone takes there
}

// Lengths taken where nobody measured.
const (
	usualPermeateLength = quantity.Length(3)
	usualLineLength     = quantity.Length(10)
)

// permeateTubes runs the rig with every size of tube between membrane and tank.
func (l *look) permeateTubes(s *site.Site, n *notes) (all []TubeCost, err error) {
	line := s.Rig.Line
	if line == nil {
		line = &site.Line{}
	}
	length := or(n, line.PermeateLength, usualPermeateLength, "length of the permeate tube", "a tape")
	for _, tube := range hydraulics.Tubes() {
		p := l.rig.plant
		p.PermeateOut = nil
		for _, part := range l.rig.plant.PermeateOut {
			if part.Name != "permeate tube" {
				p.PermeateOut = append(p.PermeateOut, part)
			}
		}
		p.PermeateOut = append(p.PermeateOut, plant.Part{Name: "permeate tube", Resistance: tube.Pipe(length)})
		cost := TubeCost{Tube: tube.Name, Length: length, Here: isTube(tube, line.PermeateTube)}
		point, err := p.Operate(plant.Conditions{Feed: l.feed, TankPressure: l.store.back})
		if err != nil {
			cost.Why = err.Error()
			all = append(all, cost)
			continue
		}
		cost.Flow = point.Product().Flow
		cost.Loss = point.OutLosses[len(point.OutLosses)-1].Drop
		if cost.Velocity, err = tube.Pipe(length).Velocity(cost.Flow); err != nil {
			return nil, err
		}
		if cost.Strength, err = point.Product().Water.Conductivity25(); err != nil {
			return nil, err
		}
		all = append(all, cost)
	}
	return all, nil
}

func isTube(t hydraulics.Tube, size string) bool {
	named, ok := tubeNamed(size)
	return size != "" && ok && named.Name == t.Name
}

// line answers for the delivery: what every tube gives the guns, and the curve
// of the pump against that of the line.
func (r *Rigged) line(l *look, s *site.Site, n *notes) error {
	fluid, err := fluidAt(l.raw.Water.Temperature)
	if err != nil {
		return err
	}
	d, _, err := l.guns(s, fluid, n)
	if err != nil {
		return nil // the pump cannot give one gun its flow: no curve, no tubes
	}
	guns := max(s.Demand.GunsAtOnce, l.profile.Bays, 1)
	var told site.Line
	if s.Rig.Line != nil {
		told = *s.Rig.Line
	}
	length := told.Length.Or(usualLineLength)
	for _, tube := range hydraulics.Tubes() {
		with := d
		with.Shared = tube.Pipe(length)
		cost := TubeCost{Tube: tube.Name, Length: length, Here: isTube(tube, told.Tube)}
		if at, err := with.With(guns, fluid); err != nil {
			cost.Why = err.Error()
		} else {
			cost.Flow, cost.Gun, cost.Loss = at.TotalFlow, at.GunFlow, at.SharedLoss
			if cost.Velocity, err = tube.Pipe(length).Velocity(cost.Flow); err != nil {
				return err
			}
		}
		r.Delivery = append(r.Delivery, cost)
	}
	r.Curve, err = pumpLine(d, guns, fluid)
	return err
}

const curvePoints = 40

// pumpLine is nil where the pump does not reach the guns.
func pumpLine(d hydraulics.Delivery, guns int, fluid hydraulics.Fluid) (*PumpLine, error) {
	at, err := d.With(guns, fluid)
	if err != nil {
		return nil, nil
	}
	rise, err := hydraulics.ElevationLoss(d.Rise, fluid)
	if err != nil {
		return nil, err
	}
	line := hydraulics.Series{d.Shared, hydraulics.Equal{Count: guns, Each: hydraulics.Series{d.Branch, d.Gun}}}
	c := &PumpLine{Guns: guns, Point: at, Throttle: at.SharedLoss + at.BranchLoss}
	for i := range curvePoints + 1 {
		q := 1.6 * at.TotalFlow * quantity.Flow(i) / curvePoints
		pump, err := d.From.Pressure(q)
		if err != nil {
			return nil, err
		}
		takes, err := line.Loss(q, fluid)
		if err != nil {
			return nil, err
		}
		c.Flows, c.Pump, c.Line = append(c.Flows, q), append(c.Pump, pump), append(c.Line, takes+rise)
	}
	return c, nil
}
