package quantity

import (
	"math"
	"strconv"
)

// System is the set of units a person reads.
type System uint8

// The two systems.
const (
	US System = iota
	SI
)

// String returns "US" or "SI".
func (s System) String() string {
	if s == SI {
		return "SI"
	}
	return "US"
}

// Format prints q in the units of s with the digits that fit, as [FormatLocale]
// with a decimal point.
func Format[Q Quantity](q Q, s System) string { return FormatLocale(q, s, Locale{}) }

// FormatLocale prints q in the units of s with the digits that fit: three
// figures, whole numbers in full ("1,285 gal"), no zeros that end the decimals,
// temperatures with at most one decimal. The unit suits the size: gpd or gpm,
// mm or m.
//
// [Parse] reads the text back to q within half of the last digit shown, and
// printing that again gives the same text. An exponent is used below 0.0001 and
// from 1e9. A value that is not finite prints as
// "no value", which Parse refuses.
func FormatLocale[Q Quantity](q Q, s System, loc Locale) string {
	if !finite(float64(q)) {
		return "no value"
	}
	digits, u := fitKind(q.kind(), float64(q), s)
	return withUnit(localize(digits, loc), u)
}

// FormatBeside prints q as [FormatLocale] does, in the unit that reference
// prints in, so that a range is read in one unit: 1,344 gpd beside 1.1 gpm is
// 0.933 gpm. A reference of nothing has no unit to follow.
func FormatBeside[Q Quantity](q, reference Q, s System, loc Locale) string {
	return FormatKindBeside(q.kind(), float64(q), float64(reference), s, loc)
}

func withUnit(digits string, u *unit) string {
	if u.name == "" {
		return digits
	}
	return digits + " " + u.name
}

// fitKind prints si in the first unit, from small to large, whose bound the
// printed number stays below. A number that only rounding carries to the bound
// goes on as the bound, or the larger unit could round it down again: 119.6 s is
// 2 min, not 1.99 min.
func fitKind(k Kind, si float64, s System) (digits string, u *unit) {
	style, sizes := shown[k].style, shown[k].in(s)
	if si == 0 {
		u = mustFind(k, plainUnit(k, s))
		if k == KindRatio {
			u = mustFind(k, sizes[0].unit) // "0 %", not a bare 0
		}
		return style.fit(u.fromSI(0)), u
	}
	for _, size := range sizes {
		u = mustFind(k, size.unit)
		digits = style.fit(u.fromSI(si))
		x, err := strconv.ParseFloat(digits, 64)
		back := u.toSI(x)
		if err != nil || !finite(back) || style == threeFigures && math.Abs(back) < fewDigits {
			continue
		}
		if size.below == 0 || math.Abs(x) < size.below {
			return digits, u
		}
		if math.Abs(u.fromSI(si)) < size.below {
			si = back
		}
	}
	u = indexes[k].units[0] // too large or too small for the units people read
	return shortExponent(strconv.FormatFloat(si, 'e', -1, 64)), u
}

// fewDigits is where float64 starts to run out of digits in other units.
const fewDigits = 1e-290

// mustFind returns a unit that the tables of this package name; a test holds
// that they are all there.
func mustFind(k Kind, spelling string) *unit {
	return indexes[k].exact[unitKey(spelling)]
}

// A size is a unit that is used while the printed number stays below a bound.
type size struct {
	unit  string
	below float64 // no bound if zero
}

// showing is how a kind is printed: its units from small to large.
type showing struct {
	si    []size
	us    []size // as si if nil
	style style
}

func (show showing) in(s System) []size {
	if s == US && show.us != nil {
		return show.us
	}
	return show.si
}

var shown = map[Kind]showing{
	KindPressure:              {si: []size{{unit: "bar"}}, us: []size{{unit: "psi"}}},
	KindFlow:                  {si: []size{{unit: "L/min"}}, us: []size{{"gpd", 1440}, {unit: "gpm"}}},
	KindVolume:                {si: []size{{"L", 1e4}, {unit: "m3"}}, us: []size{{unit: "gal"}}},
	KindLength:                {si: []size{{"um", 100}, {"mm", 1e3}, {unit: "m"}}, us: []size{{"in", 36}, {unit: "ft"}}},
	KindArea:                  {si: []size{{unit: "m2"}}, us: []size{{unit: "ft2"}}},
	KindMass:                  {si: []size{{"g", 1e3}, {unit: "kg"}}, us: []size{{unit: "lb"}}},
	KindTemperature:           {si: []size{{unit: "C"}}, us: []size{{unit: "F"}}, style: oneDecimal},
	KindTemperatureDifference: {si: []size{{unit: "C"}}, us: []size{{unit: "F"}}, style: oneDecimal},
	KindTime:                  {si: []size{{"s", 120}, {"min", 120}, {"h", 72}, {unit: "d"}}},
	KindPower:                 {si: []size{{"W", 1e3}, {unit: "kW"}}},
	KindEnergy:                {si: []size{{"Wh", 1e3}, {unit: "kWh"}}},
	KindRatio:                 {si: []size{{unit: "%"}}},
	KindPH:                    {si: []size{{unit: "1"}}},
	KindSpeed:                 {si: []size{{unit: "m/s"}}, us: []size{{unit: "ft/s"}}},
	KindFlux:                  {si: []size{{unit: "LMH"}}, us: []size{{unit: "gfd"}}},
	KindConductivity:          {si: []size{{unit: "uS/cm"}}},
	KindResistivity:           {si: []size{{"kOhm.cm", 1e3}, {unit: "MOhm.cm"}}},
	KindDensity:               {si: []size{{unit: "kg/m3"}}, us: []size{{unit: "lb/ft3"}}},
	KindViscosity:             {si: []size{{unit: "mPa.s"}}},
	KindDiffusivity:           {si: []size{{unit: "m2/s"}}},
	KindMassConc:              {si: []size{{"ug/L", 100}, {unit: "mg/L"}}},
	KindCaCO3Conc:             {si: []size{{unit: "mg/L as CaCO3"}}, us: []size{{unit: "gpg"}}},
	KindMolarConc:             {si: []size{{unit: "mmol/L"}}},
	KindEquivConc:             {si: []size{{unit: "meq/L"}}},
	KindWaterPermeability:     {si: []size{{unit: "LMH/bar"}}, us: []size{{unit: "gfd/psi"}}},
	KindSaltPermeability:      {si: []size{{unit: "LMH"}}, us: []size{{unit: "gfd"}}},
	KindExposure:              {si: []size{{unit: "mg.h/L"}}},
}
