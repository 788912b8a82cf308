package study

import (
	"fmt"
	"math"
	"slices"

	"rinsewright/catalog"
	"rinsewright/cost"
	"rinsewright/quantity"
	"rinsewright/site"
)

// arrangement is how elements stand: so many one after another, in so many rows
// side by side. One after another they recover more, side by side they drop less.
type arrangement struct{ inRow, rows int }

var arrangements = []arrangement{{1, 1}, {2, 1}, {3, 1}, {4, 1}, {1, 2}, {1, 3}, {1, 4}, {2, 2}}

func (a arrangement) count() int { return a.inRow * a.rows }

// put hangs elements like m so.
func (a arrangement) put(m site.Membrane, s *site.Site) {
	m.Count, m.Parallel = a.inRow, false
	if a.inRow == 1 && a.rows > 1 {
		m.Count, m.Parallel = a.rows, true
	} else {
		s.Rig.Rows = slices.Repeat([]site.Membrane{m}, a.rows-1)
	}
	s.Rig.Membrane = &m
}

func (a arrangement) name(of string) string {
	switch {
	case a.count() == 1:
		return "1 × " + of
	case a.rows == 1:
		return fmt.Sprintf("%d × %s one after another", a.inRow, of)
	case a.inRow == 1:
		return fmt.Sprintf("%d × %s side by side", a.rows, of)
	}
	return fmt.Sprintf("%d × %s in %d rows of %d", a.count(), of, a.rows, a.inRow)
}

// recovers is the most that elements so arranged recover of what is fed to them
// while none recovers more than data sheets allow:
//
//	Y = 1 − (1 − y)ⁿ
func (a arrangement) recovers() float64 {
	return 1 - math.Pow(1-mostElementRecovery, float64(a.inRow))
}

// trains are what hangs there, new elements in its housings, and every element of
// the catalogue in every arrangement, with and without concentrate led back.
func (h *shelf) trains() (all []choice) {
	all = h.hangingTrain()
	for _, p := range h.parts.Of(catalog.Element) {
		housing, _ := h.parts.Sized(catalog.Housing, p.Size) // the catalogue was checked for it
		for _, a := range arrangements {
			c := choice{
				name:   a.name(p.Name),
				buys:   []bought{h.buy(p, float64(a.count())), h.buy(housing, float64(a.count()))},
				yearly: h.elementsCost(a.count(), p) + h.waterCost(a.recovers()), recovers: a.recovers(),
				put: func(s *site.Site) { a.put(elementOf(p), s) },
			}
			plain := len(all)
			all = append(all, c)
			for _, c := range h.recycled(c, a, h.elementsCost(a.count(), p)) {
				c.plain = plain
				all = append(all, c)
			}
		}
	}
	return all
}

// elementOf is an element of the catalogue as a survey tells one.
func elementOf(p catalog.Part) site.Membrane {
	return site.Membrane{
		Size: p.Size, Flow: quantity.Told(p.Flow), Rejection: quantity.Told(p.Rejection),
		Pressure: quantity.Told(p.Pressure), TestSalt: told0(p.TestSalt), Temperature: told0(p.Temperature), Recovery: told0(p.Recovery),
		Area: quantity.Told(p.Area), Length: told0(p.Length), Age: quantity.Told(quantity.Time(0)), Price: priceOf(cost.Money(p.Price)),
	}
}

// elementsCost is what a year's share of new elements costs.
func (h *shelf) elementsCost(count int, p catalog.Part) cost.Money {
	return cost.Money(math.Floor(float64(count) / membraneYears * float64(p.Price)))
}

// hangingTrain is the membrane that hangs there with all that belongs to it, and
// its housings with new elements of their size. New elements go in as the old
// ones hang; where rows are unlike, or a second pass follows, the shelf cannot say
// which to change and leaves them.
func (h *shelf) hangingTrain() (all []choice) {
	hang := h.site.Rig
	m := hang.Membrane
	if m == nil {
		return nil
	}
	put := func(s *site.Site, m *site.Membrane) {
		s.Rig.Membrane, s.Rig.Rows, s.Rig.Recycle, s.Rig.Second, s.Rig.SecondPump = m, hang.Rows, hang.Recycle, hang.Second, hang.SecondPump
	}
	count := elementsIn(&hang)
	old := choice{name: "the membrane that hangs there", kept: true, buys: []bought{kept(elementsName(max(m.Count, 1), m.Size, m.Parallel), catalog.Element, count)}}
	old.recycles, old.recovers = hang.Recycle != nil, h.hangingRecovers()
	old.put = func(s *site.Site) { put(s, m) }
	old.yearly = cost.Money(math.Floor(float64(count)/membraneYears*float64(m.Price.Or(h.prices.Membrane.Value)))) + h.waterCost(old.recovers)
	all = append(all, old)
	if len(hang.Rows) > 0 || hang.Second != nil {
		return all
	}
	for _, p := range h.parts.Of(catalog.Element) {
		if p.Size != m.Size {
			continue
		}
		fresh := elementOf(p)
		fresh.Count, fresh.Parallel = m.Count, m.Parallel
		all = append(all, choice{
			name:     elementsName(count, p.Name, m.Parallel) + ", new in the housings that hang there",
			buys:     []bought{h.buy(p, float64(count)), kept(housingsName(count, m.Size), catalog.Housing, count)},
			yearly:   h.elementsCost(count, p) + h.waterCost(old.recovers),
			recycles: old.recycles, recovers: old.recovers,
			put: func(s *site.Site) { put(s, &fresh) },
		})
	}
	return all
}

func housingsName(count int, size string) string {
	if count == 1 {
		return size + " housing"
	}
	return fmt.Sprintf("%d × %s housing", count, size)
}

// hangingRecovers is the most that what hangs there recovers; where concentrate
// comes back, rows are unlike or a second pass follows, no water to the drain is sure.
func (h *shelf) hangingRecovers() float64 {
	hang := h.site.Rig
	switch {
	case hang.Recycle != nil || len(hang.Rows) > 0 || hang.Second != nil:
		return 1
	case hang.Membrane.Parallel:
		return arrangement{1, 1}.recovers()
	}
	return arrangement{max(hang.Membrane.Count, 1), 1}.recovers()
}

// waterCost is the least that a year's feed and concentrate cost at a recovery.
func (h *shelf) waterCost(recovery float64) cost.Money {
	feed := h.made / quantity.Volume(recovery)
	year, err := cost.Yearly(cost.Use{Vends: 1, Feed: feed, Drain: feed - h.made}, h.prices)
	if err != nil {
		return 0
	}
	return max(year.Total-2, 0) // each of its lines is rounded
}

// told0 is an entry that is known unless it is 0.
func told0[Q quantity.Quantity](q Q) quantity.Entry[Q] {
	if q == 0 {
		return quantity.Entry[Q]{}
	}
	return quantity.Told(q)
}

func elementsName(count int, name string, parallel bool) string {
	if parallel {
		return arrangement{1, count}.name(name)
	}
	return arrangement{count, 1}.name(name)
}

// elementsIn is how many elements hang on a wall, in all rows and passes.
func elementsIn(r *site.Rig) (count int) {
	if r.Membrane == nil {
		return 0
	}
	count = max(r.Membrane.Count, 1)
	for i := range r.Rows {
		count += max(r.Rows[i].Count, 1)
	}
	if r.Second != nil {
		count += max(r.Second.Membrane.Count, 1)
	}
	return count
}
