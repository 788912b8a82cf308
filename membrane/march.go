package membrane

import "math"

// conduit is one element ready to be marched: everything that does not change
// along its channel, at one temperature and wear. SI throughout.
type conduit struct {
	a, b     float64 // m/(s·Pa), m/s
	leak     float64 // m3/(s·Pa), at the feed end
	area     float64 // m2 of membrane
	section  float64 // m2 of open channel
	length   float64 // m
	transfer float64 // k / v^0.875; 0 means no film at all
	laminar  float64 // least k, m/s
	friction float64 // (Δp/L) / v^1.7
	tail     float64 // share of length under scale
}

// place is the water on its way along a channel.
type place struct {
	q, salt, p float64 // m3/s, salt flow (strength of the feed is 1) in m3/s, Pa
	j, js      float64 // flux of the slice before, m/s; salt flux in feed strengths times m/s
	rise, more float64 // of j and js from the slice before that
	foretold   bool    // j was foretold at the inlet, half a slice before the first middle
	powers     powers  // of the speed
	raising    raising // of the flux
}

// crossing is what happened in one slice, at its middle.
type crossing struct {
	j, js   float64 // m/s
	raise   float64 // exp(J/k)
	c, cp   float64 // bulk and permeate strength, feed is 1
	p       float64 // Pa
	v       float64 // m/s
	q       float64 // m3/s, in the middle
	osmotic float64 // Pa, Δπ across the membrane
	k       float64 // m/s
	a       float64 // m/(s·Pa), scale included
}

// settled is the last relative step of Newton: the error after it is about its
// square, 1e-8, times the osmotic share of the pressure.
const settled = 1e-4

// starved is the share of the feed that must remain; less is a dry channel.
const starved = 0.005

// mostOfSlice is the share of a channel's flow that one slice can take. Below
// it a channel that runs dry still has an answer that changes steadily with flow
// and pressure, which a search needs on its way to one that does not.
const mostOfSlice = 0.5

// flux solves the water flux of one slice, for back-pressure already taken off p:
//
//	J = a (p − π_b s J/(J + b s)),  s = exp(J/k)
//
// which is solution-diffusion with the permeate strength c_p = c_b b s/(J + b s)
// put in. The right side falls with J, so one root lies in (0, a p): Newton,
// kept inside a shrinking bracket.
func flux(a, b, k, p, pi, guess float64, near *raising) (j, s float64) {
	if !(a > 0 && p > 0) {
		return 0, 1
	}
	lo, hi := 0.0, a*p
	j = guess
	if !(j > lo && j < hi) {
		j = 0.9 * a * p
	}
	for range 60 {
		s = 1
		if k > 0 {
			s = near.at(min(j/k, 50))
		}
		d := 1 / (j + b*s)
		g := s * j * d // Δπ over π_b
		f := j - a*(p-pi*g)
		if f > 0 {
			hi = j
		} else {
			lo = j
		}
		slope := s * b * s * d * d // of g with j, film held
		if k > 0 {
			slope += g * j * d / k
		}
		next := j - f/(1+a*pi*slope)
		if math.Abs(next-j) <= settled*j {
			if k > 0 {
				s *= 1 + (next-j)/k
			}
			return next, s
		}
		if !(next > lo && next < hi) {
			next = 0.5 * (lo + hi)
		}
		j = next
	}
	return j, s
}

// raising carries exp(J/k) along a channel where J/k changes little from slice to
// slice, without an exponential in each.
type raising struct{ x, raise float64 }

// at moves to x by the exponential's series to fifth order, whose rest is below
// 1e-10 for steps under 0.06; a longer step starts afresh.
func (f *raising) at(x float64) float64 {
	d := x - f.x
	if !(d < 0.06 && d > -0.06) || f.raise == 0 {
		f.raise = math.Exp(x)
	} else {
		f.raise *= 1 + d*(1+d*(1./2+d*(1./6+d*(1./24+d*(1./120)))))
	}
	f.x = x
	return f.raise
}

// enter stands at an element's feed end, takes the seal leak off and returns
// its flow. The flux of the element before says nothing of this one's.
func (w *place) enter(e *conduit, back float64) (leak, salt float64) {
	w.j, w.js = 0, 0
	if e.leak == 0 || w.p <= back {
		return 0, 0
	}
	leak = min(e.leak*(w.p-back), 0.9*w.q)
	salt = leak * w.salt / w.q
	w.q -= leak
	w.salt -= salt
	return leak, salt
}

