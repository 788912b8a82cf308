package commissioning

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"rinsewright/internal/check"
)

// The guide's Table 1 for one limit, and quantiles of the normal in any table.
func TestConformanceOnOneSide(t *testing.T) {
	for _, row := range []struct {
		z, want, tolerance float64
		source             string
	}{
		{0.84, 0.80, 0.005, "from memory, unverified: JCGM 106:2012 Table 1"},
		{1.28, 0.90, 0.005, "from memory, unverified: JCGM 106:2012 Table 1"},
		{1.64, 0.95, 0.005, "from memory, unverified: JCGM 106:2012 Table 1"},
		{2.33, 0.99, 0.0005, "from memory, unverified: JCGM 106:2012 Table 1"},
		{3.09, 0.999, 0.00005, "from memory, unverified: JCGM 106:2012 Table 1"},
		{1, 0.841345, 1e-6, "published: standard normal distribution function, any table"},
		{1.96, 0.975002, 1e-6, "published: standard normal distribution function, any table"},
		{-1.644854, 0.05, 1e-6, "published: standard normal distribution function, any table"},
	} {
		got, err := AtMost(row.z).Conformance(0, 1)
		if err != nil {
			t.Fatal(err)
		}
		check.Near(t, got, row.want, row.tolerance, row.source)
	}
}

// The guide's worked examples, as recalled: each agrees with its own inputs.
func TestTheGuidesExamples(t *testing.T) {
	for _, row := range []struct {
		about                 string
		limits                Limits
		y, u, want, tolerance float64
	}{
		{"breakdown voltage of a diode, at most −5.40 V", AtMost(-5.40), -5.47, 0.05, 0.92, 0.005},
		{"burst strength of a container, at least 490 kPa", AtLeast(490), 509.7, 8.6, 0.99, 0.005},
	} {
		got, err := row.limits.Conformance(row.y, row.u)
		if err != nil {
			t.Fatal(err)
		}
		check.Near(t, got, row.want, row.tolerance, "from memory, unverified: JCGM 106:2012 clause 7, "+row.about)
	}
	// Both sides: 95.45 % within two standard deviations.
	got, err := Limits{-2, 2}.Conformance(0, 1)
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, got, 0.9545, 5e-5, "published: normal distribution within ±2σ, any table")
}

func TestTheGuardBandIsWhereOneSideHoldsAt95Percent(t *testing.T) {
	guarded, ok := Limits{0, 10}.Guarded(1)
	if !ok {
		t.Fatal("no room within ten standard uncertainties")
	}
	check.Near(t, guarded.Low, 1.645, 5e-4, "published: 95 % quantile of the normal, any table")
	check.Near(t, 10-guarded.High, 1.645, 5e-4, "published: 95 % quantile of the normal, any table")
	if _, ok := (Limits{0, 3}).Guarded(1); ok {
		t.Error("limits three standard uncertainties apart leave room for two guard bands")
	}
}

func TestEachVerdict(t *testing.T) {
	for _, row := range []struct {
		about  string
		limits Limits
		y, u   float64
		want   Verdict
	}{
		{"deep inside", AtLeast(1), 1.5, 0.1, Holds},
		{"inside, whisker reaching out", AtLeast(1), 1.1, 0.1, WithinDoubt},
		{"outside, whisker reaching in", AtLeast(1), 0.9, 0.1, CannotTell},
		{"outside altogether", AtLeast(1), 0.7, 0.1, FallsShort},
		{"bracket narrower than the whisker", Limits{0.9, 1.1}, 1, 0.1, CannotTell},
		{"far from a narrow bracket", Limits{0.9, 1.1}, 2, 0.1, FallsShort},
		{"in the middle of a wide bracket", Limits{0, 2}, 1, 0.1, Holds},
		{"on the limit", AtMost(1), 1, 0.1, WithinDoubt},
	} {
		got, _, err := row.limits.Judge(row.y, row.u)
		if err != nil || got != row.want {
			t.Errorf("%s: %s, %v; want %s", row.about, got, err, row.want)
		}
	}
}

