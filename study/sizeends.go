package study

import (
	"cmp"
	"errors"
	"slices"
	"sort"

	"rinsewright/hydraulics"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/sizing"
)

// Every limit of a membrane is used the more, or the less, the more is lost
// ahead of it and behind it. So each path uses no less of one than the lesser of
// two ends: nothing lost in filters, carbon and resin, and the most that any of
// them takes.

// core is what decides how a membrane works, but for what is lost in filters,
// carbon and a bottle ahead of the tank.
type core struct{ water, outlet, train, booster, restrictor int }

// coreOf is the core of a choice; the outlet is told by its tank alone.
func (z *sizer) coreOf(chosen []int) core {
	return core{z.choices[softenerStage][chosen[softenerStage]].water, z.plain[chosen[outletStage]], chosen[trainStage], chosen[boosterStage], chosen[restrictorStage]}
}

// loss is how much is lost at an end, season the feed's temperature.
type (
	loss   int
	season int
)

const (
	lossNone loss = iota // in filters, carbon and resin
	lossMost             // of any filter and carbon, and of any bottle ahead of the tank
)

const (
	seasonCold season = iota
	seasonWarm
	seasonNow
)

// endKey names an end.
type endKey struct {
	core
	loss   loss
	season season
}

// end is a settled core at one end.
type end struct {
	point   plant.Point
	margins []sizing.Margin // of the membrane, the main and the drain
	err     error
}

func (e *end) broken() bool { return e.err == nil && brokenIn(e.margins) > 0 }

func brokenIn(all []sizing.Margin) (n int) {
	for _, m := range all {
		if m.Used > 1 {
			n++
		}
	}
	return n
}

func (z *sizer) temperature(s season) quantity.Temperature {
	return [...]quantity.Temperature{z.cold, z.warm, z.base.feed.Temperature}[s]
}

func (z *sizer) endOf(c core, l loss, s season) *end {
	return z.ends.of(endKey{c, l, s}, func() *end {
		e := &end{}
		if e.point, e.err = z.settleCore(c, l, s); e.err != nil {
			return e
		}
		v := verdict{z: z}
		e.err = errors.Join(v.membrane(&e.point), v.cityPressure(e.point.Feed.Flow))
		if s == seasonWarm { // the path is held to the drain in this one
			v.drainFlow(e.point.Membrane.Concentrate.Flow)
		}
		e.margins = v.Margins
		e.point.Membrane.Elements, e.point.Membrane.Profile = nil, nil // thousands are kept
		return e
	})
}

func (z *sizer) settleCore(c core, l loss, s season) (plant.Point, error) {
	chosen := []int{c.water, c.outlet, c.train, c.booster, c.restrictor}
	look, on := z.base, z.siteOf(chosen)
	look.feed = z.softOf(chosen).feed
	on.Rig.Filters, on.Rig.Carbon, on.Rig.Resin = nil, nil, nil
	var err error
	if look.store.back, err = z.backOf(z.choices[outletStage][c.outlet], on); err != nil {
		return plant.Point{}, err
	}
	if look.rig, err = z.rigFor(on, c.train); err != nil {
		return plant.Point{}, err
	}
	if l == lossMost {
		look.rig.plant.FeedSide = append(look.rig.plant.FeedSide, plant.Part{Name: "filters and carbon", Resistance: z.heavyFeed})
		look.rig.plant.PermeateOut = append(look.rig.plant.PermeateOut, plant.Part{Name: "resin", Resistance: z.heavyResin})
	}
	return look.settle(z.temperature(s))
}

// bracket is the least that any path of a core uses of each limit of the
// membrane: a little less than the lesser of both ends.
func (z *sizer) bracket(c core, s season) (sure []sizing.Margin) {
	a, b := z.endOf(c, lossNone, s), z.endOf(c, lossMost, s)
	if a.err != nil || b.err != nil || b.point.Feed.Flow < nearEnds*a.point.Feed.Flow {
		return nil
	}
	for i, m := range a.margins {
		if b.margins[i].Constraint != m.Constraint || m.Fixed {
			continue
		}
		if b.margins[i].Used < m.Used {
			m = b.margins[i]
		}
		m.Used *= betweenSlack
		sure = append(sure, m)
	}
	return sure
}

// nearEnds is how much of the flow with nothing lost has to be left with the most
// lost. Ends further apart may have a limit that is used less in between.
const nearEnds = 0.75