// through carries w along a whole element and returns the permeate in m3/s. It
// is dry when the flow falls to least.
func (w *place) through(e *conduit, n int, back, pi, least float64) (made float64, dry bool) {
	made, _ = w.enter(e, back)
	ds := e.area / float64(n) // m2
	for i := range n {
		made += w.step(e, i, n, back, pi).j * ds
		if !(w.q > least) {
			dry = true
		}
	}
	return made, dry
}

// times returns w with its flows multiplied: rows side by side joined, or with
// a fraction, one of them.
func (w place) times(x float64) place {
	w.q *= x
	w.salt *= x
	return w
}

// step carries w over slice i of n. pi is the osmotic pressure of the feed.
// The middle of the slice is foretold from the flux of the two slices before,
// which keeps the march second order at the cost of one solve.
func (w *place) step(e *conduit, i, n int, back, pi float64) crossing {
	ds, dx := e.area/float64(n), e.length/float64(n)
	if w.j == 0 {
		w.foretell(e, i, n, back, pi)
	}
	m := w.middle(e, i, n, ds, dx)
	m.j, m.raise = flux(m.a, e.b, m.k, m.p-back, pi*m.c, w.j+w.rise, &w.raising)
	m.j = min(m.j, mostOfSlice*w.q/ds)
	m.cp, m.js = permeate(m.j, e.b, m.raise, m.c)
	m.osmotic = pi * (m.c - m.cp) * m.raise
	w.q -= m.j * ds
	w.salt -= min(m.js*ds, mostOfSlice*w.salt)
	w.p = 2*m.p - w.p
	w.rise, w.more = m.j-w.j, m.js-w.js
	if w.foretold { // half a slice ago, not a whole one
		w.rise, w.more, w.foretold = 2*w.rise, 2*w.more, false
	}
	w.j, w.js = m.j, m.js
	return m
}

// foretell sets the flux before the first slice by solving at its inlet.
func (w *place) foretell(e *conduit, i, n int, back, pi float64) {
	m := w.middle(e, i, n, 0, 0)
	j, s := flux(m.a, e.b, m.k, m.p-back, pi*m.c, 0, &w.raising)
	_, w.js = permeate(j, e.b, s, m.c)
	w.j, w.rise, w.more, w.foretold = j, 0, 0, true
}

// middle returns the state half a slice on, before its flux is known.
func (w *place) middle(e *conduit, i, n int, ds, dx float64) crossing {
	const on = 0.75 // slices from the last middle to the mean of this half slice
	m := crossing{q: w.q - 0.5*ds*(w.j+on*w.rise), a: e.a}
	m.q = min(max(m.q, 0.2*w.q), w.q)
	m.c = min(max(w.salt-0.5*ds*(w.js+on*w.more), 0.2*w.salt), w.salt) / m.q
	m.v = m.q / e.section
	w.powers.at(m.v)
	m.k = max(e.transfer*w.powers.film, e.laminar)
	m.p = w.p - 0.5*dx*e.friction*w.powers.loss
	if e.tail > 0 {
		covered := (float64(i+1)/float64(n) - 1 + e.tail) * float64(n)
		m.a *= 1 - (1-scaledWater)*max(0, min(1, covered))
	}
	return m
}

// powers carries v^0.875 and v^1.7 along a channel where v changes little from
// slice to slice, without a logarithm in each.
type powers struct {
	v, film, loss float64
}

// at moves to speed v by the binomial series to fourth order, whose rest is
// below 1e-8 for steps under 6 %; a longer step starts afresh.
func (p *powers) at(v float64) {
	x := v/p.v - 1
	if !(math.Abs(x) < 0.06) {
		lv := math.Log(v)
		p.film, p.loss = math.Exp(0.875*lv), math.Exp(1.7*lv)
	} else {
		p.film *= 1 + x*(0.875+x*(0.875*-0.125/2+x*(0.875*-0.125*-1.125/6+x*(0.875*-0.125*-1.125*-2.125/24))))
		p.loss *= 1 + x*(1.7+x*(1.7*0.7/2+x*(1.7*0.7*-0.3/6+x*(1.7*0.7*-0.3*-1.3/24))))
	}
	p.v = v
}

// permeate returns the strength that crosses at flux j, and the salt flux:
//
//	c_p = c b s / (J + b s)
func permeate(j, b, s, c float64) (cp, js float64) {
	if !(j > 0) {
		return c, 0
	}
	cp = c * b * s / (j + b*s)
	return cp, j * cp
}
