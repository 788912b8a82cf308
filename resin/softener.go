package resin

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// Softener figures. The salt table gives capacity by dose, both per volume of
// resin; between its points capacity follows a monotone cubic.
const (
	saltLimitGrainsPerLb = 5994.0 // grains as CaCO3 per lb of NaCl: stoichiometry
	leastDose            = 3.0    // lb/ft³
	mostDose             = 15.0   // lb/ft³
	ironGrainsPerMgL     = 3.0    // gpg of hardness that 1 mg/L of iron counts as [SalePages]
	regenerationGallons  = 60.0   // gal of water per ft³ of resin and regeneration [Memory]
	serviceRate          = 7.0    // gpm/ft² [MILHDBK1164]: 6 to 7
	backwashRate         = 7.0    // gpm/ft² [MILHDBK1164]: 6 to 8
	poundsKilograms      = 0.45359237
	leakReference        = 10.0 // eq/m³, strength of the water at which the leak table holds
	mostSoftener         = 20.0 // m³ of resin
)

// saltTable is capacity by salt dose, one cubic foot of strong acid resin, salt
// from below [SalePages]. Other pages say 21,000 at 6 lb: 6 % doubt.
var saltTable = [...]struct{ dose, capacity, leak float64 }{
	{6, 20000, 3.0}, // lb/ft³, grains/ft³, mg/L CaCO3 leaked at leakReference [Memory]
	{8, 24000, 2.0},
	{10, 27000, 1.3},
	{15, 30000, 0.6},
}

// Softener is a bed of strong acid resin in the sodium form.
type Softener struct {
	Resin    quantity.Volume
	Salt     quantity.Mass   // NaCl per regeneration
	Reserve  quantity.Ratio  // share of capacity kept back, so that it never runs out in the day
	Diameter quantity.Length // inside, of the vessel
}

// SoftenerCapacity returns the hardness that resin takes up between two
// regenerations with a given mass of salt, as CaCO3 per volume of resin, by
// monotone interpolation of
//
//	6 lb/ft³ 20,000 · 8 lb 24,000 · 10 lb 27,000 · 15 lb 30,000 grains/ft³
//
// and below 6 lb at that point's 3,333 grains per lb, which is cautious. Source:
// [SalePages], 6 % doubt. The error wraps [ErrRange] outside 3 to 15 lb/ft³ (48
// to 240 kg/m³).
func SoftenerCapacity(salt quantity.Mass, resin quantity.Volume) (quantity.CaCO3Conc, error) {
	const operation = "softener capacity"
	dose, err := saltDose(operation, salt, resin)
	if err != nil {
		return 0, err
	}
	if dose < saltTable[0].dose {
		return GrainsPerCubicFoot(dose * saltTable[0].capacity / saltTable[0].dose), nil
	}
	return GrainsPerCubicFoot(monotone(dose, func(i int) (float64, float64) {
		return saltTable[i].dose, saltTable[i].capacity
	})), nil
}

// CheckSaltRating refuses a capacity typed from a leaflet that no softener can
// have. One pound of NaCl regenerates at most 5,994 grains:
//
//	50.0435/58.443 kg CaCO3 per kg NaCl
//
// Source: stoichiometry. Leaflets that quote grains per pound per tank as if per
// cubic foot are caught so. The error wraps [ErrRange] beyond that limit.
func CheckSaltRating(capacity quantity.CaCO3Conc, salt quantity.Mass, resin quantity.Volume) error {
	const operation = "salt rating"
	if err := firstError(
		above(operation, "capacity", float64(capacity), 300, "kg/m³"),
		above(operation, "salt", float64(salt), 5000, "kg"),
		above(operation, "resin", float64(resin), mostSoftener, "m³"),
	); err != nil {
		return err
	}
	perPound := InGrainsPerCubicFoot(capacity) * resin.CubicFeet() / (float64(salt) / poundsKilograms)
	if !(perPound <= saltLimitGrainsPerLb) {
		return fmt.Errorf("%s: %.0f grains per lb of salt, more than the %.0f that salt can give: %w", operation, perPound, saltLimitGrainsPerLb, ErrRange)
	}
	return nil
}

// CompensatedHardness returns hardness with what clear-water iron uses up
// beside it:
//
//	H' = H + 3 gpg per mg/L Fe
//
// Source: [SalePages]; a rule of thumb, up to about 2 mg/L of iron, past which a
// softener is the wrong answer and the error wraps [ErrRange].
func CompensatedHardness(h quantity.CaCO3Conc, iron quantity.MassConc) (quantity.CaCO3Conc, error) {
	const operation = "compensated hardness"
	if err := firstError(
		within(operation, "hardness", float64(h), 0, 10, "kg/m³"),
		within(operation, "iron", float64(iron), 0, 2e-3, "kg/m³"),
	); err != nil {
		return 0, err
	}
	grain := kilogramsPerGrain / float64(quantity.Gallons(1)) // kg/m³ in 1 gpg
	return h + quantity.CaCO3Conc(ironGrainsPerMgL*grain*iron.MilligramsPerLitre()), nil
}

// Cycle is one run of a softener from regeneration to regeneration.
type Cycle struct {
	Capacity     quantity.CaCO3Conc // of the resin at this salt dose, as CaCO3
	Water        quantity.Volume    // softened before the next regeneration is due, reserve kept
	Salt         quantity.Mass      // per regeneration
	Waste        quantity.Volume    // to drain per regeneration: backwash, brine, rinses
	Leak         quantity.CaCO3Conc // hardness in the softened water
	Efficiency   quantity.Ratio     // of the salt: hardness removed over stoichiometry
	MostFlow     quantity.Flow      // in service
	BackwashFlow quantity.Flow
}

