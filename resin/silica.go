package resin

import (
	"fmt"

	"rinsewright/quantity"
)

// Silica is held least, so it leaves first; these are shares of the volume at
// which conductivity rises. [Memory], unverified: the mass-transfer zone of a
// bed this size.
const (
	silicaShare     = 0.86
	silicaShareLow  = 0.75
	silicaShareHigh = 0.95
)

// SilicaBreak is when silica leaves a mixed bed, which no pen shows, and what
// follows if the bed stays in service.
type SilicaBreak struct {
	Volume    quantity.Volume // to half the inlet's silica in the outlet
	Low, High quantity.Volume
	// Dump is the most silica that the outlet can carry afterwards, while
	// better-held anions push the stored silica out: many times the inlet's.
	Dump quantity.MolarConc
	// DumpEnds is the volume at which the stored silica is gone, by the sharp
	// fronts of ideal exchange and with the same used capacity as the life.
	DumpEnds quantity.Volume
}

// SilicaBreak returns when silica breaks through and how strongly it is dumped
// afterwards:
//
//	V_break = 0.86 u Q V_bed / L
//	dump    = L             (each anion taken up pushes one silica out)
//	V_ends  = u Q V_bed / (L - SiO2 - B)
//
// L is the anion load. The first factor is [Memory], 0.75 to 0.95; the other two
// lines are the sharp fronts of ideal exchange [DeVault1943], an upper bound on
// strength since real fronts are rounded. [Bed.Reach] to a silica
// endpoint counts flow and load instead of that factor. For spot-free glass stop the bed by
// volume or by a silica test kit, not by the pen. The error wraps [ErrNoLoad]
// when there is no silica, or nothing else that could push it out.
func (b Bed) SilicaBreak(in Inlet) (SilicaBreak, error) {
	const operation = "silica break"
	if err := firstError(b.check(operation), in.check(operation)); err != nil {
		return SilicaBreak{}, err
	}
	load, others := in.AnionLoad(), in.AnionLoad()-quantity.EquivConc(in.Silica+in.Borate)
	if in.Silica < leastLoad || others < leastLoad {
		return SilicaBreak{}, fmt.Errorf("%s: silica %.3g and other anions %.3g mol/m³: %w", operation, float64(in.Silica), float64(others), ErrNoLoad)
	}
	anion, _ := b.OperatingCapacity()
	held := float64(anion) * float64(b.Volume) // eq
	life := held / float64(load)               // m³
	return SilicaBreak{
		Volume:   quantity.Volume(silicaShare * life),
		Low:      quantity.Volume(silicaShareLow * (1 - float64(b.Tolerance)) * life),
		High:     quantity.Volume(silicaShareHigh * (1 + float64(b.Tolerance)) * life),
		Dump:     quantity.MolarConc(load),
		DumpEnds: quantity.Volume(held / float64(others)),
	}, nil
}
