package water

import (
	"math"

	"rinsewright/quantity"
)

// minors are what a completion takes as read, or as none.
var minors = [...]Component{Strontium, Barium, Iron, Manganese, Ammonia, Fluoride, Boron, Phosphate}

// majors are what a completion finds where it was not read.
var majors = [...]Component{Calcium, Magnesium, Sodium, Potassium, Chloride, Sulphate, Nitrate, Silica}

// made is a water made of an inside, with what readings see of it.
type made struct {
	x            inside
	water        Water // without carbon
	conductivity float64
}

// compose makes the electroneutral water of x with the minors given:
//
//	Ca + Mg + Na + K + minor cations + H = alkalinity' + Cl + SO4 + NO3 + minor anions
//
// by charge, alkalinity' being alkalinity and the H it has lost to acid. False
// when minor anions leave no room, or x is not sane.
func compose(x *inside, minor *[NComponents]float64) (Water, bool) {
	w := Water{Temperature: kelvin(x[atTemperature])}
	balance := 0.0 // eq/m³
	for _, c := range minors {
		w.Total[c] = concentration(minor[c])
		balance += float64(components[c].charge) * minor[c]
	}
	charges := math.Exp(x[atCharge])
	hard := charges * shareOf(x[atHardness])
	calcium, potassium := hard*shareOf(x[atCalcium]), (charges-hard)*shareOf(x[atPotassium])
	w.Total[Calcium], w.Total[Magnesium] = concentration(calcium/2), concentration((hard-calcium)/2)
	w.Total[Potassium], w.Total[Sodium] = concentration(potassium), concentration(charges-hard-potassium)
	w.Total[Silica] = concentration(math.Exp(x[atSilica]))
	acid := 1000 * math.Pow(10, -x[atPH]) // eq/m³ of H+
	anions := charges + balance + acid
	if !(anions > 0 && anions < maxTotal) || !(charges < maxTotal) {
		return w, false
	}
	bicarbonate := anions * shareOf(x[atAlkalinity])
	nitrate := (anions - bicarbonate) * shareOf(x[atNitrate])
	sulphate := (anions - bicarbonate - nitrate) * shareOf(x[atSulphate])
	w.Total[Nitrate], w.Total[Sulphate] = concentration(nitrate), concentration(sulphate/2)
	w.Total[Chloride] = concentration(anions - bicarbonate - nitrate - sulphate)
	w.Alkalinity = charge(bicarbonate - acid)
	return w, true
}

// make adds the conductivity at 25 °C. Heating in a closed vessel moves pH a
// little, which the search leaves out: less than 0.3 % of a conductivity
// between pH 5 and 9.5.
func (f *fit) make(x *inside) (made, bool) {
	w, ok := compose(x, &f.minor)
	if !ok || !(x[atPH] > 3 && x[atPH] < 11.5) || !(x[atTemperature] > zeroCelsius && x[atTemperature] < zeroCelsius+60) {
		return made{}, false
	}
	m := made{x: *x, water: w}
	if !f.needsConductivity {
		return m, true
	}
	w.Temperature = reference25
	w.Total[Carbon] = concentration(math.Max(0, float64(w.Alkalinity)))
	at25, content := perKilogram(&w)
	s, err := solve("conductivity of a completed water", pHAlkalinity, &at25, x[atPH])
	if err != nil {
		return made{}, false
	}
	s.content = content
	m.conductivity = float64(s.Conductivity())
	return m, m.conductivity > 0
}

// reading is one thing that was read, and what a made water shows for it.
type reading struct {
	name  string
	value float64 // as read, in the unit that of returns
	sd    float64
	of    func(*made) float64
	text  func(float64) string
	bound bool // an upper bound: no misfit below it
}

func (r *reading) off(m *made) float64 {
	d := (r.of(m) - r.value) / r.sd
	if r.bound && d < 0 {
		return 0
	}
	return d
}

func hardnessOf(w *Water) float64 {
	return 2 * (float64(w.Total[Calcium]) + float64(w.Total[Magnesium])) // eq/m³
}

func asCaCO3(equivalents float64) quantity.CaCO3Conc {
	return quantity.EquivConc(equivalents).AsCaCO3()
}
