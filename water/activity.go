package water

import "math"

// activityRule says how the activity coefficient of one species follows from
// ionic strength.
type activityRule struct {
	form activityForm
	size float64 // ion size, Å (10^-10 m)
	b    float64 // linear term, kg/mol
}

type activityForm uint8

const (
	extendedDebyeHueckel activityForm = iota
	daviesForm
	neutralForm
)

func sized(size, b float64) activityRule { return activityRule{extendedDebyeHueckel, size, b} }
func davies() activityRule               { return activityRule{form: daviesForm} }
func neutral(b float64) activityRule     { return activityRule{neutralForm, 0, b} }

// basisCharge and basisActivity are those of the free ions, then H+.
// Source: [TruesdellJones1974] as carried by [PHREEQC3dat].
var basisCharge = [nBasis]int{
	Calcium: 2, Magnesium: 2, Sodium: 1, Potassium: 1, Strontium: 2, Barium: 2, Iron: 2, Manganese: 2, Ammonia: 1,
	Chloride: -1, Sulphate: -2, Nitrate: -1, Fluoride: -1, Carbon: -2, Silica: 0, Boron: 0, Phosphate: -3, hydrogen: 1,
}

var basisActivity = [nBasis]activityRule{
	Calcium: sized(5, 0.165), Magnesium: sized(5.5, 0.2), Sodium: sized(4.08, 0.082), Potassium: sized(3.5, 0.015),
	Strontium: sized(5.26, 0.121), Barium: sized(4, 0.153), Iron: sized(6, 0), Manganese: sized(6, 0), Ammonia: sized(2.5, 0),
	Chloride: sized(3.63, 0.017), Sulphate: sized(5, -0.04), Nitrate: sized(3, 0), Fluoride: sized(3.5, 0),
	Carbon: sized(5.4, 0), Silica: neutral(0.1), Boron: neutral(0.1), Phosphate: sized(4, 0), hydrogen: sized(9, 0),
	absent: neutral(0),
}

// debyeHueckel holds the limiting slopes at one temperature.
type debyeHueckel struct {
	a float64 // (kg/mol)^½
	b float64 // (kg/mol)^½ per Å
}

// slopesAt returns the Debye-Hückel slopes
//
//	A = 1.82483e6 √ρ / (ε T)^1.5    B = 50.2916 √(ρ / (ε T))
//
// with ρ in g/cm³, per Å for B. Source: [TruesdellJones1974]; constants as in
// [LogKTable], reproduced there to 4 decimals from 0 to 45 °C.
func slopesAt(t float64) debyeHueckel {
	rho := pureDensity(t) / 1000 // g/cm³
	et := dielectric(t) * t
	return debyeHueckel{1.82483e6 * math.Sqrt(rho) / (et * math.Sqrt(et)), 50.2916 * math.Sqrt(rho/et)}
}

// log10Gamma returns the log10 of an activity coefficient at ionic strength i
// (mol/kg) with root √i:
//
//	sized:    -A z² √I / (1 + B å √I) + b I
//	davies:   -A z² (√I / (1 + √I) - 0.3 I)
//	neutral:  b I
//
// Source: [TruesdellJones1974], [Davies1962].
func (d *debyeHueckel) log10Gamma(rule *activityRule, charge int, i, root float64) float64 {
	z2 := float64(charge * charge)
	switch rule.form {
	case extendedDebyeHueckel:
		return -d.a*z2*root/(1+d.b*rule.size*root) + rule.b*i
	case daviesForm:
		return -d.a * z2 * (root/(1+root) - 0.3*i)
	default:
		return rule.b * i
	}
}

// dielectric returns the relative permittivity of water at 1 atm and t in K.
//
// Source: [BradleyPitzer1979] eq. 1, 3 and 4; valid 0 to 350 °C.
func dielectric(t float64) float64 {
	const atmosphere = 1.01325 // bar
	d1000 := 342.79 * math.Exp(t*(-5.0866e-3+9.4690e-7*t))
	c := -2.0525 + 3115.9/(-182.89+t)
	b := -8032.5 + 4.2142e6/t + 2.1417*t
	return d1000 + c*math.Log((b+atmosphere)/(b+1000))
}
