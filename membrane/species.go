package membrane

import (
	"math"

	"rinsewright/water"
)

// species are what cross the membrane on their own terms. A component of a
// [water.Water] is one species, or a few when its charge depends on pH.
const (
	calcium = iota
	magnesium
	sodium
	potassium
	strontium
	barium
	iron
	manganese
	ammonium
	hydrogen
	chloride
	sulphate
	nitrate
	fluoride
	bicarbonate
	carbonate
	silicate
	borate
	phosphate1
	phosphate2
	hydroxide
	silicicAcid
	boricAcid
	carbonDioxide
	ammoniaGas
	nSpecies

	noComponent = water.NComponents
	firstFree   = carbonDioxide // from here on: no membrane at all
	firstPlain  = silicicAcid   // from here on: no charge
)

// trait is what the membrane sees of a species.
type trait struct {
	component   water.Component
	charge      float64
	passage     float64 // own permeability over NaCl's, before charge is closed
	diffusivity float64 // m2/s at 25 °C
}

// traits of the species. Passage: [Memory], after the order that thin-film
// membranes commonly show ([Practice]): Ca, Mg, SO4 far below Na and Cl, these
// below NO3 and HCO3; small neutral acids pass most. Multiply by the closing
// factor of charge for what is seen in a given water. Diffusivity:
// [RobinsonStokes], limiting values, from memory.
var traits = [nSpecies]trait{
	calcium:       {water.Calcium, 2, 0.2, 0.792e-9},
	magnesium:     {water.Magnesium, 2, 0.2, 0.706e-9},
	sodium:        {water.Sodium, 1, 1, 1.334e-9},
	potassium:     {water.Potassium, 1, 1.2, 1.957e-9},
	strontium:     {water.Strontium, 2, 0.2, 0.791e-9},
	barium:        {water.Barium, 2, 0.2, 0.847e-9},
	iron:          {water.Iron, 2, 0.2, 0.719e-9},
	manganese:     {water.Manganese, 2, 0.2, 0.712e-9},
	ammonium:      {water.Ammonia, 1, 1.3, 1.957e-9},
	hydrogen:      {noComponent, 1, 3, 9.311e-9},
	chloride:      {water.Chloride, -1, 1, 2.032e-9},
	sulphate:      {water.Sulphate, -2, 0.2, 1.065e-9},
	nitrate:       {water.Nitrate, -1, 4, 1.902e-9},
	fluoride:      {water.Fluoride, -1, 0.8, 1.475e-9},
	bicarbonate:   {water.Carbon, -1, 1.2, 1.185e-9},
	carbonate:     {water.Carbon, -2, 0.2, 0.923e-9},
	silicate:      {water.Silica, -1, 0.3, 1.1e-9},
	borate:        {water.Boron, -1, 1, 1.0e-9},
	phosphate1:    {water.Phosphate, -1, 0.3, 0.959e-9},
	phosphate2:    {water.Phosphate, -2, 0.1, 0.759e-9},
	hydroxide:     {noComponent, -1, 1.5, 5.273e-9},
	silicicAcid:   {water.Silica, 0, 0.8, 1.1e-9},
	boricAcid:     {water.Boron, 0, 50, 1.1e-9},
	carbonDioxide: {water.Carbon, 0, 0, 1.92e-9},
	ammoniaGas:    {water.Ammonia, 0, 0, 1.5e-9},
}

// amounts holds one number per species: a strength in mol/m3, or a flow in mol/s.
type amounts [nSpecies]float64

// charge returns the sum of charges.
func (a *amounts) charge() float64 {
	sum := 0.0
	for i := range firstPlain {
		sum += traits[i].charge * a[i]
	}
	return sum
}

// totals gathers species back into components.
func (a *amounts) totals() (sum [water.NComponents]float64) {
	for i, t := range traits {
		if t.component != noComponent {
			sum[t.component] += a[i]
		}
	}
	return sum
}

// saltDiffusivity is that of the mixed electrolyte as if it were one salt,
// since in a film ions must move together:
//
//	D = (z₊ + z₋) D₊ D₋ / (z₊ D₊ + z₋ D₋)
//
// with charge-weighted means of each side. Source: Nernst and Hartley's form
// in [RobinsonStokes]; the means are ours. A feed without ions counts as NaCl.
func (a *amounts) saltDiffusivity() float64 {
	var eq, mol, flow [2]float64 // cations, anions
	for i := range firstPlain {
		if i == hydrogen || i == hydroxide {
			continue
		}
		side := 0
		if traits[i].charge < 0 {
			side = 1
		}
		z := math.Abs(traits[i].charge)
		mol[side] += a[i]
		eq[side] += z * a[i]
		flow[side] += z * a[i] * traits[i].diffusivity
	}
	if !(eq[0] > 0 && eq[1] > 0) {
		return nacl
	}
	z0, z1 := eq[0]/mol[0], eq[1]/mol[1]
	d0, d1 := flow[0]/eq[0], flow[1]/eq[1] // m2/s
	return (z0 + z1) * d0 * d1 / (z0*d0 + z1*d1)
}

// nacl is the diffusivity of NaCl at 25 °C, m2/s, from the two ions' own.
const nacl = 2 * 1.334e-9 * 2.032e-9 / (1.334e-9 + 2.032e-9)

// saltPassage is the permeability of the mixed salts over NaCl's: each ion's
// own, charge closed, weighed by amount.
func (a *amounts) saltPassage() float64 {
	plus, minus := 0.0, 0.0
	for i := range firstPlain {
		if flow := traits[i].charge * a[i] * traits[i].passage; flow > 0 {
			plus += flow
		} else {
			minus -= flow
		}
	}
	if !(plus > 0 && minus > 0) {
		return 1
	}
	x := math.Sqrt(minus / plus)
	sum, all := 0.0, 0.0
	for i := range firstPlain {
		f := x
		if traits[i].charge < 0 {
			f = 1 / x
		}
		sum += a[i] * traits[i].passage * f
		all += a[i]
	}
	return min(max(sum/all, 0.05), 20)
}