// Cycle returns what one run gives on a feed of hardness h (see
// [CompensatedHardness]) and total strength (all cations):
//
//	V = q V_resin (1 - reserve) / h
//	leak = l(dose) (strength / 10 eq/m³)², at most h
//
// The leak grows with the square of strength because a divalent ion competes
// with two sodiums [Helfferich1962]; its table is [Memory], good to a factor of
// two, for brine that flows the way the water does. Flows are 7 gpm/ft² in
// service and in backwash [MILHDBK1164]; 60 gallons of waste per cubic foot
// [Memory]. Volumes are of *feed*: permeate over recovery. The error wraps
// [ErrNoLoad] for water without hardness, else [ErrRange].
func (s Softener) Cycle(h quantity.CaCO3Conc, strength quantity.EquivConc) (Cycle, error) {
	const operation = "softener cycle"
	dose, err := saltDose(operation, s.Salt, s.Resin)
	if err != nil {
		return Cycle{}, err
	}
	if err := firstError(
		within(operation, "reserve", float64(s.Reserve), 0, 0.9, ""),
		above(operation, "diameter", float64(s.Diameter), 5, "m"),
		within(operation, "hardness", float64(h), 0, 10, "kg/m³"),
		within(operation, "strength", float64(strength), 0, mostConcentration, "eq/m³"),
	); err != nil {
		return Cycle{}, err
	}
	if h < 1e-6 { // kg/m³, a thousandth of a mg/L
		return Cycle{}, fmt.Errorf("%s: no hardness: %w", operation, ErrNoLoad)
	}
	capacity, err := SoftenerCapacity(s.Salt, s.Resin)
	if err != nil {
		return Cycle{}, err
	}
	area := math.Pi / 4 * float64(s.Diameter) * float64(s.Diameter) // m²
	squareFoot := float64(quantity.Feet(1)) * float64(quantity.Feet(1))
	perPound := InGrainsPerCubicFoot(capacity) / dose
	return Cycle{
		Capacity:     capacity,
		Water:        s.Resin * quantity.Volume(float64(capacity)*(1-float64(s.Reserve))/float64(h)),
		Salt:         s.Salt,
		Waste:        quantity.Gallons(regenerationGallons * s.Resin.CubicFeet()),
		Leak:         min(h, leakOf(dose, strength)),
		Efficiency:   quantity.Ratio(perPound / saltLimitGrainsPerLb),
		MostFlow:     quantity.GallonsPerMinute(serviceRate * area / squareFoot),
		BackwashFlow: quantity.GallonsPerMinute(backwashRate * area / squareFoot),
	}, nil
}

// Interval returns the time between regenerations at a mean feed per day:
//
//	t = V / V_day
//
// Source: definition. The error wraps [ErrRange] unless the feed is 1e-6 to
// 10,000 m³ a day.
func (c Cycle) Interval(perDay quantity.Volume) (quantity.Time, error) {
	if err := within("regeneration interval", "feed per day", float64(perDay), 1e-6, 1e4, "m³"); err != nil {
		return 0, err
	}
	return quantity.Days(float64(c.Water) / float64(perDay)), nil
}

// leakOf interpolates the leak table; below its first dose the leak grows as the
// dose falls, so that less salt never leaks less.
func leakOf(dose float64, strength quantity.EquivConc) quantity.CaCO3Conc {
	first := saltTable[0]
	leak := first.leak * first.dose / dose
	if dose >= first.dose {
		leak = monotone(dose, func(i int) (float64, float64) { return saltTable[i].dose, saltTable[i].leak })
	}
	ratio := float64(strength) / leakReference
	return quantity.MilligramsPerLitreCaCO3(leak * ratio * ratio)
}

// saltDose returns salt per resin in lb/ft³, the unit of the table.
func saltDose(operation string, salt quantity.Mass, resin quantity.Volume) (float64, error) {
	if err := firstError(
		above(operation, "salt", float64(salt), 5000, "kg"),
		above(operation, "resin", float64(resin), mostSoftener, "m³"),
	); err != nil {
		return 0, err
	}
	dose := float64(salt) / poundsKilograms / resin.CubicFeet()
	const slack = 1e-9 // conversions must not push a round dose past its limit
	if err := within(operation, "salt dose", dose, leastDose*(1-slack), mostDose*(1+slack), "lb/ft³"); err != nil {
		return 0, err
	}
	return min(max(dose, leastDose), mostDose), nil
}

// monotone interpolates the salt table at x by cubic Hermite pieces whose slopes
// are harmonic means of the neighbouring chords, which never overshoot.
func monotone(x float64, at func(int) (float64, float64)) float64 {
	last := len(saltTable) - 1
	i := 0
	for i < last-1 {
		if next, _ := at(i + 1); x <= next {
			break
		}
		i++
	}
	x0, y0 := at(i)
	x1, y1 := at(i + 1)
	h := x1 - x0
	t := (x - x0) / h
	m0, m1 := slope(i, at)*h, slope(i+1, at)*h
	return y0*(1+2*t)*(1-t)*(1-t) + m0*t*(1-t)*(1-t) + y1*t*t*(3-2*t) - m1*t*t*(1-t)
}

// slope is the harmonic mean of the chords either side of point i, or the only
// chord at an end.
func slope(i int, at func(int) (float64, float64)) float64 {
	chord := func(i int) float64 {
		x0, y0 := at(i)
		x1, y1 := at(i + 1)
		return (y1 - y0) / (x1 - x0)
	}
	switch i {
	case 0:
		return chord(0)
	case len(saltTable) - 1:
		return chord(i - 1)
	}
	a, b := chord(i-1), chord(i)
	if a*b <= 0 {
		return 0
	}
	return 2 * a * b / (a + b)
}
