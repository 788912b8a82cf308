package resin

import "rinsewright/quantity"

// Supply is how spent resin is replaced.
type Supply string

// The ways a charge is replaced.
const (
	Refill   Supply = "refill"   // new resin into the same bottle, the old thrown away
	Exchange Supply = "exchange" // a bottle regenerated at a licensed plant, swapped
)

// Upkeep is what a year of a bed takes, as amounts that a price list turns into
// money.
type Upkeep struct {
	Supply    Supply
	Changes   float64         // charges a year, dimensionless
	Resin     quantity.Volume // of resin a year
	PerCharge quantity.Volume // of water
	Trips     float64         // drives a year, dimensionless: as many as charges, or fewer where vessels are swapped together
	ByAge     bool            // changed for its age rather than its load
}

// shelfYears is how long a charge lasts that nothing uses up. Source: [Practice],
// about two years sealed and cool.
const shelfYears = 2.0

// Upkeep returns what a year of water takes of charges:
//
//	changes = V_year / V_charge, at least one in two years
//
// Source: definition; shelf life [Practice]. perCharge is [Reach].Volume for new
// resin, and that of a [Regenerated] bed for exchange. The error wraps [ErrRange]
// for a volume of 0 or less.
func (b Bed) Upkeep(s Supply, perCharge, perYear quantity.Volume, chargesPerTrip float64) (Upkeep, error) {
	const operation = "resin upkeep"
	if err := firstError(
		above(operation, "bed volume", float64(b.Volume), mostBedVolume, "m³"),
		above(operation, "water per charge", float64(perCharge), 1e6, "m³"),
		within(operation, "water per year", float64(perYear), 0, 1e7, "m³"),
		within(operation, "charges per trip", chargesPerTrip, 1, 100, ""),
	); err != nil {
		return Upkeep{}, err
	}
	changes := float64(perYear) / float64(perCharge)
	u := Upkeep{Supply: s, PerCharge: perCharge, ByAge: changes < 1/shelfYears}
	u.Changes = max(changes, 1/shelfYears)
	u.Resin = b.Volume * quantity.Volume(u.Changes)
	u.Trips = u.Changes / chargesPerTrip
	return u, nil
}
