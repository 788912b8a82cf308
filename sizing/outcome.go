package sizing

import (
	"cmp"
	"slices"

	"rinsewright/cost"
)

// Outcome is what a search found. Without a feasible system the picks are nil
// and Relaxations says what would let one in.
type Outcome struct {
	LeastFirst   *System
	LeastOver    *System
	MostHeadroom *System
	// Frontier holds the feasible systems that no other beats: none costs no more,
	// first and yearly, reaches no level higher, and is better in one of them.
	// Dearest last, as far as they cost no more over the years than headroom may.
	Frontier []*System
	// What binds each pick: what would come in if one limit were relaxed, the
	// least relaxation first.
	BindsFirst, BindsOver []Binding
	// Relaxations holds, for each constraint, systems that break it alone: the
	// least relaxation first. It is complete when nothing is feasible; then it may
	// hold sets of constraints, as many together as the problem allows.
	Relaxations []Relaxation
	// Together names the constraints that the cheapest system breaks at once,
	// of those that break several.
	Together []Margin

	// Cut says that the search for what binds ended early, so that more may bind.
	Cut bool

	Annuity      float64 // present value of 1 a year, a number
	Combinations float64 // number of systems that could be put together
	Trials       int     // judgements made
	Feasible     int     // systems met that hold every constraint

	twice *partial
}

// Relaxation is constraints, and what would be feasible without them.
type Relaxation struct {
	Constraints []string // one, or several that have to be relaxed together
	Least       *System  // whose worst breach is least
	Cheapest    *System  // over the years
	First       *System  // by first cost

	breach float64 // of Least
}

// Binding is a constraint that stops something cheaper than a pick.
type Binding struct {
	Constraint string
	Cheaper    *System    // that breaks this constraint alone
	Saves      cost.Money // by the pick's own measure
}

// beaten says whether a system of the frontier is no worse than the given costs
// and levels, and better in one.
func beaten(frontier []*System, first, yearly cost.Money, levels [Objectives]int) bool {
	return slices.ContainsFunc(frontier, func(f *System) bool {
		return f.noWorse(first, yearly, levels) && (f.First != first || f.Yearly != yearly || f.Levels != levels)
	})
}

// noWorse says that f is as good as the given costs and levels in each.
func (s *System) noWorse(first, yearly cost.Money, levels [Objectives]int) bool {
	for i, level := range s.Levels {
		if level > levels[i] {
			return false
		}
	}
	return s.First <= first && s.Yearly <= yearly
}

// insert adds a system to a frontier and takes out what it beats.
func insert(frontier []*System, f *System) []*System {
	if beaten(frontier, f.First, f.Yearly, f.Levels) {
		return frontier
	}
	for _, g := range frontier {
		if g.First == f.First && g.Yearly == f.Yearly && g.Levels == f.Levels && overOrder(g, f) <= 0 {
			return frontier
		}
	}
	frontier = slices.DeleteFunc(frontier, func(g *System) bool { return f.noWorse(g.First, g.Yearly, g.Levels) })
	frontier = append(frontier, f)
	slices.SortFunc(frontier, firstOrder)
	return frontier
}

// explain says what binds, and tidies the frontier to what headroom may cost.
func (s *search) explain() {
	o := s.outcome
	for _, r := range s.relaxed {
		if len(r.Constraints) == 1 || !s.lessWillDo(r) {
			o.Relaxations = append(o.Relaxations, *r)
		}
	}
	slices.SortFunc(o.Relaxations, func(a, b Relaxation) int {
		return cmp.Or(compare(len(a.Constraints), len(b.Constraints)), compare(a.breach, b.breach), slices.Compare(a.Constraints, b.Constraints))
	})
	if o.twice != nil {
		for p := o.twice; p.depth > 0; p = p.parent {
			for _, m := range p.margins {
				if !(m.Used <= 1) {
					o.Together = append(o.Together, m)
				}
			}
		}
	}
	if o.LeastOver == nil {
		return
	}
	most := s.cap()
	o.Frontier = slices.DeleteFunc(o.Frontier, func(f *System) bool { return f.Over > most })
	first := func(f *System) cost.Money { return f.First }
	over := func(f *System) cost.Money { return f.Over }
	o.BindsFirst, o.BindsOver = s.binding(o.LeastFirst, first), s.binding(o.LeastOver, over)
}

// lessWillDo says that relaxing fewer limits, none of them further, lets a system
// in.
func (s *search) lessWillDo(r *Relaxation) bool {
	for _, other := range s.relaxed {
		if len(other.Constraints) < len(r.Constraints) && other.breach <= r.breach && within(other.Constraints, r.Constraints) {
			return true
		}
	}
	return false
}

// binding lists the constraints that stop a system cheaper than pick.
func (s *search) binding(pick *System, measure func(*System) cost.Money) (all []Binding) {
	for _, r := range s.outcome.Relaxations {
		if len(r.Constraints) > 1 {
			continue
		}
		for _, f := range []*System{r.Least, r.Cheapest, r.First} {
			if saves := measure(pick) - measure(f); saves > 0 {
				all = append(all, Binding{r.Constraints[0], f, saves})
				break
			}
		}
	}
	return all
}
