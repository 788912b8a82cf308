package water

import (
	"math"

	"rinsewright/quantity"
)

// conductance is one ion's molal conductance with temperature and ionic
// strength, t in °C, λ in mS kg/(cm mol):
//
//	λ = λ°(t) - A(t) √I / (1 + B √I)
//
// λ° and A are quadratic in t.
type conductance struct {
	limit [3]float64 // t², t, 1
	slope [3]float64
	b     float64
}

// conductances: [McCleskey2012] table 1, three of its slopes altered. Sulphate's is
// halved (the published one leaves too little beside the ion pairs that are
// explicit here), magnesium's raised by a fifth, and sodium's B is 2.6 for 1.7.
// So altered, the equivalent conductances at 25 °C and 0.5 to 100 meq/L in
// [RobinsonStokes1959], from memory, are met within 1 % by NaCl and KCl, 2.5 % by
// CaCl2 and MgCl2, 4 % by Na2SO4 and ZnSO4 (for MgSO4). OH- is not in the copies at hand, its
// limit is a quadratic through limiting conductances of [RobinsonStokes1959]
// at 0 to 45 °C, from memory, within 2 S cm²/mol, and its slope is chloride's
// raised by Onsager's share of the mobility.
const (
	ionK = iota
	ionNa
	ionNH4
	ionCa
	ionMg
	ionCl
	ionSO4
	ionNO3
	ionHCO3
	ionCO3
	ionH
	ionOH
	nConductances
)

var conductances = [nConductances]conductance{
	ionK:    {[3]float64{0.003046, 1.261, 40.70}, [3]float64{0.00535, 0.9316, 22.59}, 1.5},
	ionNa:   {[3]float64{0.003763, 0.8770, 26.23}, [3]float64{0.00027, 1.141, 32.07}, 2.6},
	ionNH4:  {[3]float64{0.003341, 1.285, 39.04}, [3]float64{0.00132, 0.6070, 11.19}, 0.3},
	ionCa:   {[3]float64{0.009645, 1.984, 62.28}, [3]float64{0.03174, 2.334, 132.3}, 2.8},
	ionMg:   {[3]float64{0.01068, 1.695, 57.16}, [3]float64{1.2 * 0.02453, 1.2 * 1.915, 1.2 * 80.50}, 2.1},
	ionCl:   {[3]float64{0.003817, 1.337, 40.99}, [3]float64{0.00613, 0.9469, 22.01}, 1.5},
	ionSO4:  {[3]float64{0.01037, 2.838, 82.37}, [3]float64{0.5 * 0.03324, 0.5 * 5.889, 0.5 * 193.5}, 2.6},
	ionNO3:  {[3]float64{0.001925, 1.214, 39.90}, [3]float64{0.00118, 0.5045, 23.31}, 0.1},
	ionHCO3: {[3]float64{0.000614, 0.9048, 21.14}, [3]float64{-0.00503, 0.8957, 10.97}, 0.1},
	ionCO3:  {[3]float64{-0.000326, 2.998, 64.03}, [3]float64{-0.00181, 5.542, 120.2}, 2.3},
	ionH:    {[3]float64{-0.01414, 5.355, 224.2}, [3]float64{-0.00918, 1.842, 39.23}, 0.3},
	ionOH:   {[3]float64{-0.0066, 3.904, 105.7}, [3]float64{0.0096, 1.479, 34.4}, 1.5},
}

// likeness makes an ion's conductance a multiple of a listed one's.
type likeness struct {
	ion   int8 // index of conductances, or -1
	share float64
}

// Limiting conductances at 25 °C behind the shares, S cm²/mol: Sr 118.9, Ba 127.3,
// Fe and Mn 107, F 55.4, HPO4 114, H2PO4 36, HSO4 52, borate 35, H3SiO4- 36, from
// [RobinsonStokes1959] and handbooks, from memory; ion pairs from the diffusion
// coefficients of [PHREEQC3dat] (CaHCO3+ 19, MgHCO3+ 18, NaSO4- 19, KSO4- 58, NH4SO4- 51).
var basisConductance = [hydrogen + 1]likeness{
	Calcium: {ionCa, 1}, Magnesium: {ionMg, 1}, Sodium: {ionNa, 1}, Potassium: {ionK, 1}, Strontium: {ionCa, 1.0}, Barium: {ionCa, 1.07},
	Iron: {ionMg, 1.01}, Manganese: {ionMg, 1.01}, Ammonia: {ionNH4, 1}, Chloride: {ionCl, 1}, Sulphate: {ionSO4, 1}, Nitrate: {ionNO3, 1},
	Fluoride: {ionNO3, 0.775}, Carbon: {ionCO3, 1}, Silica: {-1, 0}, Boron: {-1, 0}, Phosphate: {ionSO4, 1.3}, hydrogen: {ionH, 1},
}

