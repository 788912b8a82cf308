package resin

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// shift moves every pore water one cell on, the feed into the first, and lets
// each cell settle. It starts at the outlet so that no water moves twice.
func (r *ColumnRun) shift(feed []quantity.MolarConc) error {
	n := len(r.ions)
	for cell := len(r.guess) - 1; cell >= 0; cell-- {
		here := r.total[cell*n : cell*n+n]
		water := r.water[cell*n : cell*n+n]
		for i := range here {
			entering := 0.0
			if cell > 0 {
				entering = r.water[(cell-1)*n+i]
			} else {
				entering = float64(feed[i]) / 1000
			}
			here[i] = max(0, here[i]-water[i]) + r.rates.weight*entering
			water[i] = entering
			r.entering[i] = entering
		}
		if err := r.settle(cell); err != nil {
			return err
		}
		for i, entering := range r.entering {
			held := here[i] - r.rates.weight*entering
			taken := max(r.rates.reached*(entering-water[i]), -held)
			water[i] = entering - taken
			here[i] = held + taken + water[i]
		}
	}
	r.count++
	r.done = float64(r.count) * r.step
	return nil
}

// settle splits the ions of a cell between water and resin. With s = E/c of the
// first ion, E_i = K_i c_i s^z, so that each ion's share in the water follows
// from s alone,
//
//	c_i = n_i / (1 + K_i s^z Q / z)
//
// and s follows from the charge of the water, which exchange leaves as it was.
// That charge falls steadily with s: Newton on ln s, kept within a bracket.
func (r *ColumnRun) settle(cell int) error {
	n := len(r.ions)
	total, water := r.total[cell*n:cell*n+n], r.water[cell*n:cell*n+n]
	charge := 0.0 // eq/L in the water
	for i, ion := range r.ions {
		charge += float64(ion.Charge) * water[i]
	}
	if charge < leastColumnCharge {
		return nil // as good as pure water: it moves nothing
	}
	lo, hi := -60.0, 60.0
	u := r.guess[cell]
	const steps, tolerance = 200, 1e-12
	for range steps {
		sum, slope := r.dissolved(total, water, u)
		miss := sum - charge
		if math.Abs(miss) <= tolerance*charge {
			r.guess[cell] = u
			return nil
		}
		if miss > 0 {
			lo = u
		} else {
			hi = u
		}
		next := u - miss/slope
		if !(lo < next && next < hi) {
			next = (lo + hi) / 2
		}
		if next == u {
			r.guess[cell] = u
			return nil
		}
		u = next
	}
	return fmt.Errorf("cell %d, water of %.3g eq/L: %w", cell, charge, ErrNotConverged)
}

// leastColumnCharge is the charge in eq/L below which a cell's water is taken as
// pure: a ten-thousandth of pure water's own ions.
const leastColumnCharge = 1e-11

// dissolved fills water with each ion's dissolved amount at potential exp(u) and
// returns their charge and its slope in u.
func (r *ColumnRun) dissolved(total, water []float64, u float64) (charge, slope float64) {
	s := math.Exp(u)
	for i, ion := range r.ions {
		z := float64(ion.Charge)
		ratio := r.k[i] * r.sites / z * s // held over dissolved
		for range ion.Charge - 1 {
			ratio *= s
		}
		c := total[i] / (r.rates.weight + ratio)
		water[i] = c
		charge += z * c
		slope -= z * z * c * ratio / (r.rates.weight + ratio)
	}
	return charge, slope
}
