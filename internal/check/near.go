package check

import (
	"math"
	"strings"
	"testing"
)

// kinds are the four ways a source may begin; the first two say more after it.
var kinds = []string{"published: ", "reference code: ", "common practice, no source", "from memory, unverified"}

// Near fails the test unless got is within tol of want, both in the unit that
// their type names. The source says where want came from.
func Near[T ~float64](t testing.TB, got, want, tol T, source string) {
	t.Helper()
	compare(t, float64(got), float64(want), float64(tol), source)
}

// Within fails the test unless got is within share of want: 0.01 is one per
// cent. It is of no use where want is 0; take [Near] there.
func Within[T ~float64](t testing.TB, got, want T, share float64, source string) {
	t.Helper()
	compare(t, float64(got), float64(want), share*math.Abs(float64(want)), source)
}

func compare(t testing.TB, got, want, tol float64, source string) {
	t.Helper()
	if !sourced(source) {
		t.Errorf("the wanted value %v has no source: begin with one of %q and say more", want, kinds)
		return
	}
	if math.IsInf(tol, 0) {
		t.Errorf("a tolerance without end holds nothing (%s)", source)
		return
	}
	record(t, Row{Test: t.Name(), Got: got, Want: want, Tolerance: tol, Source: source})
	if !(math.Abs(got-want) <= tol) { // written so that NaN fails
		t.Errorf("got %.8g, want %.8g ± %.2g, off by %.2g (%s)", got, want, tol, got-want, source)
	}
}

func sourced(source string) bool {
	for _, k := range kinds {
		rest, ok := strings.CutPrefix(source, k)
		if ok && (!strings.HasSuffix(k, ": ") || len(strings.TrimSpace(rest)) >= 5) {
			return true
		}
	}
	return false
}
