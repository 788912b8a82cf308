package resin

import (
	"errors"
	"fmt"
	"math"

	"rinsewright/quantity"
)

// ErrNotConverged is wrapped when a cell of a column finds no equilibrium.
var ErrNotConverged = errors.New("no equilibrium found")

// Ion is a cation or an anion that a column exchanges. All ions of one column
// have the same sign; Charge is its size.
type Ion struct {
	Name   string
	Charge int
	// Affinity is the exchange constant K against the column's first ion, in the
	// convention of [Column], with dissolved amounts as numbers of mol per litre;
	// dimensionless.
	Affinity float64
	// Free is the share of the dissolved ion that is bound to no other ion, 0
	// when not known, which is taken as 1. Only free ions exchange. Ions of the
	// other sign pass the column unchanged, so it stays near its value in the feed.
	Free quantity.Ratio
}

// Column is a bed of one resin seen along its depth, in cells that are each at
// equilibrium (no film or particle resistance). The first ion is the one that
// the others are compared with; for a softener it is sodium.
//
// With E the share of sites that an ion holds, c its amount in the water and z
// its charge, exchange follows the convention of Gaines and Thomas:
//
//	i(z+) + z NaX = iX(z) + z Na+      K = E_i c_Na^z / (c_i E_Na^z)
//
// where c counts free ions only. Activity coefficients of the ion on the resin
// are taken equal to those in the water, so that they drop out. Water moves by
// whole cells: the feed pushes every pore water one cell on, then each cell finds
// its equilibrium. Cells stand for the spreading of fronts, so more cells give
// sharper ones.
//
// With a [Duty] the film round the beads and the beads resist as in [Polisher], all
// ions alike, at the diffusivity of a calcium salt.
//
// Source: [GainesThomas1953]; cells in series [Helfferich1962]; rates as [Polisher].
type Column struct {
	Ions     []Ion
	Capacity quantity.EquivConc // per volume of bed
	Void     quantity.Ratio     // share of the bed that is water
	Cells    int
	// Sites is the share of the sites that each ion holds at the start, and Pore
	// what is dissolved then; both in the order of Ions, the same in every cell.
	Sites []quantity.Ratio
	Pore  []quantity.MolarConc
	// Duty and Volume, of the bed, are for rates; without a Duty there are none.
	Duty        Duty
	Volume      quantity.Volume
	Temperature quantity.Temperature // for rates only; 0 for 15 °C
}

// Effluent is the water that leaves a column.
type Effluent struct {
	BedVolumes float64 // of feed so far
	Out        []quantity.MolarConc
}

// ColumnRun is a column in service. It is not safe for use by two goroutines.
type ColumnRun struct {
	ions  []Ion
	k     []float64 // affinity of the dissolved total, free or not
	sites float64   // eq of sites per litre of pore water
	step  float64   // bed volumes per shift
	total []float64 // cell by cell, ion by ion: dissolved and held, mol per litre of pore water
	water []float64 // of that dissolved
	guess []float64 // per cell, ln of the exchange potential
	done  float64   // bed volumes so far
	count int       // shifts so far
	rates columnRates

	entering []float64 // scratch: what enters a cell, mol/L
}

// columnRates is how far a shift gets through film and beads: the share of its way
// to the bead's surface, and that over the share of its way into the beads.
type columnRates struct {
	duty            Duty
	volume          quantity.Volume
	t               quantity.Temperature
	reached, weight float64
}

// Start fills the column and brings every cell to equilibrium. The error wraps
// [ErrRange] unless there are 2 to 24 ions of charge 1 to 3 with affinities of
// 1e-6 to 1e9, 1 to 500 cells, capacity of at most 6 eq/L, a void of 0.05 to
// 0.95, and site shares that add up to 1.
func (c Column) Start() (*ColumnRun, error) {
	const operation = "column"
	if err := c.check(operation); err != nil {
		return nil, err
	}
	n := len(c.Ions)
	r := &ColumnRun{
		ions:  append([]Ion(nil), c.Ions...),
		k:     totalAffinities(c.Ions),
		sites: float64(c.Capacity) / float64(c.Void) / 1000,
		step:  float64(c.Void) / float64(c.Cells),
		total: make([]float64, n*c.Cells),
		water: make([]float64, n*c.Cells),
		guess: make([]float64, c.Cells),
		rates: columnRates{reached: 1, weight: 1},

		entering: make([]float64, n),
	}
	for cell := range c.Cells {
		for i, ion := range c.Ions {
			held := r.sites * float64(c.Sites[i]) / float64(ion.Charge) // mol/L
			r.total[cell*n+i] = held + float64(c.Pore[i])/1000
			r.water[cell*n+i] = float64(c.Pore[i]) / 1000
		}
		if err := r.settle(cell); err != nil {
			return nil, fmt.Errorf("%s: start: %w", operation, err)
		}
	}
	r.setRates(c)
	return r, nil
}

// totalAffinities turns affinities of free ions into those of all that is
// dissolved, so that the cells need not know of pairs.
func totalAffinities(ions []Ion) []float64 {
	free := func(ion Ion) float64 {
		if ion.Free == 0 {
			return 1
		}
		return float64(ion.Free)
	}
	k := make([]float64, len(ions))
	for i, ion := range ions {
		k[i] = ion.Affinity * free(ion) / math.Pow(free(ions[0]), float64(ion.Charge))
	}
	return k
}

