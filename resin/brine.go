package resin

import (
	"fmt"
	"slices"

	"rinsewright/quantity"
)

// saltMolar is the molar mass of NaCl, kg/mol.
const saltMolar = 58.443e-3

// Brine figures of a common softener valve. Source: [Memory].
const (
	brineStrength = 1.83e3 // eq/m³: 10 % by weight
	brineRate     = 0.5    // gpm/ft³
	slowRinse     = 1.5    // bed volumes, at the brine's rate
	fastRinse     = 3.0    // bed volumes, at the rate of service
	mostBrine     = 5.5e3  // eq/m³, saturated and a little
)

// Brine is one regeneration of a softener.
type Brine struct {
	Salt     quantity.Mass      // NaCl
	Strength quantity.EquivConc // of the brine in the bed; 0 for 10 %
	Flow     quantity.Flow      // of brine and slow rinse; 0 for half a gpm per cubic foot
	// Counter sends brine the other way than water in service, so that the end
	// where water leaves is the cleanest.
	Counter    bool
	Slow, Fast float64 // rinses in bed volumes; 0 for 1.5 and 3
}

// BrineDone is what a regeneration did.
type BrineDone struct {
	Sodium     quantity.Ratio  // share of the sites in the sodium form afterwards
	Efficiency quantity.Ratio  // charge driven off over charge of the salt
	Drain      quantity.Volume // brine and rinses; backwash comes on top
}

// Regenerate passes brine and rinses through the column, the first ion being
// sodium, in the column's own code: brine exchanges at its strength, where mass
// action turns against the doubly charged. Rinse is the water that rinses, as a
// feed. Activity coefficients on resin and in brine are taken as equal, which
// makes strong brine a little too good. Source: as [Column]. It needs the
// column's Volume. The error wraps [ErrRange] or [ErrNotConverged].
func (r *ColumnRun) Regenerate(b Brine, volume quantity.Volume, rinse []quantity.MolarConc) (BrineDone, error) {
	const operation = "regeneration"
	b = b.filled(volume)
	if err := firstError(
		above(operation, "bed volume", float64(volume), mostSoftener, "m³"),
		checkFeed(operation, r.ions, rinse),
		within(operation, "salt per volume", float64(b.Salt)/float64(volume), 0, 1000, "kg/m³"),
		within(operation, "strength", float64(b.Strength), 10, mostBrine, "eq/m³"),
		within(operation, "brine flow", float64(b.Flow), 1e-9, 10, "m³/s"),
		within(operation, "slow rinse", b.Slow, 0, 50, "bed volumes"),
		within(operation, "fast rinse", b.Fast, 0, 50, "bed volumes"),
	); err != nil {
		return BrineDone{}, err
	}
	before := r.hardCharge()
	charge := float64(b.Salt) / saltMolar / float64(volume) // eq/m³ of bed
	brine := make([]quantity.MolarConc, len(r.ions))
	brine[0] = quantity.MolarConc(b.Strength)
	brineVolumes := charge / float64(b.Strength)
	if b.Counter {
		r.turn()
		defer r.turn()
	}
	for _, leg := range []struct {
		feed    []quantity.MolarConc
		volumes float64
		flow    quantity.Flow
	}{{brine, brineVolumes, b.Flow}, {rinse, b.Slow, b.Flow}, {rinse, b.Fast, r.rates.duty.Flow}} {
		if err := r.leg(leg.feed, leg.volumes, leg.flow); err != nil {
			return BrineDone{}, fmt.Errorf("%s: %w", operation, err)
		}
	}
	sites := r.sites * 1000 * r.step * float64(len(r.guess)) // eq/m³ of bed
	done := BrineDone{
		Sodium: quantity.Ratio(1 - r.hardCharge()/sites),
		Drain:  volume * quantity.Volume(brineVolumes+b.Slow+b.Fast),
	}
	if charge > 0 {
		done.Efficiency = quantity.Ratio((before - r.hardCharge()) / charge)
	}
	return done, nil
}

func (b Brine) filled(volume quantity.Volume) Brine {
	if b.Strength == 0 {
		b.Strength = brineStrength
	}
	if b.Flow == 0 {
		b.Flow = quantity.GallonsPerMinute(brineRate * volume.CubicFeet())
	}
	if b.Slow == 0 {
		b.Slow = slowRinse
	}
	if b.Fast == 0 {
		b.Fast = fastRinse
	}
	return b
}

// leg passes some bed volumes at a flow and sets the flow of service again.
func (r *ColumnRun) leg(feed []quantity.MolarConc, volumes float64, f quantity.Flow) error {
	if f > 0 {
		r.rates.at(f, r.step, len(r.guess))
		defer r.rates.at(r.rates.duty.Flow, r.step, len(r.guess))
	}
	for range int(volumes/r.step + 0.5) {
		if err := r.shift(feed); err != nil {
			return err
		}
	}
	return nil
}

// hardCharge is the charge that all ions but the first hold, per volume of bed.
func (r *ColumnRun) hardCharge() float64 {
	sum := 0.0 // eq/m³
	for i := range r.ions[1:] {
		sum += float64(r.Held(i + 1))
	}
	return sum
}

// turn lets water enter where it left.
func (r *ColumnRun) turn() {
	turnBlocks(r.total, len(r.ions))
	turnBlocks(r.water, len(r.ions))
	slices.Reverse(r.guess)
}

// turnBlocks reverses the order of blocks of n and keeps each as it is.
func turnBlocks(x []float64, n int) {
	slices.Reverse(x)
	for block := range slices.Chunk(x, n) {
		slices.Reverse(block)
	}
}