func conductanceOf(f formed) likeness {
	switch f {
	case sOH:
		return likeness{ionOH, 1}
	case sHCO3:
		return likeness{ionHCO3, 1}
	case sHSO4:
		return likeness{ionNO3, 0.73}
	case sHPO4:
		return likeness{ionSO4, 0.71}
	case sH2PO4, sH3SiO4, sH2BO3, sBFOH3:
		return likeness{ionHCO3, 0.81}
	case sNaSO4:
		return likeness{ionHCO3, 0.9}
	case sKSO4, sNH4SO4:
		return likeness{ionHCO3, 1.2}
	case sMgSO42:
		return likeness{ionSO4, 0.5}
	}
	switch reactions[f].charge {
	case 0:
		return likeness{ion: -1}
	case -2:
		return likeness{ionSO4, 0.6}
	case -1:
		return likeness{ionHCO3, 0.6}
	}
	return likeness{ionNa, 0.38} // CaHCO3+, MgHCO3+ and the like
}

var formedConductance = func() (all [nFormed]likeness) {
	for f := range nFormed {
		all[f] = conductanceOf(f)
	}
	return all
}()

// at returns every listed conductance at t in °C and ionic strength i.
func conductancesAt(c, i float64) (all [nConductances]float64) {
	root := math.Sqrt(i)
	for k := range all {
		x := &conductances[k]
		limit := (x.limit[0]*c+x.limit[1])*c + x.limit[2]
		slope := (x.slope[0]*c+x.slope[1])*c + x.slope[2]
		all[k] = math.Max(0.2*limit, limit-slope*root/(1+x.b*root))
	}
	return all
}

// ConductivityDoubt is half the width of the band (5 to 95 %) to carry beside a
// conductivity that was computed from a full analysis, as a share: the
// deviations from the reference code and from measured groundwaters, which fall on
// either side. Source: [SpeciationTable], [Stuyfzand1987].
const ConductivityDoubt quantity.Ratio = 0.05

// Conductivity returns the electrical conductivity of s at its own temperature:
//
//	κ = Σ λ_i(t, I) c_i
//
// over the free ions and charged pairs per litre, I the ionic strength of the
// whole solution. Source: [McCleskey2012] eq. 1 to 3 on speciated ions, two
// slopes altered (see the table). Range: 0 to 60 °C, I to 1 mol/kg. Accuracy:
// KCl standards 1 %, NaCl 1 %, the table of [SmithPiping2009] 2.5 %; against the
// conductance of [SpeciationTable] and [ConcentrateTable] (another model) median 2 %, worst
// 6 %, low by 1 % in soft and hard waters, 2 % in brackish, 3.5 % in desert-river
// and sulphate waters. Measured groundwaters of [Stuyfzand1987] conduct some 3 %
// less (median) than this gives, so that the truth lies between.
func (s Solution) Conductivity() quantity.Conductivity {
	lambda := conductancesAt(s.total.t-zeroCelsius, s.IonicStrength)
	var sum float64 // mS/cm at 1 kg of water per litre
	for b, like := range basisConductance {
		if like.ion >= 0 {
			sum += like.share * lambda[like.ion] * s.free[b]
		}
	}
	for f, like := range formedConductance {
		if like.ion >= 0 {
			sum += like.share * lambda[like.ion] * s.species[f]
		}
	}
	return quantity.Conductivity(sum * s.content / 1000 * 0.1)
}

// Conductivity25 returns the conductivity that w has at 25 °C: w is brought
// there in a closed vessel and its species found anew, not scaled by a per cent
// per degree. Errors as [Equilibrate].
func (w Water) Conductivity25() (quantity.Conductivity, error) {
	s, err := Equilibrate(w.At(reference25))
	if err != nil {
		return 0, err
	}
	return s.Conductivity(), nil
}

// PureWaterConductivity returns the conductivity of water that holds nothing
// but its own ions:
//
//	κ = √Kw ρ (λ_H + λ_OH)
//
// Source: [Light2005], with Kw of [PHREEQC3dat]; 0.0550 µS/cm at 25 °C. Within
// 1.5 % of the table of [Light2005] from 10 to 35 °C, 5 % from 0 to 50 °C. The
// error wraps [ErrRange] outside 0 to 60 °C.
func PureWaterConductivity(t quantity.Temperature) (quantity.Conductivity, error) {
	if err := inRange("pure water conductivity", "temperature (°C)", t.Celsius(), 0, 60); err != nil {
		return 0, err
	}
	return quantity.Conductivity(pureConductivity(float64(t))), nil
}

func pureConductivity(t float64) float64 {
	p := powersOf(t)
	m := math.Pow(10, reactions[sOH].k.log10K(&p)/2) // mol/kg
	lambda := conductancesAt(t-zeroCelsius, 0)
	return 0.1 * m * (lambda[ionH] + lambda[ionOH]) * pureDensity(t) / 1000
}

// Resistivity returns the resistivity of conductivity k. The error wraps
// [ErrRange] unless k is positive and finite.
func Resistivity(k quantity.Conductivity) (quantity.Resistivity, error) {
	if err := inRange("resistivity", "conductivity (S/m)", float64(k), 1e-9, 1e4); err != nil {
		return 0, err
	}
	return quantity.Resistivity(1 / float64(k)), nil
}
