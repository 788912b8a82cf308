package resin

import "math"

// acidity is the constants of water and of the weak acids that resin meets, in
// mol per litre, at one temperature.
type acidity struct {
	water  float64 // [H+][OH-]
	first  float64 // CO2 + H2O = H+ + HCO3-
	second float64 // HCO3- = H+ + CO3-2
	silica float64 // H4SiO4 = H+ + H3SiO4-
	boric  float64 // H3BO3 + H2O = H+ + B(OH)4-
}

// acidityAt returns the constants at absolute temperature t, as
//
//	log10 K = a + b t + c/t + d log10 t + e/t² + f t²
//
// Source: carbonate [PlummerBusenberg1982]; water and silica as the same form in
// the public-domain compilation described in [Parkhurst2013], coefficients from
// memory and held to its table in the tests; boric acid 9.24 at any
// temperature [Memory]. Valid 0 to 50 °C.
func acidityAt(t float64) acidity {
	power := func(a, b, c, d, e float64) float64 {
		return math.Pow(10, a+b*t+c/t+d*math.Log10(t)+e/(t*t))
	}
	return acidity{
		water:  power(293.29227, 0.1360833, -10576.913, -123.73158, 0) * math.Pow(10, -6.996455e-5*t*t),
		first:  power(-356.3094, -0.06091964, 21834.37, 126.8339, -1684915),
		second: power(-107.8871, -0.03252849, 5151.79, 38.92561, -563713.9),
		silica: power(-302.3724, -0.050698, 15669.69, 108.18466, -1119669),
		boric:  math.Pow(10, -9.24),
	}
}

// carbon returns the shares of dissolved carbon that are HCO3- and CO3-2 at h
// mol/L of H+.
func (a acidity) carbon(h float64) (bicarbonate, carbonate float64) {
	sum := h*h + a.first*h + a.first*a.second
	return a.first * h / sum, a.first * a.second / sum
}

// ionised returns the share of a weak acid of constant k that is ionised.
func ionised(k, h float64) float64 { return k / (k + h) }
