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
	return cmp.Or(compare(a.by, b.by), deeper(a, b), byOver(a, b))
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
	return p.broken == 0 && (best == nil || p.over <= best.Over)
}

// needsRelaxed follows what breaks one limit, as far as it would beat the pick
// if there is one, and breaks its limit by less than those before it.
func (s *search) needsRelaxed(p *partial) bool {
	if best := s.outcome.LeastOver; p.broken != 1 || best != nil && (p.over >= best.Over || s.far(p)) {
		return false
	}
	r := s.relaxed[p.breaks]
	return r == nil || p.by < usedOf(r.Least, p.breaks)
}

// far says that p breaks its limit by more than anyone would relax it.
func (s *search) far(p *partial) bool { return s.Reach > 0 && !(p.by <= s.Reach) }

func (s *search) needsFirst(p *partial) bool {
	best := s.outcome.LeastFirst
	return p.broken == 0 && (p.leastFirst < best.First || p.leastFirst == best.First && p.over <= best.Over)
}

// needsRelaxedFirst is needsRelaxed for the pick with least first cost: one
// cheaper system for each limit is enough.
func (s *search) needsRelaxedFirst(p *partial) bool {
	best := s.outcome.LeastFirst
	if p.broken != 1 || p.leastFirst >= best.First || s.far(p) {
		return false
	}
	r := s.relaxed[p.breaks]
	return r == nil || r.First.First >= best.First
}

func (s *search) needsHeadroom(p *partial) bool {
	best := s.outcome.MostHeadroom
	if p.broken != 0 || p.over > s.cap() {
		return false
	}
	room := quantity.Ratio(1 - p.used)
	return best == nil || room > best.Headroom || room == best.Headroom && p.over <= best.Over
}

// needsFrontier keeps what costs no more than headroom may and has a chance to
// stand on the frontier.
func (s *search) needsFrontier(p *partial) bool {
	return p.broken == 0 && p.over <= s.cap() && !beaten(s.outcome.Frontier, p.leastFirst, p.yearly+s.restYearly[p.depth])
}
