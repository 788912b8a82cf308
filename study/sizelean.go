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
	p := z.leanOf(chosen)
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
	p := z.leanOf(chosen)
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
func (v *verdict) leanCost(chosen []int, p *lean) {
	if p.load.recovery > 0 {
		v.Yearly, _ = v.z.pathYearly(v.z.siteOf(chosen), v.z.softOf(chosen).softening, p.load, chosen)
	}
}

// alikeWaters finds the softeners that bring the membrane the same water.
func (z *sizer) alikeWaters() {
	all := z.choices[softenerStage]
	for i := range all {
		at := z.softOf([]int{i}).feed
		for j := range i + 1 {
			if all[i].water = j; z.softOf([]int{j}).feed == at {
				break
			}
		}
	}
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
	p.cold = cold.point.Membrane.Permeate.Flow
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
	if all, err := loadOf(now.point.Membrane.Permeate.Water, now.point.Recovery()); err == nil {
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
	bed, ok := z.bedOf(s)
	if !ok {
		loads = nil
	}
	l.rig.beds = []resin.Bed{bed}
	for _, load := range loads {
		life, err := bed.Life(load)
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

// bedOf is the first bottle on a wall, wherever it hangs.
func (z *sizer) bedOf(s *site.Site) (resin.Bed, bool) {
	if len(s.Rig.Resin) == 0 {
		return resin.Bed{}, false
	}
	var r rig
	if err := r.resin(s, drawn{}, &notes{}); err != nil || len(r.beds) == 0 {
		return resin.Bed{}, false
	}
	return r.beds[0], true
}
