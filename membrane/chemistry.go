package membrane

import (
	"fmt"
	"math"

	"rinsewright/quantity"
	"rinsewright/water"
)

// phosphorus2 is −log10 of the second constant of phosphoric acid, at 25 °C.
// Source: [Memory]; it only splits what of phosphate passes a little more.
const phosphorus2 = 7.2

// speciated is a water as the membrane meets it.
type speciated struct {
	n       amounts // mol/m3
	osmotic float64 // Pa, of what the membrane can hold back
	pH      float64
}

// speciate splits a water's components into what crosses on its own terms. Ion
// pairs count as the ions they are made of. Each component's species sum to it.
func speciate(w *water.Water) (speciated, error) {
	s, err := water.Equilibrate(*w)
	if err != nil {
		return speciated{}, fmt.Errorf("membrane: speciate: %w", err)
	}
	var n amounts
	for i, t := range traits {
		if t.component != noComponent {
			n[i] = float64(w.Total[t.component])
		}
	}
	n.split(carbonDioxide, carbonate, bicarbonate, float64(s.CO2()))
	held := float64(s.Bicarbonate() + s.Carbonate())
	if held > 0 {
		n.split(carbonate, noSpecies, bicarbonate, n[bicarbonate]*float64(s.Carbonate())/held)
	} else {
		n[carbonate] = 0
	}
	n.split(silicate, noSpecies, silicicAcid, float64(s.SilicaIonised()))
	n.split(borate, noSpecies, boricAcid, float64(s.BoronIonised()))
	n.split(ammoniaGas, noSpecies, ammonium, float64(s.AmmoniaGas()))
	n.split(phosphate2, noSpecies, phosphate1, n[phosphate1]/(1+math.Pow(10, phosphorus2-s.PH)))
	n[hydrogen], n[hydroxide] = float64(s.Hydrogen()), float64(s.Hydroxide())
	osmotic := float64(s.OsmoticPressure()) - gasConstant*float64(w.Temperature)*n[carbonDioxide]
	return speciated{n: n, osmotic: max(0, osmotic), pH: s.PH}, nil
}

const noSpecies = -1

// split gives x of a component to species part and the rest to species rest,
// which held it all; empty, if a species, is left with nothing yet.
func (a *amounts) split(part, empty, rest int, x float64) {
	all := a[rest]
	a[part] = min(max(0, x), all)
	a[rest] = all - a[part]
	if empty >= 0 {
		a[empty] = 0
	}
}

// saltOsmotic is the osmotic pressure of NaCl in water.
func saltOsmotic(c quantity.MassConc, t quantity.Temperature) (quantity.Pressure, error) {
	w := water.Water{Temperature: t}
	w.Total[water.Sodium] = quantity.MolarConc(float64(c) / saltMass)
	w.Total[water.Chloride] = w.Total[water.Sodium]
	s, err := speciate(&w)
	return quantity.Pressure(s.osmotic), err
}

// saltMass is that of NaCl, kg/mol.
const saltMass = 58.443e-3
