package resin

import (
	"fmt"
	"math"
)

// Bounds of the search for a cell's equilibrium, natural logarithms of mol/L.
const (
	leastLogH  = -36.0 // pH 15.6
	mostLogH   = 2.3   // pH -1
	leastLogP  = -90.0 // exchange potential
	closeness  = 1e-10 // of the charges of a neutral water to each other
	mostSteps  = 200
	narrow     = 3e-14 // a bracket as narrow as numbers of this size get
	quickSteps = 50    // after which only halving is trusted
)

// settle finds the equilibrium of what is shared in a cell. For a trial h each resin fills at one
// potential; more H+ pushes metals off the cation resin and lets the anion resin
// take more, so that the logarithm of positive over negative charge rises
// steadily with ln h. It is nearly straight, and the last shift is a good
// guess: secant steps, kept within a bracket.
func (r *PolisherRun) settle(c *cell) error {
	lo, hi := leastLogH, mostLogH
	u := c.logH
	last, lastMiss := math.NaN(), math.NaN()
	for step := range mostSteps {
		miss, err := r.imbalance(c, u)
		if err != nil {
			return err
		}
		if math.Abs(miss) <= closeness {
			c.logH = u
			return nil
		}
		if miss > 0 {
			hi = u
		} else {
			lo = u
		}
		next := u - miss // slope 1 until two points tell it
		if slope := (miss - lastMiss) / (u - last); slope > 0 {
			next = u - miss/slope
		}
		if !(lo < next && next < hi) || step > quickSteps {
			next = (lo + hi) / 2
		}
		if next == u || hi-lo < narrow {
			c.logH = u
			return nil
		}
		last, lastMiss, u = u, miss, next
	}
	return fmt.Errorf("no neutral water between pH %.1f and %.1f: %w", -hi/math.Ln10, -lo/math.Ln10, ErrNotConverged)
}

// imbalance fills both resins at ln h = u and returns ln of positive over
// negative charge in the water.
func (r *PolisherRun) imbalance(c *cell, u float64) (float64, error) {
	h := math.Exp(u)
	oh := r.acid.water / h
	bicarbonate, carbonate := r.acid.carbon(h)
	for i := range r.ionised {
		r.ionised[i] = 1
	}
	n := len(r.ionised) // carbon, silica and boron are the last three anions
	r.ionised[n-3], r.ionised[n-2], r.ionised[n-1] = bicarbonate, ionised(r.acid.silica, h), ionised(r.acid.boric, h)

	var err error
	if c.logS, err = r.cationBed.fill(r.shared[0], c.waterCations, nil, h, c.logS); err != nil {
		return 0, fmt.Errorf("cation resin: %w", err)
	}
	if c.logT, err = r.anionBed.fill(r.shared[1], c.waterAnions, r.ionised, oh, c.logT); err != nil {
		return 0, fmt.Errorf("anion resin: %w", err)
	}
	positive, negative := h, oh
	for i, amount := range c.waterCations {
		positive += r.cationBed.charge[i] * amount
	}
	for i, amount := range c.waterAnions {
		negative += r.anionBed.charge[i] * r.ionised[i] * amount
	}
	negative += 2 * carbonate * c.waterAnions[n-3]
	return math.Log(positive / negative), nil
}

// fill finds the potential at which a resin's sites are all taken, by the ion it
// came with (own mol/L of it in the water) and by those of a cell, and sets what
// stays in the water. It starts at guess, and returns ln of the potential.
func (e *exchanger) fill(total, inWater, ionised []float64, own, guess float64) (float64, error) {
	lo, hi := leastLogP, -math.Log(own) // at the upper end the own ion takes all sites
	u := min(guess, hi)
	for step := range mostSteps {
		s := math.Exp(u)
		sum, slope := own*s, own*s
		for i, n := range total {
			if n == 0 {
				inWater[i] = 0
				continue
			}
			z := e.charge[i]
			k := e.affinity[i] * s
			if ionised != nil {
				k *= ionised[i]
			}
			if z == 2 {
				k *= s
			}
			w := e.weight[i]
			c := n / (w + k*e.sites/z)
			inWater[i] = c
			sum += k * c
			slope += z * k * c * (w * c / n)
		}
		miss := sum - 1
		if math.Abs(miss) <= 1e-13 {
			return u, nil
		}
		if miss > 0 {
			hi = u
		} else {
			lo = u
		}
		next := u - miss/slope
		if !(lo < next && next < hi) || step > quickSteps {
			next = (lo + hi) / 2
		}
		if next == u || hi-lo < narrow {
			return u, nil
		}
		u = next
	}
	return 0, fmt.Errorf("sites neither full nor empty: %w", ErrNotConverged)
}
