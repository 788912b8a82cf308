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
// pairs count as the ions they are made of, so carbonate, much of it paired, is
// what charge still asks for once all else is split. Each component's species
// sum to it.
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
	for _, part := range []int{carbonDioxide, carbonate, silicate, borate, ammoniaGas, phosphate2} {
		n[part] = 0
	}
	n.move(bicarbonate, carbonDioxide, float64(s.CO2()))
	n.move(silicicAcid, silicate, float64(s.SilicaIonised()))
	n.move(boricAcid, borate, float64(s.BoronIonised()))
	n.move(ammonium, ammoniaGas, float64(s.AmmoniaGas()))
	n.move(phosphate1, phosphate2, n[phosphate1]/(1+math.Pow(10, phosphorus2-s.PH)))
	n[hydrogen], n[hydroxide] = float64(s.Hydrogen()), float64(s.Hydroxide())
	n.move(bicarbonate, carbonate, n.charge()-float64(w.ChargeImbalance()))
	osmotic := float64(s.OsmoticPressure()) - gasConstant*float64(w.Temperature)*n[carbonDioxide]
	return speciated{n: n, osmotic: max(0, osmotic), pH: s.PH}, nil
}

// move takes x, or what there is of it, from one species to another.
func (a *amounts) move(from, to int, x float64) {
	x = min(max(0, x), a[from])
	a[from] -= x
	a[to] += x
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
