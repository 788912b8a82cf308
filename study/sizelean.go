package study

import (
	"context"
	"errors"

	"rinsewright/cost"
	"rinsewright/membrane"
	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/site"
	"rinsewright/sizing"
	"rinsewright/water"
)

// Filters, carbon and a bottle ahead of the tank only take pressure, and less
// pressure taken never makes less water, sends more to the drain per litre made
// or, as long as no element recovers too much, passes more salt. So one lean
// path, with nothing lost in them, bounds all the paths that differ in them
// alone: what already fails, or costs too much, at its best needs no closer
// look. A test holds the model to that.

// lean is a path from the tap to the tank with nothing lost in filters, carbon
// and resin.
type lean struct {
	cold  quantity.Flow     // made when coldest; 0 is not known
	none  error             // why the coldest feed makes nothing, if so
	least quantity.MassConc // on the pen at the gun without resin; 0 is not known
	load  load              // today; without a recovery it is not known
	sure  []sizing.Margin   // limits by the lesser of their use with the least and with the most lost
}

// load is what a year of a path costs depends on: its recovery, and what loads
// a bottle ahead of the tank or, at the least, one behind it.
type load struct {
	recovery      quantity.Ratio
	ahead, behind []resin.Inlet
}

// leanSlack is what a lean path's strength is lowered by, since the fact holds
// within that of a path that makes nearly the same.
const leanSlack = 0.98

// judgeLean bounds what a path with this restrictor makes and costs.
func (z *sizer) judgeLean(_ context.Context, chosen []int) (sizing.Verdict, error) {
	v := verdict{z: z}
	if v.Doom = z.tooTight(chosen); len(v.Doom.Among) > 0 {
		return v.Verdict, nil
	}
	p := z.loosened(chosen)
	switch {
	case p.none != nil:
		v.add("coldest month", impossible, "%v", p.none)
	case p.cold > 0:
		v.capacityOf(p.cold)
	}
	v.Margins = append(v.Margins, p.sure...)
	v.leanCost(chosen, p)
	if p.load.recovery > 0 {
		v.Levels = z.levelsOf(0, p.load.recovery)
	}
	return v.Verdict, nil
}

// judgeResin bounds what the gun reads without resin, or what a bottle costs
// and lets through.
func (z *sizer) judgeResin(_ context.Context, chosen []int) (sizing.Verdict, error) {
	v := verdict{z: z}
	p := z.loosened(chosen)
	if z.polished(chosen) {
		v.leanCost(chosen, p)
		v.bottle(chosen)
		return v.Verdict, nil
	}
	if p.least > 0 {
		v.add("strength at the gun", float64(p.least)/float64(z.target), "at least %s on the pen without resin, at most %s", tenth(p.least), tenth(z.target))
	}
	return v.Verdict, nil
}

// leanCost is the least that a year costs; where it cannot be told it is 0, and
// the path itself will tell.
func (v *verdict) leanCost(chosen []int, p lean) {
	if p.load.recovery > 0 {
		v.Yearly, _ = v.z.pathYearly(v.z.siteOf(chosen), v.z.softOf(chosen).softening, p.load, chosen)
	}
	if v.z.at(chosen, softenerStage).near {
		v.Yearly = cost.Money(float64(v.Yearly) * (1 - nearWater))
	}
}

// alikeWaters finds the softeners that bring the membrane the same water, or, of
// those that soften, nearly the same: what leaks through differs by a few mg/L. The
// one that leaks least stands for the others, since hardness only adds to scaling;
// what else differs is covered by nearWater.
func (z *sizer) alikeWaters() {
	all := z.choices[softenerStage]
	least := -1
	for i := range all {
		if z.softOf([]int{i}).softening != nil && (least < 0 || z.leak(i) < z.leak(least)) {
			least = i
		}
	}
	for i := range all {
		if all[i].water = i; least >= 0 && z.softOf([]int{i}).softening != nil && z.leak(i)-z.leak(least) < nearLeak {
			all[i].water = least
			all[i].near = z.softOf([]int{i}).feed != z.softOf([]int{least}).feed
			continue
		}
		for j := range i {
			if z.softOf([]int{j}).feed == z.softOf([]int{i}).feed {
				all[i].water = all[j].water
				break
			}
		}
	}
}

func (z *sizer) leak(softener int) quantity.CaCO3Conc {
	return z.softOf([]int{softener}).softening.cycle.Leak
}

// nearLeak is how much more may leak through softeners that stand for one another.
// nearWater is what a water of as much more calcium, and less sodium, may add to a
// flow or take from a strength or a cost. A test holds the model to that.
const (
	nearLeak  = quantity.CaCO3Conc(5e-3) // kg/m³
	nearWater = 0.02
)

