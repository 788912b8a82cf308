package water

import (
	"fmt"
	"strconv"

	"rinsewright/quantity"
)

// Scale is what a pen multiplies conductivity by to show "ppm": the salt whose
// solution would conduct as much, or a fixed factor. The zero Scale is none.
type Scale struct {
	salt   saltName
	factor float64 // mg/L shown per µS/cm at 25 °C, when there is no salt
}

type saltName uint8

const (
	noSalt saltName = iota
	saltNaCl
	saltKCl
	salt442
)

// The scales that pens carry. 442 is 40 % sodium sulphate, 40 % sodium
// bicarbonate and 20 % sodium chloride by mass.
var (
	ScaleNaCl = Scale{salt: saltNaCl}
	ScaleKCl  = Scale{salt: saltKCl}
	Scale442  = Scale{salt: salt442}
)

// CustomScale returns the scale of a fixed factor, mg/L shown per µS/cm at 25
// °C. The error wraps [ErrRange] unless it is 0.2 to 1.2.
func CustomScale(factor float64) (Scale, error) {
	if err := inRange("pen scale", "factor (mg/L per µS/cm)", factor, 0.2, 1.2); err != nil {
		return Scale{}, err
	}
	return Scale{factor: factor}, nil
}

// salts is moles of each ion per kg of a scale's salt.
type salts struct {
	sodium, potassium, chloride, sulphate, bicarbonate float64
}

const (
	massNaCl   = 58.4428e-3  // kg/mol
	massKCl    = 74.555e-3   // kg/mol
	massNa2SO4 = 142.0436e-3 // kg/mol
	massNaHCO3 = 84.0089e-3  // kg/mol
)

func (s Scale) salts() (salts, bool) {
	switch s.salt {
	case saltNaCl:
		return salts{sodium: 1 / massNaCl, chloride: 1 / massNaCl}, true
	case saltKCl:
		return salts{potassium: 1 / massKCl, chloride: 1 / massKCl}, true
	case salt442:
		return salts{
			sodium: 0.8/massNa2SO4 + 0.4/massNaHCO3 + 0.2/massNaCl, chloride: 0.2 / massNaCl,
			sulphate: 0.4 / massNa2SO4, bicarbonate: 0.4 / massNaHCO3,
		}, true
	}
	return salts{}, false
}

// String returns the scale's name, or its factor.
func (s Scale) String() string {
	switch s.salt {
	case saltNaCl:
		return "NaCl"
	case saltKCl:
		return "KCl"
	case salt442:
		return "442"
	}
	return strconv.FormatFloat(s.factor, 'g', -1, 64)
}

// Valid reports whether s is a named scale or a factor from 0.2 to 1.2.
func (s Scale) Valid() bool {
	_, named := s.salts()
	return named || 0.2 <= s.factor && s.factor <= 1.2
}

const (
	strongestPen   = 200.0 // kg/m³ of salt, beyond any pen
	microPerSiemen = 1e4   // µS/cm in 1 S/m
)

// Conductivity returns the conductivity at 25 °C of a water that a pen on scale
// s shows as ppm: for a named scale that of its salt, water's own 0.055 µS/cm
// included. Source: [McCleskey2012] for the salt.
//
// The error wraps [ErrRange] for a scale that is not [Scale.Valid] or ppm
// outside 0 to 200 g/L.
func (s Scale) Conductivity(ppm quantity.MassConc) (quantity.Conductivity, error) {
	if err := s.check("conductivity of a pen reading", float64(ppm)); err != nil {
		return 0, err
	}
	k, named := s.salts()
	if !named {
		return quantity.Conductivity(float64(ppm) * 1000 / s.factor / microPerSiemen), nil
	}
	return quantity.Conductivity(k.conductivity(float64(ppm), reference25) + pureConductivity(reference25)), nil
}

// Reading returns what a pen on scale s shows in water of conductivity k at 25 °C:
// the mass of the scale's salt that conducts as much. Below water's own
// conductivity it shows 0.
//
// The salts' published figures in [S65] for 84 µS/cm are 38 (NaCl), 40 (KCl) and
// 50.5 (442) ppm; the salts themselves would be some 5 % more, so that a
// reading is no better than that. Errors as [Scale.Conductivity].
func (s Scale) Reading(k quantity.Conductivity) (quantity.MassConc, error) {
	const operation = "reading of a pen"
	if err := s.check(operation, 0); err != nil {
		return 0, err
	}
	if err := inRange(operation, "conductivity (S/m)", float64(k), 0, 20); err != nil {
		return 0, err
	}
	salt, named := s.salts()
	if !named {
		return quantity.MassConc(float64(k) * microPerSiemen * s.factor / 1000), nil
	}
	return quantity.MassConc(salt.massOf(float64(k), reference25)), nil
}

// NaClEquivalent returns the sodium chloride whose solution has conductivity k
// at temperature t: the inverse of conductivity for a dilute permeate, free of
// a meter's temperature compensation.
//
// Source: [McCleskey2012]; within 2.5 % of [SmithPiping2009] from 0 to 2000
// mg/L at 25 °C. The error wraps [ErrRange] outside 0 to 60 °C and 0 to 20 S/m.
func NaClEquivalent(k quantity.Conductivity, t quantity.Temperature) (quantity.MassConc, error) {
	const operation = "NaCl equivalent"
	if err := inRange(operation, "temperature (°C)", t.Celsius(), 0, 60); err != nil {
		return 0, err
	}
	if err := inRange(operation, "conductivity (S/m)", float64(k), 0, 20); err != nil {
		return 0, err
	}
	salt, _ := ScaleNaCl.salts()
	return quantity.MassConc(salt.massOf(float64(k), float64(t))), nil
}

func (s Scale) check(operation string, ppm float64) error {
	if !s.Valid() {
		return fmt.Errorf("%s: scale %q is neither NaCl, KCl, 442 nor a factor from 0.2 to 1.2: %w", operation, s.String(), ErrRange)
	}
	return inRange(operation, "reading (kg/m³)", ppm, 0, strongestPen)
}

// conductivity of mass (kg/m³) of the salt at t (K), in S/m, without pairs:
// below 1 g/L they matter less than a pen can tell.
func (k *salts) conductivity(mass, t float64) float64 {
	perKilogram := mass / (pureDensity(t) - 0.3*mass)
	i := perKilogram * 0.5 * (k.sodium + k.potassium + k.chloride + k.bicarbonate + 4*k.sulphate)
	l := conductancesAt(t-zeroCelsius, i)
	return 0.1 * mass / 1000 * (k.sodium*l[ionNa] + k.potassium*l[ionK] + k.chloride*l[ionCl] + k.sulphate*l[ionSO4] + k.bicarbonate*l[ionHCO3])
}

// massOf inverts conductivity; conductivity rises with mass, so that halving
// finds the one answer.
func (k *salts) massOf(conductivity, t float64) float64 {
	wanted := conductivity - pureConductivity(t)
	if !(wanted > 0) {
		return 0
	}
	low, high := 0.0, strongestPen
	guess := wanted / k.conductivity(1e-6, t) * 1e-6 // mass at infinite dilution: too low
	if guess < high && k.conductivity(guess, t) <= wanted {
		low = guess
	}
	for range 80 {
		middle := (low + high) / 2
		if k.conductivity(middle, t) < wanted {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}
