package demand

import (
	"fmt"
	"math"
	"slices"

	"rinsewright/quantity"
)

// Interruption is a time in which make-up is less or the power is off: a
// softener's regeneration, a filter's backwash, a membrane out for a day, a
// power cut.
type Interruption struct {
	Name     string
	Day      int           // of the year, 0 is 1 January; the first of several
	Every    int           // days until the next; 0 is once
	At       quantity.Time // after midnight
	For      quantity.Time
	Left     quantity.Ratio // share of make-up that still flows
	PowerOff bool           // no make-up and no pump: guns have no water
}

// mostInterruptions keeps a year's list of changes small.
const mostInterruptions = 50

func (i Interruption) check() error {
	err := firstError(
		within("day", float64(i.Day), 0, DaysInYear-1),
		within("days between", float64(i.Every), 0, DaysInYear),
		within("begins in s after midnight", float64(i.At), 0, 86400),
		within("lasts in s", float64(i.For), 1, 366*86400),
		within("share of make-up left", float64(i.Left), 0, 1),
	)
	if err != nil {
		return fmt.Errorf("interruption %q: %w", i.Name, err)
	}
	return nil
}

// change is the state that interruptions leave from a time of the year on.
type change struct {
	at   float64 // s of the year
	left float64 // share of make-up
	off  bool
}

// interval is one occasion of an interruption.
type interval struct {
	from, to, left float64
	off            bool
}

// changesOf lists every time of the year at which interruptions change the
// supply. Where several overlap their shares of make-up multiply.
func changesOf(all []Interruption) ([]change, error) {
	if err := within("interruptions", float64(len(all)), 0, mostInterruptions); err != nil {
		return nil, err
	}
	var occasions []interval
	var times []float64
	for _, i := range all {
		if err := i.check(); err != nil {
			return nil, err
		}
		for day := i.Day; day < DaysInYear; day += i.Every {
			from := float64(day)*24*hour + float64(i.At)
			occasions = append(occasions, interval{from, from + float64(i.For), float64(i.Left), i.PowerOff})
			times = append(times, from, from+float64(i.For))
			if i.Every == 0 {
				break
			}
		}
	}
	slices.Sort(times)
	slices.SortFunc(occasions, func(a, b interval) int {
		if a.from < b.from {
			return -1
		}
		return 1
	})
	return sweep(slices.Compact(times), occasions), nil
}

// sweep walks through the times with the occasions that are under way.
func sweep(times []float64, occasions []interval) []change {
	var changes []change
	var open []interval
	for _, at := range times {
		for len(occasions) > 0 && occasions[0].from <= at {
			open = append(open, occasions[0])
			occasions = occasions[1:]
		}
		open = slices.DeleteFunc(open, func(o interval) bool { return o.to <= at })
		c := change{at: at, left: 1}
		for _, o := range open {
			c.left *= o.left
			c.off = c.off || o.off
		}
		if c.off {
			c.left = 0
		}
		changes = append(changes, c)
	}
	return changes
}

// BackPressure is what a tank takes from its make-up near full: the height of
// its water, or its air's pressure, pushes back on the membrane.
type BackPressure struct {
	Within quantity.Volume // of full
	Left   quantity.Ratio  // share of the make-up that an empty tank gets
}

// mostSlices of a tank, each with one make-up.
const mostSlices = 32

// checkBack wants slices from full downwards, each with no less make-up than
// the one above it: then the level has one way to go at every edge.
func checkBack(back []BackPressure, t Tank) error {
	err := within("slices of back-pressure", float64(len(back)), 0, mostSlices)
	depth, left := 0.0, 0.0
	for _, b := range back {
		err = firstError(err,
			within("back-pressure within m³ of full", float64(b.Within), depth*(1+1e-9)+1e-9, float64(t.Stop)),
			within("share of make-up left", float64(b.Left), left, 1))
		depth, left = float64(b.Within), float64(b.Left)
	}
	return err
}

// slicesOf returns the edges between slices as levels, from the top, and the
// share of make-up in each slice.
func slicesOf(back []BackPressure, stop float64) (edges, shares []float64) {
	for _, b := range back {
		edges = append(edges, max(stop-float64(b.Within), 0))
		shares = append(shares, float64(b.Left))
	}
	return append(edges, math.Inf(-1)), append(shares, 1)
}
