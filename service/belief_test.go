package service

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"rinsewright/internal/check"
)

// simple is a belief in which two numbers hang together.
func simple(va, vb, rho float64) belief {
	var b belief
	for i := range b.p {
		b.p[i][i] = 1
	}
	b.p[0][0], b.p[1][1] = va, vb
	b.p[0][1] = rho * math.Sqrt(va*vb)
	b.p[1][0] = b.p[0][1]
	return b
}

// A reading with normal doubt must do what the closed formula of normal beliefs
// says, for the number read and for the one that follows.
func TestANormalReadingDoesWhatTheClosedFormulaSays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		va, vb := rapid.Float64Range(1e-4, 10).Draw(t, "va"), rapid.Float64Range(1e-4, 10).Draw(t, "vb")
		rho := rapid.Float64Range(-0.95, 0.95).Draw(t, "rho")
		sd := math.Sqrt(va) * rapid.Float64Range(0.01, 5).Draw(t, "sd")
		read := math.Sqrt(va) * rapid.Float64Range(-3, 3).Draw(t, "read")
		b := simple(va, vb, rho)
		f := b.of(0)
		b.take(&f, func(s float64) float64 { z := (read - s) / sd; return -z * z / 2 })
		// published: Kalman 1960, the scalar gain K = P/(P + R).
		gain := va / (va + sd*sd)
		across := rho * math.Sqrt(va*vb)
		want := []float64{gain * read, across / (va + sd*sd) * read, va * (1 - gain), vb - across*across/(va+sd*sd)}
		got := []float64{b.m[0], b.m[1], b.p[0][0], b.p[1][1]}
		for i := range want {
			if math.Abs(got[i]-want[i]) > 2e-3*(math.Abs(want[i])+math.Sqrt(max(va, vb))*0.01+1e-6) {
				t.Fatalf("number %d: got %g, want %g", i, got[i], want[i])
			}
		}
	})
}

func TestASlipMovesTheBeliefLessThanAGoodReading(t *testing.T) {
	good, slip := simple(1, 1, 0.5), simple(1, 1, 0.5)
	f, g := good.of(0), slip.of(0)
	good.take(&f, func(s float64) float64 { return measured(0.5-s, 0.1) })
	slip.take(&g, func(s float64) float64 { return measured(8-s, 0.1) })
	if slip.m[0] > 4 {
		t.Errorf("a reading eight deviations off moved the belief to %g", slip.m[0])
	}
	check.Near(t, good.m[0], 0.495, 0.01, "from memory, unverified: 0.5/(1 + 0.1²)")
	if !(slip.p[0][0] > good.p[0][0]) {
		t.Error("a slip left as little doubt as a good reading")
	}
}

func TestALogarithmOfASumFollowsItsTerms(t *testing.T) {
	b := simple(1, 1, 0)
	b.m[0], b.m[1] = math.Log(3), math.Log(5)
	f := logSum(b.of(0), b.of(1))
	check.Within(t, math.Exp(f.at), 8, 1e-12, "from memory, unverified: arithmetic")
	check.Within(t, f.slope[0], 3.0/8, 1e-12, "from memory, unverified: arithmetic")
	check.Within(t, f.slope[1], 5.0/8, 1e-12, "from memory, unverified: arithmetic")
}
