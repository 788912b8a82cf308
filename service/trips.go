package service

import (
	"fmt"
	"math"
	"runtime"
	"sync"
	"sync/atomic"
	"time"
)

// Trips are planned by money that is expected to be lost. Work done early throws
// life away, work done late leaves spots in front of customers, and nobody knows
// the day, so both are means over the forecast's band. A drive to an area is paid
// once a day for all its sites, a stop once a day for all the work at a site.
//
// Two facts make the search small. Areas share nothing, so each is planned by
// itself. And the cost of one piece of work falls until its best day and rises
// after it, so of all the days that a site is visited on, only the last before
// that day and the first after it matter: the best days for one site follow
// exactly from a recursion over pairs of neighbouring visits (tripdays.go).
// What several sites of an area share is then found by letting one site after
// the other choose again, and by trying to open, close and move whole days
// (triparea.go); that part is a search, kept honest against brute force.

// Task is one piece of work that wants a trip.
type Task struct {
	Site   int     // which of the fleet's sites
	Spent  When    // when what the work renews is used up
	Hurts  When    // from when being late does harm; the zero value is as Spent
	Thrown float64 // number of minor units of money thrown away for each day early
	Harm   float64 // number of minor units lost for each day late
	// First and Last bound the days on which it may be done; 0 is no bound. Where
	// no working day lies between them it is the first one after.
	First, Last Day
}

// Place is where a site is and what going there costs.
type Place struct {
	Area  string  // sites with the same word share a day's drive; empty shares with nobody
	Drive float64 // number of minor units for a day's drive there, paid once for the area
	Stop  float64 // number of minor units for one more stop: the way between neighbours, tools out and in
}

// Fleet is what trips are planned for.
type Fleet struct {
	From  Day
	Days  int // looked ahead, 1 to 730
	Off   [7]bool
	Sites []Place
	Tasks []Task
}

// Planned is on which day each piece of work is to be done.
type Planned struct {
	Days []Day // by task; 0 for what is not worth doing within the days looked ahead
	Own  []Day // by task: the day it would be best done on if driving cost nothing; 0 as Days
	// Extra is by task: number of minor units that the day costs over the own day.
	Extra []float64
	// Work is the number of minor units expected to be thrown away or lost to harm,
	// Travel that of drives and stops, Alone what both would come to if every piece of
	// work had a trip of its own on its own best day.
	Work, Travel, Alone float64
}

const mostPlanned = 730

// Trips returns the days on which a fleet's work costs least:
//
//	cost = Σ E[thrown·(T_spent − d)⁺ + harm·(d − T_hurts)⁺] + Σ drives + Σ stops
//
// less the harm done before the first day.
// Source: the recursion is proven in tripdays.go; for areas of several sites the
// search is within 2 % of brute force on small random fleets (a test). The error
// wraps [ErrRange] for money that is negative or not finite, bands out of order
// and sites that are not there.
func Trips(f Fleet) (Planned, error) { return Replan(f, nil, 0) }

// Replan is [Trips] with days agreed on before: agreed holds one for each task, 0
// where there is none. A day that somebody was told moves only where that saves
// more than bother, a number of minor units for each piece of work that moves.
func Replan(f Fleet, agreed []Day, bother float64) (Planned, error) {
	if err := f.check(agreed, bother); err != nil {
		return Planned{}, err
	}
	c := f.calendar()
	areas, jobs := f.areas(c, agreed)
	p := Planned{Days: make([]Day, len(f.Tasks)), Own: make([]Day, len(f.Tasks)), Extra: make([]float64, len(f.Tasks))}
	planAll(areas, bother)
	for _, a := range areas {
		p.Travel += a.travel()
		p.Alone += a.alone()
	}
	for i, j := range jobs {
		if j == nil {
			continue
		}
		p.Days[i], p.Own[i], p.Extra[i] = c[j.on], c[j.best], j.cost[j.on]-j.cost[j.best]
		p.Work += j.cost[j.on]
	}
	return p, nil
}

// planAll plans areas side by side: they share nothing.
func planAll(areas []*area, bother float64) {
	var wait sync.WaitGroup
	var next atomic.Int64
	for range min(runtime.GOMAXPROCS(0), len(areas)) {
		wait.Go(func() {
			for i := int(next.Add(1)) - 1; i < len(areas); i = int(next.Add(1)) - 1 {
				areas[i].plan(bother)
			}
		})
	}
	wait.Wait()
}

