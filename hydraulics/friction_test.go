package hydraulics

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestFrictionFactorsMatchTheExactRoots(t *testing.T) {
	for _, row := range refRows(t, "colebrook.csv") {
		re, rough := num64(t, row["Re"]), num64(t, row["rel_roughness"])
		got, err := ColebrookFactor(re, rough)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "colebrook at Re "+row["Re"], got, num64(t, row["f_Colebrook_exact"]), num64(t, row["tol_rel"]))
		got, err = SwameeJainFactor(re, rough)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "explicit at Re "+row["Re"], got, num64(t, row["f_SwameeJain"]), 1e-6)
	}
}

func TestColebrookSolvesItsOwnEquation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		re := math.Pow(10, rapid.Float64Range(math.Log10(2000), 9).Draw(t, "log Re"))
		rough := rapid.Float64Range(0, maxRelRough).Draw(t, "roughness")
		f, err := ColebrookFactor(re, rough)
		if err != nil {
			t.Fatal(err)
		}
		x := 1 / math.Sqrt(f)
		if left := x + 2*math.Log10(rough/3.7+2.51*x/re); !(math.Abs(left) <= 1e-9*x) {
			t.Fatalf("Re %g, roughness %g: %g left over", re, rough, left)
		}
	})
}

func TestTheTwoTurbulentFormulasAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		re := math.Pow(10, rapid.Float64Range(math.Log10(4000), 8).Draw(t, "log Re"))
		rough := rapid.Float64Range(1e-6, 0.01).Draw(t, "roughness")
		exact, _ := ColebrookFactor(re, rough)
		explicit, _ := SwameeJainFactor(re, rough)
		if !(math.Abs(explicit/exact-1) <= 0.035) {
			t.Fatalf("Re %g, roughness %g: %g and %g", re, rough, exact, explicit)
		}
	})
}

func TestFrictionBridgeMeetsBothSidesInValueAndSlope(t *testing.T) {
	for _, law := range []FrictionLaw{Colebrook, SwameeJain} {
		for _, rough := range []float64{0, 1e-4, 0.01, 0.05} {
			for _, re := range []float64{laminarEnd, turbulentStart} {
				const step = 1e-3
				at, below, above := factor(law, re, rough), factor(law, re-step, rough), factor(law, re+step, rough)
				if !(math.Abs(above-at) <= 1e-6*at && math.Abs(at-below) <= 1e-6*at) {
					t.Errorf("%v, roughness %g: jump at Re %g: %g %g %g", law, rough, re, below, at, above)
				}
				left, right := slope(law, re-0.05, rough), slope(law, re+0.05, rough)
				if !(math.Abs(left-right) <= 1e-2*math.Abs(left)) {
					t.Errorf("%v, roughness %g: kink at Re %g: slope %g then %g", law, rough, re, left, right)
				}
			}
		}
	}
}

func slope(law FrictionLaw, re, rough float64) float64 {
	const step = 0.02
	return (factor(law, re+step, rough) - factor(law, re-step, rough)) / (2 * step)
}

func TestLaminarFrictionIs64OverRe(t *testing.T) {
	got, err := FrictionFactor(Colebrook, 1000, 0.01)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "laminar", got, 0.064, 1e-15) // published: J. L. M. Poiseuille, 1846
}

func TestFrictionRefusesWhatNoLawCovers(t *testing.T) {
	bad := []struct {
		law       FrictionLaw
		re, rough float64
	}{
		{Colebrook, 0, 0},
		{Colebrook, -1, 0},
		{Colebrook, math.NaN(), 0},
		{Colebrook, math.Inf(1), 0},
		{Colebrook, 2e9, 0},
		{Colebrook, 1e5, -1e-9},
		{Colebrook, 1e5, 0.06},
		{SwameeJain, 1e5, math.NaN()},
		{HazenWilliams, 1e5, 0},
	}
	for _, b := range bad {
		if _, err := FrictionFactor(b.law, b.re, b.rough); !errors.Is(err, ErrRange) {
			t.Errorf("%+v: got %v, want %v", b, err, ErrRange)
		}
	}
	for _, f := range []func(float64, float64) (float64, error){ColebrookFactor, SwameeJainFactor} {
		if _, err := f(1999, 0); !errors.Is(err, ErrRange) {
			t.Errorf("laminar flow accepted by a turbulent formula: %v", err)
		}
	}
}
