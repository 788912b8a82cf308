package resin

import (
	"fmt"
	"math"

	"rinsewright/quantity"
	"rinsewright/water"
)

// setRates turns the duty into shares per step, volume being the step's water
// over a whole shift's.
func (r *PolisherRun) setRates(volume float64) {
	seconds := math.Inf(1)
	if r.rated {
		seconds = volume * r.step * float64(r.volume) / float64(r.duty.Flow)
	}
	r.rate(&r.cationBed, cellCations, cationShare, r.duty.CationParticle, seconds, volume)
	r.rate(&r.anionBed, cellAnions, anionShare, r.duty.AnionParticle, seconds, volume)
}

func (r *PolisherRun) rate(e *exchanger, ions []water.Component, share float64, inside quantity.Diffusivity, seconds, volume float64) {
	e.inside = 1
	if r.rated {
		kt := r.duty.particle(inside, r.t) * seconds
		e.inside = kt / (1 + kt)
	}
	for i, c := range ions {
		e.reached[i] = 1
		if r.rated {
			e.reached[i] = reachedBy(r.duty.units(r.volume, c, share, r.t) / float64(len(r.cells)))
		}
		e.weight[i] = volume * e.reached[i] / e.inside
	}
}

// pass lets a step's water through all cells, volume being its share of a whole
// shift's. At equilibrium every water moves one cell on, from the outlet back, so
// that none moves twice. With rates it goes through them all in one: what stands
// between the beads is little against what passes.
func (r *PolisherRun) pass(volume float64) error {
	for k := range r.cells {
		i := k
		if !r.rated || volume < 1 {
			i = len(r.cells) - 1 - k
		}
		cations, anions := r.feed[0], r.feed[1]
		if i > 0 {
			cations, anions = r.cells[i-1].waterCations, r.cells[i-1].waterAnions
		}
		if err := r.exchange(&r.cells[i], cations, anions, volume); err != nil {
			return fmt.Errorf("cell %d: %w", i, err)
		}
	}
	return nil
}

// exchange lets water enter a cell in place of what it held.
func (r *PolisherRun) exchange(c *cell, cations, anions []float64, volume float64) error {
	share(r.shared[0], c.cations, cations, r.cationBed.weight)
	share(r.shared[1], c.anions, anions, r.anionBed.weight)
	if err := r.settle(c); err != nil {
		return err
	}
	leave(c.cations, c.waterCations, cations, r.cationBed.reached, volume)
	leave(c.anions, c.waterAnions, anions, r.anionBed.reached, volume)
	return nil
}

// share sets what the surface of the beads shares out: what they hold and the
// weighted water.
func share(out, held, entering, weight []float64) {
	for i, w := range weight {
		out[i] = held[i] + w*entering[i]
	}
}

// leave moves what the surface takes from the water into the beads. On entry
// inWater is the surface's water, on return what leaves the cell.
func leave(held, inWater, entering, reached []float64, volume float64) {
	for i, share := range reached {
		taken := max(volume*share*(entering[i]-inWater[i]), -held[i])
		held[i] += taken
		inWater[i] = entering[i] - taken/volume
	}
}

// stand brings a cell's pore water and beads to equilibrium where they are.
func (r *PolisherRun) stand(c *cell) error {
	volume := 1.0
	if r.rated {
		volume = 1 / r.pores
	}
	for side, e := range []*exchanger{&r.cationBed, &r.anionBed} {
		held, inWater := c.cations, c.waterCations
		if side == 1 {
			held, inWater = c.anions, c.waterAnions
		}
		for i := range held {
			e.weight[i] = volume
			r.shared[side][i] = held[i] + volume*inWater[i]
		}
	}
	if err := r.settle(c); err != nil {
		return err
	}
	for i := range c.cations {
		c.cations[i] = r.shared[0][i] - volume*c.waterCations[i]
	}
	for i := range c.anions {
		c.anions[i] = r.shared[1][i] - volume*c.waterAnions[i]
	}
	return nil
}

// outletLogH is ln of H+ in the water that leaves a cell. At equilibrium that is
// the water at the beads; else the leaving water finds its own.
func (r *PolisherRun) outletLogH(c *cell) float64 {
	if !r.rated {
		return c.logH
	}
	lo, hi := leastLogH, mostLogH
	for range 50 {
		u := (lo + hi) / 2
		if r.charge(c, math.Exp(u)) > 0 {
			hi = u
		} else {
			lo = u
		}
	}
	return (lo + hi) / 2
}

// charge is the net charge of a cell's water at h, which rises with h.
func (r *PolisherRun) charge(c *cell, h float64) float64 {
	bicarbonate, carbonate := r.acid.carbon(h)
	sum := h - r.acid.water/h
	for i, amount := range c.waterCations {
		sum += r.cationBed.charge[i] * amount
	}
	n := len(c.waterAnions) // carbon, silica and boron are the last three
	for i, amount := range c.waterAnions[:n-3] {
		sum -= r.anionBed.charge[i] * amount
	}
	return sum - (bicarbonate+2*carbonate)*c.waterAnions[n-3] -
		ionised(r.acid.silica, h)*c.waterAnions[n-2] - ionised(r.acid.boric, h)*c.waterAnions[n-1]
}

// Stand stops the flow for so long that water and beads come to equilibrium in
// every cell. A night is long enough; what diffuses from cell to cell meanwhile
// moves millimetres and is left out. It returns the water that stands in the last
// cell. The error wraps [ErrNotConverged].
func (r *PolisherRun) Stand() (Outlet, error) {
	for i := range r.cells {
		if err := r.stand(&r.cells[i]); err != nil {
			return Outlet{}, fmt.Errorf("polisher stands: cell %d: %w", i, err)
		}
	}
	r.setRates(1)
	return r.leaving(), nil
}

// Restart pushes out the water that has stood, one pore volume in as many steps
// as there are cells, and returns what leaves at each: the first is what a tap
// gives after a night. Errors as [PolisherRun.Shift].
func (r *PolisherRun) Restart(feed water.Water) ([]Outlet, error) {
	const operation = "polisher restart"
	if err := checkWater(operation, feed); err != nil {
		return nil, err
	}
	fillAmounts(r.feed[0], feed, cellCations)
	fillAmounts(r.feed[1], feed, cellAnions)
	volume := 1 / r.pores
	r.setRates(volume)
	defer r.setRates(1)
	out := []Outlet{r.leaving()}
	for range len(r.cells) - 1 {
		if err := r.restep(volume); err != nil {
			return nil, fmt.Errorf("%s: %w", operation, err)
		}
		out = append(out, r.leaving())
	}
	return out, r.restep(volume)
}

func (r *PolisherRun) restep(volume float64) error {
	if err := r.pass(volume); err != nil {
		return err
	}
	r.done += r.step * volume
	return nil
}

// SetFlow goes on at another flow. The error wraps [ErrRange] for a run that was
// started without a [Duty], or a flow out of its range.
func (r *PolisherRun) SetFlow(f quantity.Flow) error {
	const operation = "polisher flow"
	if !r.rated {
		return fmt.Errorf("%s: the run has no duty: %w", operation, ErrRange)
	}
	d := r.duty
	d.Flow = f
	if err := d.check(operation); err != nil {
		return err
	}
	r.duty = d
	r.setRates(1)
	return nil
}
