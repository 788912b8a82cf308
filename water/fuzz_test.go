package water

import (
	"errors"
	"math"
	"testing"

	"rinsewright/quantity"
)

// seeds are what no water is, and what some are.
var seeds = []float64{0, 1, -1, 1e-9, 5, 300, 2900, math.NaN(), math.Inf(1), math.Inf(-1)}

func FuzzEquilibrate(f *testing.F) {
	for _, x := range seeds {
		f.Add(x, x, x, x, x, 25.0, x)
		f.Add(1.0, 0.5, 2.0, x, 2.0, x, 1.0)
		f.Add(0.0, 0.0, 0.0, 0.0, x, 20.0, x)
	}
	f.Fuzz(func(t *testing.T, hard, sodium, chloride, sulphate, carbon, celsius, alkalinity float64) {
		w := fuzzed(hard, sodium, chloride, sulphate, carbon, celsius, alkalinity)
		s, err := Equilibrate(w)
		if err != nil {
			known(t, err)
			return
		}
		finite(t, s)
		balanced(t, w, s)
	})
}

func FuzzWithPH(f *testing.F) {
	for _, x := range seeds {
		f.Add(x, 1.0, 1.0, 1.0, x, 25.0, 1.0)
		f.Add(1.0, 0.5, 2.0, 1.0, 7.5, x, x)
	}
	f.Fuzz(func(t *testing.T, hard, sodium, chloride, sulphate, pH, celsius, alkalinity float64) {
		w, s, err := WithPH(fuzzed(hard, sodium, chloride, sulphate, 0, celsius, alkalinity), pH)
		if err != nil {
			known(t, err)
			return
		}
		finite(t, s)
		again, err := Equilibrate(w)
		if err != nil {
			t.Fatalf("the water of pH %g has no equilibrium: %v", pH, err)
		}
		if math.Abs(again.PH-pH) > 1e-3 {
			t.Errorf("the water of pH %g has pH %g", pH, again.PH)
		}
	})
}

func fuzzed(hard, sodium, chloride, sulphate, carbon, celsius, alkalinity float64) Water {
	w := Water{Temperature: quantity.Celsius(celsius), Alkalinity: quantity.EquivConc(alkalinity)}
	for c, x := range map[Component]float64{
		Calcium: hard, Magnesium: hard / 3, Sodium: sodium, Chloride: chloride, Sulphate: sulphate, Carbon: carbon,
		Barium: hard / 1e4, Strontium: hard / 1e3, Fluoride: chloride / 100, Silica: math.Abs(sodium) / 5, Boron: sodium / 50, Phosphate: sulphate / 50,
		Ammonia: sodium / 40, Iron: hard / 200, Manganese: hard / 400, Potassium: sodium / 10, Nitrate: chloride / 20,
	} {
		w.Total[c] = quantity.MolarConc(x)
	}
	return w
}

func known(t *testing.T, err error) {
	t.Helper()
	if !errors.Is(err, ErrRange) && !errors.Is(err, ErrNoConvergence) && !errors.Is(err, ErrImpossible) {
		t.Errorf("refused for no typed reason: %v", err)
	}
}

// finite checks every number that leaves s.
func finite(t *testing.T, s Solution) {
	t.Helper()
	numbers := map[string]float64{
		"pH": s.PH, "ionic strength": s.IonicStrength, "conductivity": float64(s.Conductivity()), "density": float64(s.Density()),
		"viscosity": float64(s.Viscosity()), "osmotic pressure": float64(s.OsmoticPressure()), "osmotic coefficient": s.OsmoticCoefficient(),
		"CO2 pressure": float64(s.CO2Pressure()), "CO2": float64(s.CO2()), "bicarbonate": float64(s.Bicarbonate()), "water activity": s.WaterActivity(),
	}
	for m := range NMinerals {
		numbers[m.String()] = s.SaturationIndex(m)
	}
	for c := range NComponents {
		numbers[c.String()] = float64(s.Free(c))
	}
	for name, x := range numbers {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			t.Errorf("%s is %v", name, x)
		}
	}
	s.EachSpecies(func(formula string, _ int, c quantity.MolarConc) {
		if !(c >= 0) || math.IsInf(float64(c), 0) {
			t.Errorf("%s is %v", formula, c)
		}
	})
}

// balanced checks that the species of s add up to the totals and the
// alkalinity of w, counted here from the formulas of the species.
func balanced(t *testing.T, w Water, s Solution) {
	t.Helper()
	for c := range NComponents {
		sum := s.free[c]
		for f := range nFormed {
			r := &reactions[f]
			if r.one == int(c) {
				sum += float64(r.nOne) * s.species[f]
			}
			if r.two == int(c) {
				sum += float64(r.nTwo) * s.species[f]
			}
		}
		want := float64(w.Total[c])
		if got := sum * s.content; math.Abs(got-want) > 1e-6*want+1e-12 {
			t.Errorf("%s: species add up to %g of %g mol/m³", c, got, want)
		}
	}
	got := s.alkalinityOfSpecies() * s.content
	scale := math.Abs(float64(w.Alkalinity)) + float64(w.Total[Carbon]) + 1e-6
	if math.Abs(got-float64(w.Alkalinity)) > 1e-6*scale {
		t.Errorf("species carry %g of %g eq/m³ of alkalinity", got, float64(w.Alkalinity))
	}
}
