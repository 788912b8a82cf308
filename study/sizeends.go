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
// them takes. Where resin hangs ahead of the tank there are two losses, and of some
// limits one takes what the other gives: what is lost behind a membrane pushes more
// past the restrictor. Then the least of all four corners counts.

// core is what decides how a membrane works, but for what is lost in filters,
// carbon and a bottle ahead of the tank.
type core struct {
	water, outlet, train, booster, restrictor int
	ahead                                     bool // a bottle hangs ahead of the tank
}

// coreOf is the core of a choice; the outlet is told by its tank, and by whether a
// bottle hangs ahead of it.
func (z *sizer) coreOf(chosen []int) core {
	at := chosen[outletStage]
	return core{
		z.choices[softenerStage][chosen[softenerStage]].water, z.plain[at], chosen[trainStage], chosen[boosterStage], chosen[restrictorStage],
		z.choices[outletStage][at].before,
	}
}

// loss is how much is lost at an end, season the feed's temperature.
type (
	loss   int
	season int
)

const (
	lossNone   loss = iota // in filters, carbon and resin
	lossMost               // of any filter and carbon, and of any bottle ahead of the tank
	lossBehind             // of any bottle ahead of the tank alone
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
	if l == lossNone {
		c.ahead = false // the same without
	}
	return z.ends.of(endKey{c, l, s}, func() *end {
		e := &end{}
		if e.point, e.err = z.settleCore(c, l, s); e.err != nil {
			return e
		}
		v := verdict{z: z}
		e.err = errors.Join(v.membrane(&e.point), v.cityPressure(e.point.Fresh.Flow))
		if s == seasonWarm { // the path is held to the drain in this one
			v.drainFlow(e.point.ToDrain())
		}
		e.margins = v.Margins
		e.point.Membrane.Elements, e.point.Membrane.Profile = nil, nil // thousands are kept
		return e
	})
}

func (z *sizer) settleCore(c core, l loss, s season) (plant.Point, error) {
	chosen := c.with(c.restrictor)
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
	}
	if c.ahead {
		look.rig.plant.PermeateOut = append(look.rig.plant.PermeateOut, plant.Part{Name: "resin", Resistance: z.heavyResin})
	}
	return look.settle(z.temperature(s))
}

// bracket is the least that any path of a core uses of each limit of the
// membrane: a little less than the lesser of both ends.
func (z *sizer) bracket(c core, s season) (sure []sizing.Margin) {
	corners := []*end{z.endOf(c, lossNone, s), z.endOf(c, lossMost, s)}
	if c.ahead {
		alone := c
		alone.ahead = false
		corners = append(corners, z.endOf(alone, lossMost, s), z.endOf(c, lossBehind, s))
	}
	return least(corners, func(string) bool { return true })
}

// least is the least that several ends use of some limits, nothing where one has no
// answer or the first two are far apart.
func least(corners []*end, of func(constraint string) bool) (sure []sizing.Margin) {
	for _, e := range corners {
		if e.err != nil || e.point.Fresh.Flow < nearEnds*corners[0].point.Fresh.Flow {
			return nil
		}
	}
	for i, m := range corners[0].margins {
		if m.Fixed || !of(m.Constraint) {
			continue
		}
		for _, e := range corners[1:] {
			if at := e.margins[i]; at.Constraint == m.Constraint && at.Used < m.Used {
				m = at
			}
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

// with is a core's parts with a restrictor, as the stages choose them.
func (c core) with(restrictor int) []int {
	return []int{c.water, c.outlet, c.train, c.booster, restrictor}
}

// window is the place of the smallest restrictor that is not sure to be too small.
// The same elements behind another softener, before another tank or with another
// booster have it nearby, so that one is looked at first.
func (z *sizer) window(family core) int {
	return *z.windows.of(family, func() *int {
		high := len(z.bySize)
		low := sort.Search(high, func(i int) bool { return len(z.tooTight(family.with(z.bySize[i])).Among) == 0 }) // plain arithmetic tells of those
		small := func(i int) bool { return len(z.breaksSmall(family, i)) > 0 }
		like := family
		switch {
		case like.ahead:
			like.ahead = false
		case like.water != z.choices[softenerStage][0].water:
			like.water = z.choices[softenerStage][0].water
		case like.outlet > 0:
			like.outlet = 0
		case z.choices[trainStage][like.train].recycles:
			like.train = z.choices[trainStage][like.train].plain
		default:
			like.booster = 0
		}
		if like != family {
			for _, at := range []int{z.window(like) - 1, z.window(like)} {
				switch {
				case low >= high || at < low || at >= high:
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
	ends := []*end{z.endOf(family, lossNone, seasonCold), z.endOf(family, lossMost, seasonCold)} // both losses make these less
	for _, m := range least(ends, func(name string) bool { return slices.Contains(brokenBySmall, name) }) {
		if m.Used > restrictorSlack {
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
		var row hydraulics.Series
		for _, bed := range bedsOf(&s) {
			row = append(row, bedLoss(bed.Volume, resinDropAt))
		}
		bottles = append(bottles, row)
	}
	z.heavyFeed, z.heavyResin = feeds, bottles
	return nil
}
