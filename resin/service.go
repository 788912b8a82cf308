package resin

import (
	"fmt"
	"math"

	"rinsewright/quantity"
	"rinsewright/water"
)

// slip is the share of what enters that a working mixed bed lets pass however
// slowly water goes: channels, and beads that were not well mixed. Source:
// [Memory], unverified: 3 parts in 1000 put a 20 µS/cm feed at 5 to 10 MΩ·cm,
// which is what a bottle in good order shows.
const slip = 0.003

// InService returns what leaves a mixed bed that is well short of its endpoint,
// at a flow within its limits: every constituent at 3 parts in 1000 of what
// entered. See [Bed.InService] for a flow of its own. A spent bed lets far more
// pass: see [Bed.Reach] for when, [Polisher] for what. Source: [Memory]. The error
// is that of water's own equilibrium, or wraps [ErrRange].
func InService(w water.Water) (water.Water, error) {
	return passed(w, func(water.Component) float64 { return slip })
}

// InService returns what leaves a bed that is well short of its endpoint, by
// the film that a constituent must cross on its way through:
//
//	c / c_in = s + (1 - s) exp(-N)
//
// N is the bed's transfer units for the constituent, which fall with the
// two-thirds power of flow per volume, and s = 0.003 what passes however slow the
// flow. At 1 to 5 gpm per cubic foot the film passes nothing that counts and s is
// what a meter shows; past some 15 gpm per cubic foot the film decides.
//
// Source: film [WilsonGeankoplis1966]; s [Memory]. The error wraps [ErrRange] or is
// that of water's own equilibrium.
func (b Bed) InService(w water.Water, d Duty) (water.Water, error) {
	const operation = "mixed bed in service"
	if _, err := b.TransferUnits(water.Sodium, d, w.Temperature); err != nil {
		return water.Water{}, fmt.Errorf("%s: %w", operation, err)
	}
	d = d.filled()
	return passed(w, func(c water.Component) float64 {
		share := anionShare
		if c.Charge() > 0 {
			share = cationShare
		}
		return slip + (1-slip)*math.Exp(-d.units(b.Volume, c, share, w.Temperature))
	})
}

// passed is w with every component scaled by what passes of it, and made
// electrically neutral.
func passed(w water.Water, share func(water.Component) float64) (water.Water, error) {
	const operation = "mixed bed in service"
	if err := checkWater(operation, w); err != nil {
		return water.Water{}, err
	}
	for c := range w.Total {
		w.Total[c] *= quantity.MolarConc(share(water.Component(c)))
	}
	w.Alkalinity = water.ElectroneutralAlkalinity(w)
	if _, err := water.Equilibrate(w); err != nil {
		return water.Water{}, fmt.Errorf("%s: %w", operation, err)
	}
	return w, nil
}
