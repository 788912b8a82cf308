package study

import (
	"context"

	"rinsewright/hydraulics"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/sizing"
)

// Every limit of a membrane is used the more, or the less, the more is lost
// ahead of it. So what is broken with nothing lost and with the most that any
// way to treat the feed takes is broken with all of them, by no less than the
// lesser of the two.

// soundFeeds finds the feeds that break no limit of their own, and for each
// water the one of them that takes most pressure, whatever the flow.
func (z *sizer) soundFeeds() {
	feeds := z.choices[feedStage]
	z.sound, z.heavy = make([]bool, len(feeds)), map[int]int{}
	fluid, err := fluidAt(z.cold)
	if err != nil {
		return
	}
	for i, f := range feeds {
		v, err := z.judgeFeed(context.Background(), []int{i})
		judged := verdict{Verdict: v}
		z.sound[i] = err == nil && judged.broken() == 0
		if !z.sound[i] {
			continue
		}
		at, ok := z.heavy[f.water]
		if !ok || z.takesMore(i, at, fluid) {
			z.heavy[f.water] = i
		}
	}
	for i, f := range feeds {
		if at, ok := z.heavy[f.water]; ok && z.sound[i] && !z.takesMore(at, i, fluid) {
			z.sound[i] = false // neither takes more at every flow: it is bracketed by nothing
		}
	}
}

// takesMore says that feed a takes no less pressure than b at any usual flow.
func (z *sizer) takesMore(a, b int, fluid hydraulics.Fluid) bool {
	for _, flow := range []float64{0.1, 0.5, 1, 3, 10, 20} { // gpm
		if !(z.taken(a, quantity.GallonsPerMinute(flow), fluid) >= z.taken(b, quantity.GallonsPerMinute(flow), fluid)) {
			return false
		}
	}
	return true
}

func (z *sizer) taken(feed int, flow quantity.Flow, fluid hydraulics.Fluid) (sum quantity.Pressure) {
	r, err := rigOf(z.siteOf([]int{feed}), drawn{}, &notes{})
	if err != nil {
		return 0
	}
	for _, part := range r.plant.FeedSide {
		loss, err := part.Resistance.Loss(flow, fluid)
		if err != nil {
			return 0
		}
		sum += loss
	}
	return sum
}

// bracket adds the limits that are sure to be broken at a temperature: at the
// lean point and at the heaviest sound feed's.
func (z *sizer) bracket(p *lean, chosen []int, light plant.Point, at quantity.Temperature) {
	v := verdict{z: z}
	heavy, ok := z.heavy[z.at(chosen, feedStage).water]
	if !ok || v.membrane(light) != nil || v.broken() == 0 {
		return
	}
	trial := append([]int{heavy}, chosen[1:]...)
	s, l := z.siteOf(trial), z.base
	l.feed = z.softOf(trial).feed
	var err error
	if l.store.back, err = z.backOf(z.at(trial, outletStage), s); err != nil {
		return
	}
	if l.rig, err = z.rigFor(s, trial[trainStage]); err != nil {
		return
	}
	point, err := l.settle(at)
	if err != nil {
		return
	}
	w := verdict{z: z}
	if w.membrane(point) != nil {
		return
	}
	sure := verdict{Verdict: sizing.Verdict{Margins: p.sure}, z: z}
	for i, m := range v.Margins {
		if other := w.Margins[i]; m.Used > 1 && other.Used > 1 && m.Constraint == other.Constraint {
			if other.Used < m.Used {
				m = other
			}
			sure.Margins = append(sure.Margins, m)
		}
	}
	sure.merge()
	p.sure = sure.Margins
}
