package water

import (
	"math"

	"rinsewright/quantity"
)

func concentration(x float64) quantity.MolarConc { return quantity.MolarConc(x) }
func charge(x float64) quantity.EquivConc        { return quantity.EquivConc(x) }
func kelvin(x float64) quantity.Temperature      { return quantity.Temperature(x) }

// Concentrate returns w after all but 1/factor of its water is taken away, at
// the same temperature, nothing else leaving and nothing settling: amounts
// per mass of water are multiplied by factor. A factor below 1 dilutes.
//
// A factor that is not a positive number returns w unchanged; [Equilibrate]
// refuses the result when it is too strong.
func (w Water) Concentrate(factor float64) Water {
	if !(factor > 0) || math.IsInf(factor, 0) {
		return w
	}
	m, _ := perKilogram(&w)
	for c := range m.total {
		m.total[c] *= factor
	}
	m.alkalinity *= factor
	return m.perVolume()
}

// Blend mixes shareA of a with the rest of b, by mass of water; temperature
// mixes the same way. The share is held to 0..1, and taken as 0 if it is not
// a number.
func Blend(a, b Water, shareA quantity.Ratio) Water {
	x := math.Min(1, math.Max(0, float64(shareA)))
	if math.IsNaN(x) {
		x = 0
	}
	ma, _ := perKilogram(&a)
	mb, _ := perKilogram(&b)
	for c := range ma.total {
		ma.total[c] = x*ma.total[c] + (1-x)*mb.total[c]
	}
	ma.alkalinity = x*ma.alkalinity + (1-x)*mb.alkalinity
	ma.t = x*ma.t + (1-x)*mb.t
	return ma.perVolume()
}

// At returns w brought to temperature t in a closed vessel: what is dissolved
// per kilogram of water stays, and its volume changes.
func (w Water) At(t quantity.Temperature) Water {
	m, _ := perKilogram(&w)
	m.t = float64(t)
	return m.perVolume()
}

// ElectroneutralAlkalinity returns the alkalinity that makes w electrically
// neutral: strong cations less strong anions, ammonia counted as NH4+ and
// phosphate as H2PO4-, silica, boron and carbon not at all.
//
//	Alk = 2 (Ca + Mg + Sr + Ba + Fe + Mn) + Na + K + NH4 - Cl - 2 SO4 - NO3 - F - PO4
//
// Source: charge balance with every weak acid at its reference level,
// [StummMorgan1996] section 4.4. The value may be negative: an acid water.
func ElectroneutralAlkalinity(w Water) quantity.EquivConc {
	var sum float64
	for c := range w.Total {
		if Component(c) != Carbon {
			sum += float64(components[c].charge) * float64(w.Total[c])
		}
	}
	return quantity.EquivConc(sum)
}

// ChargeImbalance returns cations less anions, alkalinity counted as an anion;
// 0 for a neutral water.
func (w Water) ChargeImbalance() quantity.EquivConc {
	return ElectroneutralAlkalinity(w) - w.Alkalinity
}

// ChargeBalance returns cations less anions over their sum, the figure that
// laboratories report (published as percent). 0 when nothing is dissolved.
//
//	100 (C - A) / (C + A)
//
// Source: [StandardMethods1030] section 1030 E.
func (w Water) ChargeBalance() quantity.Ratio {
	cations, anions := math.Max(0, -float64(w.Alkalinity)), math.Max(0, float64(w.Alkalinity))
	for c := range w.Total {
		if Component(c) == Carbon {
			continue
		}
		x := float64(components[c].charge) * float64(w.Total[c])
		if x > 0 {
			cations += x
		} else {
			anions -= x
		}
	}
	if !(cations+anions > 0) {
		return 0
	}
	return quantity.Ratio((cations - anions) / (cations + anions))
}

// Hardness returns calcium and magnesium as CaCO3.
func (w Water) Hardness() quantity.CaCO3Conc {
	return Calcium.AsCaCO3(w.Total[Calcium]) + Magnesium.AsCaCO3(w.Total[Magnesium])
}

// DissolvedSolids returns the sum of all that is dissolved except CO2, silica
// as SiO2, boron as B, alkalinity as bicarbonate.
func (w Water) DissolvedSolids() quantity.MassConc {
	var sum quantity.MassConc
	for c := range w.Total {
		if Component(c) != Carbon {
			sum += Component(c).Mass(w.Total[c])
		}
	}
	return sum + Carbon.Mass(w.bicarbonateFromAlkalinity())
}

// bicarbonateLeftOnDrying is CO3 over 2 HCO3: two bicarbonates dry to one
// carbonate, one water and one CO2.
const bicarbonateLeftOnDrying = 0.4917

// ResidueAt180 returns what is left after drying at 180 °C: the sum of
// [Water.DissolvedSolids] with bicarbonate counted as the carbonate it becomes.
//
// Source: [USGSwsp2254] p. 157 (factor 0.4917); within 1.5 % of the two sums
// printed in [WRI024045].
func (w Water) ResidueAt180() quantity.MassConc {
	lost := (1 - bicarbonateLeftOnDrying) * float64(Carbon.Mass(w.bicarbonateFromAlkalinity()))
	return w.DissolvedSolids() - quantity.MassConc(lost)
}

// bicarbonateFromAlkalinity is alkalinity reported as bicarbonate, as a
// laboratory does.
func (w Water) bicarbonateFromAlkalinity() quantity.MolarConc {
	return quantity.MolarConc(math.Max(0, float64(w.Alkalinity)))
}
