package resin

import (
	"fmt"

	"rinsewright/quantity"
)

// leastLoad is the load below which no life is stated, in eq/m³: a thousandth
// of what pure water's own ions would be.
const leastLoad = 1e-7

// Side names one of the two resins of a mixed bed.
type Side string

// The two sides.
const (
	Anion  Side = "anion"
	Cation Side = "cation"
)

// Shares splits the load on one side of a bed; the entries add up to 1.
type Shares struct {
	Ions        quantity.Ratio // strong ions of the steady water
	Starts      quantity.Ratio // creep: strong ions of the first minutes after each start
	Bicarbonate quantity.Ratio
	CO2         quantity.Ratio
	Silica      quantity.Ratio
	Borate      quantity.Ratio
	Ammonia     quantity.Ratio
}

// Life is how much water a bed polishes, and what used it up.
type Life struct {
	Volume    quantity.Volume // to the endpoint
	Low, High quantity.Volume // with the capacity's tolerance only; the water is taken as known
	Ends      Side            // the side that is used up first
	Shares    Shares          // of the load on that side
	// AnionVolume and CationVolume are the volumes to the endpoint of either
	// side; the lesser is Volume. A load too small to count leaves a side at
	// the other's volume.
	AnionVolume, CationVolume quantity.Volume
}

// Life returns the volume of water that uses up the bed:
//
//	V = min over sides of u Q V_bed / L
//
// with the band from the bed's tolerance. Source: stoichiometry; the worked
// figures of [Helfferich1962] and [Practice] follow the same sum. It holds at
// flows within the bed's limits and is as good as the capacity: ±14 % where
// that is a default. The error wraps [ErrRange] for inputs outside the stated
// ranges, [ErrNoLoad] when the water brings less than 1e-7 eq/m³.
func (b Bed) Life(in Inlet) (Life, error) {
	const operation = "resin life"
	if err := firstError(b.check(operation), in.check(operation)); err != nil {
		return Life{}, err
	}
	anion, cation := b.OperatingCapacity()
	anionLoad, cationLoad := in.AnionLoad(), in.CationLoad()
	if anionLoad < leastLoad && cationLoad < leastLoad {
		return Life{}, fmt.Errorf("%s: %w", operation, ErrNoLoad)
	}
	life := Life{Ends: Anion, Shares: anionShares(in)}
	life.AnionVolume, life.CationVolume = sideVolumes(b.Volume, anion, cation, anionLoad, cationLoad)
	life.Volume = life.AnionVolume
	if life.CationVolume < life.AnionVolume {
		life.Volume, life.Ends, life.Shares = life.CationVolume, Cation, cationShares(in)
	}
	life.Low = life.Volume * quantity.Volume(1-b.Tolerance)
	life.High = life.Volume * quantity.Volume(1+b.Tolerance)
	return life, nil
}

// sideVolumes divides capacity by load on either side; a side without load
// takes the other's volume, since it never ends the bed.
func sideVolumes(v quantity.Volume, anion, cation, anionLoad, cationLoad quantity.EquivConc) (byAnion, byCation quantity.Volume) {
	if anionLoad >= leastLoad {
		byAnion = v * quantity.Volume(float64(anion)/float64(anionLoad))
	}
	if cationLoad >= leastLoad {
		byCation = v * quantity.Volume(float64(cation)/float64(cationLoad))
	}
	if byAnion == 0 {
		byAnion = byCation
	}
	if byCation == 0 {
		byCation = byAnion
	}
	return byAnion, byCation
}

func anionShares(in Inlet) Shares {
	load := float64(in.AnionLoad())
	if !(load > 0) {
		return Shares{}
	}
	return Shares{
		Ions:        quantity.Ratio(float64(in.StrongAnions) / load),
		Starts:      quantity.Ratio(float64(in.Creep) / load),
		Bicarbonate: quantity.Ratio(float64(in.Bicarbonate) / load),
		CO2:         quantity.Ratio(float64(in.CO2) / load),
		Silica:      quantity.Ratio(float64(in.Silica) / load),
		Borate:      quantity.Ratio(float64(in.Borate) / load),
	}
}

func cationShares(in Inlet) Shares {
	load := float64(in.CationLoad())
	return Shares{
		Ions:    quantity.Ratio(float64(in.StrongCations) / load),
		Starts:  quantity.Ratio(float64(in.Creep) / load),
		Ammonia: quantity.Ratio(float64(in.Ammonia) / load),
	}
}

// LabelLife returns the life that the label and a pen suggest: the label's
// capacity as CaCO3 over the pen's ppm, as if the pen saw everything and each
// of its ppm were CaCO3:
//
//	V = V_bed label / ppm
//
// so that 10,000 grains in one cubic foot make 171,180 ppm-gallons. It is shown
// beside [Bed.Life] to explain a surprise, never as the answer. Source: [Practice].
// The error wraps [ErrNoLoad] for a reading of 0, which is a bound and not a
// strength, and [ErrRange] outside 0 to 50,000 mg/L.
func (b Bed) LabelLife(pen quantity.MassConc) (quantity.Volume, error) {
	const operation = "label life"
	if err := firstError(
		above(operation, "bed volume", float64(b.Volume), mostBedVolume, "m³"),
		above(operation, "label capacity", float64(b.Label), 300, "kg/m³"),
		within(operation, "pen reading", float64(pen), 0, 50, "kg/m³"),
	); err != nil {
		return 0, err
	}
	if pen < 1e-9 { // kg/m³, a millionth of a ppm
		return 0, fmt.Errorf("%s: the pen reads 0: %w", operation, ErrNoLoad)
	}
	return b.Volume * quantity.Volume(float64(b.Label)/float64(pen)), nil
}
