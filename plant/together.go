package plant

import "math"

// together solves all balances at once from a state, and moves it to where they
// hold:
//
//	Q_p = array(Q_f, P_m, P_p)    P_c = restrictor(Q_f − Q_p − Q_r)    P_c − P_s = recycle(Q_r)
//
// and the first two again for the second pass, whose feed is Q_p. A recycle that
// would run the other way is shut.
func (s *solver) together(at *state) bool {
	if s.plant.Recycle == nil {
		at.recycled = 0
		return s.balance(at, false)
	}
	open := *at
	if open.recycled <= 0 {
		open.recycled = 0.05 * open.drain
	}
	if s.balance(&open, true) && open.recycled > 0 {
		*at = open
		return true
	}
	s.err = nil
	shut := *at
	shut.recycled = 0
	s.system.n = 0
	if !s.balance(&shut, false) || !s.keepsShut(&shut) {
		s.system.n = 0
		return false
	}
	s.system.n = 0
	*at = shut
	return true
}

// keepsShut tells whether nothing would open the recycle at a state found with
// it shut.
func (s *solver) keepsShut(at *state) bool {
	suction := s.suction(at.fresh())
	_, concentrate := s.made(&s.first, at.feed(), suction+s.gain(s.plant.Booster, at.feed()), s.behindFirst(at))
	return concentrate-suction <= s.loss(s.plant.Recycle, 0)+1e-6*s.scale
}

// balance solves the balances with the recycle open or shut.
func (s *solver) balance(at *state, open bool) bool {
	x, n := vector{at.drain, at.permeate}, 2
	if s.two {
		x[n], x[n+1] = at.drain2, at.between
		n += 2
	}
	if open {
		x[n] = at.recycled
		n++
	}
	y := &s.system
	if y.n != n { // nothing known from before
		*y = system{n: n}
		for i := range n {
			y.scale[i], y.low[i], y.high[i] = max(math.Abs(x[i]), leastFlow), 0, mostFlow
		}
		if !s.two {
			y.low[1] = -mostFlow // back through the membrane: nothing is made
		}
		if s.two {
			y.scale[3], y.low[3], y.high[3] = max(y.scale[3], 1e4), leastSuction, mostPressure
		}
		if open {
			y.low[n-1] = -mostFlow
		}
	}
	y.at = func(x *vector) (vector, bool) { return s.residuals(s.unpack(x, open), open) }
	y.rough = s.looking
	ok := y.solve(&x)
	*at = s.unpack(&x, open)
	y.at = nil
	return ok && s.err == nil
}

func (s *solver) unpack(x *vector, open bool) (at state) {
	at.drain, at.permeate = x[0], x[1]
	n := 2
	if s.two {
		at.drain2, at.between = x[2], x[3]
		n += 2
	}
	if open {
		at.recycled = x[n]
	}
	return at
}

// smallDrain is how many times the drain a flow may be off by a share.
const smallDrain = 20

// residuals are how far the balances are from holding at a state.
func (s *solver) residuals(at state, open bool) (r vector, ok bool) {
	feed := at.feed()
	suction := s.suction(at.fresh())
	permeate, concentrate := s.made(&s.first, feed, suction+s.gain(s.plant.Booster, feed), s.behindFirst(&at))
	// A restrictor feels every bit of a small drain, which is a difference.
	r[0] = (permeate - at.permeate) / max(min(feed, max(smallDrain*at.drain, 0.02*feed)), leastFlow)
	r[1] = (s.loss(s.plant.Restrictor, at.drain) - concentrate) / s.scale
	n := 2
	if s.two {
		product, left := s.made(&s.second, max(at.permeate, leastFlow), at.between, s.behind(at.product()))
		r[2] = (product - at.product()) / max(at.permeate, leastFlow)
		r[3] = (s.loss(s.plant.Second.Restrictor, at.drain2) - left) / s.scale
		n += 2
	}
	if open {
		r[n] = (s.loss(s.plant.Recycle, at.recycled) - (concentrate - suction)) / s.scale
	}
	if s.err != nil && s.tries <= mostTries { // this step was too long for a part; a shorter one may not be
		s.err = nil
		return r, false
	}
	return r, s.err == nil
}
