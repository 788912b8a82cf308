package resin

import (
	"fmt"

	"rinsewright/quantity"
)

// Condition says whether resin is fresh or has been through regeneration.
type Condition string

// The two conditions of a charge of resin.
const (
	New         Condition = "new"
	Regenerated Condition = "regenerated"
)

// Common figures of a mixed bed, [Practice] and [Memory] unless said: gel
// resins, 40 parts cation to 60 parts anion by volume, so that the two sides
// have nearly the same number of sites and the anion side ends first.
const (
	cationShare        = 0.40   // of bed volume
	anionShare         = 0.60   // of bed volume
	cationResin        = 1900.0 // eq/m³, strong acid, H form
	anionResin         = 1100.0 // eq/m³, strong base type I, OH form
	bedUtilisation     = 0.76   // of total capacity, to about 1 MΩ·cm: operating 0.50 eq/L of the 0.45 to 0.60 quoted
	bedTolerance       = 0.14   // relative, spans 0.43 to 0.57 eq/L
	regeneratedShare   = 0.90   // of new: the ratio of the two labels below
	newLabelGrains     = 10000  // grains as CaCO3 per ft³ [SalePages]
	regenLabelGrains   = 9000   // grains as CaCO3 per ft³ [SalePages]
	leastFlowPerVolume = 1.0    // gpm/ft³: below, water finds channels
	mostFlowPerVolume  = 5.0    // gpm/ft³: above, ions slip through
	mostBedVolume      = 50.0   // m³
)

// Bed is one charge of mixed-bed resin.
type Bed struct {
	Volume quantity.Volume
	// CationCapacity and AnionCapacity are the sites of either resin per volume
	// of the mixed bed.
	CationCapacity, AnionCapacity quantity.EquivConc
	// Utilisation is the share of those sites used when the endpoint is
	// reached; a capacity without its endpoint means nothing.
	Utilisation quantity.Ratio
	// Tolerance is the relative doubt of the used capacity, as a 5 to 95 % band
	// on either side.
	Tolerance quantity.Ratio
	Condition Condition
	// Label is what the label or the shop promises, as CaCO3 per volume of bed.
	Label quantity.CaCO3Conc
	// LeastFlow and MostFlow bound the flow at which the bed polishes: slower
	// it channels, faster it slips.
	LeastFlow, MostFlow quantity.Flow
}

// MixedBed returns a generic mixed bed of volume v: 40:60 cation to anion resin
// by volume, 0.76 eq/L cation sites and 0.66 eq/L anion sites, used to 76 % at
// about 1 MΩ·cm (0.50 eq/L, within 0.43 to 0.57), 1 to 5 gpm per cubic foot.
// Regenerated resin has nine tenths of that. Labels say 10,000 and 9,000 grains
// per cubic foot.
//
// Source: [Practice], labels [SalePages]. All of it is a starting point for a
// bed about which nothing else is known. The error wraps [ErrRange] unless
// 0 < v ≤ 50 m³ and the condition is [New] or [Regenerated].
func MixedBed(v quantity.Volume, c Condition) (Bed, error) {
	const operation = "mixed bed"
	if err := above(operation, "volume", float64(v), mostBedVolume, "m³"); err != nil {
		return Bed{}, err
	}
	share, label := 1.0, float64(newLabelGrains)
	switch c {
	case New:
	case Regenerated:
		share, label = regeneratedShare, regenLabelGrains
	default:
		return Bed{}, fmt.Errorf("%s: condition %q, want %q or %q: %w", operation, c, New, Regenerated, ErrRange)
	}
	return Bed{
		Volume:         v,
		CationCapacity: quantity.EquivConc(cationShare * cationResin * share),
		AnionCapacity:  quantity.EquivConc(anionShare * anionResin * share),
		Utilisation:    bedUtilisation,
		Tolerance:      bedTolerance,
		Condition:      c,
		Label:          GrainsPerCubicFoot(label),
		LeastFlow:      quantity.GallonsPerMinute(leastFlowPerVolume * v.CubicFeet()),
		MostFlow:       quantity.GallonsPerMinute(mostFlowPerVolume * v.CubicFeet()),
	}, nil
}

// OperatingCapacity returns the charge that the anion and the cation side take
// up to the endpoint, per volume of bed:
//
//	q = u Q
//
// Source: definition. It is exact as far as Q and u are known.
func (b Bed) OperatingCapacity() (anion, cation quantity.EquivConc) {
	u := quantity.EquivConc(b.Utilisation)
	return u * b.AnionCapacity, u * b.CationCapacity
}

// FlowVerdict says how a flow sits between a bed's limits.
type FlowVerdict string

// The verdicts of [Bed.FlowVerdict].
const (
	FlowHolds   FlowVerdict = "holds"
	FlowTooSlow FlowVerdict = "too slow: water finds channels through the bed"
	FlowTooFast FlowVerdict = "too fast: ions slip through before they are taken up"
)

// FlowVerdict compares a flow with the bed's limits. The error wraps [ErrRange]
// for a flow that is negative or not a number.
func (b Bed) FlowVerdict(f quantity.Flow) (FlowVerdict, error) {
	if err := within("bed flow", "flow", float64(f), 0, 10, "m³/s"); err != nil {
		return "", err
	}
	switch {
	case f < b.LeastFlow:
		return FlowTooSlow, nil
	case f > b.MostFlow:
		return FlowTooFast, nil
	}
	return FlowHolds, nil
}

func (b Bed) check(operation string) error {
	return firstError(
		above(operation, "bed volume", float64(b.Volume), mostBedVolume, "m³"),
		above(operation, "cation capacity", float64(b.CationCapacity), 6000, "eq/m³"),
		above(operation, "anion capacity", float64(b.AnionCapacity), 6000, "eq/m³"),
		within(operation, "utilisation", float64(b.Utilisation), 0.01, 1, ""),
		within(operation, "tolerance", float64(b.Tolerance), 0, 0.9, ""),
	)
}
