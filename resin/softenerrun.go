package resin

import (
	"fmt"

	"rinsewright/quantity"
	"rinsewright/water"
)

// SoftenerBed is a softener seen along its depth.
type SoftenerBed struct {
	Resin quantity.Volume
	Duty  Duty  // its Flow is that of service
	Brine Brine // of each regeneration
	Cells int   // 0 for 30
	// HardnessEnd is the hardness in the outlet at which service ends, over the
	// feed's; 0 for 5 %.
	HardnessEnd quantity.Ratio
}

// SoftenerCycle is a run of a softener's column once cycles have come to repeat.
type SoftenerCycle struct {
	Water      quantity.Volume // softened from regeneration to the end of service
	Capacity   quantity.CaCO3Conc
	Leak       quantity.CaCO3Conc // mean hardness in the softened water
	Sodium     quantity.Ratio     // share of the sites in the sodium form after brine
	Efficiency quantity.Ratio     // of the salt
	Drain      quantity.Volume    // brine and rinses
}

const (
	softenerCells  = 30
	softenerEnd    = 0.05
	softenerCycles = 6
)

// Cycle runs service and regeneration in turn, six times, and returns the last.
//
// Source: [Column] with [SoftenerColumn]'s affinities [Memory], film and beads as
// [Polisher]. Its capacities by salt dose lie within 6 % of the salt table of
// [SoftenerCapacity], 6 to 15 lb per cubic foot, brine the way the water flows. The error wraps [ErrRange],
// [ErrNotConverged], or [ErrNoLoad] for water without hardness.
func (b SoftenerBed) Cycle(s water.Solution) (SoftenerCycle, error) {
	const operation = "softener column"
	if err := firstError(
		above(operation, "resin", float64(b.Resin), mostSoftener, "m³"),
		within(operation, "cells", float64(b.Cells), 0, 500, ""),
		within(operation, "end of service", float64(b.HardnessEnd), 0, 0.9, ""),
	); err != nil {
		return SoftenerCycle{}, err
	}
	if s.Water().Hardness() < 1e-3 { // kg/m³
		return SoftenerCycle{}, fmt.Errorf("%s: hardness under 1 mg/L: %w", operation, ErrNoLoad)
	}
	cells := b.Cells
	if cells == 0 {
		cells = softenerCells
	}
	column, feed := SoftenerColumn(s, cells)
	column.Duty, column.Volume, column.Temperature = b.Duty, b.Resin, s.Temperature()
	run, err := column.Start()
	if err != nil {
		return SoftenerCycle{}, fmt.Errorf("%s: %w", operation, err)
	}
	var c SoftenerCycle
	for range softenerCycles {
		if c, err = b.once(run, feed); err != nil {
			return SoftenerCycle{}, fmt.Errorf("%s: %w", operation, err)
		}
	}
	return c, nil
}

// once is one regeneration and one service.
func (b SoftenerBed) once(run *ColumnRun, feed []quantity.MolarConc) (SoftenerCycle, error) {
	done, err := run.Regenerate(b.Brine, b.Resin, feed)
	if err != nil {
		return SoftenerCycle{}, err
	}
	c := SoftenerCycle{Sodium: done.Sodium, Efficiency: done.Efficiency, Drain: done.Drain}
	end := float64(b.HardnessEnd)
	if end == 0 {
		end = softenerEnd
	}
	full := hardnessOf(run.ions, feed)
	leaked, volumes := 0.0, 0.0
	const most = 1e4 // bed volumes
	for volumes < most {
		if err := run.shift(feed); err != nil {
			return SoftenerCycle{}, err
		}
		hardness := hardnessOf(run.ions, run.Leaving())
		if hardness > end*full {
			break
		}
		volumes += run.step
		leaked += hardness * run.step
	}
	c.Water = b.Resin * quantity.Volume(volumes)
	c.Capacity = quantity.EquivConc(full*volumes - leaked).AsCaCO3()
	if volumes > 0 {
		c.Leak = quantity.EquivConc(leaked / volumes).AsCaCO3()
	}
	return c, nil
}

// hardnessOf is the charge of the doubly charged, eq/m³.
func hardnessOf(ions []Ion, c []quantity.MolarConc) float64 {
	sum := 0.0
	for i, ion := range ions {
		if ion.Charge == 2 {
			sum += 2 * float64(c[i])
		}
	}
	return sum
}
