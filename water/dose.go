package water

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// Reagent is what pH is set with.
type Reagent uint8

// The reagents, counted as pure substance.
const (
	HydrochloricAcid Reagent = iota
	SulphuricAcid
	CausticSoda
	nReagents
)

type reagentData struct {
	name        string
	molarMass   float64 // kg/mol
	ion         Component
	equivalents float64 // of alkalinity per mole, negative for an acid
}

var reagents = [nReagents]reagentData{
	HydrochloricAcid: {"hydrochloric acid", 36.461e-3, Chloride, -1},
	SulphuricAcid:    {"sulphuric acid", 98.08e-3, Sulphate, -2},
	CausticSoda:      {"caustic soda", 39.9978e-3, Sodium, 1},
}

// String returns the reagent's name.
func (r Reagent) String() string {
	if r >= nReagents {
		return "no reagent"
	}
	return reagents[r].name
}

// Dose is an amount of reagent for a volume of the water dosed.
type Dose struct {
	Reagent  Reagent
	Amount   quantity.MolarConc
	Mass     quantity.MassConc // as pure substance
	Molality float64           // Amount as a number of mol per kg of water
}

// AcidTo returns w brought to a pH with a reagent in a closed vessel (all CO2
// stays in the water), and the dose. Add acid to water, never water to acid; wear eye and
// hand protection; never mix acid with hypochlorite, which sets chlorine free.
//
// Accuracy: dose within 0.5 % of [AcidTable]. The error wraps [ErrRange], or
// [ErrImpossible] when the reagent would have to be taken out instead of added.
func AcidTo(w Water, pH float64, reagent Reagent) (Water, Solution, Dose, error) {
	const operation = "dose to pH"
	if reagent >= nReagents {
		return Water{}, Solution{}, Dose{}, fmt.Errorf("%s: no such reagent: %w", operation, ErrRange)
	}
	if err := checkWater(operation, &w); err != nil {
		return Water{}, Solution{}, Dose{}, err
	}
	if err := inRange(operation, "pH", pH, 3, 11.5); err != nil {
		return Water{}, Solution{}, Dose{}, err
	}
	m, content := perKilogram(&w)
	s, amount, err := titrate(operation, &m, pH, &reagents[reagent])
	if err != nil {
		return Water{}, Solution{}, Dose{}, err
	}
	if amount < -1e-9 {
		return Water{}, Solution{}, Dose{}, fmt.Errorf("%s: pH %.2f is on the other side of the water's own, %s cannot reach it: %w",
			operation, pH, reagent, ErrImpossible)
	}
	perVolume := math.Max(0, amount) * content
	return s.total.perVolume(), s, Dose{reagent, concentration(perVolume), quantity.MassConc(perVolume * reagents[reagent].molarMass), math.Max(0, amount)}, nil
}

// titrate finds the amount per kg of water. The added ion changes ionic
// strength and pairs a little, so the balance is struck again until it stays.
func titrate(operation string, m *molal, pH float64, r *reagentData) (Solution, float64, error) {
	amount := 0.0
	for range maxSteps {
		dosed := *m
		dosed.total[r.ion] = math.Max(0, m.total[r.ion]+amount)
		s, err := solve(operation, pHCarbon, &dosed, pH)
		if err != nil {
			return Solution{}, 0, err
		}
		next := (s.total.alkalinity - m.alkalinity) / r.equivalents
		if math.Abs(next-amount) <= 1e-9*math.Abs(next)+1e-13 {
			return s, next, nil
		}
		amount = next
	}
	return Solution{}, 0, &NoConvergenceError{operation, maxSteps, pH, amount}
}

// CalciteEquilibrium returns w after calcite has settled from it, or dissolved
// into it, until the calcite index is 0, in a closed vessel at constant
// temperature, and how much settled (negative: dissolved) per volume of the
// water as it was.
//
// Accuracy: amount within 1 % or 1e-6 mol/kg of [CalciteTable]. The error wraps [ErrRange],
// [ErrNoConvergence], or [ErrImpossible] when w holds no carbon and no alkalinity to settle with.
func CalciteEquilibrium(w Water) (Water, Solution, quantity.MolarConc, error) {
	const operation = "calcite equilibrium"
	if err := checkWater(operation, &w); err != nil {
		return Water{}, Solution{}, 0, err
	}
	m, content := perKilogram(&w)
	low, high := -0.02, math.Min(m.total[Calcium], m.total[Carbon]) // mol/kg settled
	settle := func(x float64) (Solution, float64, error) {
		n := m
		n.total[Calcium], n.total[Carbon], n.alkalinity = n.total[Calcium]-x, n.total[Carbon]-x, n.alkalinity-2*x
		s, err := solve(operation, closed, &n, 0)
		return s, s.SaturationIndex(Calcite), err
	}
	x := 0.0
	for range 200 {
		s, index, err := settle(x)
		if err != nil {
			return Water{}, Solution{}, 0, err
		}
		if math.Abs(index) < 1e-9 || high-low < 1e-14 {
			return s.total.perVolume(), s, concentration(x * content), nil
		}
		if index > 0 {
			low = x
		} else {
			high = x
		}
		x = (low + high) / 2
	}
	return Water{}, Solution{}, 0, &NoConvergenceError{operation, 200, 0, high - low}
}
