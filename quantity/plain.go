package quantity

import "fmt"

// In returns q as a number in unit, which is spelt as [Parse] would read it;
// the unit of a [PH], and of a [Ratio] as a fraction, is "1". The error is a [*ParseError]
// wrapping [ErrUnit] if the unit is unknown or of another kind, and wraps
// [ErrNumber] if the number does not fit a float64.
func In[Q Quantity](q Q, unit string) (float64, error) {
	u, fault := unitOf(q.kind(), unit, unit)
	if fault != nil {
		return 0, fault
	}
	x := u.fromSI(float64(q))
	if !finite(x) {
		return 0, fmt.Errorf("convert a %s to %s: %w", q.kind(), u.plain, ErrNumber)
	}
	return x, nil
}

// PlainUnit returns the ASCII unit of Q in s for a key or a column: "bar" or
// "psi", "L/min" or "gpm", and "1" for a [Ratio] or [PH]. Unlike [Format] it does not
// change with size.
func PlainUnit[Q Quantity](s System) string {
	var q Q
	return plainUnit(q.kind(), s)
}

// Plain returns q as a number in the unit of [PlainUnit], and that unit. Where
// the number would not fit a float64 the unit is the SI one.
func Plain[Q Quantity](q Q, s System) (float64, string) {
	u := mustFind(q.kind(), plainUnit(q.kind(), s))
	x := u.fromSI(float64(q))
	if !finite(x) {
		return float64(q), indexes[q.kind()].units[0].plain
	}
	return x, u.plain
}

func plainUnit(k Kind, s System) string {
	units := plainUnits[k]
	if s == US && units.us != "" {
		return units.us
	}
	return units.si
}

var plainUnits = map[Kind]struct{ si, us string }{
	KindPressure:              {"bar", "psi"},
	KindFlow:                  {"L/min", "gpm"},
	KindVolume:                {"L", "gal"},
	KindLength:                {"m", "ft"},
	KindArea:                  {"m2", "ft2"},
	KindMass:                  {"kg", "lb"},
	KindTemperature:           {"C", "F"},
	KindTemperatureDifference: {"C", "F"},
	KindTime:                  {"s", ""},
	KindPower:                 {"W", ""},
	KindEnergy:                {"kWh", ""},
	KindRatio:                 {"1", ""},
	KindPH:                    {"1", ""},
	KindSpeed:                 {"m/s", "ft/s"},
	KindFlux:                  {"LMH", "gfd"},
	KindConductivity:          {"uS/cm", ""},
	KindResistivity:           {"MOhm.cm", ""},
	KindDensity:               {"kg/m3", "lb/ft3"},
	KindViscosity:             {"mPa.s", ""},
	KindDiffusivity:           {"m2/s", ""},
	KindMassConc:              {"mg/L", ""},
	KindCaCO3Conc:             {"mg/L as CaCO3", "gpg"},
	KindMolarConc:             {"mmol/L", ""},
	KindEquivConc:             {"meq/L", ""},
	KindWaterPermeability:     {"LMH/bar", "gfd/psi"},
	KindSaltPermeability:      {"LMH", "gfd"},
	KindExposure:              {"mg.h/L", ""},
}
