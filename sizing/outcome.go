package sizing

import (
	"slices"

	"rinsewright/cost"
)

// Outcome is what a search found. Without a feasible system the picks are nil
// and Relaxations says what would let one in.
type Outcome struct {
	LeastFirst   *System
	LeastOver    *System
	MostHeadroom *System
	// Frontier holds the feasible systems that no other beats in both first and
	// yearly cost, dearest last, as far as they cost no more over the years than
	// headroom may.
	Frontier []*System
	// What binds each pick: what would come in if one limit were relaxed, the
	// least relaxation first.
	BindsFirst, BindsOver []Binding
	// Relaxations holds, for each constraint, systems that break it alone: the
	// least relaxation first. It is complete when nothing is feasible.
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

// Relaxation is a constraint, and what would be feasible without it.
type Relaxation struct {
	Constraint string
	Least      *System // that breaks it by least
	Cheapest   *System // over the years
	First      *System // by first cost
}

// Binding is a constraint that stops something cheaper than a pick.
type Binding struct {
	Constraint string
	Cheaper    *System    // that breaks this constraint alone
	Saves      cost.Money // by the pick's own measure
}

// beaten says whether a system of the frontier costs no more in either way than
// the given costs, and less in one.
func beaten(frontier []*System, first, yearly cost.Money) bool {
	for _, f := range frontier {
		if f.First <= first && f.Yearly <= yearly && (f.First < first || f.Yearly < yearly) {
			return true
		}
	}
	return false
}

// insert adds a system to a frontier and takes out what it beats.
func insert(frontier []*System, f *System) []*System {
	if beaten(frontier, f.First, f.Yearly) {
		return frontier
	}
	for _, g := range frontier {
		if g.First == f.First && g.Yearly == f.Yearly && overOrder(g, f) <= 0 {
			return frontier
		}
	}
	frontier = slices.DeleteFunc(frontier, func(g *System) bool { return f.First <= g.First && f.Yearly <= g.Yearly })
	frontier = append(frontier, f)
	slices.SortFunc(frontier, firstOrder)
	return frontier
}

// explain says what binds, and tidies the frontier to what headroom may cost.
func (s *search) explain() {
	o := s.outcome
	for _, r := range s.relaxed {
		o.Relaxations = append(o.Relaxations, *r)
	}
	slices.SortFunc(o.Relaxations, func(a, b Relaxation) int {
		if c := compare(usedOf(a.Least, a.Constraint), usedOf(b.Least, b.Constraint)); c != 0 {
			return c
		}
		return compare(a.Constraint, b.Constraint)
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

// binding lists the constraints that stop a system cheaper than pick.
func (s *search) binding(pick *System, measure func(*System) cost.Money) (all []Binding) {
	for _, r := range s.outcome.Relaxations {
		for _, f := range []*System{r.Least, r.Cheapest, r.First} {
			if saves := measure(pick) - measure(f); saves > 0 {
				all = append(all, Binding{r.Constraint, f, saves})
				break
			}
		}
	}
	return all
}
