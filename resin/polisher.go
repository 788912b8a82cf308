package resin

import (
	"fmt"
	"math"

	"rinsewright/quantity"
	"rinsewright/water"
)

// Affinities are exchange constants by component: of cations against H+, of
// anions against OH-, in the convention of [Column] with amounts as numbers of mol
// per litre; dimensionless. Carbon is held as HCO3-, silica as H3SiO4-, boron as B(OH)4-, ammonia as NH4+ and
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
// ionised share.
//
// With a [Duty], the film round the beads and the beads themselves resist, each
// by a linear driving force. Of what enters a cell at c_in, with the bead's surface
// at c* and in equilibrium with q*, a shift of time t exchanges
//
//	Δq = (1 - exp(-N)) (c_in - c*) = b (q* - q),  b = k t / (1 + k t)
//
// with N the film's transfer units in the cell ([Bed.TransferUnits]) and k the
// rate inside the beads. The surface is where the equilibrium above holds, one
// water for both resins: what a cation bead and an anion bead see differs only
// where the film is the resistance and the water acid or alkaline. Without a
// Duty N and k are endless.
//
// Source: [GainesThomas1953]; cells in series [Helfferich1962]; linear driving
// force [Glueckauf1955]; film [WilsonGeankoplis1966].
type Polisher struct {
	// Bed gives capacities and volume; a capacity of 0 leaves that resin out, for a
	// bed of cation or anion resin alone. Utilisation is not used: the cells find it.
	Bed        Bed
	Affinities Affinities
	Void       quantity.Ratio // share of the bed that is water
	Cells      int            // see [FilmCells]; with a Duty 50 or more
	Duty       Duty           // zero for equilibrium
	// PoreVolumes is how many pore volumes one shift takes at once. More is faster
	// and moves fronts no further than they should; 0 lets [Polisher.Until] choose
	// and means 1 elsewhere. Past about a fiftieth of what a cell can hold per shift
	// it rounds the fronts.
	PoreVolumes int
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

// Until passes feed through the polisher until done says so, or for most bed
// volumes, and returns the last water out; reached tells which of the two it was.
// It gives the full form's life to any endpoint: a pH, a silica, a conductivity.
// Errors as [Polisher.Start] and [PolisherRun.Shift]; most is at most 1e5.
func (p Polisher) Until(feed water.Water, most float64, done func(Outlet) bool) (out Outlet, reached bool, err error) {
	if p.PoreVolumes == 0 {
		p.PoreVolumes = p.poreVolumesFor(feed)
	}
	run, err := p.Start(feed.Temperature)
	if err := firstError(err, within("polisher until", "bed volumes", most, 0, 1e5, "")); err != nil {
		return Outlet{}, false, err
	}
	for out.BedVolumes < most {
		if out, err = run.Shift(feed); err != nil {
			return Outlet{}, false, err
		}
		if done(out) {
			return out, true, nil
		}
	}
	return out, false, nil
}

// poreVolumesFor returns how many pore volumes of feed bring a fiftieth (with a
// Duty a twentieth) of what the lesser side of the bed holds in the same depth.
func (p Polisher) poreVolumesFor(feed water.Water) int {
	share, most := 0.02, 5000.0
	if p.Duty != (Duty{}) {
		share = 0.05 // film and beads round the fronts more than such steps do
	}
	anions, cations := 0.0, 0.0 // eq/m³
	for _, c := range cellCations {
		cations += math.Abs(float64(c.Charge())) * float64(feed.Total[c])
	}
	for _, c := range cellAnions {
		anions += max(1, math.Abs(float64(c.Charge()))) * float64(feed.Total[c])
	}
	load := max(anions, cations, leastLoad)
	capacity := float64(min(p.Bed.CationCapacity, p.Bed.AnionCapacity))
	if capacity < leastSites {
		capacity = float64(max(p.Bed.CationCapacity, p.Bed.AnionCapacity))
	}
	volumes := share * capacity / (load * float64(p.Void))
	if !(volumes < most) {
		return int(most)
	}
	return max(1, int(volumes))
}

// leastSites is the capacity in eq/m³ below which a side counts as no resin.
const leastSites = 1.0

func (p Polisher) check(operation string, t quantity.Temperature) error {
	if err := firstError(
		above(operation, "bed volume", float64(p.Bed.Volume), mostBedVolume, "m³"),
		within(operation, "temperature", t.Celsius(), -0.01, 50, "°C"),
		within(operation, "cells", float64(p.Cells), 1, 2000, ""),
		p.Duty.check(operation),
		within(operation, "pore volumes per shift", float64(p.PoreVolumes), 0, 5000, ""),
		within(operation, "void", float64(p.Void), 0.05, 0.95, ""),
		within(operation, "sodium left", float64(p.SodiumLeft), 0, 0.9, ""),
		within(operation, "chloride left", float64(p.ChlorideLeft), 0, 0.9, ""),
		within(operation, "cation capacity", float64(p.Bed.CationCapacity), 0, 6000, "eq/m³"),
		within(operation, "anion capacity", float64(p.Bed.AnionCapacity), 0, 6000, "eq/m³"),
	); err != nil {
		return err
	}
	if p.Bed.CationCapacity < leastSites && p.Bed.AnionCapacity < leastSites {
		return fmt.Errorf("%s: neither cation nor anion resin: %w", operation, ErrRange)
	}
	for c, k := range p.Affinities {
		if err := within(operation, "affinity of "+water.Component(c).String(), k, 1e-6, 1e9, ""); err != nil {
			return err
		}
	}
	return nil
}
