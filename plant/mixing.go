package plant

import (
	"math"

	"rinsewright/quantity"
	"rinsewright/water"
)

// mixing finds the water that stands at the membrane when part of its
// concentrate comes back. With g the membrane's own strengthening of one
// component, concentrate over inlet, what enters leaves when
//
//	c_in (Q_f − Q_r g) = c_fresh (Q_f − Q_r)
//
// g depends on the inlet through the flows and through the other ions, so the
// answer is found by putting g in and running again. Each new inlet is the mix of
// the last few that would have missed least, and what they asked for: Anderson's
// acceleration, which a strong recycle needs.
//
// Source: [Anderson1965].
type mixing struct {
	feed, inlet water.Water
	good        water.Water // last inlet that made permeate
	past        []mixed     // oldest first
	longest     float64     // largest step of a logarithm
	backs       int         // steps taken back so far
	moved       float64     // how far the last inlet was from what it asked for, relative
}

// strengths are logarithms, one for each component; 0 where there is none.
type strengths [water.NComponents]float64

// mixed is an inlet that was tried, and by how much it missed.
type mixed struct{ at, miss strengths }

// Limits of the search.
const (
	mostBacks = 12 // how often a recycle that stops the permeate is tried with less
	mostPast  = 5
)

// back goes half of the way back to the last inlet that made permeate; there
// may be none.
func (m *mixing) back() bool {
	if m.backs++; m.good.Temperature == 0 || m.backs > mostBacks || far(&m.good, &m.inlet) < strengthTolerance {
		return false
	}
	m.longest = max(m.longest/2, 0.02)
	m.past = m.past[:0]
	good, at := logs(&m.good), logs(&m.inlet)
	for c := range at {
		at[c] = (at[c] + good[c]) / 2
	}
	m.put(at, (m.inlet.ChargeImbalance()+m.good.ChargeImbalance())/2)
	return true
}

// move puts in the inlet that a point asks for and tells whether it was there
// already.
func (m *mixing) move(p *Point) bool {
	m.good = m.inlet
	next := m.asked(p)
	moved := far(&next, &m.inlet)
	if moved <= strengthTolerance {
		return true
	}
	m.moved = moved
	now := mixed{at: logs(&m.inlet), miss: logs(&next)}
	for c := range now.at {
		now.miss[c] -= now.at[c]
	}
	to := now.at
	step := m.accelerated(&now)
	for c := range to {
		to[c] += min(max(step[c], -m.longest), m.longest)
	}
	if len(m.past) == mostPast {
		m.past = append(m.past[:0], m.past[1:]...)
	}
	m.past = append(m.past, now)
	m.put(to, next.ChargeImbalance())
	return false
}

// accelerated is the step from now: its own miss, less what the past misses,
// combined to resemble it most, say of it.
func (m *mixing) accelerated(now *mixed) strengths {
	step := now.miss
	var ways [mostPast]mixed // differences between neighbours, misses made square to each other
	n := 0
	later := now
	left := now.miss
	for i := len(m.past) - 1; i >= 0; i-- {
		w := mixed{at: minus(&later.at, &m.past[i].at, 1), miss: minus(&later.miss, &m.past[i].miss, 1)}
		later = &m.past[i]
		was := dot(&w.miss, &w.miss)
		for k := range n {
			part := dot(&w.miss, &ways[k].miss)
			w.at, w.miss = minus(&w.at, &ways[k].at, part), minus(&w.miss, &ways[k].miss, part)
		}
		size := math.Sqrt(dot(&w.miss, &w.miss))
		if !(size > 1e-4*math.Sqrt(was)) || size < 1e-14 {
			break // says nothing new
		}
		for c := range w.at {
			w.at[c] /= size
			w.miss[c] /= size
		}
		part := dot(&left, &w.miss)
		left = minus(&left, &w.miss, part)
		step = minus(&step, &w.at, part)
		step = minus(&step, &w.miss, part)
		ways[n] = w
		n++
	}
	return step
}

func dot(a, b *strengths) (sum float64) {
	for c := range a {
		sum += a[c] * b[c]
	}
	return sum
}

// minus is a less part of b.
func minus(a, b *strengths, part float64) (out strengths) {
	for c := range a {
		out[c] = a[c] - part*b[c]
	}
	return out
}

func logs(w *water.Water) (out strengths) {
	for c, x := range w.Total {
		if x > 0 {
			out[c] = math.Log(float64(x))
		}
	}
	return out
}

// put sets the inlet's strengths and its open charge.
func (m *mixing) put(at strengths, open quantity.EquivConc) {
	for c := range at {
		if m.inlet.Total[c] > 0 {
			m.inlet.Total[c] = quantity.MolarConc(math.Exp(at[c]))
		}
	}
	m.inlet.Alkalinity = water.ElectroneutralAlkalinity(m.inlet) - open
}

// asked is the inlet that would balance with the point's own g.
func (m *mixing) asked(p *Point) water.Water {
	q, r := float64(p.Feed.Flow), float64(p.Recycled)
	next := m.inlet
	solve := func(fresh, in, out float64) float64 {
		if !(in != 0) {
			return fresh
		}
		return fresh * (q - r) / (q - r*out/in)
	}
	out := &p.Membrane.Concentrate.Water
	for c := range next.Total {
		next.Total[c] = quantity.MolarConc(solve(float64(m.feed.Total[c]), float64(m.inlet.Total[c]), float64(out.Total[c])))
	}
	// Charge that an analysis left open crosses no membrane.
	off := solve(float64(m.feed.ChargeImbalance()), float64(p.Membrane.Concentrate.Flow), q)
	next.Alkalinity = water.ElectroneutralAlkalinity(next) - quantity.EquivConc(off)
	return next
}
