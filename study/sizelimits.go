package study

import (
	"math"
	"slices"

	"rinsewright/membrane"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/sizing"
	"rinsewright/water"
)

// capacity holds the coldest month against the busiest day.
func (v *verdict) capacity(cold *plant.Point) {
	v.capacityOf(cold.Product().Flow)
}

func (v *verdict) capacityOf(f quantity.Flow) {
	z := v.z
	makes := f.Over(quantity.Days(1))
	v.add("coldest month", float64(z.base.demand.BusyDay)/float64(makes), "the busiest day asks for %s, the coldest open month makes %s a day", sizeText(z, z.base.demand.BusyDay), sizeText(z, makes))
}

// membrane adds scaling and the limits of the element at a point. Temperature
// and pH are the feed's and no choice of parts changes them.
func (v *verdict) membrane(p *plant.Point) error {
	concentrate, err := water.Equilibrate(p.Membrane.Concentrate.Water)
	if err != nil {
		return err
	}
	worst, index := water.Calcite, math.Inf(-1)
	for _, m := range minerals {
		if i := concentrate.SaturationIndex(m); i > index {
			worst, index = m, i
		}
	}
	v.add("scaling", math.Pow(10, index), "%s in the concentrate at a saturation index of %.2f, at most 0", worst, index)
	margins, err := p.Membrane.Margins(v.z.quality)
	if err != nil {
		return err
	}
	for _, m := range margins {
		v.add(string(m.Limit), float64(m.Used), "%s", m.Says)
		switch m.Limit {
		case membrane.LimitTemperature, membrane.LimitLowPH, membrane.LimitHighPH:
			v.Margins[len(v.Margins)-1].Fixed = true
		}
	}
	return nil
}

// supply adds what the path asks of the main, the filters, the carbon, the
// softener and the drain, with the most flow: when the feed is warmest.
func (v *verdict) supply(feed choice, p *pathLook) error {
	z, l := v.z, &p.look
	flow := max(p.warm.Fresh.Flow, p.cold.Fresh.Flow)
	if err := v.cityPressure(flow); err != nil {
		return err
	}
	if feed.flow > 0 {
		v.add("filter flow", float64(flow)/float64(feed.flow), "%s of feed through what is made for %s", sizeText(z, flow), sizeText(z, feed.flow))
	}
	if l.chlorine && l.rig.carbon != nil {
		if err := v.contact(l, flow); err != nil {
			return err
		}
	}
	if l.softening != nil {
		v.softener(l, flow, p)
	}
	v.drainFlow(p.warm.ToDrain())
	for i, bed := range l.rig.beds {
		if i == 0 {
			v.resinFlow(bed, p.warm.Product().Flow)
		}
	}
	return nil
}

// cityPressure is what a feed flow leaves at the tap.
func (v *verdict) cityPressure(flow quantity.Flow) error {
	z := v.z
	main, err := supplyOf(z.site, drawn{}, &notes{}) // no booster hangs on the bare site
	if err != nil {
		return err
	}
	static, err := main.Pressure(0)
	if err != nil {
		return err
	}
	left, err := main.Pressure(flow)
	if err != nil {
		return err
	}
	v.add("city pressure", float64(static-left)/float64(static-leastMain), "%s left at the tap, at least %s", sizeText(z, left), sizeText(z, leastMain))
	return nil
}

func (v *verdict) drainFlow(concentrate quantity.Flow) {
	if most := v.z.site.Limits.DrainFlow; most.Known {
		v.add("drain flow", float64(concentrate)/float64(most.Value), "%s to a drain that takes %s", sizeText(v.z, concentrate), sizeText(v.z, most.Value))
	}
}

func (v *verdict) contact(l *look, flow quantity.Flow) error {
	all, err := l.rig.carbon.Contact(l.challenge, flow)
	for _, c := range all {
		v.add("carbon contact", float64(c.Asked)/float64(c.Have), "%s with %s, at least %s", sizeText(v.z, c.Have), c.Of, sizeText(v.z, c.Asked))
	}
	return err
}

// softener adds its flow and how often it regenerates on the busiest day.
func (v *verdict) softener(l *look, flow quantity.Flow, p *pathLook) {
	z, cycle := v.z, l.softening.cycle
	v.add("softener flow", float64(flow)/float64(cycle.MostFlow), "%s of feed, at most %s", sizeText(z, flow), sizeText(z, cycle.MostFlow))
	feed := float64(z.base.demand.BusyDay) / max(float64(p.cold.Recovery()), 1e-6)
	v.add("softener", feed/float64(cycle.Water), "%s of feed on the busiest day, %s between regenerations", sizeText(z, quantity.Volume(feed)), sizeText(z, cycle.Water))
}

func (v *verdict) resinFlow(bed resin.Bed, flow quantity.Flow) {
	if bed.MostFlow > 0 {
		v.add("resin flow", float64(flow)/float64(bed.MostFlow), "%s through a bed made for %s", sizeText(v.z, flow), sizeText(v.z, bed.MostFlow))
	}
}

// merge keeps the worst margin of each constraint.
func (v *verdict) merge() { v.Margins = mergeMargins(v.Margins) }

func mergeMargins(all []sizing.Margin) (kept []sizing.Margin) {
	for _, m := range all {
		i := slices.IndexFunc(kept, func(k sizing.Margin) bool { return k.Constraint == m.Constraint })
		switch {
		case i < 0:
			kept = append(kept, m)
		case m.Used > kept[i].Used:
			kept[i] = m
		}
	}
	return kept
}
