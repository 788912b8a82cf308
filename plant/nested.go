package plant

import "math"

// nest is how closely the search by roots within roots looks, relative.
type nest struct {
	flow  float64 // of any flow
	turns int     // at the recycle, for each drain
}

var (
	roughNest = nest{1e-3, 1}
	fineNest  = nest{1e-8, 2}
)

// slopes are those of the nested balances by what is tried, each as it was last:
// the next root is near.
type slopes struct{ drain, permeate, drain2 float64 }

var usualSlopes = slopes{drain: 0.5, permeate: 1.2, drain2: 0.5}

// leastDrain is the least flow that is looked at, m³/s.
const leastDrain = 1e-12

// nested moves a state to where all balances hold by roots within roots: the
// drain's flow at which the restrictor takes what the concentrate has; for each
// drain the permeate that makes the back-pressure under which it is made; for each
// permeate the second pass. Each of these rises steadily with what is tried, so
// there is one root and halving finds it. It returns what the restrictor takes at
// the state less what the concentrate has, over the standing pressure.
func (s *solver) nested(at *state, n nest) (off float64) {
	channel := drop{}
	miss := func(u float64) float64 {
		off = s.atDrain(math.Exp(u), at, &channel, n)
		return off / (1 + math.Abs(off))
	}
	u, slope := near(miss, math.Log(max(at.drain, leastFlow)), s.slopes.drain, span{math.Log(leastDrain), math.Log(mostFlow), n.flow})
	s.slopes.drain = slope
	miss(u)
	return off
}

// drop is a membrane's at a feed flow, as it was last.
type drop struct{ pressure, feed float64 }

// at is the drop at another feed flow, about.
func (d *drop) at(feed float64) float64 {
	if !(d.feed > 0) {
		return 0
	}
	return d.pressure * math.Pow(feed/d.feed, 1.7)
}

// atDrain moves everything else to where it balances at a flow to the drain, and
// returns what [solver.nested] does.
func (s *solver) atDrain(q float64, at *state, channel *drop, n nest) float64 {
	at.drain = q
	concentrate := 0.0
	off := func(permeate float64) float64 {
		at.permeate = permeate
		if s.two {
			s.passTwo(at, n)
		}
		s.comeBack(at, channel)
		feed := at.feed()
		pressure := s.suction(at.fresh()) + s.gain(s.plant.Booster, feed)
		var made float64
		made, concentrate = s.made(&s.first, feed, pressure, s.behindFirst(at))
		*channel = drop{pressure - concentrate, feed}
		if s.err != nil { // more than a part holds for
			s.err = nil
			return mostFlow
		}
		return permeate - made
	}
	turns := 1
	if s.plant.Recycle != nil {
		turns = n.turns
	}
	for range turns {
		permeate, slope := near(off, at.permeate, s.slopes.permeate, span{0, mostFlow, n.flow * max(at.permeate, leastFlow)})
		s.slopes.permeate = slope
		if n.flow < 1e-6 {
			off(permeate)
		}
	}
	lost := (s.loss(s.plant.Restrictor, q) - concentrate) / s.scale
	if s.err != nil {
		s.err = nil
		return 1e6
	}
	return lost
}

// comeBack sets the recycled flow by what the booster gives and the channel
// takes, with the channel's drop as it was last.
func (s *solver) comeBack(at *state, channel *drop) {
	if s.plant.Recycle == nil {
		return
	}
	fresh := at.fresh()
	off := func(q float64) float64 {
		return q - s.through(s.plant.Recycle, s.gain(s.plant.Booster, fresh+q)-channel.at(fresh+q))
	}
	at.recycled, _ = near(off, at.recycled, 1.2, span{0, mostFlow, 1e-9 * fresh})
}

// passTwo moves the second pass to where it settles on its feed: the drain at
// which its membrane makes the rest, under the pressure that its restrictor takes.
func (s *solver) passTwo(at *state, n nest) {
	feed := max(at.permeate, leastFlow)
	excess := func(u float64) float64 {
		at.drain2 = min(math.Exp(u), feed)
		loss, made := s.loss(s.plant.Second.Restrictor, at.drain2), 0.0
		off := func(p float64) float64 {
			at.between = p
			var left float64
			made, left = s.made(&s.second, feed, p, s.behind(feed-at.drain2))
			return left - loss
		}
		at.between, _ = near(off, at.between, 1, span{leastSuction, mostPressure, n.flow * s.scale})
		return (made+at.drain2)/feed - 1
	}
	most := math.Log(feed)
	u, slope := near(excess, math.Log(max(at.drain2, leastDrain)), s.slopes.drain2, span{min(math.Log(leastDrain), most-1), most, n.flow})
	at.drain2, s.slopes.drain2 = math.Exp(u), slope
	if n.flow < 1e-6 {
		excess(u)
	}
}

// span is where a root may be, and how closely it is wanted.
type span struct{ low, high, tolerance float64 }

const nearTries = 80

// near returns where a rising f crosses zero, and its slope there. From x on it
// takes the secant's steps, and halves what is left of the span where these are
// slow or lead outside; f at the ends is taken for granted, so that an f without
// a root is told by the end.
func near(f func(float64) float64, x, slope float64, in span) (root, found float64) {
	x = min(max(x, in.low), in.high)
	wide, slow := in.high-in.low, 0
	var x0, y0 float64
	for i := range nearTries {
		y := f(x)
		if y == 0 {
			return x, slope
		}
		if y > 0 {
			in.high = x
		} else {
			in.low = x
		}
		if i > 0 && x != x0 {
			if secant := (y - y0) / (x - x0); secant > 0 {
				slope = secant
			}
		}
		x0, y0 = x, y
		next := x - y/slope
		if slow++; slow == 4 {
			if in.high-in.low > wide/2 {
				next = in.low
			}
			wide, slow = in.high-in.low, 0
		}
		if !(in.low < next && next < in.high) {
			next = (in.low + in.high) / 2
		}
		if math.Abs(next-x) <= in.tolerance || next == x {
			return next, slope
		}
		x = next
	}
	return x, slope
}
