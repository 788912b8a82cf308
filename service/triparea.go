package service

import (
	"cmp"
	"math"
	"slices"
	"strconv"
)

// area is sites that share a day's drive.
type area struct {
	drive  float64
	sites  []*stops
	visits []int // by working day: how many sites
	bench
}

// areas sorts a fleet's work by area; jobs holds one for each task, nil for what
// lies past the calendar.
func (f *Fleet) areas(c []Day, agreed []Day) (all []*area, jobs []*job) {
	sites := make([]stops, len(f.Sites))
	for i, t := range f.Tasks {
		j := t.jobOf(c, f.From, &f.Off)
		if jobs = append(jobs, j); j == nil {
			continue
		}
		sites[t.Site].jobs = append(sites[t.Site].jobs, j)
		if agreed != nil {
			if d, ok := slices.BinarySearch(c, agreed[i]); ok && !math.IsInf(j.cost[d], 1) {
				j.agreed = d
			}
		}
	}
	named := map[string]*area{}
	for i, place := range f.Sites {
		s := &sites[i]
		if len(s.jobs) == 0 {
			continue
		}
		slices.SortStableFunc(s.jobs, func(a, b *job) int { return cmp.Compare(a.best, b.best) })
		s.stop = place.Stop
		name := "area " + place.Area
		if place.Area == "" {
			name = "site " + strconv.Itoa(i)
		}
		a := named[name]
		if a == nil {
			n := len(c)
			a = &area{visits: make([]int, n), bench: bench{make([]float64, n+1), make([]int, n+1), make([]float64, n)}}
			named[name], all = a, append(all, a)
		}
		a.drive = max(a.drive, place.Drive)
		a.sites = append(a.sites, s)
	}
	return all, jobs
}

// plan finds the area's days from several beginnings and refines the cheapest;
// where days were agreed on, they are one of the beginnings, and leaving them
// costs bother.
func (a *area) plan(bother float64) {
	least, best := math.Inf(1), [][]int(nil)
	begin := func(days func(*stops) []int) {
		a.clear()
		for _, s := range a.sites {
			a.move(s, days(s), bother)
		}
		a.chooseAgain(bother)
		if len(a.sites) <= few {
			a.refine(bother)
		}
		if x := a.total(bother); x < least-1e-9 {
			least, best = x, a.daysNow()
		}
	}
	if a.isAgreed() {
		begin(a.agreedDays)
	}
	if len(a.sites) == 1 { // exact
		begin(func(s *stops) []int { return a.alike(s, 1) })
	} else {
		for _, share := range []float64{1, 1 / float64(len(a.sites)), 0} {
			begin(func(s *stops) []int { return a.alike(s, share) })
		}
		for _, share := range []float64{0, 0.3, 1} {
			together := a.together(share)
			begin(func(s *stops) []int { return a.among(s, together) })
		}
	}
	a.clear()
	for i, s := range a.sites {
		a.move(s, best[i], bother)
	}
	if len(a.sites) > few {
		a.refine(bother)
	}
}

// few is how many sites an area may have for every beginning to be refined, and
// every day to be tried in place of another.
const few = 8

func (a *area) refine(bother float64) {
	for pass := 0; pass < 20 && len(a.sites) > 1 && a.tryDays(bother); pass++ {
		a.chooseAgain(bother)
	}
}

func (a *area) isAgreed() bool {
	return slices.ContainsFunc(a.sites, func(s *stops) bool {
		return slices.ContainsFunc(s.jobs, func(j *job) bool { return j.agreed >= 0 })
	})
}

// agreedDays are those agreed on for a site; work that is new, or can no longer
// wait for one of them, has its own best day.
func (a *area) agreedDays(s *stops) (days []int) {
	for _, j := range s.jobs {
		d := j.agreed
		if d < 0 {
			d = j.best
		}
		if !slices.Contains(days, d) {
			days = append(days, d)
		}
	}
	slices.Sort(days)
	return days
}

// alike is what a site would choose if it paid a share of every drive.
func (a *area) alike(s *stops, share float64) []int {
	for d := range a.fare {
		a.fare[d] = s.stop + share*a.drive
	}
	days, _ := s.cheapest(&a.bench)
	return days
}

// together are the days that the area would choose as one site whose visits
// cost the drive and a share of all its stops.
func (a *area) together(share float64) []int {
	one := stops{}
	fare := a.drive
	for _, s := range a.sites {
		one.jobs = append(one.jobs, s.jobs...)
		fare += share * s.stop
	}
	slices.SortStableFunc(one.jobs, func(a, b *job) int { return cmp.Compare(a.best, b.best) })
	for d := range a.fare {
		a.fare[d] = fare
	}
	days, _ := one.cheapest(&a.bench)
	return days
}

// among is what a site would choose were some days driven on anyway.
func (a *area) among(s *stops, driven []int) []int {
	for d := range a.fare {
		a.fare[d] = s.stop + a.drive
	}
	for _, d := range driven {
		a.fare[d] = s.stop
	}
	days, _ := s.cheapest(&a.bench)
	return days
}

// chooseAgain lets sites choose again in turn until none gets cheaper.
func (a *area) chooseAgain(bother float64) {
	for range 30 {
		cheaper := false
		for _, s := range a.sites {
			cheaper = a.again(s, bother) || cheaper
		}
		if !cheaper {
			return
		}
	}
}