// Shift pushes one cell's pore volume of feed into the column and returns what
// leaves. The slice is new at each call. The error wraps [ErrRange] for a feed
// that does not fit the ions, [ErrNotConverged] when a cell finds no equilibrium.
func (r *ColumnRun) Shift(feed []quantity.MolarConc) (Effluent, error) {
	const operation = "column shift"
	if err := checkFeed(operation, r.ions, feed); err != nil {
		return Effluent{}, err
	}
	if err := r.shift(feed); err != nil {
		return Effluent{}, fmt.Errorf("%s %d: %w", operation, r.count, err)
	}
	return r.effluent(), nil
}

// Run passes feed through a column for a number of bed volumes and returns the
// effluent at every so many shifts. Errors as [Column.Start] and
// [ColumnRun.Shift].
func (c Column) Run(feed []quantity.MolarConc, bedVolumes float64, every int) ([]Effluent, error) {
	const operation = "column run"
	r, err := c.Start()
	if err := firstError(err,
		within(operation, "bed volumes", bedVolumes, 0, 1e5, ""),
		within(operation, "shifts between results", float64(every), 1, 1e6, "")); err != nil {
		return nil, err
	}
	if err := checkFeed(operation, c.Ions, feed); err != nil {
		return nil, err
	}
	shifts := int(math.Round(bedVolumes / r.step))
	out := make([]Effluent, 0, shifts/every)
	for shift := 1; shift <= shifts; shift++ {
		if err := r.shift(feed); err != nil {
			return nil, fmt.Errorf("%s: shift %d: %w", operation, shift, err)
		}
		if shift%every == 0 {
			out = append(out, r.effluent())
		}
	}
	return out, nil
}

// Held returns the charge of ion i on the resin, per volume of bed, averaged
// over the column; 0 for an ion the column does not have.
func (r *ColumnRun) Held(i int) quantity.EquivConc {
	n := len(r.ions)
	if i < 0 || i >= n {
		return 0
	}
	cells := len(r.guess)
	sum := 0.0 // eq/L of pore water, summed over cells
	for cell := range cells {
		sum += float64(r.ions[i].Charge) * (r.total[cell*n+i] - r.water[cell*n+i])
	}
	void := r.step * float64(cells)
	return quantity.EquivConc(sum / float64(cells) * void * 1000)
}

// Dissolved returns the amount of ion i in the pore water, per volume of bed,
// averaged over the column; 0 for an ion the column does not have.
func (r *ColumnRun) Dissolved(i int) quantity.MolarConc {
	n := len(r.ions)
	if i < 0 || i >= n {
		return 0
	}
	sum := 0.0 // mol/L, summed over cells
	for cell := range r.guess {
		sum += r.water[cell*n+i]
	}
	return quantity.MolarConc(sum * r.step * 1000)
}

// Leaving returns the pore water of the last cell, which the next shift pushes
// out.
func (r *ColumnRun) Leaving() []quantity.MolarConc { return r.effluent().Out }

func (r *ColumnRun) effluent() Effluent {
	n := len(r.ions)
	out := make([]quantity.MolarConc, n)
	for i, c := range r.water[len(r.water)-n:] {
		out[i] = quantity.MolarConc(c * 1000)
	}
	return Effluent{BedVolumes: r.done, Out: out}
}

func (c Column) check(operation string) error {
	n := len(c.Ions)
	if n < 2 || n > 24 || len(c.Sites) != n || len(c.Pore) != n {
		return fmt.Errorf("%s: %d ions, %d site shares, %d pore strengths, want 2 to 24 of each: %w", operation, n, len(c.Sites), len(c.Pore), ErrRange)
	}
	if err := firstError(
		within(operation, "cells", float64(c.Cells), 1, 500, ""),
		within(operation, "capacity", float64(c.Capacity), 1, 6000, "eq/m³"),
		within(operation, "void", float64(c.Void), 0.05, 0.95, ""),
		c.checkRates(operation),
		checkFeed(operation+" pore water", c.Ions, c.Pore),
	); err != nil {
		return err
	}
	sum := 0.0
	for i, ion := range c.Ions {
		if err := firstError(
			within(operation, "charge of "+ion.Name, float64(ion.Charge), 1, 3, ""),
			within(operation, "affinity of "+ion.Name, ion.Affinity, 1e-6, 1e9, ""),
			checkFree(operation, ion),
			within(operation, "site share of "+ion.Name, float64(c.Sites[i]), 0, 1, ""),
		); err != nil {
			return err
		}
		sum += float64(c.Sites[i])
	}
	if c.Ions[0].Affinity != 1 || c.Ions[0].Charge != 1 {
		return fmt.Errorf("%s: first ion %s has charge %d and affinity %g, want 1 and 1: %w", operation, c.Ions[0].Name, c.Ions[0].Charge, c.Ions[0].Affinity, ErrRange)
	}
	return within(operation, "sum of site shares", sum, 1-1e-6, 1+1e-6, "")
}

func checkFree(operation string, ion Ion) error {
	if ion.Free == 0 {
		return nil
	}
	return within(operation, "free share of "+ion.Name, float64(ion.Free), 1e-3, 1, "")
}

func checkFeed(operation string, ions []Ion, feed []quantity.MolarConc) error {
	if len(feed) != len(ions) {
		return fmt.Errorf("%s: %d strengths for %d ions: %w", operation, len(feed), len(ions), ErrRange)
	}
	for i, c := range feed {
		if err := within(operation, ions[i].Name, float64(c), 0, mostConcentration, "mol/m³"); err != nil {
			return err
		}
	}
	return nil
}
