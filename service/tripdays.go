package service

import (
	"math"
	"slices"
)

// job is one task as the search sees it: what it costs on each working day.
type job struct {
	cost   []float64 // +Inf where it may not be done
	best   int       // cost falls up to here and rises after
	on     int       // the working day it is done on
	agreed int       // -1 for none
}

// jobOf returns nil for a task whose best day lies past the calendar.
func (t *Task) jobOf(c []Day, from Day, off *[7]bool) *job {
	first := 0
	for first < len(c) && c[first] < t.First {
		first++
	}
	if first == len(c) {
		return nil
	}
	j := &job{cost: slices.Repeat([]float64{math.Inf(1)}, len(c)), best: first, agreed: -1}
	for i := first; i < len(c) && (i == first || t.Last == 0 || c[i] <= t.Last); i++ {
		j.cost[i] = t.costs(c[i], from)
		if j.cost[i] < j.cost[j.best] {
			j.best = i
		}
	}
	for d, n := c[len(c)-1]+1, 0; n < 5 && (t.Last == 0 || d <= t.Last); d++ {
		if off[d.weekday()] {
			continue
		}
		if n++; t.costs(d, from) < j.cost[j.best] || t.Last > 0 && t.costs(d, from) <= j.cost[j.best] {
			return nil
		}
	}
	return j
}

// stops is one site: its work and the working days it is visited on.
type stops struct {
	stop float64
	jobs []*job // by their best day
	days []int  // in order
}

// bench is room for the recursion, used again and again.
type bench struct {
	value []float64
	from  []int
	fare  []float64
}

// cheapest returns the days on which a site is best visited, in order, and what
// they come to, when a visit on working day d costs fare[d]:
//
//	V(b) = fare_b + min over a < b of V(a) + Σ over jobs best in [a, b) of min(cost_a, cost_b)
//
// It is exact. Among visits on days … < a < b < … a job best in [a, b) has its
// least cost on a or b, since its cost falls up to its best day and rises after;
// each job is best in exactly one such gap, so the sum over gaps is the sum over
// jobs, and V(b) depends on what lies before b by a alone.
func (s *stops) cheapest(r *bench) (days []int, total float64) {
	n := len(r.fare)
	inf := math.Inf(1)
	first, end := 0, 0 // jobs best before b
	for b := range n + 1 {
		fare := 0.0
		if b < n {
			fare = r.fare[b]
		}
		for end < len(s.jobs) && s.jobs[end].best < b {
			end++
		}
		least, from := inf, -1
		if fare < inf {
			least = s.between(-1, b, 0, end, inf)
			first = end
			for a := b - 1; a >= 0; a-- {
				for first > 0 && s.jobs[first-1].best >= a {
					first--
				}
				if r.value[a] >= least {
					continue
				}
				if x := r.value[a] + s.between(a, b, first, end, least-r.value[a]); x < least {
					least, from = x, a
				}
			}
		}
		r.value[b], r.from[b] = least+fare, from
	}
	for d := r.from[n]; d >= 0; d = r.from[d] {
		days = append(days, d)
	}
	slices.Reverse(days)
	return days, r.value[n]
}

// between is what the jobs best between two neighbouring visits cost; it stops
// counting past enough.
func (s *stops) between(a, b, first, end int, enough float64) (sum float64) {
	for _, j := range s.jobs[first:end] {
		before, after := math.Inf(1), math.Inf(1)
		if a >= 0 {
			before = j.cost[a]
		}
		if b < len(j.cost) {
			after = j.cost[b]
		}
		if sum += min(before, after); sum >= enough {
			return math.Inf(1)
		}
	}
	return sum
}

// visit settles a site on days, each job on the cheapest of them; one that was
// agreed on stays where it was unless moving saves more than bother.
func (s *stops) visit(days []int, bother float64) {
	s.days = days
	for _, j := range s.jobs {
		j.on = days[0]
		for _, d := range days[1:] {
			if j.cost[d] < j.cost[j.on] {
				j.on = d
			}
		}
		if j.agreed >= 0 && slices.Contains(days, j.agreed) && j.cost[j.agreed] <= j.cost[j.on]+bother {
			j.on = j.agreed
		}
	}
}

// work is what a site's jobs cost on the days they are done on.
func (s *stops) work(bother float64) (sum float64) {
	for _, j := range s.jobs {
		sum += j.cost[j.on]
		if j.agreed >= 0 && j.on != j.agreed {
			sum += bother
		}
	}
	return sum
}

// comesTo is what a site costs without drives.
func (s *stops) comesTo(bother float64) float64 {
	return s.work(bother) + s.stop*float64(len(s.days))
}
