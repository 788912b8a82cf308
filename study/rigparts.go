package study

import (
	"fmt"

	"rinsewright/hydraulics"
	"rinsewright/membrane"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
)

// further hangs what few walls have: unlike rows, a recycle, a second pass, a
// flush valve, and the controls.
func (r *rig) further(s *site.Site, d drawn, n *notes) error {
	if s.Rig.Membrane == nil {
		return nil
	}
	like := max(r.plant.Train.Parallel, 1)
	for i := range s.Rig.Rows {
		if s.Rig.Rows[i] == *s.Rig.Membrane { // alike after all: one row, so many times
			r.plant.Train.Parallel += like
			continue
		}
		row, err := trainOf(&s.Rig.Rows[i], fmt.Sprintf(", unlike row %d", i+1), d, n)
		if err != nil {
			return fmt.Errorf("unlike row %d: %w", i+1, err)
		}
		r.plant.Beside = append(r.plant.Beside, row)
	}
	if c := s.Rig.Recycle; c != nil {
		r.plant.Recycle = rated(c.Flow, c.Pressure, quantity.GallonsPerMinute(1), "recycled flow", d, n)
	}
	if err := r.secondPass(s, d, n); err != nil {
		return err
	}
	if f := s.Rig.Flush; f != nil {
		r.plant.Flush = &plant.Flush{
			Valve: rated(f.Flow, f.Pressure, quantity.GallonsPerMinute(3), "flow through the flush valve", d, n),
			Lasts: or(n, f.Lasts, quantity.Time(30), "length of a flush", "its timer's setting"),
		}
	}
	r.plant.Controls = controlsOf(s.Rig.Controls, n)
	return nil
}

// rated is a valve told by a flow at a pressure.
func rated(flow quantity.Entry[quantity.Flow], at quantity.Entry[quantity.Pressure], usual quantity.Flow, what string, d drawn, n *notes) hydraulics.Restrictor {
	return hydraulics.RatedRestrictor{
		Rated: or(n, flow, usual, what, "by bucket or on its sheet") * quantity.Flow(d.factor(restrictorDoubt)),
		At:    or(n, at, quantity.PSI(60), "pressure of the "+what, "the gauges on its two sides"),
	}
}

// usualSecondRecovery is what a second pass is commonly set to: its feed scales
// nothing. Source: [TradeDefaults].
const usualSecondRecovery = quantity.Ratio(0.75)

func (r *rig) secondPass(s *site.Site, d drawn, n *notes) error {
	told := s.Rig.Second
	if told == nil {
		return nil
	}
	train, err := trainOf(&told.Membrane, ", second pass", d, n)
	if err != nil {
		return fmt.Errorf("second pass: %w", err)
	}
	second := &plant.Pass{Array: membrane.Array{{train}}}
	if told.Restrictor.Flow.Known {
		second.Restrictor = rated(told.Restrictor.Flow, told.Restrictor.Pressure, 0, "second pass's restrictor", d, n)
	} else {
		recovery := or(n, told.Restrictor.Recovery, usualSecondRecovery, "recovery that the second pass was set to", "a bucket under its drain line")
		second.Restrictor = restrictorOn(train, recovery, d)
	}
	if s.Rig.SecondPump != nil {
		pump, err := pumpOf(s.Rig.SecondPump, "second pass", quantity.GallonsPerMinute(1), quantity.PSI(60), n)
		if err != nil {
			return err
		}
		second.Pump = pump
	}
	r.plant.Second = second
	return nil
}

// works are the words of a survey for how a control was found.
var works = map[site.Control]plant.Works{
	site.NoControl: plant.Absent, site.Sound: plant.Sound, site.StuckOn: plant.StuckOn, site.StuckOff: plant.StuckOff,
}

// Pressures of a low-pressure cut-out that nobody read. Source: [TradeDefaults].
var (
	usualTrip  = quantity.PSI(10)
	usualReset = quantity.PSI(20)
)

// controlsOf are a site's controls. What nobody spoke of works where a rig that
// runs at all must have it, and else is not there.
func controlsOf(c *site.Controls, n *notes) plant.Controls {
	if c == nil {
		return plant.Controls{}
	}
	k := plant.Controls{
		Float: works[c.Float], InletValve: works[c.InletValve], ShutOff: works[c.ShutOff], LowPressure: works[c.LowPressure],
		LowLevel: works[c.LowLevel], VendTimer: works[c.VendTimer], FlushValve: works[c.FlushValve], ShutAt: plant.ShutAtUsual,
	}
	if c.FloatStops == "booster" {
		k.FloatStops = plant.OnBooster
	}
	if c.Float == "" {
		k.Float = plant.Sound
		n.assume("float of the tank", "sound", "lift it and watch whether the rig stops")
	}
	if k.LowPressure != plant.Absent {
		k.TripsAt = or(n, c.TripsAt, usualTrip, "pressure at which the cut-out stops the booster", "on its label")
		k.ResetsAt = or(n, c.ResetsAt, max(usualReset, k.TripsAt), "pressure at which the cut-out lets the booster start", "on its label")
	}
	return k
}
