package water

import (
	"math"

	"rinsewright/quantity"
)

// LangelierPH returns the saturation pH of calcite by the short form the trade
// uses, a number to compare with the measured pH:
//
//	pHs = (9.3 + A + B) - (C + D)
//	A = (log TDS - 1)/10   B = -13.12 log T + 34.55   C = log Ca - 0.4   D = log alkalinity
//
// TDS in mg/L, T in K, Ca and alkalinity in mg/L as CaCO3. Source: [Carrier1965] form of
// [Langelier1936]. It is not the calcite index: it knows no ion pairs, takes
// ionic strength from TDS alone, and its constants are older, so that the index
// from it reads 0 to 0.3 below [Solution.SaturationIndex]. The error wraps
// [ErrRange] unless 10 ≤ TDS ≤ 10 000 mg/L, 0 ≤ t ≤ 90 °C and Ca and alkalinity are 1 to 10 000 mg/L.
func LangelierPH(dissolved quantity.MassConc, t quantity.Temperature, calcium, alkalinity quantity.CaCO3Conc) (float64, error) {
	const operation = "saturation pH"
	tds, ca, alk := dissolved.MilligramsPerLitre(), calcium.MilligramsPerLitreCaCO3(), alkalinity.MilligramsPerLitreCaCO3()
	if err := inRange(operation, "dissolved solids (mg/L)", tds, 10, 1e4); err != nil {
		return 0, err
	}
	if err := hardAndAlkaline(operation, ca, alk, t); err != nil {
		return 0, err
	}
	a := (math.Log10(tds) - 1) / 10
	b := -13.12*math.Log10(float64(t)) + 34.55
	return 9.3 + a + b - (math.Log10(ca) - 0.4) - math.Log10(alk), nil
}

func hardAndAlkaline(operation string, calcium, alkalinity float64, t quantity.Temperature) error {
	if err := inRange(operation, "temperature (°C)", t.Celsius(), 0, 90); err != nil {
		return err
	}
	if err := inRange(operation, "calcium (mg/L as CaCO3)", calcium, 1, 1e4); err != nil {
		return err
	}
	return inRange(operation, "alkalinity (mg/L as CaCO3)", alkalinity, 1, 1e4)
}

// Langelier returns the Langelier index of w at a measured pH, a number:
//
//	LSI = pH - pHs
//
// with pHs by [LangelierPH]; above 0 calcite may settle. Source: [Langelier1936].
// Errors as [LangelierPH].
func Langelier(w Water, pH float64) (float64, error) {
	saturation, err := LangelierPH(w.DissolvedSolids(), w.Temperature, Calcium.AsCaCO3(w.Total[Calcium]), w.Alkalinity.AsCaCO3())
	if err != nil {
		return 0, err
	}
	return pH - saturation, nil
}

// Ryznar returns the Ryznar index of w at a measured pH, a number:
//
//	RSI = 2 pHs - pH
//
// Below 6 scale is likely, above 7 it is not. Source: [Ryznar1944]. Errors as
// [LangelierPH].
func Ryznar(w Water, pH float64) (float64, error) {
	index, err := Langelier(w, pH)
	if err != nil {
		return 0, err
	}
	return pH - 2*index, nil
}

// StiffDavis returns the Stiff and Davis index of w at a measured pH, a
// number, for waters above 10 000 mg/L where Langelier's ends:
//
//	S&DSI = pH - (pCa + pAlk + K)
//	K = 2.022 exp((ln I + 7.544)²/102.6) - 0.0002 t² + 0.00097 t + 0.262   (I below 1.2)
//	K = -0.1 I - 0.0002 t² + 0.00097 t + 3.887                             (above)
//
// t in °C, I the ionic strength without pairs. Source: [StiffDavis1952]; K is a
// fit to its chart, from memory, unverified; on fourfold concentrates it reads 0.2
// to 0.5 below [Solution.SaturationIndex]. The error wraps [ErrRange].
func StiffDavis(w Water, pH float64) (float64, error) {
	const operation = "stiff and davis index"
	calcium, alkalinity := float64(w.Total[Calcium])/1000, float64(w.Alkalinity)/1000 // mol/L, eq/L
	if err := inRange(operation, "calcium (mol/L)", calcium, 1e-6, 3); err != nil {
		return 0, err
	}
	if err := inRange(operation, "alkalinity (eq/L)", alkalinity, 1e-6, 3); err != nil {
		return 0, err
	}
	if err := inRange(operation, "temperature (°C)", w.Temperature.Celsius(), 0, 90); err != nil {
		return 0, err
	}
	var n [NComponents]float64
	for c := range n {
		n[c] = float64(w.Total[c]) / 1000
	}
	i, t := math.Max(stoichiometricStrength(&n, alkalinity), 1e-4), w.Temperature.Celsius()
	k := -0.0002*t*t + 0.00097*t
	if i < 1.2 {
		x := math.Log(i) + 7.544
		k += 2.022*math.Exp(x*x/102.6) + 0.262
	} else {
		k += -0.1*i + 3.887
	}
	return pH + math.Log10(calcium) + math.Log10(alkalinity) - k, nil
}

// FreeCO2FromPHAlkalinity returns free CO2 by the trade's short form, mass as CO2:
//
//	CO2 (mg/L) = 2 · alkalinity (mg/L as CaCO3) · 10^(6 - pH)
//
// Source: [StandardMethods4500CO2] formula for 25 °C and no salt. It takes all
// alkalinity for bicarbonate, and one dissociation constant for every
// temperature and strength: too low in cold water (by a fifth at 10 °C) and too
// high in salty water; [WithPH] does better. The error wraps [ErrRange] unless 4.5 ≤ pH
// ≤ 9 and alkalinity is 0 to 10 000 mg/L.
func FreeCO2FromPHAlkalinity(pH float64, alkalinity quantity.CaCO3Conc) (quantity.MassConc, error) {
	const operation = "free CO2"
	if err := inRange(operation, "pH", pH, 4.5, 9); err != nil {
		return 0, err
	}
	alk := alkalinity.MilligramsPerLitreCaCO3()
	if err := inRange(operation, "alkalinity (mg/L as CaCO3)", alk, 0, 1e4); err != nil {
		return 0, err
	}
	return quantity.MilligramsPerLitre(2 * alk * math.Pow(10, 6-pH)), nil
}