// tryDays tries, for each day that is driven on, to close it, to drive on
// another instead, and to drive on one instead of it and the next; it says
// whether anything got cheaper.
func (a *area) tryDays(bother float64) (cheaper bool) {
	for d := range a.visits {
		if a.visits[d] == 0 {
			continue
		}
		if a.try([]int{d}, -1, bother) {
			cheaper = true
			continue
		}
		shut := [][]int{{d}}
		next := d + 1
		for next < len(a.visits) && a.visits[next] == 0 {
			next++
		}
		if next < len(a.visits) {
			shut = append(shut, []int{d, next})
		}
		for _, days := range shut {
			if slices.ContainsFunc(a.near(days), func(to int) bool { return a.try(days, to, bother) }) {
				cheaper = true
				break
			}
		}
	}
	return cheaper
}

// near are the days to try in place of some, nearest their middle first.
func (a *area) near(days []int) (all []int) {
	reach := 5
	if len(a.sites) <= few {
		reach = 12
	}
	middle := (days[0] + days[len(days)-1]) / 2
	for by := 0; by <= reach; by++ {
		for _, to := range []int{middle - by, middle + by}[:min(by+1, 2)] {
			if to >= 0 && to < len(a.visits) && !slices.Contains(days, to) {
				all = append(all, to)
			}
		}
	}
	return all
}

// try shuts some days to all sites that are visited on them, with another open
// to those, and keeps that if everything together is cheaper. In crowded areas
// the sites then keep to days that are driven on, and days further off are only
// exchanged: they choose freely later.
func (a *area) try(shut []int, open int, bother float64) bool {
	var was [][]int
	var moved []*stops
	before, driven := 0.0, a.driven()
	for _, s := range a.sites {
		if slices.ContainsFunc(s.days, func(d int) bool { return slices.Contains(shut, d) }) {
			moved, was = append(moved, s), append(was, s.days)
			before += s.comesTo(bother)
		}
	}
	after := 0.0
	for _, s := range moved {
		days := instead(s.days, shut, open)
		if open < 0 || len(a.sites) <= few || open >= shut[0]-2 && open <= shut[len(shut)-1]+2 {
			days = a.without(s, shut, open)
		}
		if len(days) > 0 {
			a.move(s, days, bother)
		}
		after += s.comesTo(bother)
	}
	if after+a.drive*float64(a.driven()-driven) < before-1e-9 {
		return true
	}
	for i, s := range moved {
		a.move(s, was[i], bother)
	}
	return false
}

// without is what a site would choose were some days shut and another open, none
// where it cannot; an open day of -1 is none. For another day in a crowded area
// it keeps to days that are driven on.
func (a *area) without(s *stops, shut []int, open int) []int {
	a.fares(s)
	for _, d := range shut {
		a.fare[d] = math.Inf(1)
	}
	if open >= 0 {
		if len(a.sites) > few {
			for d, n := range a.visits {
				if n == 0 {
					a.fare[d] = math.Inf(1)
				}
			}
		}
		a.fare[open] = s.stop
	}
	days, total := s.cheapest(&a.bench)
	if math.IsInf(total, 1) {
		return nil
	}
	return days
}

// instead is days with some of them exchanged for one.
func instead(days, shut []int, open int) (all []int) {
	for _, d := range days {
		if d != open && !slices.Contains(shut, d) {
			all = append(all, d)
		}
	}
	at, _ := slices.BinarySearch(all, open)
	return slices.Insert(all, at, open)
}

// fares are what one site's visits cost given the days that the others are
// visited on.
func (a *area) fares(s *stops) {
	for d := range a.fare {
		if a.fare[d] = s.stop; a.visits[d] == 0 {
			a.fare[d] += a.drive
		}
	}
	for _, d := range s.days {
		if a.visits[d] == 1 {
			a.fare[d] += a.drive
		}
	}
}

// again lets a site choose its days given the others', and says whether that is
// cheaper, the bother of moving counted.
func (a *area) again(s *stops, bother float64) bool {
	a.fares(s)
	days, _ := s.cheapest(&a.bench)
	if slices.Equal(days, s.days) {
		return false
	}
	was, before, driven := s.days, s.comesTo(bother), a.driven()
	a.move(s, days, bother)
	if s.comesTo(bother)+a.drive*float64(a.driven()-driven) < before-1e-9 {
		return true
	}
	a.move(s, was, bother)
	return false
}

// move takes a site from the days it is visited on to others.
func (a *area) move(s *stops, days []int, bother float64) {
	for _, d := range s.days {
		a.visits[d]--
	}
	for _, d := range days {
		a.visits[d]++
	}
	if s.days = days; len(days) > 0 {
		s.visit(days, bother)
	}
}

func (a *area) clear() {
	for _, s := range a.sites {
		s.days = nil
	}
	clear(a.visits)
}

func (a *area) daysNow() (all [][]int) {
	for _, s := range a.sites {
		all = append(all, s.days)
	}
	return all
}

func (a *area) driven() (n int) {
	for _, v := range a.visits {
		if v > 0 {
			n++
		}
	}
	return n
}

// travel is what the area's drives and stops cost.
func (a *area) travel() float64 {
	sum := a.drive * float64(a.driven())
	for _, s := range a.sites {
		sum += s.stop * float64(len(s.days))
	}
	return sum
}

func (a *area) total(bother float64) float64 {
	sum := a.travel()
	for _, s := range a.sites {
		sum += s.work(bother)
	}
	return sum
}

// alone is what the area would cost with a trip for every piece of work.
func (a *area) alone() (sum float64) {
	for _, s := range a.sites {
		for _, j := range s.jobs {
			sum += j.cost[j.best] + a.drive + s.stop
		}
	}
	return sum
}