func TestNumbersThatCannotBeAreRefused(t *testing.T) {
	for _, row := range []struct {
		limits Limits
		y, u   float64
	}{
		{AtLeast(1), math.NaN(), 1},
		{AtLeast(1), math.Inf(1), 1},
		{AtLeast(1), 1, 0},
		{AtLeast(1), 1, -1},
		{AtLeast(1), 1, math.NaN()},
		{AtLeast(1), 1, math.Inf(1)},
		{Limits{2, 1}, 1, 1},
		{Limits{math.NaN(), 1}, 1, 1},
	} {
		if verdict, _, err := row.limits.Judge(row.y, row.u); !errors.Is(err, ErrRange) || verdict != CannotTell {
			t.Errorf("%v of %g ± %g: %s, %v", row.limits, row.y, row.u, verdict, err)
		}
	}
}

func drawn(t *rapid.T, name string, lo, hi float64) float64 {
	return rapid.Float64Range(lo, hi).Draw(t, name)
}

var rank = map[Verdict]int{FallsShort: 0, CannotTell: 1, WithinDoubt: 2, Holds: 3}

func TestConformanceIsAProbabilityAndGrowsWithTheReading(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low, u := drawn(t, "low", -100, 100), drawn(t, "u", 1e-3, 50)
		y, more := drawn(t, "y", -300, 300), drawn(t, "more", 0, 100)
		for _, limits := range []Limits{AtLeast(low), AtMost(low), {low, low + drawn(t, "width", 1e-3, 200)}} {
			p, err := limits.Conformance(y, u)
			if err != nil || !(0 <= p && p <= 1) {
				t.Fatalf("%v: probability %v, %v", limits, p, err)
			}
		}
		v1, p1, _ := AtLeast(low).Judge(y, u)
		v2, p2, _ := AtLeast(low).Judge(y+more, u)
		if p2 < p1 || rank[v2] < rank[v1] {
			t.Fatalf("reading %g gives %s (%g), %g gives %s (%g)", y, v1, p1, y+more, v2, p2)
		}
		v1, p1, _ = AtMost(low).Judge(y, u)
		v2, p2, _ = AtMost(low).Judge(y+more, u)
		if p2 > p1 || rank[v2] > rank[v1] {
			t.Fatalf("at most %g: reading %g gives %s, %g gives %s", low, y, v1, y+more, v2)
		}
	})
}

func TestTheGuardBandShrinksWithTheDoubt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		limits := Limits{drawn(t, "low", -10, 0), drawn(t, "high", 50, 100)}
		u, share := drawn(t, "u", 1e-3, 10), drawn(t, "share", 0.01, 1)
		wide, ok1 := limits.Guarded(u * share)
		narrow, ok2 := limits.Guarded(u)
		if !ok1 || !ok2 || wide.Low > narrow.Low || wide.High < narrow.High {
			t.Fatalf("doubt %g leaves %v, doubt %g leaves %v", u, narrow, u*share, wide)
		}
	})
}

// What is said to decide does decide: a reading with less doubt than that is
// no longer "can't tell".
func TestABetterReadingDecides(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		limits := AtLeast(drawn(t, "low", 1, 10))
		y, u := drawn(t, "y", 0.5, 20), drawn(t, "u", 1e-3, 10)
		verdict, _, err := limits.Judge(y, u)
		if err != nil || verdict != CannotTell && verdict != WithinDoubt || y == limits.Low {
			return
		}
		if better, _, _ := limits.Judge(y, 0.99*limits.Decisive(y)); better == CannotTell || better == WithinDoubt {
			t.Fatalf("%g ± %g against %v: still %s with the decisive doubt", y, limits.Decisive(y), limits, better)
		}
	})
}

func FuzzJudge(f *testing.F) {
	for _, x := range []float64{0, 1, -1, math.NaN(), math.Inf(1), math.MaxFloat64, math.SmallestNonzeroFloat64} {
		f.Add(x, 1.0, 0.0, 2.0)
		f.Add(1.0, x, 0.0, 2.0)
		f.Add(1.0, 1.0, x, 2.0)
	}
	f.Fuzz(func(t *testing.T, y, u, low, high float64) {
		limits := Limits{low, high}
		verdict, p, err := limits.Judge(y, u)
		if err == nil && (!(0 <= p && p <= 1) || verdict == "") {
			t.Fatalf("%v of %g ± %g: %s, %g", limits, y, u, verdict, p)
		}
		if _, err := Judge(Promise{Name: "x", Limits: limits}, &Measured{Y: y, U: u}, nil); err == nil && !finite(y, u) {
			t.Fatal("a reading that is no number was judged")
		}
	})
}
