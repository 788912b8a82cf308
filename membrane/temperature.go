package membrane

import (
	"math"

	"rinsewright/quantity"
)

// reference is the temperature at which A and B are stated.
const reference = 298.15 // K

// Energies is how steeply a permeability follows temperature: the Arrhenius
// constant E/R, below and above the reference of 25 °C.
type Energies struct {
	Below, Above quantity.TemperatureDifference
}

// The defaults; see [WaterEnergies] and [SaltEnergies].
var (
	waterEnergies = Energies{Below: 3020, Above: 2640}
	saltEnergies  = Energies{Below: 4000, Above: 4000}
)

// WaterEnergies returns the default for water permeability: 3020 K below
// 25 °C and 2640 K above.
//
// Source: [Memory], widely used; [D4516] leaves the constant to the supplier.
func WaterEnergies() Energies { return waterEnergies }

// SaltEnergies returns the default for salt permeability: 4000 K.
//
// Source: [Memory], ± 500 K between makes. Salt rises faster than water.
func SaltEnergies() Energies { return saltEnergies }

// Factor returns permeability at t over that at the reference temperature ref
// (25 °C is 298.15 K; [D4516] practice often rounds it to 298):
//
//	TCF = exp(E (1/ref − 1/t))
//
// Source: [D4516], form; constants are the membrane's. Valid 0 to 60 °C; the
// error wraps [ErrRange] outside it or for E beyond 0 to 20 000 K.
func (e Energies) Factor(t, ref quantity.Temperature) (float64, error) {
	err := within("membrane: temperature factor",
		bound{"temperature", float64(t), 273, 333.15, "K"},
		bound{"reference", float64(ref), 273, 333.15, "K"},
		bound{"Arrhenius constant below", float64(e.Below), 0, 2e4, "K"},
		bound{"Arrhenius constant above", float64(e.Above), 0, 2e4, "K"})
	if err != nil {
		return 0, err
	}
	return e.factor(float64(t), float64(ref)), nil
}

func (e Energies) factor(t, ref float64) float64 {
	k := float64(e.Above) // K
	if t < ref {
		k = float64(e.Below)
	}
	return math.Exp(k * (1/ref - 1/t))
}

// RuleFactor returns the rule of thumb for water permeability, 3 % per degree:
//
//	TCF = 1.03^(T − 25 °C)
//
// Source: [Practice], a rule of thumb; 10 % high at 10 °C against [WaterEnergies].
// The error wraps [ErrRange] outside 0 to 60 °C.
func RuleFactor(t quantity.Temperature) (float64, error) {
	if err := within("membrane: rule factor", bound{"temperature", float64(t), 273, 333.15, "K"}); err != nil {
		return 0, err
	}
	return math.Pow(1.03, float64(t)-reference), nil
}
