package resin

import (
	"fmt"

	"rinsewright/quantity"
	"rinsewright/water"
)

// slip is the share of what enters that a working mixed bed lets pass. Source:
// [Memory], unverified: 3 parts in 1000 put a 20 µS/cm feed at 5 to 10 MΩ·cm,
// which is what a bottle in good order shows.
const slip = 0.003

// InService returns what leaves a mixed bed that is well short of its
// endpoint: every constituent at 3 parts in 1000 of what entered. A spent bed
// lets far more pass: see [Bed.Life] for when, [Polisher] for what. Source:
// [Memory]. The error is that of water's own equilibrium.
func InService(w water.Water) (water.Water, error) {
	for c := range w.Total {
		w.Total[c] *= slip
	}
	w.Alkalinity *= quantity.EquivConc(slip)
	if _, err := water.Equilibrate(w); err != nil {
		return w, fmt.Errorf("mixed bed in service: %w", err)
	}
	return w, nil
}
