package water

import "math"

// Mineral is a solid that water may be saturated with.
type Mineral uint8

// The minerals.
const (
	Calcite Mineral = iota
	Aragonite
	Gypsum
	Barite
	Celestite
	Fluorite
	AmorphousSilica
	Brucite
	Hydroxyapatite // the least soluble calcium phosphate
	NMinerals
)

// mineral is a dissolution: the free ions it gives, with counts, its hydrogen
// ions (negative: taken up) and waters.
type mineral struct {
	name      string
	ions      [2]int
	count     [2]int
	hydrogen  int
	waters    int
	phosphate bool // counts HPO4-2, three of them
	k         analytic
}

// minerals: [PHREEQC3dat], all but hydroxyapatite checked row by row against [LogKTable].
var minerals = [NMinerals]mineral{
	Calcite:         {name: "calcite", ions: [2]int{int(Calcium), int(Carbon)}, count: [2]int{1, 1}, k: analytic{17.118, -0.046528, -3496}},
	Aragonite:       {name: "aragonite", ions: [2]int{int(Calcium), int(Carbon)}, count: [2]int{1, 1}, k: analytic{-171.9773, -0.077993, 2903.293, 71.595}},
	Gypsum:          {name: "gypsum", ions: [2]int{int(Calcium), int(Sulphate)}, count: [2]int{1, 1}, waters: 2, k: analytic{72.244, -1.474e-2, -4040, -23.7823}},
	Barite:          {name: "barite", ions: [2]int{int(Barium), int(Sulphate)}, count: [2]int{1, 1}, k: bariteK},
	Celestite:       {name: "celestite", ions: [2]int{int(Strontium), int(Sulphate)}, count: [2]int{1, 1}, k: analytic{-7.14, 6.11e-3, 75, 0, 0, -1.79e-5}},
	Fluorite:        {name: "fluorite", ions: [2]int{int(Calcium), int(Fluoride)}, count: [2]int{1, 2}, k: analytic{66.348, 0, -4298.2, -25.271}},
	AmorphousSilica: {name: "amorphous silica", ions: [2]int{int(Silica), absent}, count: [2]int{1, 0}, waters: -2, k: analytic{-0.26, 0, -731}},
	Brucite:         {name: "brucite", ions: [2]int{int(Magnesium), absent}, count: [2]int{1, 0}, hydrogen: -2, waters: 2, k: vantHoff(16.84, -27.1*kilocalorie)},
	Hydroxyapatite:  {name: "hydroxyapatite", ions: [2]int{int(Calcium), absent}, count: [2]int{5, 0}, hydrogen: -4, waters: 1, phosphate: true, k: vantHoff(-3.421, -36.155*kilocalorie)},
}

// bariteK meets the ten tabulated constants of [LogKTable] within 0.00005: the
// four terms of the form were found from that table by least squares, since
// the expression of the 3.8.8 file was not at hand.
var bariteK = analytic{-29.085941363, -0.03156639999, -1638.659879725, 13.781487231}

// String returns the mineral's name.
func (m Mineral) String() string {
	if m >= NMinerals {
		return "no mineral"
	}
	return minerals[m].name
}

// SaturationIndex returns log10 of the ion activity product of a mineral over
// its solubility constant: 0 in balance, above 0 when it can settle. A mineral
// whose ions are not there gives -99.
//
//	SI = log10 (IAP / K)
//
// Source: constants of [PHREEQC3dat]; within 0.03 of [SpeciationTable] (brucite
// 0.06, barite 0.05), where other compilations differ by 0.05 and, for barite, by 0.8.
// Hydroxyapatite has no reference table here and forms slowly: take it as a
// caution, not a limit.
func (s Solution) SaturationIndex(m Mineral) float64 {
	if m >= NMinerals {
		return nothing
	}
	d := &minerals[m]
	product := float64(d.waters)*log10(s.WaterActivity()) - float64(d.hydrogen)*s.PH
	for i, ion := range d.ions {
		if ion == absent {
			continue
		}
		if !(s.free[ion] > 0) {
			return nothing
		}
		product += float64(d.count[i]) * s.log10Activity(ion)
	}
	if d.phosphate {
		if !(s.species[sHPO4] > 0) {
			return nothing
		}
		product += 3 * (log10(s.species[sHPO4]) + s.log10GammaFormed(sHPO4))
	}
	p := powersOf(s.total.t)
	return product - d.k.log10K(&p)
}

func log10(x float64) float64 { return math.Log10(x) }
