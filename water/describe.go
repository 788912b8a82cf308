package water

import (
	"math"

	"rinsewright/quantity"
)

// Analysis is a full laboratory analysis as printed: ions by mass in the form
// [Component.Mass] names (Carbon is not read), alkalinity as CaCO3, pH and the
// temperature at which pH was read.
type Analysis struct {
	Mass        [NComponents]quantity.MassConc
	Alkalinity  quantity.CaCO3Conc
	PH          float64
	Temperature quantity.Temperature
}

// Water returns the water of an analysis with the carbon its pH asks for, at
// equilibrium. Errors as [WithPH].
func (a Analysis) Water() (Water, Solution, error) {
	w := Water{Alkalinity: a.Alkalinity.Equivalents(), Temperature: a.Temperature}
	for c, mass := range a.Mass {
		if Component(c) != Carbon {
			w.Total[c] = Component(c).Molar(mass)
		}
	}
	return WithPH(w, a.PH)
}

// Description is all that is told of one water.
type Description struct {
	Water           Water
	Solution        Solution
	Index           [NMinerals]float64 // saturation indices, pure numbers
	Conductivity    quantity.Conductivity
	Conductivity25  quantity.Conductivity
	Density         quantity.Density
	Viscosity       quantity.Viscosity
	OsmoticPressure quantity.Pressure
}

// LogCO2Pressure returns log10 of the CO2 pressure of s in atm, a number; -99
// without CO2.
func (s Solution) LogCO2Pressure() float64 {
	p := float64(s.CO2Pressure()) / pascalsPerAtmosphere
	if !(p > 0) {
		return nothing
	}
	return math.Log10(p)
}

// Describe returns what there is to tell of a closed water. Errors as
// [Equilibrate].
func Describe(w Water) (Description, error) {
	s, err := Equilibrate(w)
	if err != nil {
		return Description{}, err
	}
	return describe(w, s)
}

func describe(w Water, s Solution) (Description, error) {
	at25, err := w.Conductivity25()
	if err != nil {
		return Description{}, err
	}
	d := Description{
		Water: w, Solution: s, Conductivity: s.Conductivity(), Conductivity25: at25, Density: s.Density(),
		Viscosity: s.Viscosity(), OsmoticPressure: s.OsmoticPressure(),
	}
	for m := range NMinerals {
		d.Index[m] = s.SaturationIndex(m)
	}
	return d, nil
}

// DescribeWater describes an analysis as it stands. Errors as [WithPH].
func DescribeWater(a Analysis) (Description, error) {
	w, s, err := a.Water()
	if err != nil {
		return Description{}, err
	}
	return describe(w, s)
}

// DescribeConcentrate describes an analysis after all but 1/factor of its
// water is gone. The error wraps [ErrRange] unless 0 < factor ≤ 100, else as [WithPH].
func DescribeConcentrate(a Analysis, factor float64) (Description, error) {
	if err := inRange("concentrate", "concentration factor", factor, 1e-6, 100); err != nil {
		return Description{}, err
	}
	w, _, err := a.Water()
	if err != nil {
		return Description{}, err
	}
	return Describe(w.Concentrate(factor))
}

// DescribeDose describes an analysis brought to a pH with a reagent in a closed vessel, and
// the dose. Errors as [WithPH] and [AcidTo].
func DescribeDose(a Analysis, pH float64, reagent Reagent) (Description, Dose, error) {
	w, _, err := a.Water()
	if err != nil {
		return Description{}, Dose{}, err
	}
	dosed, s, dose, err := AcidTo(w, pH, reagent)
	if err != nil {
		return Description{}, Dose{}, err
	}
	d, err := describe(dosed, s)
	return d, dose, err
}

// DescribeOpenToAir describes an analysis after it has stood open to air long
// enough, [AirCO2]. Errors as [WithPH].
func DescribeOpenToAir(a Analysis) (Description, error) {
	w, _, err := a.Water()
	if err != nil {
		return Description{}, err
	}
	aired, s, err := OpenToAir(w, AirCO2)
	if err != nil {
		return Description{}, err
	}
	return describe(aired, s)
}

// DescribeBlend describes two analyses mixed, shareA of the first by mass of
// water. The error wraps [ErrRange] unless the share is 0 to 1, else as [WithPH].
func DescribeBlend(a, b Analysis, shareA quantity.Ratio) (Description, error) {
	if err := inRange("blend", "share of the first water", float64(shareA), 0, 1); err != nil {
		return Description{}, err
	}
	first, _, err := a.Water()
	if err != nil {
		return Description{}, err
	}
	second, _, err := b.Water()
	if err != nil {
		return Description{}, err
	}
	return Describe(Blend(first, second, shareA))
}

// Recipe is a dilute water made up from salts, each weighed as itself, as
// permeates are described in tables.
type Recipe struct {
	SodiumChloride    quantity.MassConc
	SodiumBicarbonate quantity.MassConc
	CarbonDioxide     quantity.MassConc
	Calcium           quantity.MassConc // as Ca, added as CaCl2
	Silica            quantity.MassConc // as SiO2
	Temperature       quantity.Temperature
}

// Water returns the water of a recipe; its alkalinity is what charge balance
// leaves.
func (r Recipe) Water() Water {
	salt, soda := float64(r.SodiumChloride)/massNaCl, float64(r.SodiumBicarbonate)/massNaHCO3
	w := Water{Temperature: r.Temperature}
	w.Total[Sodium] = concentration(salt + soda)
	w.Total[Calcium] = Calcium.Molar(r.Calcium)
	w.Total[Chloride] = concentration(salt) + 2*w.Total[Calcium]
	w.Total[Silica] = Silica.Molar(r.Silica)
	w.Total[Carbon] = concentration(soda) + CarbonDioxideMolar(r.CarbonDioxide)
	w.Alkalinity = charge(soda)
	return w
}

// DescribePermeate describes a recipe. Errors as [Equilibrate].
func DescribePermeate(r Recipe) (Description, error) { return Describe(r.Water()) }

// calciteMass is kg/mol of CaCO3.
const calciteMass = 100.0911e-3

// Settling is what calcite did on the way to balance.
type Settling struct {
	Amount quantity.MolarConc // settled per volume of water; negative: dissolved
	Mass   quantity.MassConc
}

// DescribeCalcite describes an analysis, concentrated by factor, after calcite
// has come to balance. Errors as [DescribeConcentrate] and [CalciteEquilibrium].
func DescribeCalcite(a Analysis, factor float64) (Description, Settling, error) {
	if err := inRange("calcite equilibrium", "concentration factor", factor, 1e-6, 100); err != nil {
		return Description{}, Settling{}, err
	}
	w, _, err := a.Water()
	if err != nil {
		return Description{}, Settling{}, err
	}
	settled, s, amount, err := CalciteEquilibrium(w.Concentrate(factor))
	if err != nil {
		return Description{}, Settling{}, err
	}
	d, err := describe(settled, s)
	return d, Settling{amount, quantity.MassConc(float64(amount) * calciteMass)}, err
}
