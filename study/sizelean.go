package study

import (
	"context"
	"errors"
	"slices"

	"rinsewright/cost"
	"rinsewright/membrane"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/site"
	"rinsewright/sizing"
	"rinsewright/water"
)

// Filters and carbon only take pressure, and less pressure taken never makes
// less water, sends more to the drain per litre made or, as long as no element
// recovers too much, passes more salt. So one lean path, with nothing lost in
// filters and carbon, bounds all the paths that differ in them alone: what
// already fails, or costs too much, at its best needs no closer look. A test
// holds the model to that.

// lean is a path from the tap to the tank with nothing lost ahead of the pump.
type lean struct {
	cold  quantity.Flow     // made when coldest; 0 is not known
	none  error             // why the coldest feed makes nothing, if so
	least quantity.MassConc // on the pen at the gun without resin; 0 is not known
	load  load              // today; without a recovery it is not known
	sure  []sizing.Margin   // limits broken with the least and with the most lost ahead of the membrane
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
	p := z.leanOf(chosen)
	switch {
	case p.none != nil:
		v.add("coldest month", impossible, "%v", p.none)
	case p.cold > 0:
		v.capacityOf(p.cold)
	}
	if z.sound[chosen[feedStage]] {
		v.Margins = append(v.Margins, p.sure...)
	}
	v.leanCost(chosen, p)
	return v.Verdict, nil
}

// judgeResin bounds what the gun reads without resin, or what a bottle behind
// the tank costs.
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
		s := v.z.siteOf(chosen)
		v.Yearly, _ = v.z.pathYearly(s, v.z.softOf(chosen).softening, p.load, chosen)
	}
}

// alikeFeeds finds the feeds that bring the membrane the same water.
func (z *sizer) alikeFeeds() {
	feeds := z.choices[feedStage]
	for i := range feeds {
		feeds[i].water = i
	}
	for i := range feeds {
		at := z.softOf([]int{i}).feed
		feeds[i].water = slices.IndexFunc(feeds, func(c choice) bool { return z.softOf([]int{c.water}).feed == at })
	}
}

func (z *sizer) leanOf(chosen []int) *lean {
	key := keyOf(chosen)
	key.feed = z.at(chosen, feedStage).water
	z.mutex.Lock()
	p, ok := z.leans[key]
	z.mutex.Unlock()
	if ok {
		return p
	}
	p = z.settleLean(chosen)
	z.mutex.Lock()
	z.leans[key] = p
	z.mutex.Unlock()
	return p
}

func (z *sizer) settleLean(chosen []int) *lean {
	p, l := &lean{}, z.base
	s := z.siteOf(chosen)
	l.feed = z.softOf(chosen).feed
	s.Rig.Filters, s.Rig.Carbon = nil, nil
	var err error
	if l.store.back, err = z.backOf(z.at(chosen, outletStage), s); err != nil {
		return p
	}
	if l.rig, err = z.rigFor(s, chosen[trainStage]); err != nil {
		return p
	}
	cold, err := l.settle(z.cold)
	if errors.Is(err, membrane.ErrNoFlow) {
		p.none = err
	}
	if err != nil {
		return p
	}
	p.cold = cold.Membrane.Permeate.Flow
	z.bracket(p, chosen, cold, z.cold)
	if p.cold.Over(quantity.Days(1)) < z.base.demand.BusyDay {
		return p // it fails: cost and strength are the path's to tell
	}
	if warm, err := l.settle(z.warm); err == nil {
		if z.bracket(p, chosen, warm, z.warm); len(p.sure) > 1 {
			return p
		}
		path := pathLook{warm: warm}
		if z.gentle(&warm) && path.freed() == nil {
			p.least = leanSlack * path.least
		}
	}
	today, err := l.settle(l.feed.Temperature)
	if err != nil {
		return p
	}
	p.load.recovery = today.Recovery()
	if !z.gentle(&today) {
		return p
	}
	if all, err := loadOf(&today); err == nil {
		p.load = all
	}
	return p
}

// gentle says that no element of a point recovers or polarises more than it
// may. Beyond, more pressure concentrates the feed faster than it thins the
// permeate, and a lean path bounds no strength.
func (z *sizer) gentle(p *plant.Point) bool {
	margins, err := p.Membrane.Margins(z.quality)
	if err != nil {
		return false
	}
	return !slices.ContainsFunc(margins, func(m membrane.Margin) bool {
		return (m.Limit == membrane.LimitRecovery || m.Limit == membrane.LimitPolarisation) && m.Used > 1
	})
}

// loadOf is the permeate as it is and with its gas in balance with the air: a
// bottle behind the tank meets no less than the lesser of the two.
func loadOf(today *plant.Point) (load, error) {
	all := load{recovery: today.Recovery()}
	permeate, err := strengthOf(today.Membrane.Permeate.Water)
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

// softOf is what a softener makes of the feed, once for each way to treat it.
func (z *sizer) softOf(chosen []int) *look {
	feed := chosen[feedStage]
	z.mutex.Lock()
	l, ok := z.softs[feed]
	z.mutex.Unlock()
	if ok {
		return l
	}
	soft := z.base
	l = &soft
	if err := l.soften(z.siteOf(chosen[:feedStage+1]), &notes{}); err != nil {
		l.feed, l.softening = z.base.raw.Water, nil // told where it is judged
	}
	z.mutex.Lock()
	z.softs[feed] = l
	z.mutex.Unlock()
	return l
}

// pathYearly is the least that a year of a path costs: resin ahead of the tank
// counts by the permeate, resin behind it by the lesser load, both without
// starts.
func (z *sizer) pathYearly(s *site.Site, soft *softening, p load, chosen []int) (cost.Money, error) {
	l := look{demand: z.base.demand, softening: soft, unused: true}
	l.today.Membrane.Recovery = p.recovery
	loads := p.behind
	if z.at(chosen, outletStage).before {
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
	return z.yearly(s, &l, z.extra(chosen))
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
