package resin

import (
	"math"

	"rinsewright/quantity"
)

// SoftenerFault is how a softener fails while it still looks like one.
type SoftenerFault struct {
	// Bypassed is the share of the water that goes past the resin: a bypass left
	// ajar, a worn seal, or mixing on purpose.
	Bypassed quantity.Ratio
	// Missed is the water softened since the last regeneration that worked, where
	// salt ran out or the valve's clock stopped. 0 while it regenerates in time.
	Missed quantity.Volume
}

// SoftenerOutlet is what a softener gives with a fault.
type SoftenerOutlet struct {
	Hardness quantity.CaCO3Conc
	// Spent says that the resin has been run past its capacity.
	Spent bool
	// HardFrom is the water since the last regeneration at which hardness starts
	// to come through.
	HardFrom quantity.Volume
}

// exhaustionWidth is how much of a run the hardness takes to rise from leak to
// feed, centred on the capacity. Source: [Memory]; the column shows 0.1 to 0.3.
const exhaustionWidth = 0.2

// Outlet returns the hardness after a softener with a fault, on a feed of
// hardness h:
//
//	out = b h + (1 - b) (leak + (h - leak) e),  e = 0..1 over V_0 (0.9 to 1.1)
//
// b is the share bypassed and V_0 the cycle's water without reserve. A softener
// that is never regenerated passes all its hardness on and nobody sees it: total
// dissolved solids, and a pen, hardly change. Source: mass balance; the rise [Memory].
// The error wraps [ErrRange].
func (s Softener) Outlet(c Cycle, h quantity.CaCO3Conc, f SoftenerFault) (SoftenerOutlet, error) {
	const operation = "softener outlet"
	if err := firstError(
		within(operation, "reserve", float64(s.Reserve), 0, 0.9, ""),
		above(operation, "water of a cycle", float64(c.Water), 1e6, "m³"),
		within(operation, "hardness", float64(h), 0, 10, "kg/m³"),
		within(operation, "leak", float64(c.Leak), 0, 10, "kg/m³"),
		within(operation, "share bypassed", float64(f.Bypassed), 0, 1, ""),
		within(operation, "water since the last regeneration", float64(f.Missed), 0, 1e7, "m³"),
	); err != nil {
		return SoftenerOutlet{}, err
	}
	full := float64(c.Water) / (1 - float64(s.Reserve)) // m³
	risen := (float64(f.Missed)/full - (1 - exhaustionWidth/2)) / exhaustionWidth
	risen = math.Min(1, math.Max(0, risen))
	leak := math.Min(float64(c.Leak), float64(h))
	through := leak + (float64(h)-leak)*risen
	b := float64(f.Bypassed)
	return SoftenerOutlet{
		Hardness: quantity.CaCO3Conc(b*float64(h) + (1-b)*through),
		Spent:    float64(f.Missed) >= full,
		HardFrom: quantity.Volume(full * (1 - exhaustionWidth/2)),
	}, nil
}
