package water

import "math"

// molal is a water per kilogram of its water: what equilibrium is computed
// with, and what is linear when water is added or taken away.
type molal struct {
	total      [NComponents]float64 // mol/kg
	alkalinity float64              // eq/kg
	t          float64              // K
}

// apparentVolume holds apparent molar volumes at infinite dilution, cm³/mol at
// 25 °C, and their change per K around 15 °C: what a dissolved amount adds to
// the volume of its water. Source: [Millero1971] table for the ions, rounded,
// from memory; Carbon's entry is HCO3-.
var apparentVolume = [NComponents][2]float64{
	Calcium: {-17.85, 0.02}, Magnesium: {-21.17, 0.02}, Sodium: {-1.21, 0.07}, Potassium: {9.02, 0.05}, Strontium: {-18.16, 0.02},
	Barium: {-12.47, 0.02}, Iron: {-24.7, 0.02}, Manganese: {-17.7, 0.02}, Ammonia: {17.86, 0.03}, Chloride: {17.83, 0.04},
	Sulphate: {13.98, 0.15}, Nitrate: {29.0, 0.1}, Fluoride: {-1.16, 0.04}, Carbon: {23.4, 0.08}, Silica: {24, 0}, Boron: {39.2, 0},
	Phosphate: {29.1, 0.1},
}

const (
	volumeOfCO2    = 33.0  // cm³/mol
	volumeSlope    = 0.934 // cm³ kg^½ mol^-1.5 per unit of z², half the limiting slope of a 1:1 salt
	volumeSlopeEnd = 1.0   // damping of that slope, kg^½/mol^½
)

// dissolvedVolume is Σ n φV in m³ for amounts n (mol, in 1 kg or in 1 m³),
// given the ionic strength that goes with them.
func dissolvedVolume(n *[NComponents]float64, alkalinity, ionicStrength, t float64) float64 {
	slope := volumeSlope * math.Sqrt(ionicStrength) / (1 + volumeSlopeEnd*math.Sqrt(ionicStrength))
	dt := t - reference25
	var sum float64 // cm³
	for c, amount := range n {
		if amount == 0 || Component(c) == Carbon {
			continue
		}
		z := float64(components[c].charge)
		sum += amount * (apparentVolume[c][0] + apparentVolume[c][1]*dt + slope*z*z)
	}
	bicarbonate := math.Min(math.Max(alkalinity, 0), n[Carbon])
	sum += bicarbonate * (apparentVolume[Carbon][0] + apparentVolume[Carbon][1]*dt + slope)
	sum += (n[Carbon] - bicarbonate) * volumeOfCO2
	return sum * 1e-6
}

// stoichiometricStrength is the ionic strength without ion pairs.
func stoichiometricStrength(n *[NComponents]float64, alkalinity float64) float64 {
	var i float64
	for c, amount := range n {
		if Component(c) != Carbon {
			z := float64(components[c].charge)
			i += 0.5 * z * z * amount
		}
	}
	return i + 0.5*math.Abs(alkalinity)
}

// waterIn returns the mass of water in a volume of w, kg/m³:
//
//	ρ0 (1 - Σ c φV)
func waterIn(w *Water) float64 {
	var n [NComponents]float64
	for c := range n {
		n[c] = float64(w.Total[c])
	}
	t, alk := float64(w.Temperature), float64(w.Alkalinity)
	content, strength := pureDensity(t), stoichiometricStrength(&n, alk)
	for range 4 { // the slope wants strength per kilogram
		content = pureDensity(t) * (1 - dissolvedVolume(&n, alk, strength/content, t))
	}
	return content
}

// waterInMolal is the same for a water given per kilogram.
func waterInMolal(m *molal) float64 {
	v := dissolvedVolume(&m.total, m.alkalinity, stoichiometricStrength(&m.total, m.alkalinity), m.t)
	return 1 / (1/pureDensity(m.t) + v)
}

// perKilogram turns amounts per volume into amounts per mass of water.
func perKilogram(w *Water) (molal, float64) {
	content := waterIn(w)
	m := molal{alkalinity: float64(w.Alkalinity) / content, t: float64(w.Temperature)}
	for c := range m.total {
		m.total[c] = float64(w.Total[c]) / content
	}
	return m, content
}

// perVolume is the inverse of perKilogram.
func (m *molal) perVolume() Water {
	content := waterInMolal(m)
	var w Water
	for c := range m.total {
		w.Total[c] = concentration(m.total[c] * content)
	}
	w.Alkalinity = charge(m.alkalinity * content)
	w.Temperature = kelvin(m.t)
	return w
}
