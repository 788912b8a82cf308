package resin

import (
	"fmt"
	"math"

	"rinsewright/quantity"
	"rinsewright/water"
)

// Affinities are exchange constants by component: of cations against H+, of
// anions against OH-, in the convention of [Column] with mol per litre. Carbon is
// held as HCO3-, silica as H3SiO4-, boron as B(OH)4-, ammonia as NH4+ and
// phosphate as H2PO4-.
type Affinities [water.NComponents]float64

// PolishingAffinities returns affinities typical of gel resins, strong acid with
// 8 % cross-linking and strong base type I, from relative scales on which H+ is
// 1.27 and OH- is 1. Source: [Memory], unverified; silica, boron and phosphate
// are guesses below bicarbonate. Use them for the order of breakthrough and for
// the length of life, not for the last fraction of a microsiemens.
func PolishingAffinities() Affinities {
	const hydrogen = 1.27
	double := 2 * softenerSites / hydrogen // relative scale of divalent cations to mol/L
	const doubleAnion = 2 * 1.3 * 20.0     // sulphate, in the same way
	return Affinities{
		water.Sodium: 1.98 / hydrogen, water.Ammonia: 2.55 / hydrogen, water.Potassium: 2.90 / hydrogen,
		water.Magnesium: 3.29 * double, water.Calcium: 5.16 * double, water.Iron: 3.5 * double, water.Manganese: 3.5 * double,
		water.Strontium: 6.5 * double, water.Barium: 11 * double,
		water.Fluoride: 1.6, water.Carbon: 6, water.Chloride: 22, water.Nitrate: 65, water.Sulphate: doubleAnion,
		water.Silica: 2, water.Boron: 1.5, water.Phosphate: 5,
	}
}

// Polisher is a mixed bed seen along its depth: cells that each hold cation and
// anion resin at equilibrium with their water, hydrogen and hydroxide joining to
// water. It is the full form of [Bed.Life]: silica, carbonate, chloride and
// sodium leave in their own order and at their own strength.
//
// In a cell the two resins are full and the water is neutral,
//
//	h s + Σ K_i c_i s^z = 1        (cation sites, s = E_H / h)
//	oh t + Σ K_j c_j t^z = 1       (anion sites, t = E_OH / oh)
//	h + Σ z c_i = oh + Σ z c_j
//
// with h oh the ion product of water, and what each component has in the cell
// shared between resin and water as in [Column]. Weak acids exchange by their
// ionised share. Film and particle resistance are left out: at flows within the
// bed's limits they round the fronts, which fewer cells stand for.
//
// Source: [GainesThomas1953]; cells in series [Helfferich1962].
type Polisher struct {
	Bed        Bed // capacities and volume; Utilisation is not used, since the column finds it
	Affinities Affinities
	Void       quantity.Ratio // share of the bed that is water
	Cells      int
	// SodiumLeft and ChlorideLeft are the shares of cation and anion sites that
	// regeneration left unconverted.
	SodiumLeft, ChlorideLeft quantity.Ratio
}

// NewPolisher returns a polisher for a bed with typical affinities, a void of
// 0.38 and 20 cells; regenerated resin keeps 2 % sodium and 5 % chloride
// [Memory], unverified.
func NewPolisher(b Bed) Polisher {
	p := Polisher{Bed: b, Affinities: PolishingAffinities(), Void: 0.38, Cells: 20}
	if b.Condition == Regenerated {
		p.SodiumLeft, p.ChlorideLeft = 0.02, 0.05
	}
	return p
}

// Outlet is the water that leaves a polisher.
type Outlet struct {
	BedVolumes float64 // of feed so far
	Volume     quantity.Volume
	Water      water.Water
	PH         quantity.PH // by concentration; within 0.05 of activity below 100 µS/cm
}

