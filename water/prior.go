package water

import (
	"math"

	"rinsewright/quantity"
)

// Prior is what a water is taken to be like where nobody measured it: the
// middle of natural waters, deliberately broad (see [Prior.Drawn]). Shares are
// of charge.
type Prior struct {
	Temperature     quantity.Temperature
	PH              quantity.PH
	HardnessShare   quantity.Ratio // calcium and magnesium, of the cations
	CalciumShare    quantity.Ratio // of the hardness
	PotassiumShare  quantity.Ratio // of sodium and potassium
	AlkalinityShare quantity.Ratio // of the anions
	SulphateShare   quantity.Ratio // of the anions that are not alkalinity
	NitrateShare    quantity.Ratio // of the same
	Silica          quantity.MassConc
	ScaleFactor     quantity.Ratio // of a pen whose scale nobody knows: ppm per µS/cm
}

// CityPrior returns the middle of treated surface and mixed supplies.
//
// Source: [Memory], from memory, unverified: medians of fresh natural waters
// as handbooks draw them. Fitted to no table that the tests use.
func CityPrior() Prior {
	return Prior{
		Temperature: quantity.Celsius(14), PH: 7.7, HardnessShare: 0.62, CalciumShare: 0.70, PotassiumShare: 0.06,
		AlkalinityShare: 0.58, SulphateShare: 0.40, NitrateShare: 0.05, Silica: quantity.MilligramsPerLitre(10), ScaleFactor: 0.58,
	}
}

// WellPrior returns the middle of untreated groundwaters: more carbon dioxide
// and silica than a city's supply. Source: [Memory].
func WellPrior() Prior {
	p := CityPrior()
	p.PH, p.Silica, p.AlkalinityShare, p.Temperature = 7.2, quantity.MilligramsPerLitre(18), 0.65, quantity.Celsius(12)
	return p
}

// Relative and absolute accuracy of the usual field readings, one standard
// deviation. Source: [Practice]: drop kits ± 1 grain, pH ± 0.1, pens ± 2 %,
// colour kits 10 to 20 %; half of each stated limit.
const (
	strengthSD    = 0.015
	kitSD         = 0.06
	ionSD         = 0.08
	pHSD          = 0.07
	temperatureSD = 0.4 // K
)

// Drawn returns s with every reading moved by its instrument's doubt; normal
// gives standard normal numbers. A reading of nothing stays nothing.
func (s Sample) Drawn(normal func() float64) Sample {
	moved(&s.Strength.Conductivity, strengthSD, normal)
	moved(&s.Strength.PPM, strengthSD, normal)
	moved(&s.Hardness, kitSD, normal)
	moved(&s.Alkalinity, kitSD, normal)
	if s.PH.Known {
		s.PH.Value += quantity.PH(pHSD * normal())
	}
	if s.Temperature.Known {
		s.Temperature.Value = max(s.Temperature.Value+quantity.Temperature(temperatureSD*normal()), quantity.Celsius(0.1))
	}
	ions := make(map[Component]quantity.Entry[quantity.MassConc], len(s.Ions))
	for c := range NComponents { // in order, so that a seed gives one answer
		if e, ok := s.Ions[c]; ok {
			moved(&e, ionSD, normal)
			ions[c] = e
		}
	}
	s.Ions = ions
	return s
}

func moved[Q quantity.Quantity](e *quantity.Entry[Q], sd float64, normal func() float64) {
	if e.Known {
		e.Value *= Q(math.Exp(sd * normal()))
	}
}

// Drawn returns p moved within its doubt: shares by the logistic of a normal
// of standard deviation 0.6, silica within a factor of 1.8, pH by 0.4.
// Source: [Memory].
func (p Prior) Drawn(normal func() float64) Prior {
	for _, share := range []*quantity.Ratio{&p.HardnessShare, &p.CalciumShare, &p.PotassiumShare, &p.AlkalinityShare, &p.SulphateShare, &p.NitrateShare} {
		odds := float64(*share) / (1 - float64(*share)) * math.Exp(0.6*normal())
		*share = quantity.Ratio(odds / (1 + odds))
	}
	p.Silica *= quantity.MassConc(math.Exp(0.6 * normal()))
	p.PH += quantity.PH(0.4 * normal())
	p.Temperature = max(p.Temperature+quantity.Temperature(2*normal()), quantity.Celsius(0.5))
	p.ScaleFactor *= quantity.Ratio(math.Exp(0.12 * normal()))
	return p
}
