package water

import (
	"math"
	"strconv"
	"strings"

	"rinsewright/quantity"
)

// Accuracy is how far readings may be off: limits, plus or minus. A zero field
// means the usual limit of the method, [KitAccuracy] or [LaboratoryAccuracy].
type Accuracy struct {
	Strength    quantity.Ratio // of a pen or conductivity meter, of the reading
	Hardness    quantity.CaCO3Conc
	Alkalinity  quantity.CaCO3Conc
	PH          quantity.PH
	Temperature quantity.Temperature // a difference
	Ion         quantity.Ratio       // of one ion or silica, of the reading
	Share       quantity.Ratio       // of hardness and alkalinity, of the reading, where it is more than the limit above
}

// KitAccuracy returns the limits of pens, drop kits, strips and colour kits.
//
// Source: [Practice], from the field list of the trade: drops of 1 grain, ±15
// mg/L of alkalinity, pH ±0.1, ±0.75 K, colour kits ±15 %. A pen's ±2 % of full
// scale is 4 to 8 % of a reading in its lower half, and conductivities of one
// water by many laboratories spread by 6.5 to 8 %, one standard deviation
// ([EPA1201]); ±11 % is 6.5 %.
func KitAccuracy() Accuracy {
	return Accuracy{Strength: 0.11, Hardness: quantity.GrainsPerGallon(1), Alkalinity: quantity.MilligramsPerLitreCaCO3(15), PH: 0.1, Temperature: 0.75, Ion: 0.15, Share: 0.06}
}

// LaboratoryAccuracy returns the limits of a laboratory's report. Source:
// [Practice]: ±5 % on a conductivity, hardness and alkalinity, ±8 % on an ion, pH
// ±0.1.
func LaboratoryAccuracy() Accuracy {
	return Accuracy{Strength: 0.05, Hardness: quantity.MilligramsPerLitreCaCO3(2), Alkalinity: quantity.MilligramsPerLitreCaCO3(2), PH: 0.1, Temperature: 0.75, Ion: 0.08, Share: 0.05}
}

// Laboratory reports whether the instrument's name says that a laboratory
// made the analysis: it holds "laboratory" or begins with "lab".
func (s Sample) Laboratory() bool {
	name := strings.ToLower(strings.TrimSpace(s.Instrument))
	return strings.Contains(name, "laboratory") || strings.HasPrefix(name, "lab")
}

// accuracy fills the zero fields of the sample's accuracy with what the
// instrument's name says of its strength ("pen, ±2 %"), else with the usual.
func (s Sample) accuracy() Accuracy {
	a, usual := s.Accuracy, KitAccuracy()
	if s.Laboratory() {
		usual = LaboratoryAccuracy()
	}
	if told, ok := toldAccuracy(s.Instrument); ok {
		usual.Strength = told
	}
	a.Strength, a.Ion, a.Share = orUsual(a.Strength, usual.Strength), orUsual(a.Ion, usual.Ion), orUsual(a.Share, usual.Share)
	a.Hardness, a.Alkalinity = orUsual(a.Hardness, usual.Hardness), orUsual(a.Alkalinity, usual.Alkalinity)
	a.PH, a.Temperature = orUsual(a.PH, usual.PH), orUsual(a.Temperature, usual.Temperature)
	return a
}

// toldAccuracy reads "± 2 %" or "+-2%" out of an instrument's name.
func toldAccuracy(name string) (quantity.Ratio, bool) {
	for _, mark := range []string{"±", "+-", "+/-"} {
		_, after, found := strings.Cut(name, mark)
		number, _, percent := strings.Cut(after, "%")
		if !found || !percent {
			continue
		}
		x, err := strconv.ParseFloat(strings.ReplaceAll(strings.TrimSpace(number), ",", "."), 64)
		if err == nil && 0.1 <= x && x <= 40 {
			return quantity.Ratio(x / 100), true
		}
	}
	return 0, false
}

func orUsual[Q quantity.Quantity](x, usual Q) Q {
	if x > 0 && !math.IsInf(float64(x), 0) {
		return x
	}
	return usual
}

// deviation is the standard deviation of even chances within a limit, plus or
// minus: the limit over √3. Source: [JCGM100] section 4.3.7.
func deviation(limit float64) float64 { return limit / math.Sqrt(3) }

// Doubts beside the instruments'.
const (
	conductivityModelSD = float64(ConductivityDoubt) / 1.645 // of the logarithm
	namedScaleSD        = 0.05 / 1.732                       // of the logarithm: see [Scale.Reading]
	ionFloorKit         = 2e-3 / 1.732                       // kg/m³, a kit's smallest step
	ionFloorLaboratory  = 2e-4 / 1.732                       // kg/m³
)
