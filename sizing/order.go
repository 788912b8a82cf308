package sizing

import (
	"cmp"
	"slices"

	"rinsewright/quantity"
)

func compare[T cmp.Ordered](a, b T) int { return cmp.Compare(a, b) }

// The orders of the passes. Each begins with the least that the sought pick
// could be and ends with the options themselves, so that no tie is left to
// chance.
func byOver(a, b *partial) int {
	return cmp.Or(compare(a.over, b.over), compare(a.leastFirst, b.leastFirst), compare(a.parts, b.parts), deeper(a, b), byChoice(a, b))
}

func byFirst(a, b *partial) int {
	return cmp.Or(compare(a.leastFirst, b.leastFirst), compare(a.over, b.over), compare(a.parts, b.parts), deeper(a, b), byChoice(a, b))
}

func byHeadroom(a, b *partial) int {
	return cmp.Or(compare(a.used, b.used), deeper(a, b), compare(a.over, b.over), compare(a.leastFirst, b.leastFirst), compare(a.parts, b.parts), byChoice(a, b))
}

// byBreach puts first what breaks its limit by least, and follows it to the end.
func byBreach(a, b *partial) int {
	return cmp.Or(compare(a.broken.by, b.broken.by), deeper(a, b), byOver(a, b))
}

// deeper puts the more complete first: it is nearer to an answer.
func deeper(a, b *partial) int { return compare(b.depth, a.depth) }

// byChoice compares the options stage by stage, from the first on.
func byChoice(a, b *partial) int {
	switch {
	case a == b:
		return 0
	case a.depth > b.depth:
		return cmp.Or(byChoice(a.parent, b), 1)
	case a.depth < b.depth:
		return cmp.Or(byChoice(a, b.parent), -1)
	}
	return cmp.Or(byChoice(a.parent, b.parent), compare(a.option, b.option))
}

// The orders among complete systems.
func overOrder(a, b *System) int {
	return cmp.Or(compare(a.Over, b.Over), compare(a.First, b.First), compare(a.Parts, b.Parts), slices.Compare(a.Chosen, b.Chosen))
}

func firstOrder(a, b *System) int {
	return cmp.Or(compare(a.First, b.First), compare(a.Over, b.Over), compare(a.Parts, b.Parts), slices.Compare(a.Chosen, b.Chosen))
}

func headroomOrder(a, b *System) int {
	return cmp.Or(compare(b.Headroom, a.Headroom), overOrder(a, b))
}

// What each pass still needs.
func (s *search) needsOver(p *partial) bool {
	best := s.outcome.LeastOver
	return p.holds() && (best == nil || p.over <= best.Over)
}

// needsRelaxed follows what breaks a limit, as far as it would beat the pick if
// there is one, and breaks its limit by less than those before it. What breaks
// none yet is followed where an option that does could beat the pick.
func (s *search) needsRelaxed(p *partial) bool {
	best := s.outcome.LeastOver
	if p.holds() {
		r := s.rest[p.depth]
		return (best == nil || overYears(p.first+r.anyFirst, p.yearly+r.anyYearly, s.annuity) < best.Over) && s.toldLess(p.depth)
	}
	if best != nil && (p.breaks() > 1 || p.over >= best.Over || s.far(p)) {
		return false
	}
	return !s.outdone(p.broken) && !slices.ContainsFunc(p.dooms, func(d Doom) bool { return s.idle(d, p.broken.by) })
}

// idle says that whichever limit a doom means, a system is known which breaks it
// alone, by no more.
func (s *search) idle(d Doom, by float64) bool {
	for _, name := range d.Among {
		if !s.outdone(breach{[]string{name}, max(by, d.By)}) {
			return false
		}
	}
	return true
}

// outdone says that a system is known which breaks no other limits, and none by
// more.
func (s *search) outdone(b breach) bool {
	for _, r := range s.relaxed {
		if r.breach <= b.by && within(r.Constraints, b.names) {
			return true
		}
	}
	return false
}

// within says that all of some names are among others.
func within(some, among []string) bool {
	return !slices.ContainsFunc(some, func(name string) bool { return !slices.Contains(among, name) })
}

// holds says that p breaks no limit so far.
func (p *partial) holds() bool { return len(p.broken.names) == 0 && len(p.dooms) == 0 }

// far says that p breaks its limit by more than anyone would relax it.
func (s *search) far(p *partial) bool { return s.Reach > 0 && !(p.broken.by <= s.Reach) }

func (s *search) needsFirst(p *partial) bool {
	best := s.outcome.LeastFirst
	return p.holds() && (p.leastFirst < best.First || p.leastFirst == best.First && p.over <= best.Over)
}

// needsRelaxedFirst is needsRelaxed for the pick with least first cost: one
// cheaper system for each limit is enough.
func (s *search) needsRelaxedFirst(p *partial) bool {
	best := s.outcome.LeastFirst
	if p.holds() {
		return p.first+s.rest[p.depth].anyFirst < best.First && s.untold(p.depth)
	}
	if p.breaks() > 1 || p.leastFirst >= best.First || s.far(p) {
		return false
	}
	return !s.beats(p.broken.names) && !slices.ContainsFunc(p.dooms, func(d Doom) bool { return s.beatsAny(d) })
}

// beats says that a system is known which breaks just these limits and costs
// less than the pick.
func (s *search) beats(names []string) bool {
	r := s.relaxed[breach{names: names}.set()]
	return r != nil && r.First.First < s.outcome.LeastFirst.First
}

// beatsAny says so of every limit that a doom may mean.
func (s *search) beatsAny(d Doom) bool {
	return !slices.ContainsFunc(d.Among, func(name string) bool { return !s.beats([]string{name}) })
}

// untold says that a stage from depth on has an option whose limit is not yet
// known to bind.
func (s *search) untold(depth int) bool {
	return s.anyDoom(depth, func(d Doom) bool { return !s.beatsAny(d) })
}

// toldLess says that a stage from depth on has an option that may break its
// limit by less than is known.
func (s *search) toldLess(depth int) bool {
	return s.anyDoom(depth, func(d Doom) bool { return (s.Reach == 0 || d.By <= s.Reach) && !s.idle(d, 0) })
}

func (s *search) anyDoom(depth int, is func(Doom) bool) bool {
	for _, stage := range s.Stages[depth:] {
		for i := range stage.Options {
			if d := stage.Options[i].Doom; d.certain() && is(d) {
				return true
			}
		}
	}
	return false
}

func (s *search) needsHeadroom(p *partial) bool {
	best := s.outcome.MostHeadroom
	if !p.holds() || p.over > s.cap() {
		return false
	}
	room := quantity.Ratio(1 - p.used)
	return best == nil || room > best.Headroom || room == best.Headroom && p.over <= best.Over
}

// needsFrontier keeps what costs no more than headroom may and has a chance to
// stand on the frontier.
func (s *search) needsFrontier(p *partial) bool {
	return p.holds() && p.over <= s.cap() && !beaten(s.outcome.Frontier, p.leastFirst, p.leastYearly()+s.rest[p.depth].yearly, p.levels)
}