// betweenSlack covers a limit that is used a little less between the ends than
// at either.
const betweenSlack = 0.95

// A larger restrictor lets more to the drain: it scales, recovers and polarises
// less. So for one core the restrictors that are too small are the smallest, and
// a few settled paths find where they end. A test holds the model to that within
// restrictorSlack.
const restrictorSlack = 1.02

// brokenBySmall are the limits that too small a restrictor breaks.
var brokenBySmall = []string{"scaling", "element recovery", "polarisation"}

// tooSmall tells, for a restrictor that is sure to be too small, the largest one
// that still is and what any smaller one breaks at the least; else nil.
func (z *sizer) tooSmall(family core) (low int, bound []sizing.Margin) {
	place := slices.Index(z.bySize, family.restrictor)
	if place < 0 {
		return 0, nil // what hangs there has no known size
	}
	family.restrictor = 0
	first := z.window(family)
	if place >= first {
		return 0, nil
	}
	return z.bySize[first-1], z.breaksSmall(family, first-1)
}

// window is the place of the smallest restrictor that is not sure to be too small.
// The same elements behind another softener, before another tank or with another
// booster have it nearby, so that one is looked at first.
func (z *sizer) window(family core) int {
	return *z.windows.of(family, func() *int {
		low, high := 0, len(z.bySize)
		small := func(i int) bool { return len(z.breaksSmall(family, i)) > 0 }
		like := family
		switch {
		case like.water > 0:
			like.water = 0
		case like.outlet > 0:
			like.outlet = 0
		default:
			like.booster = 0
		}
		if like != family {
			for _, at := range []int{z.window(like) - 1, z.window(like)} {
				switch {
				case at < low || at >= high:
				case small(at):
					low = at + 1
				default:
					high = at
				}
			}
		}
		low += sort.Search(high-low, func(i int) bool { return !small(low + i) })
		return &low
	})
}

// breaksSmall is what the restrictor of a place in the order of size is sure to
// break when coldest, and any smaller one with it.
func (z *sizer) breaksSmall(family core, place int) (bound []sizing.Margin) {
	family.restrictor = z.bySize[place]
	if lean := z.endOf(family, lossNone, seasonCold); lean.err != nil || !slices.ContainsFunc(lean.margins, sureSmall) {
		return nil
	}
	for _, m := range z.bracket(family, seasonCold) {
		if m.Used > restrictorSlack && slices.Contains(brokenBySmall, m.Constraint) {
			m.Used /= restrictorSlack
			bound = append(bound, m)
		}
	}
	return bound
}

// sureSmall says that one end of a bracket breaks a limit by enough.
func sureSmall(m sizing.Margin) bool {
	return betweenSlack*m.Used > restrictorSlack && slices.Contains(brokenBySmall, m.Constraint)
}

// bySize orders restrictors by what they pass.
func bySize(choices []choice) (order []int) {
	for i, c := range choices {
		if c.flow > 0 {
			order = append(order, i)
		}
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(choices[a].flow, choices[b].flow) })
	return order
}

// heaviest takes as much as the one of several that takes most at a flow.
type heaviest []hydraulics.Resistance

// Loss is the largest loss of the several.
func (h heaviest) Loss(q quantity.Flow, f hydraulics.Fluid) (most quantity.Pressure, err error) {
	for _, r := range h {
		loss, err := r.Loss(q, f)
		if err != nil {
			return 0, err
		}
		most = max(most, loss)
	}
	return most, nil
}

// weigh finds the most that filters and carbon, and bottles, take.
func (z *sizer) weigh() error {
	var feeds, bottles heaviest
	for _, c := range z.choices[feedStage] {
		s := *z.site
		c.put(&s)
		r, err := rigOf(&s, drawn{}, &notes{})
		if err != nil {
			return err
		}
		var series hydraulics.Series
		for _, part := range r.plant.FeedSide {
			series = append(series, part.Resistance)
		}
		feeds = append(feeds, series)
	}
	for _, c := range z.choices[resinStage] {
		s := *z.site
		if !c.before {
			continue
		}
		c.put(&s)
		if bed, ok := z.bedOf(&s); ok {
			bottles = append(bottles, bedLoss(bed.Volume, resinDropAt))
		}
	}
	z.heavyFeed, z.heavyResin = feeds, bottles
	return nil
}
