package resin

import (
	"rinsewright/quantity"
	"rinsewright/water"
)

// softenerResin is what a gel strong acid resin of 2 eq/L holds, by relative
// affinity on a scale where lithium is 1 [Memory]: sodium 1.98, ammonium 2.55,
// potassium 2.90, magnesium 3.29, calcium 5.16; the last four in the table are
// guesses between neighbours.
var softenerResin = []struct {
	component water.Component
	relative  float64
}{
	{water.Sodium, 1.98},
	{water.Potassium, 2.90},
	{water.Ammonia, 2.55},
	{water.Magnesium, 3.29},
	{water.Calcium, 5.16},
	{water.Iron, 3.5},
	{water.Manganese, 3.5},
	{water.Strontium, 6.5},
	{water.Barium, 11},
}

// softenerSites is the capacity of settled gel resin, in eq/L [Memory].
const softenerSites = 1.9

// SoftenerColumn returns a column of sodium-form resin and the feed that goes
// with its ions, for water at equilibrium s. Affinities for the double charged
// are turned from relative ones r by
//
//	K = 2 Q r / r_Na      (mol/L, Q in eq/L of resin)
//
// Source: [Memory]; good for the order of breakthrough, not for a leak. The
// capacity is the resin's total, which a working softener never regenerates
// fully: scale it by [Softener.Cycle].
func SoftenerColumn(s water.Solution, cells int) (Column, []quantity.MolarConc) {
	c := Column{Capacity: softenerSites * 1000, Void: 0.38, Cells: cells}
	totals := s.Water().Total
	feed := make([]quantity.MolarConc, len(softenerResin))
	charge := 0.0 // eq/m³
	for i, e := range softenerResin {
		z := e.component.Charge()
		k := e.relative / softenerResin[0].relative
		if z == 2 {
			k *= 2 * softenerSites
		}
		feed[i] = max(0, totals[e.component])
		charge += float64(z) * float64(feed[i])
		c.Ions = append(c.Ions, Ion{Name: e.component.Formula(), Charge: z, Affinity: k, Free: freeShareOf(s, e.component)})
		c.Sites = append(c.Sites, 0)
		c.Pore = append(c.Pore, 0)
	}
	c.Sites[0], c.Pore[0] = 1, quantity.MolarConc(charge)
	return c, feed
}

// freeShareOf is the share of a component that is a free ion, 1 when there is
// none of it.
func freeShareOf(s water.Solution, c water.Component) quantity.Ratio {
	total := s.Water().Total[c]
	if !(total > 0) {
		return 1
	}
	return quantity.Ratio(min(1, max(1e-3, float64(s.Free(c))/float64(total))))
}
