package water

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// Suspicion is something in an analysis that does not fit the rest of it.
type Suspicion struct {
	Of  string         // charge balance, hardness, conductivity, ...
	Off quantity.Ratio // how far, of the larger of the two that disagree
	Why string         // in words, with the numbers
}

const (
	suspectBalance      = 0.10  // of cations and anions together
	suspectHardness     = 0.015 // of the hardness, and at least what rounding of °dH explains:
	suspectDegrees      = 0.4   // °dH
	suspectConductivity = 0.15
)

// Suspicions tries an analysis against itself: the charges of cations and
// anions, the hardness against calcium and magnesium, the conductivity against
// that of its ions. It needs no more than what is there, and says nothing of
// the rest.
//
// Source: the checks of [StandardMethods1030], wider than a laboratory's own limits since
// a report need not be complete: charges apart by more than 10 %, hardness by
// 1.5 % and 0.4 °dH, conductivity by 15 %.
func Suspicions(s Sample) (all []Suspicion) {
	all = append(all, suspectCharges(s)...)
	all = append(all, suspectHard(s)...)
	if s.full() && s.Strength.Conductivity.Known {
		all = append(all, suspectStrength(s)...)
	}
	return all
}

// suspectCharges needs calcium, sodium and chloride at least; alkalinity
// missing is a suspicion of its own.
func suspectCharges(s Sample) []Suspicion {
	if !s.looked(Calcium) || !s.looked(Sodium) || !s.looked(Chloride) && !s.looked(Sulphate) {
		return nil
	}
	var cations, anions float64 // eq/m³
	for c := range NComponents {
		x := float64(c.Equivalents(s.amount(c)))
		if c.Charge() > 0 {
			cations += x
		} else if c != Carbon {
			anions += x
		}
	}
	if !s.Alkalinity.Known && !(cations-anions > suspectBalance*(cations+anions)) {
		return nil
	}
	anions += math.Max(0, float64(s.Alkalinity.Value.Equivalents()))
	off := (cations - anions) / math.Max(cations+anions, 1e-9)
	if !(math.Abs(off) > suspectBalance) {
		return nil
	}
	why := fmt.Sprintf("cations carry %.3g meq/L, anions %.3g: %+.1f %% apart", cations, anions, 100*off)
	switch {
	case !s.Alkalinity.Known:
		why += fmt.Sprintf("; alkalinity is missing, and %.0f mg/L as CaCO3 of it would balance", asCaCO3(cations-anions).MilligramsPerLitreCaCO3())
	case off < 0 && closer(cations, anions, 0.2195*float64(s.Alkalinity.Value.Equivalents())):
		why += "; it would balance if the bicarbonate were as CaCO3 instead of as the ion, or the other way round"
	case off > 0:
		why += "; an anion is missing or a cation is read in the wrong unit"
	default:
		why += "; a cation is missing or an anion is read in the wrong unit"
	}
	return []Suspicion{{"charge balance", quantity.Ratio(off), why}}
}

// closer tells whether taking x off the anions would balance them.
func closer(cations, anions, x float64) bool {
	return math.Abs(cations-anions+x) < suspectBalance/3*(cations+anions)
}

func suspectHard(s Sample) []Suspicion {
	if !s.Hardness.Known || !s.looked(Calcium) || !s.looked(Magnesium) {
		return nil
	}
	made := float64(Calcium.AsCaCO3(s.amount(Calcium)) + Magnesium.AsCaCO3(s.amount(Magnesium)))
	printed, degree := float64(s.Hardness.Value), 10*100.087/56.077*1e-3 // kg/m³ as CaCO3
	apart := made - printed
	if math.Abs(apart) <= math.Max(suspectHardness*printed, suspectDegrees*degree) {
		return nil
	}
	return []Suspicion{{
		"hardness", quantity.Ratio(apart / math.Max(made, printed)),
		fmt.Sprintf("hardness is printed as %.0f mg/L as CaCO3 (%.1f °dH), calcium and magnesium make %.0f (%.1f °dH)",
			printed*1000, printed/degree, made*1000, made/degree),
	}}
}

func suspectStrength(s Sample) []Suspicion {
	w := Water{Alkalinity: s.Alkalinity.Value.Equivalents(), Temperature: s.Temperature.Or(quantity.Celsius(20))}
	for c := range NComponents {
		if c != Carbon {
			w.Total[c] = s.amount(c)
		}
	}
	w, _, err := WithPH(w, float64(s.PH.Value))
	if err != nil {
		return []Suspicion{{"pH and alkalinity", 1, err.Error()}}
	}
	made, err := w.Conductivity25()
	if err != nil || !(s.Strength.Conductivity.Value > 0) {
		return nil
	}
	off := float64(made)/float64(s.Strength.Conductivity.Value) - 1
	if math.Abs(off) <= suspectConductivity {
		return nil
	}
	return []Suspicion{{"conductivity", quantity.Ratio(off), fmt.Sprintf("conductivity is printed as %.0f µS/cm, the ions make %.0f: %+.0f %%",
		s.Strength.Conductivity.Value.MicrosiemensPerCm(), made.MicrosiemensPerCm(), 100*off)}}
}
