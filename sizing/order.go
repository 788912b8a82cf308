package sizing

import (
	"cmp"
	"slices"
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

// What each pass still needs. A system that breaks one limit is followed as
// far as it could beat the pick: it shows what binds. Without any feasible
// system it is followed as long as it breaks its limit by less than those
// before it.
func (s *search) needsOver(p *partial) bool {
	best := s.outcome.LeastOver
	if p.broken == 0 {
		return best == nil || p.over <= best.Over
	}
	if best != nil {
		return p.over < best.Over && s.teaches(p)
	}
	return s.teaches(p)
}

// teaches says whether a system that breaks one limit could be the cheapest
// that breaks it, or break it by less than any so far.
func (s *search) teaches(p *partial) bool {
	r := s.relaxed[p.breaks]
	return r == nil || p.by < usedOf(r.Least, p.breaks)
}

func (s *search) needsFirst(p *partial) bool {
	best := s.outcome.LeastFirst
	if p.broken == 0 {
		return p.leastFirst < best.First || p.leastFirst == best.First && p.over <= best.Over
	}
	r := s.relaxed[p.breaks]
	return p.leastFirst < best.First && (r == nil || p.leastFirst < r.First.First || p.by < usedOf(r.Least, p.breaks))
}

func (s *search) needsHeadroom(p *partial) bool {
	best := s.outcome.MostHeadroom
	return p.broken == 0 && p.over <= s.cap() && 1-p.used >= float64(best.Headroom)
}

// needsFrontier keeps what costs no more than headroom may and has a chance to
// stand on the frontier.
func (s *search) needsFrontier(p *partial) bool {
	return p.broken == 0 && p.over <= s.cap() && !beaten(s.outcome.Frontier, p.leastFirst, p.yearly+s.restYearly[p.depth])
}
