package plant

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// A rising function's root is found from anywhere in the span, however steep or
// flat it is, and one without a root is told by the end it points to.
func TestNearFindsWhereARisingFunctionCrosses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		root := rapid.Float64Range(-3, 3).Draw(t, "root")
		power := rapid.Float64Range(0.3, 5).Draw(t, "power")
		steep := rapid.Float64Range(1e-3, 1e3).Draw(t, "steep")
		from := rapid.Float64Range(-4, 4).Draw(t, "from")
		f := func(x float64) float64 {
			return steep * math.Copysign(math.Pow(math.Abs(x-root), power), x-root)
		}
		got, _ := near(f, from, rapid.Float64Range(1e-3, 1e3).Draw(t, "slope"), span{-4, 4, 1e-9})
		if !(math.Abs(f(got)) <= 1e-3*steep || math.Abs(got-root) < 1e-6) {
			t.Fatalf("root %g, found %g where it is %g", root, got, f(got))
		}
	})
}

func TestNearPointsToTheEndOfASpanWithoutARoot(t *testing.T) {
	for _, row := range []struct{ shift, want float64 }{{10, -1}, {-10, 1}} {
		if got, _ := near(func(x float64) float64 { return x + row.shift }, 0, 1, span{-1, 1, 1e-9}); math.Abs(got-row.want) > 1e-6 {
			t.Errorf("shift %g: %g, want %g", row.shift, got, row.want)
		}
	}
}

// Three linear equations in three unknowns, whose answer is known, are met at
// once; and a kept matrix finds the next one without trying each unknown again.
func TestBalancesTogetherMeetALinearSystem(t *testing.T) {
	looks := 0
	s := system{n: 3, scale: vector{1, 1, 1}, low: vector{-100, -100, -100}, high: vector{100, 100, 100}}
	s.at = func(x *vector) (vector, bool) {
		looks++
		return vector{x[0] + x[1] - 3, x[1] - 2*x[2] + 4, x[0] - x[2] + 2}, true // 1, 2, 3
	}
	x := vector{10, -5, 7}
	if !s.solve(&x) || math.Abs(x[0]-1)+math.Abs(x[1]-2)+math.Abs(x[2]-3) > 1e-5 {
		t.Fatalf("found %v, want 1, 2, 3", x[:3])
	}
	first := looks
	x = vector{-4, 4, 4}
	if looks = 0; !s.solve(&x) || looks >= first {
		t.Errorf("%d looks with a known matrix, %d without", looks, first)
	}
}
