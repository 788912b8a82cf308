package study

import (
	"fmt"

	"rinsewright/demand"
	"rinsewright/hydraulics"
	"rinsewright/quantity"
	"rinsewright/site"
)

// store is the tank as the chain needs it: levels for the busy year, pressure
// for the membrane.
type store struct {
	vented  bool
	aerated bool
	tank    demand.Tank
	back    quantity.Pressure // mean, at the inlet
	depth   quantity.Length   // of water in a vented tank, about
	volume  quantity.Volume
}

func storeOf(s *site.Site, l *look, n *notes) (store, error) {
	t := s.Rig.Tank
	if t == nil {
		t = &site.Tank{}
		n.assume("tank", "a vented tank", "nothing was said of a tank; its size decides whether the busiest day has water")
	}
	if t.Kind == "pressurised" {
		return pressurised(t, n)
	}
	return vented(t, l, n)
}

func vented(t *site.Tank, l *look, n *notes) (store, error) {
	day := l.demand.BusyDay
	volume := or(n, t.Volume, max(day, quantity.Gallons(50)), "tank volume", "printed on the tank, or its diameter and height")
	st := store{vented: true, aerated: t.Aerated, volume: volume, depth: 1}
	stop := or(n, t.Stop, 0.95*volume, "volume at which the float stops the membrane", "a tape on the tank")
	start := or(n, t.Start, stop-0.15*volume, "volume at which the membrane starts again", "a tape on the tank; a small gap between start and stop loads the resin")
	low := or(n, t.LowCut, 0.08*volume, "volume at which the pump is cut off", "a tape on the tank")
	st.tank = demand.Tank{Total: volume, Stop: stop, Start: start, CutOff: low, Restart: min(low+0.1*volume, stop)}
	if err := st.tank.Check(); err != nil {
		return st, err
	}
	return st, nil
}

// pressurised turns a bladder tank's pressures into levels by Boyle's law: the
// water in it at the stop and at the start, empty at its precharge.
func pressurised(t *site.Tank, n *notes) (store, error) {
	v := hydraulics.PressurisedTank{
		Volume:    or(n, t.Volume, quantity.Gallons(80), "tank volume", "printed on the tank"),
		Start:     or(n, t.StartAt, quantity.PSI(20), "pressure at which the membrane starts", "the gauge when it starts"),
		Stop:      or(n, t.StopAt, quantity.PSI(40), "pressure at which the membrane stops", "the gauge when it stops"),
		Precharge: t.Precharge.Or(t.StartAt.Or(quantity.PSI(20)) - quantity.PSI(2)),
	}
	if !t.Precharge.Known {
		n.assume("precharge of the tank", "2 psi below its start", "a tyre gauge on the empty tank")
	}
	full := v
	full.Start = v.Precharge
	most, err := full.Usable()
	if err != nil {
		return store{}, fmt.Errorf("pressurised tank: %w", err)
	}
	swing, err := v.Usable()
	if err != nil {
		return store{}, fmt.Errorf("pressurised tank: %w", err)
	}
	back, err := v.MeanBackPressure()
	if err != nil {
		return store{}, fmt.Errorf("pressurised tank: %w", err)
	}
	start := most - swing
	empty := start / 10
	if start <= 0 {
		start, empty = most/100, most/1000
	}
	return store{
		volume: v.Volume, back: back,
		tank: demand.Tank{Total: most, Stop: most, Start: start, CutOff: empty, Restart: max(2*empty, most/50)},
	}, nil
}
