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
// g depends on the inlet only through the flows, so the answer is found by
// putting g in and running again.
type mixing struct {
	feed, inlet water.Water
	good        water.Water // last inlet that made permeate
	last, went  float64     // logarithm of the inlet's strength tried before, and of what it asked for
	tried       bool
	slope       float64
	longest     float64 // part of the way that a step may take
	backs       int     // steps taken back so far
	moved       float64 // how far the last inlet was from what it asked for, relative
}

// mostBacks is how often a recycle that stops the permeate is tried with less.
const mostBacks = 12

// back goes half of the way back to the last inlet that made permeate; there
// may be none.
func (m *mixing) back() bool {
	if m.backs++; m.good.Temperature == 0 || m.backs > mostBacks || far(&m.good, &m.inlet) < strengthTolerance {
		return false
	}
	m.longest = max(m.longest/2, 0.02)
	m.step(m.good, 0.5)
	m.tried = false
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
	if moved > m.moved { // the last step was too long
		m.longest = max(m.longest/2, 0.02)
	} else {
		m.longest = min(1.3*m.longest, 1)
	}
	m.moved = moved
	s, want := strength(&m.inlet), strength(&next)
	if m.tried && math.Abs(s-m.last) > nearEnough {
		m.slope = min(max((want-m.went)/(s-m.last), -20), 0)
	}
	m.last, m.went, m.tried = s, want, true
	m.step(next, min(1/(1-m.slope), m.longest))
	return false
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

// step moves the inlet a part of the way to another water, strengths by their
// ratio and open charge by its difference.
func (m *mixing) step(to water.Water, part float64) {
	open := m.inlet.ChargeImbalance()
	open += quantity.EquivConc(part) * (to.ChargeImbalance() - open)
	for c := range m.inlet.Total {
		a, b := float64(m.inlet.Total[c]), float64(to.Total[c])
		if a > 0 && b > 0 {
			m.inlet.Total[c] = quantity.MolarConc(a * math.Pow(b/a, part))
		}
	}
	m.inlet.Alkalinity = water.ElectroneutralAlkalinity(m.inlet) - open
}

func strength(w *water.Water) float64 {
	sum := 1e-300
	for _, x := range w.Total {
		sum += float64(x)
	}
	return math.Log(sum)
}