func (f *Fleet) check(agreed []Day, bother float64) error {
	if !(f.Days >= 1 && f.Days <= mostPlanned) {
		return fmt.Errorf("trips: %w: %d days ahead, wanted 1 to %d", ErrRange, f.Days, mostPlanned)
	}
	if f.Off == [7]bool{true, true, true, true, true, true, true} {
		return fmt.Errorf("trips: %w: no working day in the week", ErrRange)
	}
	if !isMoney(bother) || agreed != nil && len(agreed) != len(f.Tasks) {
		return fmt.Errorf("trips: %w: days agreed on, wanted one for each piece of work", ErrRange)
	}
	for i, s := range f.Sites {
		if !isMoney(s.Drive) || !isMoney(s.Stop) {
			return fmt.Errorf("trips: %w: site %d, drive %g and stop %g", ErrRange, i, s.Drive, s.Stop)
		}
	}
	for i, t := range f.Tasks {
		switch {
		case t.Site < 0 || t.Site >= len(f.Sites):
			return fmt.Errorf("trips: %w: task %d is at site %d of %d", ErrRange, i, t.Site, len(f.Sites))
		case !isMoney(t.Thrown) || !isMoney(t.Harm):
			return fmt.Errorf("trips: %w: task %d, %g thrown away and %g lost a day", ErrRange, i, t.Thrown, t.Harm)
		case !t.Spent.inOrder() || !t.Hurts.inOrder():
			return fmt.Errorf("trips: %w: task %d, a band that is not in order", ErrRange, i)
		}
	}
	return nil
}

func isMoney(x float64) bool { return x >= 0 && x <= 1e12 }

func (w When) inOrder() bool { return w.Low <= w.Likely && w.Likely <= w.High }

// calendar lists the working days looked ahead; there is always one.
func (f *Fleet) calendar() (c []Day) {
	for d := f.From; d < f.From+Day(f.Days) || len(c) == 0; d++ {
		if !f.Off[d.weekday()] {
			c = append(c, d)
		}
	}
	return c
}

func (d Day) weekday() time.Weekday { return d.Date().Weekday() }

// around is how many days a piece of work is expected to come before what a band
// tells, and how many after, when it is done on a day d and planned on another:
//
//	late = E[(d − T)⁺],  early = E[(T − d)⁺]
//
// T is two halves that meet in the likely day m, each as wide as its side of the
// band, so that all three days of the band are kept. The later half is a normal's.
// So is the earlier where the band begins before the planning day; else it is a
// lognormal's counted from that day, since what is not spent today has no past to
// be spent in. late − early = d − E[T] always; before the likely day
//
//	late = σ ψ((d − m)/σ), ψ(z) = φ(z) + z Φ(z)            or
//	late = x Φ(z) − m e^{σ²/2} Φ(z − σ), z = ln(x/m)/σ, both days from today
//
// Source: the partial means of both distributions; own derivation.
func (w When) around(d, from Day) (early, late float64) {
	const ninety = 1.6448536269514722
	m, x := float64(w.Likely-from), float64(d-from)
	above := (float64(w.High-from) - m) / ninety
	mean := m + above/math.Sqrt(2*math.Pi)
	var before func(x float64) float64
	if low := float64(w.Low - from); low > 0 {
		spread := math.Log(m/low) / ninety
		mean += m * (math.Exp(spread*spread/2)*normal(-spread) - 0.5)
		before = func(x float64) float64 { return partialLog(x, m, spread) }
	} else {
		spread := (m - low) / ninety
		mean -= spread / math.Sqrt(2*math.Pi)
		before = func(x float64) float64 { return partial(x-m, spread) }
	}
	if x <= m {
		late = before(x)
		return max(late+mean-x, 0), late
	}
	early = partial(m-x, above)
	return early, max(early+x-mean, 0)
}

// normal is the normal distribution's Φ.
func normal(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// partialLog is E[(x − T)⁺] of a lognormal T of a median.
func partialLog(x, median, spread float64) float64 {
	switch {
	case x <= 0:
		return 0
	case !(spread > 0):
		return max(x-median, 0)
	}
	z := math.Log(x/median) / spread
	return max(x*normal(z)-median*math.Exp(spread*spread/2)*normal(z-spread), 0)
}

// partial is E[(x − T)⁺] of a normal T about 0.
func partial(x, spread float64) float64 {
	if !(spread > 0) {
		return max(x, 0)
	}
	z := x / spread
	return spread * (math.Exp(-z*z/2)/math.Sqrt(2*math.Pi) + z*normal(z))
}

// costs is what is expected to be lost from a day on when a task is done on another;
// what is lost before it no plan brings back.
func (t *Task) costs(d, from Day) float64 {
	hurts := t.Hurts
	if hurts == (When{}) {
		hurts = t.Spent
	}
	early, _ := t.Spent.around(d, from)
	_, late := hurts.around(d, from)
	_, before := hurts.around(from, from)
	return t.Thrown*early + t.Harm*max(late-before, 0)
}
