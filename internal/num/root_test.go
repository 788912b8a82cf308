package num

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestRootFindsKnownZeros(t *testing.T) {
	tests := []struct {
		name   string
		f      func(float64) float64
		lo, hi float64
		tol    float64
		want   float64 // published: definitions of the functions (the zero is exact mathematics)
	}{
		{"square root of two", func(x float64) float64 { return x*x - 2 }, 0, 2, 1e-12, math.Sqrt2},
		{"first zero of the cosine", math.Cos, 0, 3, 1e-12, math.Pi / 2},
		{"bounds in the other order", math.Cos, 3, 0, 1e-12, math.Pi / 2},
		{"triple zero", func(x float64) float64 { return (x - 1) * (x - 1) * (x - 1) }, -4, 3, 1e-5, 1},
		{"steep exponential", func(x float64) float64 { return math.Expm1(60 * (x - 0.25)) }, -1, 1, 1e-12, 0.25},
		{"zero at the low bound", func(x float64) float64 { return x }, 0, 7, 1e-12, 0},
		{"zero at the high bound", func(x float64) float64 { return x - 7 }, 0, 7, 1e-12, 7},
		{"a jump", func(x float64) float64 { return math.Copysign(1, x-0.3) }, 0, 1, 1e-12, 0.3},
		{"a wide bracket", func(x float64) float64 { return x - 1e-9 }, -1e12, 1e12, 1e-12, 1e-9},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := Root(tt.f, tt.lo, tt.hi, 1e-13)
			if err != nil || !(math.Abs(got-tt.want) <= tt.tol) {
				t.Errorf("got %.17g, %v, want %.17g", got, err, tt.want)
			}
		})
	}
}

func TestRootRefusesWhatItCannotBracket(t *testing.T) {
	id := func(x float64) float64 { return x }
	for _, b := range [][2]float64{{1, 2}, {math.NaN(), 1}, {-1, math.Inf(1)}, {math.Inf(-1), 1}} {
		if _, err := Root(id, b[0], b[1], 0); !errors.Is(err, ErrNoBracket) {
			t.Errorf("bounds %v: got %v, want %v", b, err, ErrNoBracket)
		}
	}
}

func TestRootSaysWhenTheFunctionIsNotANumberInside(t *testing.T) {
	f := func(x float64) float64 {
		if x == -1 || x == 1 {
			return x
		}
		return math.NaN()
	}
	if _, err := Root(f, -1, 1, 0); !errors.Is(err, ErrNoConvergence) {
		t.Errorf("got %v, want %v", err, ErrNoConvergence)
	}
}

func TestRootHoldsForAnyMonotoneFunction(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.Float64Range(-1e3, 1e3).Draw(t, "zero")
		power := rapid.SampledFrom([]float64{0.3, 0.5, 1, 1.85, 3}).Draw(t, "power")
		below, above := rapid.Float64Range(1e-6, 1e4).Draw(t, "below"), rapid.Float64Range(1e-6, 1e4).Draw(t, "above")
		f := func(x float64) float64 { return math.Copysign(math.Pow(math.Abs(x-want), power), x-want) }
		got, err := Root(f, want-below, want+above, 1e-9)
		if err != nil || !(math.Abs(got-want) <= 2e-9) {
			t.Fatalf("got %v, %v, want %v", got, err, want)
		}
	})
}

func FuzzRoot(f *testing.F) {
	for _, x := range []float64{0, 1, -1, math.NaN(), math.Inf(1), math.Inf(-1)} {
		f.Add(x, 2.0, 1e-9, 1.0)
		f.Add(-2.0, x, x, x)
	}
	f.Fuzz(func(t *testing.T, lo, hi, tol, shift float64) {
		got, err := Root(func(x float64) float64 { return x*x*x - shift }, lo, hi, tol)
		if err == nil && !(math.Min(lo, hi) <= got && got <= math.Max(lo, hi)) {
			t.Errorf("root %v outside %v to %v", got, lo, hi)
		}
	})
}

func BenchmarkRoot(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		shift := 2.0
		if _, err := Root(func(x float64) float64 { return x*x - shift }, 0, 2, 1e-12); err != nil {
			b.Fatal(err)
		}
	}
}
