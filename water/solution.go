package water

import (
	"math"

	"rinsewright/quantity"
)

// Solution is a water at equilibrium: every species and its activity. It is a
// value; copying it is cheap and it shares nothing.
type Solution struct {
	// PH is -log10 of the activity of H+.
	PH float64
	// IonicStrength is ½ Σ z² m over all species, ion pairs included, as a
	// number of mol per kg of water.
	IonicStrength float64

	free    [nBasis]float64  // free ions and H+, mol/kg
	species [nFormed]float64 // mol/kg
	total   molal
	content float64 // kg of water per m³
	slopes  debyeHueckel
	steps   int
}

// Water returns the water that is at equilibrium.
func (s Solution) Water() Water { return s.total.perVolume() }

// Temperature returns the temperature of s.
func (s Solution) Temperature() quantity.Temperature { return quantity.Temperature(s.total.t) }

// WaterContent returns the mass of water itself in a volume of s; it turns
// amounts per volume into amounts per kilogram of water.
func (s Solution) WaterContent() quantity.Density { return quantity.Density(s.content) }

// Molality returns an amount per volume of s as a number of mol per kg of
// water, the scale of the reference tables.
func (s Solution) Molality(c quantity.MolarConc) float64 {
	if !(s.content > 0) {
		return 0
	}
	return float64(c) / s.content
}

// MolalityOfAlkalinity returns the alkalinity of s as a number of eq per kg of water.
func (s Solution) MolalityOfAlkalinity() float64 { return s.total.alkalinity }

// MolalityOf returns the total of one component as a number of mol per kg of
// water.
func (s Solution) MolalityOf(c Component) float64 {
	if c >= NComponents {
		return 0
	}
	return s.total.total[c]
}

// Steps returns how many iterations the equilibrium took.
func (s Solution) Steps() int { return s.steps }

func (s *Solution) conc(f formed) quantity.MolarConc {
	return quantity.MolarConc(s.species[f] * s.content)
}

// Free returns the free ion of a component, bound to nothing: Ca+2 for
// Calcium, CO3-2 for Carbon, H4SiO4 for Silica, H3BO3 for Boron, PO4-3 for
// Phosphate, NH4+ for Ammonia.
func (s Solution) Free(c Component) quantity.MolarConc {
	if c >= NComponents {
		return 0
	}
	return quantity.MolarConc(s.free[c] * s.content)
}

// CO2 returns dissolved carbon dioxide.
func (s Solution) CO2() quantity.MolarConc { return s.conc(sCO2) }

// Bicarbonate returns free HCO3-.
func (s Solution) Bicarbonate() quantity.MolarConc { return s.conc(sHCO3) }

// Carbonate returns free CO3-2.
func (s Solution) Carbonate() quantity.MolarConc { return s.Free(Carbon) }

// Hydrogen returns free H+ as an amount; [Solution.PH] is its activity.
func (s Solution) Hydrogen() quantity.MolarConc {
	return quantity.MolarConc(s.free[hydrogen] * s.content)
}

// Hydroxide returns free OH-.
func (s Solution) Hydroxide() quantity.MolarConc { return s.conc(sOH) }

// SilicaIonised returns the silica that carries a charge, H3SiO4- and
// H2SiO4-2; the rest, H4SiO4, is not held by a charge.
func (s Solution) SilicaIonised() quantity.MolarConc { return s.conc(sH3SiO4) + s.conc(sH2SiO4) }

// BoronIonised returns borate, H2BO3-, and its fluoride pair.
func (s Solution) BoronIonised() quantity.MolarConc { return s.conc(sH2BO3) + s.conc(sBFOH3) }

// AmmoniaGas returns the uncharged NH3, which passes a membrane.
func (s Solution) AmmoniaGas() quantity.MolarConc { return s.conc(sNH3) }

// EachSpecies calls visit with every species present: its formula, charge and
// amount, free ions first.
func (s Solution) EachSpecies(visit func(formula string, charge int, c quantity.MolarConc)) {
	names := [NComponents]string{Carbon: "CO3-2", Silica: "H4SiO4", Boron: "H3BO3", Phosphate: "PO4-3", Ammonia: "NH4+"}
	visit("H+", 1, s.Hydrogen())
	for c := range NComponents {
		if s.free[c] <= 0 {
			continue
		}
		name := names[c]
		if name == "" {
			name = components[c].formula + chargeMark(basisCharge[c])
		}
		visit(name, basisCharge[c], s.Free(c))
	}
	for f := range nFormed {
		if s.species[f] > 0 {
			visit(reactions[f].formula, reactions[f].charge, s.conc(f))
		}
	}
}

func chargeMark(z int) string {
	switch z {
	case 1:
		return "+"
	case -1:
		return "-"
	case 2:
		return "+2"
	case -2:
		return "-2"
	}
	return ""
}

// ActivityCoefficient returns the activity coefficient of the free ion of c
// (CO3-2 for Carbon) on the molal scale.
func (s Solution) ActivityCoefficient(c Component) float64 {
	if c >= NComponents {
		return 1
	}
	return math.Pow(10, s.log10Gamma(int(c)))
}

func (s *Solution) log10Gamma(basis int) float64 {
	return s.slopes.log10Gamma(&basisActivity[basis], basisCharge[basis], s.IonicStrength, math.Sqrt(s.IonicStrength))
}

func (s *Solution) log10GammaFormed(f formed) float64 {
	r := &reactions[f]
	return s.slopes.log10Gamma(&r.activity, r.charge, s.IonicStrength, math.Sqrt(s.IonicStrength))
}

// log10Activity of a free ion; -inf never: an absent ion gives -99.
func (s *Solution) log10Activity(basis int) float64 {
	if !(s.free[basis] > 0) {
		return nothing
	}
	return math.Log10(s.free[basis]) + s.log10Gamma(basis)
}

// nothing stands for the log10 of an amount that is not there.
const nothing = -99.0

// WaterActivity returns the activity of water by Raoult's law as the reference
// code has it:
//
//	a_w = 1 - 0.017 Σ m
//
// Source: [GarrelsChrist1965] p. 65. Enough for saturation indices below 1
// mol/kg; osmotic pressure is not taken from it, see [Solution.OsmoticPressure].
func (s Solution) WaterActivity() float64 {
	sum := 0.0
	for c := range s.free[:hydrogen+1] {
		sum += s.free[c]
	}
	for _, m := range s.species {
		sum += m
	}
	return 1 - 0.017*sum
}

// CO2Pressure returns the partial pressure of CO2 in a gas in balance with s,
// absolute.
//
//	p = a(CO2) / K_H
//
// Source: Henry constant of [PHREEQC3dat], row checked against [LogKTable].
func (s Solution) CO2Pressure() quantity.Pressure {
	if !(s.species[sCO2] > 0) {
		return 0
	}
	p := powersOf(s.total.t)
	atm := s.species[sCO2] * math.Pow(10, s.log10GammaFormed(sCO2)-henryCO2.log10K(&p))
	return quantity.Pressure(atm * pascalsPerAtmosphere)
}

const pascalsPerAtmosphere = 101325.0

// henryCO2 is CO2(g) = CO2, mol/kg per atm.
var henryCO2 = analytic{10.5624, -2.3547e-2, -3972.8, 0, 5.8746e5, 1.9194e-5}

// AirCO2 is the partial pressure of CO2 that the trade and the reference tables
// take for open air, 10^-3.4 atm (398 ppm by volume).
const AirCO2 quantity.Pressure = 3.98107170553497e-4 * pascalsPerAtmosphere
