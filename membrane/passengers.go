package membrane

import "math"

// passengers are the ions on their way through one element. The lumped salt
// has fixed where the water goes; each species crosses by
//
//	c_p = c B s x / (J + B s x)
//
// with x the closing factor for cations, 1/x for anions and 1 for the
// uncharged. Free species ([firstFree] on) cross with the water, c_p = c.
type passengers struct {
	flow  amounts // mol/s left in the channel
	over  amounts // mol/s in the permeate so far
	js    amounts // mol/(m2·s) in the slice before
	base  float64 // B of NaCl here, m/s
	u     float64 // ln x
	ride  float64 // exponent that turns the salt's film into the small acids'
	fresh bool    // no slice crossed yet
}

// board fills the channel's inlet with species at strengths n.
func board(n *amounts, q float64, f *Feed) passengers {
	p := passengers{fresh: true}
	for i := range n {
		p.flow[i] = n[i] * q
	}
	acid := warm(traits[silicicAcid].diffusivity, float64(f.Temperature), float64(f.Viscosity))
	p.ride = math.Pow(float64(f.Diffusivity)/acid, 0.75) // Sh D/d ~ D^0.75
	return p
}

// leak takes share of everything to the permeate unchanged.
func (p *passengers) leak(share float64) {
	for i := range p.flow {
		p.over[i] += share * p.flow[i]
		p.flow[i] -= share * p.flow[i]
	}
}

// cross takes one slice's permeate out of the channel. q is the flow at the
// slice's inlet, ds its membrane.
func (p *passengers) cross(m *crossing, q, ds float64) {
	if !(m.j > 0) {
		p.js = amounts{}
		return
	}
	var b, c amounts // m/s, mol/m3
	acid := math.Pow(m.raise, p.ride)
	if p.fresh {
		p.fresh = false
		p.fill(&b, &c, m, q, 0, acid)
		p.pass(&b, &c, m.j)
	}
	p.fill(&b, &c, m, q, ds, acid)
	p.pass(&b, &c, m.j)
	for i := range p.flow {
		out := min(p.js[i]*ds, p.flow[i])
		p.flow[i] -= out
		p.over[i] += out
	}
}

// fill sets permeability times film, and bulk strength in the slice's middle,
// foretold from the flux of the slice before as the water's is.
func (p *passengers) fill(b, c *amounts, m *crossing, q, ds, acid float64) {
	for i := range firstFree {
		s := m.raise
		if i >= firstPlain {
			s = acid
		}
		b[i] = p.base * traits[i].passage * s
		c[i] = max(0, p.flow[i]-0.5*ds*p.js[i]) / m.q
	}
	for i := firstFree; i < nSpecies; i++ {
		c[i] = p.flow[i] / q
	}
}

// pass sets the flux of every species, charge closed.
func (p *passengers) pass(b, c *amounts, j float64) {
	p.close(b, c, j)
	x := math.Exp(p.u)
	for i := range firstPlain {
		f := x
		if traits[i].charge < 0 {
			f = 1 / x
		}
		p.js[i] = j * c[i] * b[i] * f / (j + b[i]*f)
	}
	for i := firstPlain; i < firstFree; i++ {
		p.js[i] = j * c[i] * b[i] / (j + b[i])
	}
	for i := firstFree; i < nSpecies; i++ {
		p.js[i] = j * c[i]
	}
}

// closing bounds the log of the closing factor: wide enough for any water, and
// where one side has no ions at all, charge is left to H+ and OH−.
const closing = 6.0

// close finds u = ln x at which the permeate carries no charge. The charge
// rises with u, so Newton is kept inside a shrinking bracket.
//
// One factor for all cations against all anions is simpler than a Donnan
// potential, which would act by exp(z u): single salts then pass with the
// geometric mean of their ions' permeabilities, and each side keeps its order.
func (p *passengers) close(b, c *amounts, j float64) {
	lo, hi := -closing, closing
	for range 60 {
		f, slope := charge(b, c, j, p.u)
		if f > 0 {
			hi = p.u
		} else {
			lo = p.u
		}
		if !(slope > 0) {
			return
		}
		next := p.u - f/slope
		if math.Abs(next-p.u) < 1e-5 { // the error after this step is about its square
			p.u = next
			return
		}
		if !(next > lo && next < hi) {
			next = 0.5 * (lo + hi)
		}
		p.u = next
	}
}

// charge returns the permeate's charge at closing factor exp(u) and its slope in u.
func charge(b, c *amounts, j, u float64) (sum, slope float64) {
	up := math.Exp(u)
	down := 1 / up
	for i := range firstPlain {
		if c[i] == 0 {
			continue
		}
		z, f := traits[i].charge, up
		if z < 0 {
			f = down
		}
		d := 1 / (j + b[i]*f)
		g := c[i] * b[i] * f * d
		sum += z * g
		slope += math.Abs(z) * g * j * d
	}
	return sum, slope
}
