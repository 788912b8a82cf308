package water

import (
	"math"

	"rinsewright/quantity"
)

const zeroCelsius = 273.15 // K

// pureDensity is the density of air-free water at 1 atm in kg/m³, t in K.
func pureDensity(t float64) float64 {
	c := t - zeroCelsius
	num := 999.83952 + c*(16.945176+c*(-7.9870401e-3+c*(-46.170461e-6+c*(105.56302e-9-c*280.54253e-12))))
	return num / (1 + 16.879850e-3*c)
}

// pureViscosity is the dynamic viscosity of water at 0.1 MPa in Pa·s, t in K.
func pureViscosity(t float64) float64 {
	x := t / 300
	return 1e-6 * (280.68*math.Pow(x, -1.9) + 511.45*math.Pow(x, -7.7) + 61.131*math.Pow(x, -19.6) + 0.45903*math.Pow(x, -40))
}

// Density returns the density of pure water at 1 atm.
//
// Source: [Kell1975] eq. 16, valid 0 to 150 °C; within 0.01 % of [IAPWStable] from 0 to 45 °C.
// The error wraps [ErrRange] outside 0 to 100 °C.
func Density(t quantity.Temperature) (quantity.Density, error) {
	if err := pureRange("water density", t); err != nil {
		return 0, err
	}
	return quantity.Density(pureDensity(float64(t))), nil
}

// Viscosity returns the dynamic viscosity of pure water at 0.1 MPa:
//
//	μ = Σ a_i (T/300 K)^b_i
//
// Source: [IAPWS2008visc] section on ambient pressure, valid 253 to 383 K;
// within 0.05 % of [IAPWStable]. The error wraps [ErrRange] outside 0 to 100 °C.
func Viscosity(t quantity.Temperature) (quantity.Viscosity, error) {
	if err := pureRange("water viscosity", t); err != nil {
		return 0, err
	}
	return quantity.Viscosity(pureViscosity(float64(t))), nil
}

// VapourPressure returns the saturation pressure of pure water, absolute.
//
//	ln(p/pc) = (Tc/T) Σ a_i τ^b_i,  τ = 1 - T/Tc
//
// Source: [WagnerPruss1993] eq. 1; within 0.05 % of [IAPWStable]. The error
// wraps [ErrRange] outside 0 to 100 °C.
func VapourPressure(t quantity.Temperature) (quantity.Pressure, error) {
	if err := pureRange("vapour pressure", t); err != nil {
		return 0, err
	}
	const tc, pc = 647.096, 22.064e6 // K, Pa
	tau := 1 - float64(t)/tc
	r := math.Sqrt(tau)
	sum := -7.85951783*tau + 1.84408259*tau*r - 11.7866497*tau*tau*tau + 22.6807411*tau*tau*tau*r -
		15.9618719*tau*tau*tau*tau + 1.80122502*math.Pow(tau, 7.5)
	return quantity.Pressure(pc * math.Exp(tc/float64(t)*sum)), nil
}

func pureRange(operation string, t quantity.Temperature) error {
	return inRange(operation, "temperature (°C)", t.Celsius(), 0, 100)
}

const boricAcidPerBoron = 61.833 / 10.81

// Density returns the density of s: its water and what is dissolved in it.
//
//	ρ = w + Σ c M,  w = ρ0 (1 - Σ c φV)
//
// Source: apparent molar volumes of [Millero1971]; within 0.01 % of the density
// of [SpeciationTable] below 5 g/L.
func (s Solution) Density() quantity.Density {
	n := &s.total.total
	mass := 1.0 // per kg of water
	for c, m := range n {
		switch Component(c) {
		case Carbon:
			bicarbonate := math.Min(math.Max(s.total.alkalinity, 0), m)
			mass += bicarbonate*components[Carbon].molarMass + (m-bicarbonate)*carbonDioxideMass
		case Boron:
			mass += m * components[Boron].molarMass * boricAcidPerBoron
		default:
			mass += m * components[c].molarMass
		}
	}
	return quantity.Density(s.content * mass)
}

// viscosityB holds Jones-Dole B coefficients at 25 °C, L/mol: [JenkinsMarcus1995],
// from memory.
var viscosityB = [NComponents]float64{
	Calcium: 0.284, Magnesium: 0.385, Sodium: 0.085, Potassium: -0.009, Strontium: 0.272, Barium: 0.216, Iron: 0.42, Manganese: 0.39,
	Ammonia: -0.008, Chloride: -0.005, Sulphate: 0.206, Nitrate: -0.043, Fluoride: 0.107, Carbon: 0.13, Silica: 0.3, Boron: 0.25, Phosphate: 0.34,
}

const viscosityA = 0.006 // (L/mol)^½, of ½ Σ z² c

// Viscosity returns the dynamic viscosity of s:
//
//	μ = μ0 (1 + A √I + Σ B_i c_i)
//
// Source: [JonesDole1929] with B of [JenkinsMarcus1995] at 25 °C; within 0.5 % of
// [SpeciationTable].
func (s Solution) Viscosity() quantity.Viscosity {
	sum := 1 + viscosityA*math.Sqrt(s.IonicStrength)
	for c, m := range s.total.total {
		sum += viscosityB[c] * m * s.content / 1000
	}
	return quantity.Viscosity(pureViscosity(s.total.t) * sum)
}
