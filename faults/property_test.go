package faults

import (
	"math"
	"slices"
	"strings"
	"testing"

	"rinsewright/plant"
	"rinsewright/quantity"
)

func read(of plant.Gauge, si float64) Evidence {
	return Evidence{Reading: plant.Reading{Of: of, SI: si}}
}

// visit is today's readings of the invented wall: a bay that takes in tap water.
func visit() []Evidence {
	micro := func(x float64) float64 { return float64(quantity.MicrosiemensPerCm(x)) }
	bay := func(n int, x float64) Evidence {
		return Evidence{Reading: plant.Reading{Of: plant.GunStrength, Number: n, SI: micro(x)}}
	}
	return []Evidence{
		read(plant.FeedStrength, micro(520)), read(plant.PermeateStrength, micro(12)), read(plant.FeedTemperature, 288),
		read(plant.TankStrength, micro(2)), read(plant.PermeateFlow, float64(quantity.GallonsPerMinute(0.8))),
		bay(1, 2), bay(2, 90), bay(3, 2),
	}
}

func ranked(t testing.TB, c Case) []Suspect {
	t.Helper()
	f, err := Find(c)
	if err != nil {
		t.Fatal(err)
	}
	return f.Ranked
}

func TestProbabilitiesAddUpToOne(t *testing.T) {
	rows := visit()
	for kept := range len(rows) + 1 {
		sum := 0.0
		all := ranked(t, Case{Facts: wall(), Now: rows[:kept]})
		for _, s := range all {
			if !(0 <= s.Probability && s.Probability <= 1) {
				t.Fatalf("probability %g of cause %d", s.Probability, s.Cause.Number)
			}
			sum += s.Probability
		}
		if len(all) != 49 || math.Abs(sum-1) > 1e-9 {
			t.Fatalf("with %d readings %d causes add up to %g", kept, len(all), sum)
		}
	}
}

// The order in which readings were written down says nothing.
func TestOrderOfReadingsDoesNotMatter(t *testing.T) {
	c := Case{Facts: wall(), Now: visit()}
	want := ranked(t, c)
	c.Now = slices.Clone(c.Now)
	slices.Reverse(c.Now)
	got := ranked(t, c)
	for i := range want {
		if got[i].Cause.Number != want[i].Cause.Number || math.Abs(got[i].Probability-want[i].Probability) > 1e-6 {
			t.Fatalf("rank %d: %d at %g, and with the readings the other way %d at %g", i+1,
				want[i].Cause.Number, want[i].Probability, got[i].Cause.Number, got[i].Probability)
		}
	}
}

// A reading that no cause moves, and no doubt hangs on, moves no cause: a usual silica of
// the tap, where nothing else was read that it bears on.
func TestAReadingThatTellsNothingMovesNothing(t *testing.T) {
	c := Case{Facts: wall(), Now: []Evidence{read(plant.GunPressure, float64(quantity.PSI(60)))}}
	before := ranked(t, c)
	c.Now = append(c.Now, read(plant.FeedSilica, 0.012))
	after := ranked(t, c)
	at := map[int]float64{}
	for _, s := range before {
		at[s.Cause.Number] = s.Probability
	}
	for _, s := range after {
		if math.Abs(s.Probability-at[s.Cause.Number]) > 0.004 {
			t.Errorf("cause %d went from %g to %g", s.Cause.Number, at[s.Cause.Number], s.Probability)
		}
	}
}

func TestTheBayWithTapWaterIsNamed(t *testing.T) {
	first := ranked(t, Case{Facts: wall(), Now: visit()})[0]
	if first.Cause.Number != 28 || first.Form != "bay 2" {
		t.Errorf("found %d %s (%s), want 28 in bay 2 (common practice, no source: one gun salty, tank and others clean)", first.Cause.Number, first.Cause.Name, first.Form)
	}
}

// Words alone never make a cause certain, and readings outdo them.
func TestWordsAreSoft(t *testing.T) {
	alone := ranked(t, Case{Facts: wall(), Words: []string{"the tank overflows, the float is stuck", "water on the floor again, overflow"}})[0]
	if alone.Cause.Number != 38 || alone.Probability > 0.9 {
		t.Errorf("words alone: cause %d at %.2f, want 38 below 0.9", alone.Cause.Number, alone.Probability)
	}
	both := ranked(t, Case{Facts: wall(), Now: visit(), Words: []string{"the tank overflows"}})[0]
	if both.Cause.Number != 28 {
		t.Errorf("against the readings of a cross-over, words made it %d", both.Cause.Number)
	}
}

// A rig that cannot be is refused, and its causes are still ranked by what people
// said.
func TestARigThatCannotBeIsStillHeard(t *testing.T) {
	c := Case{Facts: wall(), Words: []string{"the tank overflows"}}
	c.Facts.Sheet.Rejection = 2
	all, err := Rank(c)
	if err == nil || len(all) != 49 || all[0].Cause.Number != 38 {
		t.Errorf("error %v, %d causes, first %+v", err, len(all), all[:min(1, len(all))])
	}
}

func FuzzFind(f *testing.F) {
	f.Add(uint8(0), 0.05, 288.0, 1e-3, "spots since May")
	f.Add(uint8(3), math.NaN(), math.Inf(1), -1.0, "\xff")
	f.Add(uint8(9), 0.0, 0.0, 0.0, "")
	f.Add(uint8(20), 1e300, -273.0, 1e-300, "la bahía 3")
	gauges := plant.Gauges()
	f.Fuzz(func(t *testing.T, which uint8, x, y, z float64, words string) {
		rows := []Evidence{read(gauges[int(which)%len(gauges)], x), read(plant.FeedTemperature, y), read(plant.FeedStrength, z)}
		found, err := Find(Case{Facts: wall(), Now: rows, Baseline: rows[:1], Words: []string{words}})
		if err != nil {
			return
		}
		for _, s := range found.Ranked {
			if !(0 <= s.Probability && s.Probability <= 1) || !(0 <= s.Severity && s.Severity <= 1) {
				t.Fatalf("cause %d: probability %g, severity %g", s.Cause.Number, s.Probability, s.Severity)
			}
		}
	})
}

// What is denied is not heard; what says no by itself is. Plain language, no
// source.
func TestADenialIsNotHeardAsWhatItDenies(t *testing.T) {
	concepts := func(remark string) string {
		var names []string
		for _, r := range Heard([]string{remark}) {
			names = append(names, r.Concept)
		}
		return strings.Join(names, "; ")
	}
	smell := concepts("the water smells of chlorine")
	if smell == "" {
		t.Fatal("a smell of chlorine is not heard at all")
	}
	for _, remark := range []string{"no smell of chlorine", "the water does not smell of chlorine", "sin olor a cloro"} {
		if got := concepts(remark); got != "" {
			t.Errorf("%q is heard as %s", remark, got)
		}
	}
	for _, remark := range []string{"no changes here, but the water smells of chlorine", "not today. The water smells of chlorine", "no idea why it smells of chlorine"} {
		if got := concepts(remark); !strings.Contains(got, smell) {
			t.Errorf("%q is heard as %q, want %s in it", remark, got, smell)
		}
	}
	if got := concepts("no pressure at the tap"); got == "" {
		t.Error("no pressure is not heard")
	}
}