// cellIons lists the components by sign, in the order the cells keep them.
var (
	cellCations = []water.Component{water.Sodium, water.Potassium, water.Ammonia, water.Magnesium, water.Calcium, water.Iron, water.Manganese, water.Strontium, water.Barium}
	cellAnions  = []water.Component{water.Chloride, water.Nitrate, water.Fluoride, water.Phosphate, water.Sulphate, water.Carbon, water.Silica, water.Boron}
)

// exchanger is one of the two resins: charge and affinity of its ions.
type exchanger struct {
	sites    float64 // eq per litre of pore water
	charge   []float64
	affinity []float64
}

// cell is one slice of the bed: what it holds of each component, mol per litre
// of pore water, in resin and water together (total) and in the water (free), and
// where its equilibrium was last found.
type cell struct {
	cations, anions           []float64
	waterCations, waterAnions []float64
	logH, logS, logT          float64
}

// PolisherRun is a polisher in service. It is not safe for use by two goroutines.
type PolisherRun struct {
	acid      acidity
	t         quantity.Temperature
	cationBed exchanger
	anionBed  exchanger
	cells     []cell
	ionised   []float64 // share of each anion in the form that exchanges, scratch
	step      float64   // bed volumes per shift
	count     int
	volume    quantity.Volume
}

// Start fills the polisher with pure water at temperature t. The error wraps
// [ErrRange] unless t is 0 to 50 °C, there are 1 to 200 cells, the void is 0.05 to
// 0.95, every affinity is 1e-6 to 1e9, and the shares left are 0 to 0.9.
func (p Polisher) Start(t quantity.Temperature) (*PolisherRun, error) {
	const operation = "polisher"
	if err := p.check(operation, t); err != nil {
		return nil, err
	}
	pore := float64(p.Void) * 1000 // eq/m³ of bed to eq/L of pore water
	r := &PolisherRun{
		acid:      acidityAt(float64(t)),
		t:         t,
		cationBed: newExchanger(float64(p.Bed.CationCapacity)/pore, cellCations, p.Affinities),
		anionBed:  newExchanger(float64(p.Bed.AnionCapacity)/pore, cellAnions, p.Affinities),
		cells:     make([]cell, p.Cells),
		ionised:   make([]float64, len(cellAnions)),
		step:      float64(p.Void) / float64(p.Cells),
		volume:    p.Bed.Volume,
	}
	neutral := 0.5 * math.Log(r.acid.water)
	for i := range r.cells {
		c := &r.cells[i]
		c.cations, c.waterCations = make([]float64, len(cellCations)), make([]float64, len(cellCations))
		c.anions, c.waterAnions = make([]float64, len(cellAnions)), make([]float64, len(cellAnions))
		c.cations[0] = float64(p.SodiumLeft) * r.cationBed.sites
		c.anions[0] = float64(p.ChlorideLeft) * r.anionBed.sites
		c.logH, c.logS, c.logT = neutral, -neutral, -neutral
		if err := r.settle(c); err != nil {
			return nil, fmt.Errorf("%s: start: %w", operation, err)
		}
	}
	return r, nil
}

// Shift pushes one cell's pore volume of feed into the bed and returns the water
// that the last cell then holds. The error wraps [ErrRange] for a feed with an
// amount below 0 or past 1 mol/L, [ErrNotConverged] when a cell finds no
// equilibrium.
func (r *PolisherRun) Shift(feed water.Water) (Outlet, error) {
	const operation = "polisher shift"
	for c, amount := range feed.Total {
		if err := within(operation, water.Component(c).String(), float64(amount), 0, mostConcentration, "mol/m³"); err != nil {
			return Outlet{}, err
		}
	}
	for i := len(r.cells) - 1; i >= 0; i-- {
		c := &r.cells[i]
		if i > 0 {
			before := &r.cells[i-1]
			replace(c.cations, c.waterCations, before.waterCations)
			replace(c.anions, c.waterAnions, before.waterAnions)
		} else {
			replace(c.cations, c.waterCations, amounts(feed, cellCations))
			replace(c.anions, c.waterAnions, amounts(feed, cellAnions))
		}
		if err := r.settle(c); err != nil {
			return Outlet{}, fmt.Errorf("%s %d: cell %d: %w", operation, r.count, i, err)
		}
	}
	r.count++
	return r.leaving(), nil
}

