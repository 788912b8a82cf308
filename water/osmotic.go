package water

import (
	"math"

	"rinsewright/quantity"
)

// pitzer holds a salt's parameters at 25 °C on Pitzer's scale.
type pitzer struct{ beta0, beta1, beta2, c float64 }

const (
	likeNa = iota
	likeK
	likeMg
	likeCa
	nLikeCations
)

const (
	likeCl = iota
	likeSO4
	likeHCO3
	likeCO3
	likeNO3
	nLikeAnions
)

// salt parameters of [HarvieMollerWeare1984] table 1 and [PitzerMayorga1973] for the
// nitrates, from memory; potassium carries ammonium, calcium carries
// strontium and barium, magnesium iron and manganese, chloride fluoride.
var pitzerSalts = [nLikeCations][nLikeAnions]pitzer{
	likeNa: {{0.0765, 0.2664, 0, 0.00127}, {0.01958, 1.113, 0, 0.00497}, {0.0277, 0.0411, 0, 0}, {0.0399, 1.389, 0, 0.0044}, {0.0068, 0.1783, 0, -0.00072}},
	likeK:  {{0.04835, 0.2122, 0, -0.00084}, {0.04995, 0.7793, 0, 0}, {0.0296, -0.013, 0, -0.008}, {0.1488, 1.43, 0, -0.0015}, {-0.0816, 0.0494, 0, 0.0066}},
	likeMg: {{0.35235, 1.6815, 0, 0.00519}, {0.221, 3.343, -37.23, 0.025}, {0.329, 0.6072, 0, 0}, {0, 0, 0, 0}, {0.36712, 1.58475, 0, -0.02063}},
	likeCa: {{0.3159, 1.614, 0, -0.00034}, {0.2, 3.1973, -54.24, 0}, {0.4, 2.977, 0, 0}, {0, 0, 0, 0}, {0.21083, 1.40925, 0, -0.02014}},
}

var (
	likeCationCharge = [nLikeCations]float64{1, 1, 2, 2}
	likeAnionCharge  = [nLikeAnions]float64{1, 2, 1, 2, 1}
)

// group gathers the solution into the ions that have parameters, pairs counted
// as the ions they are made of, and the sum of what carries no charge.
func (s *Solution) group() (cations [nLikeCations]float64, anions [nLikeAnions]float64, neutrals float64) {
	n := &s.total.total
	cations = [nLikeCations]float64{n[Sodium], n[Potassium] + n[Ammonia], n[Magnesium] + n[Iron] + n[Manganese], n[Calcium] + n[Strontium] + n[Barium]}
	carbonate := s.free[Carbon] + s.species[sCaCO3] + s.species[sMgCO3] + s.species[sFeCO3] + s.species[sMnCO3] + s.species[sSrCO3] + s.species[sBaCO3]
	bicarbonate := n[Carbon] - s.species[sCO2] - carbonate
	other := s.species[sH3SiO4] + s.species[sH2BO3] + s.species[sOH] + n[Phosphate]
	anions = [nLikeAnions]float64{n[Chloride] + n[Fluoride], n[Sulphate], math.Max(0, bicarbonate) + other, carbonate, n[Nitrate]}
	neutrals = s.species[sCO2] + math.Max(0, n[Silica]-s.species[sH3SiO4]) + math.Max(0, n[Boron]-s.species[sH2BO3]) + s.free[hydrogen]
	return cations, anions, neutrals
}

const (
	osmoticB     = 1.2  // (kg/mol)^½, Pitzer's b
	alphaOne     = 2.0  // (kg/mol)^½, salts with a univalent ion
	alphaTwoTwo1 = 1.4  // the same for 2-2 salts
	alphaTwoTwo2 = 12.0 // and for their pairing term
)

// OsmoticCoefficient returns φ, by which the osmotic pressure departs from van 't
// Hoff's law over all dissolved ions and molecules, pairs counted apart. A number, 1 for pure water:
//
//	φ - 1 = 2/Σm [ -Aφ I^1.5/(1 + 1.2 √I) + Σc Σa m_c m_a (β0 + β1 e^(-2√I) + β2 e^(-12√I) + Z Cφ/(2 √(z_c z_a))) ]
//
// Source: [HarvieMollerWeare1984] eq. 2a without its mixing terms, Aφ from [BradleyPitzer1979] permittivity. Range: 0
// to 60 °C (salt terms held at 25 °C), I to 1 mol/kg. Accuracy: NaCl 1 % to 0.2
// mol/kg, sea salt 3 % to 10 g/kg.
func (s Solution) OsmoticCoefficient() float64 {
	phi, _ := s.osmotic()
	return phi
}

// osmotic returns the coefficient and the sum of molalities it belongs to.
func (s *Solution) osmotic() (phi, sum float64) {
	cations, anions, neutrals := s.group()
	var i, z float64
	for k, m := range cations {
		i, z, sum = i+0.5*m*likeCationCharge[k]*likeCationCharge[k], z+m*likeCationCharge[k], sum+m
	}
	for k, m := range anions {
		i, z, sum = i+0.5*m*likeAnionCharge[k]*likeAnionCharge[k], z+m*likeAnionCharge[k], sum+m
	}
	sum += neutrals
	if !(sum > 0) {
		return 1, 0
	}
	root := math.Sqrt(i)
	aPhi := s.slopes.a * math.Ln10 / 3
	bracket := -aPhi * i * root / (1 + osmoticB*root)
	for c := range cations {
		for a := range anions {
			if x := cations[c] * anions[a]; x > 0 {
				bracket += x * pitzerSalts[c][a].at(root, z, likeCationCharge[c], likeAnionCharge[a])
			}
		}
	}
	return 1 + 2*bracket/sum, sum
}

func (p *pitzer) at(root, z, cation, anion float64) float64 {
	x := p.beta0 + z*p.c/(2*math.Sqrt(cation*anion))
	if cation == 2 && anion == 2 {
		return x + p.beta1*math.Exp(-alphaTwoTwo1*root) + p.beta2*math.Exp(-alphaTwoTwo2*root)
	}
	return x + p.beta1*math.Exp(-alphaOne*root)
}

const (
	gasConstant = 8.314462618  // J/(mol K)
	molarWater  = 18.015268e-3 // kg/mol
)

// OsmoticPressure returns the osmotic pressure of s against pure water at its
// temperature:
//
//	π = φ R T ρ0 Σ m
//
// with ρ0 the density of pure water and Σ m per kg of it. Source: van 't Hoff
// law scaled by φ, [RobinsonStokes1959] chapter 2; incompressible, 0.1 % at
// seawater strength. Accuracy as [Solution.OsmoticCoefficient].
func (s Solution) OsmoticPressure() quantity.Pressure {
	phi, sum := s.osmotic()
	return quantity.Pressure(phi * gasConstant * s.total.t * pureDensity(s.total.t) * sum)
}
