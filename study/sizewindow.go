package study

import (
	"cmp"
	"context"
	"math"
	"slices"
	"sort"
)

// A larger restrictor lets more to the drain: it scales, recovers and polarises
// less, and takes more of the main, the filters and the drain. So for one path
// the restrictors that hold are neighbours in size, and a few settled paths
// find where they begin and end. One more is kept on either side, to say why it
// fails.

// Limits that too small a restrictor breaks, and those that too large a one
// does.
var (
	brokenBySmall = []string{"scaling", "element recovery", "polarisation"}
	brokenByLarge = []string{"city pressure", "filter flow", "element feed flow", "element pressure drop", "drain flow", "carbon contact", "softener flow"}
)

type window struct{ low, high int } // places in the order of size

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

// restrictorFits leaves out restrictors whose neighbour is already too small or
// too large.
func (z *sizer) restrictorFits(chosen []int) bool {
	place := slices.Index(z.bySize, chosen[restrictorStage])
	if place < 0 {
		return true // what hangs there has no known size
	}
	w := z.windowOf(chosen)
	return w.low-1 <= place && place <= w.high+1
}

func (z *sizer) windowOf(chosen []int) window {
	// Filters, carbon and resin ahead of the tank only take a little pressure:
	// one window serves all feeds that are softened alike and all outlets with
	// the same tank, and its spare places cover the difference.
	trial := make([]int, pathStage+1)
	copy(trial, chosen)
	trial[feedStage] = z.widest(z.at(chosen, feedStage).softener)
	outlet := z.at(chosen, outletStage)
	trial[outletStage] = slices.IndexFunc(z.choices[outletStage], func(c choice) bool {
		return c.pressurised == outlet.pressurised && c.standing == outlet.standing
	})
	key := keyOf(trial)
	key.restrictor = 0
	z.mutex.Lock()
	w, ok := z.windows[key]
	z.mutex.Unlock()
	if ok {
		return w
	}
	breaks := func(place int, names []string) bool {
		trial[restrictorStage] = z.bySize[place]
		v, err := z.judgePath(context.Background(), trial)
		return err == nil && slices.ContainsFunc(v.Margins, func(m margin) bool { return m.Used > 1 && slices.Contains(names, m.Constraint) })
	}
	n := len(z.bySize)
	w.low = sort.Search(n, func(i int) bool { return !breaks(i, brokenBySmall) })
	w.high = n - 1
	if w.low < n {
		w.high = w.low + sort.Search(n-w.low, func(i int) bool { return breaks(w.low+i, brokenByLarge) }) - 1
	}
	z.mutex.Lock()
	z.windows[key] = w
	z.mutex.Unlock()
	return w
}

// widest is the feed of a softener that lets the most flow through.
func (z *sizer) widest(softener int) (widest int) {
	most := -1.0
	for i, c := range z.choices[feedStage] {
		flow := float64(c.flow)
		if flow == 0 {
			flow = math.Inf(1) // no limit
		}
		if c.softener == softener && flow > most {
			widest, most = i, flow
		}
	}
	return widest
}