// Step returns the volume of feed that one shift takes.
func (r *PolisherRun) Step() quantity.Volume { return r.volume * quantity.Volume(r.step) }

// leaving is the water of the last cell.
func (r *PolisherRun) leaving() Outlet {
	last := &r.cells[len(r.cells)-1]
	w := water.Water{Temperature: r.t}
	alkalinity := 0.0 // eq/m³
	for i, c := range cellCations {
		w.Total[c] = quantity.MolarConc(last.waterCations[i] * 1000)
		alkalinity += r.cationBed.charge[i] * float64(w.Total[c])
	}
	for i, c := range cellAnions {
		w.Total[c] = quantity.MolarConc(last.waterAnions[i] * 1000)
		if c != water.Carbon && c != water.Silica && c != water.Boron {
			alkalinity -= r.anionBed.charge[i] * float64(w.Total[c])
		}
	}
	w.Alkalinity = quantity.EquivConc(alkalinity)
	done := float64(r.count) * r.step
	return Outlet{
		BedVolumes: done,
		Volume:     r.volume * quantity.Volume(done),
		Water:      w,
		PH:         quantity.PH(-last.logH / math.Ln10),
	}
}

// Held returns what the resin holds of a component, per volume of bed.
func (r *PolisherRun) Held(c water.Component) quantity.MolarConc {
	sum := 0.0 // mol per litre of pore water, over cells
	for i := range r.cells {
		for j, has := range cellCations {
			if has == c {
				sum += r.cells[i].cations[j] - r.cells[i].waterCations[j]
			}
		}
		for j, has := range cellAnions {
			if has == c {
				sum += r.cells[i].anions[j] - r.cells[i].waterAnions[j]
			}
		}
	}
	return quantity.MolarConc(sum * r.step * 1000)
}

// replace changes a cell's water for what enters.
func replace(total, inWater, entering []float64) {
	for i := range total {
		total[i] = max(0, total[i]-inWater[i]) + entering[i]
		inWater[i] = entering[i]
	}
}

// amounts returns components of w in mol/L.
func amounts(w water.Water, which []water.Component) []float64 {
	out := make([]float64, len(which))
	for i, c := range which {
		out[i] = float64(w.Total[c]) / 1000
	}
	return out
}

func newExchanger(sites float64, ions []water.Component, k Affinities) exchanger {
	e := exchanger{sites: sites}
	for _, c := range ions {
		z := math.Abs(float64(c.Charge()))
		e.charge = append(e.charge, max(1, z)) // silica and boron exchange as their single charged ions
		e.affinity = append(e.affinity, k[c])
	}
	return e
}

func (p Polisher) check(operation string, t quantity.Temperature) error {
	if err := firstError(
		p.Bed.check(operation),
		within(operation, "temperature", t.Celsius(), -0.01, 50, "°C"),
		within(operation, "cells", float64(p.Cells), 1, 200, ""),
		within(operation, "void", float64(p.Void), 0.05, 0.95, ""),
		within(operation, "sodium left", float64(p.SodiumLeft), 0, 0.9, ""),
		within(operation, "chloride left", float64(p.ChlorideLeft), 0, 0.9, ""),
		within(operation, "cation capacity", float64(p.Bed.CationCapacity), 1, 6000, "eq/m³"),
		within(operation, "anion capacity", float64(p.Bed.AnionCapacity), 1, 6000, "eq/m³"),
	); err != nil {
		return err
	}
	for c, k := range p.Affinities {
		if err := within(operation, "affinity of "+water.Component(c).String(), k, 1e-6, 1e9, ""); err != nil {
			return err
		}
	}
	return nil
}