// loosened is what a lean path of nearly the same water says of a choice.
func (z *sizer) loosened(chosen []int) lean {
	p := *z.leanOf(chosen)
	if z.at(chosen, softenerStage).near {
		p.cold *= 1 + nearWater
		p.least *= 1 - nearWater
		p.load.recovery = min(p.load.recovery*(1+nearWater), 1)
	}
	return p
}

func (z *sizer) leanOf(chosen []int) *lean {
	c := z.coreOf(chosen)
	return z.leans.of(c, func() *lean {
		if low, bound := z.tooSmall(c); bound != nil && c.restrictor != low {
			return &lean{sure: bound}
		}
		return z.settleLean(c)
	})
}

func (z *sizer) settleLean(c core) *lean {
	p := &lean{}
	cold := z.endOf(c, lossNone, seasonCold)
	if errors.Is(cold.err, membrane.ErrNoFlow) {
		p.none = cold.err
	}
	if cold.err != nil {
		return p
	}
	p.cold = cold.point.Product().Flow
	if p.cold.Over(quantity.Days(1)) < z.base.demand.BusyDay {
		if cold.broken() {
			p.sure = z.bracket(c, seasonCold)
		}
		return p // it fails: cost and strength are the path's to tell
	}
	p.sure = z.bracket(c, seasonCold)
	if brokenIn(p.sure) > 0 {
		return p
	}
	if warm := z.endOf(c, lossNone, seasonWarm); warm.err == nil {
		p.sure = mergeMargins(append(p.sure, z.bracket(c, seasonWarm)...))
		if brokenIn(p.sure) > z.allow {
			return p
		}
		path := pathLook{warm: warm.point}
		if warm.gentle() && path.freed() == nil {
			p.least = leanSlack * path.least
		}
	}
	now := z.endOf(c, lossNone, seasonNow)
	if now.err != nil {
		return p
	}
	p.load.recovery = now.point.Recovery()
	if !now.gentle() {
		return p
	}
	if all, err := loadOf(now.point.Product().Water, now.point.Recovery()); err == nil {
		p.load = all
	}
	return p
}

// gentle says that no element of a point recovers or polarises more than it
// may. Beyond, more pressure concentrates the feed faster than it thins the
// permeate, and a lean path bounds no strength.
func (e *end) gentle() bool {
	for _, m := range e.margins {
		if m.Used > 1 && (m.Constraint == string(membrane.LimitRecovery) || m.Constraint == string(membrane.LimitPolarisation)) {
			return false
		}
	}
	return true
}

// loadOf is the permeate as it is and with its gas in balance with the air: a
// bottle behind the tank meets no less than the lesser of the two.
func loadOf(made water.Water, recovery quantity.Ratio) (load, error) {
	all := load{recovery: recovery}
	permeate, err := strengthOf(made)
	if err != nil {
		return all, err
	}
	open, err := water.Standing(permeate.water, 1, quantity.Days(3650))
	if err != nil {
		return all, err
	}
	aired, err := strengthOf(open)
	if err != nil {
		return all, err
	}
	all.ahead = []resin.Inlet{resin.InletOf(permeate.water, permeate.solution)}
	all.behind = append(all.ahead[:1:1], resin.InletOf(aired.water, aired.solution))
	return all, nil
}

// softOf is what a softener makes of the feed, once for each.
func (z *sizer) softOf(chosen []int) *look {
	return z.softs.of(chosen[softenerStage], func() *look {
		l := z.base
		if err := l.soften(z.siteOf(chosen[:softenerStage+1]), &notes{}); err != nil {
			l.feed, l.softening = z.base.raw.Water, nil // told where it is judged
		}
		return &l
	})
}

// pathYearly is the least that a year of a path costs: resin ahead of the tank
// counts by the permeate, resin behind it by the lesser load, both without
// starts.
func (z *sizer) pathYearly(s *site.Site, soft *softening, p load, chosen []int) (cost.Money, error) {
	l := look{demand: z.base.demand, softening: soft, unused: true}
	l.today.Membrane.Recovery = p.recovery
	if len(chosen) > deliveryStage { // its pump's power is known
		g := z.gunsOf(chosen)
		l.store.vented, l.delivery = !z.at(chosen, outletStage).pressurised, g.all
	}
	loads := p.behind
	if z.choices[outletStage][chosen[outletStage]].before {
		loads = p.ahead
	}
	if l.rig.beds = bedsOf(s); len(l.rig.beds) == 0 {
		loads = nil
	}
	for _, load := range loads {
		life, err := l.rig.beds[0].Life(load)
		if err != nil || !(life.Volume > 0) {
			l.unused = true
			break
		}
		if l.unused || life.Volume > l.life.Volume {
			l.life, l.unused = life, false
		}
	}
	return z.yearly(s, &l)
}

// bedsOf are the bottles on a wall, the lead first, wherever they hang.
func bedsOf(s *site.Site) []resin.Bed {
	var r rig
	if err := r.resin(s, drawn{}, &notes{}); err != nil {
		return nil
	}
	return r.beds
}
