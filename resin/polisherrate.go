package resin

import (
	"math"

	"rinsewright/quantity"
	"rinsewright/water"
)

// setRates turns the duty into shares per shift.
func (r *PolisherRun) setRates() {
	r.rated = r.duty != (Duty{})
	if !r.rated {
		return
	}
	d := r.duty.filled()
	seconds := r.step * float64(r.volume) / float64(d.Flow)
	set := func(e *exchanger, ions []water.Component, share float64, inside quantity.Diffusivity) {
		kt := d.particle(inside, r.t) * seconds
		e.inside = kt / (1 + kt)
		for i, c := range ions {
			e.reached[i] = -math.Expm1(-d.units(r.volume, c, share, r.t) / float64(len(r.cells)))
			e.weight[i] = e.reached[i] / e.inside
		}
	}
	set(&r.cationBed, cellCations, cationShare, d.CationParticle)
	set(&r.anionBed, cellAnions, anionShare, d.AnionParticle)
}

// exchange lets water enter a cell in place of what it held.
func (r *PolisherRun) exchange(c *cell, cations, anions []float64) error {
	enter(c.cations, c.waterCations, cations, r.cationBed.weight)
	enter(c.anions, c.waterAnions, anions, r.anionBed.weight)
	if err := r.settle(c); err != nil {
		return err
	}
	if r.rated {
		leave(c.cations, c.waterCations, cations, &r.cationBed)
		leave(c.anions, c.waterAnions, anions, &r.anionBed)
	}
	return nil
}

// enter sets a cell's totals to what its resin holds and the weighted water that
// enters, which is what the surface of the beads shares out.
func enter(total, inWater, entering, weight []float64) {
	for i, w := range weight {
		total[i] = max(0, total[i]-inWater[i]) + w*entering[i]
	}
}

// leave turns the surface's share into what is in the beads and in the water that
// leaves the cell.
func leave(total, surface, entering []float64, e *exchanger) {
	for i, w := range e.weight {
		held := total[i] - w*entering[i]
		taken := max(e.reached[i]*(entering[i]-surface[i]), -held)
		surface[i] = entering[i] - taken
		total[i] = held + taken + surface[i]
	}
}

// stand brings a cell's water and beads to equilibrium where they are.
func (r *PolisherRun) stand(c *cell) error {
	weights := [2][]float64{r.cationBed.weight, r.anionBed.weight}
	r.cationBed.weight, r.anionBed.weight = ones[:len(weights[0])], ones[:len(weights[1])]
	err := r.settle(c)
	r.cationBed.weight, r.anionBed.weight = weights[0], weights[1]
	return err
}

var ones = [...]float64{1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1}

// outletLogH is ln of H+ in the water that leaves a cell. At equilibrium that is
// the water at the beads; else the leaving water finds its own.
func (r *PolisherRun) outletLogH(c *cell) float64 {
	if !r.rated || r.standing {
		return c.logH
	}
	lo, hi := leastLogH, mostLogH
	for range 60 {
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

// Stand stops the flow for long enough that water and beads come to equilibrium
// in every cell, and returns the water that the next shift pushes out first. A
// night is long enough; what would diffuse from cell to cell meanwhile is
// millimetres and left out. With PoreVolumes above 1 each cell's water counts as
// that much. The error wraps [ErrNotConverged].
func (r *PolisherRun) Stand() (Outlet, error) {
	for i := range r.cells {
		if err := r.stand(&r.cells[i]); err != nil {
			return Outlet{}, err
		}
	}
	r.standing = true
	return r.leaving(), nil
}

// SetFlow goes on at another flow. The error wraps [ErrRange] for a run that was
// started without a [Duty], or a flow out of its range.
func (r *PolisherRun) SetFlow(f quantity.Flow) error {
	const operation = "polisher flow"
	if !r.rated {
		return within(operation, "duty", math.NaN(), 0, 1, "given at the start")
	}
	d := r.duty
	d.Flow = f
	if err := d.check(operation); err != nil {
		return err
	}
	r.duty = d
	r.setRates()
	return nil
}
