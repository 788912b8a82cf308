package site

import (
	"math"
	"strings"
	"testing"

	"rinsewright/plant"
	"rinsewright/quantity"
)

func entered(t testing.TB, lines ...string) (all []Reading) {
	t.Helper()
	for _, line := range lines {
		r, err := ParseReading(line, quantity.Locale{})
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, r)
	}
	return all
}

func known(t testing.TB, date string, lines ...string) Known {
	t.Helper()
	k := Known{Date: "2026-07-01", Last: map[string]Dated{}, Expected: map[string]float64{}, MostADay: quantity.Gallons(2000)}
	for _, r := range entered(t, lines...) {
		k.Last[r.Key()] = Dated{r.Reading, date}
	}
	return k
}

// Each row is a slip that happens in a wet bay, and the question it deserves.
func TestASlipIsAskedAbout(t *testing.T) {
	before := known(t, "2026-06-01",
		"feed_temperature = 12 C", "feed_strength = 310 ppm NaCl", "permeate_strength = 8 ppm NaCl, after 20 min", "permeate_flow = 1.8 gpm",
		"feed_hardness = 12 gpg", "feed_pressure = 60 psi", "permeate_meter = 10000 gal", "hour_meter = 100 h")
	for _, row := range []struct {
		about string
		kind  QuestionKind
		asks  string
		lines []string
	}{
		{"a pen on µS/cm", AskUnit, "did you mean 640 uS/cm", []string{"feed_strength = 640 ppm NaCl"}},
		{"litres for gallons", AskUnit, "did you mean 6.8 L/min", []string{"permeate_flow = 6.8 gpm"}},
		{"bar for psi", AskUnit, "did you mean 4.1 bar", []string{"feed_pressure = 4.1 psi"}},
		{"Fahrenheit as Celsius", AskUnit, "did you mean 54 F", []string{"feed_temperature = 54 C"}},
		{"two cups swapped", AskSwapped, "swapped", []string{"feed_strength = 8 ppm NaCl", "permeate_strength = 310 ppm NaCl, after 20 min"}},
		{"one cup twice", AskSame, "same water read twice", []string{"feed_strength = 310 ppm NaCl", "permeate_strength = 310 ppm NaCl, after 20 min"}},
		{"the first minute", AskFirst, "still washing out", []string{"permeate_strength = 40 ppm NaCl, after 1 min"}},
		{"nobody timed it", AskFirst, "how long had it run", []string{"permeate_strength = 13 ppm NaCl"}},
		{"a meter that runs back", AskRate, "less than on 2026-06-01", []string{"permeate_meter = 1000 gal"}},
		{"more hours than days have", AskRate, "more than the rig can", []string{"hour_meter = 1200 h"}},
		{"a feed that leapt", AskRate, "Read it once more", []string{"feed_hardness = 22 gpg"}},
		{"chlorine of a pool", AskRange, "is usual", []string{"feed_total_chlorine = 22 mg/L"}},
		{"two readings that are not one", AskRepeat, "third time", []string{"permeate_flow = 1.8 gpm", "permeate_flow = 1.5 gpm"}},
		{
			"salt that does not close", AskBalance, "does not close",
			[]string{"feed_strength = 310 ppm NaCl", "permeate_strength = 8 ppm NaCl, after 20 min", "concentrate_strength = 390 ppm NaCl", "permeate_flow = 1.8 gpm", "concentrate_flow = 2.2 gpm"},
		},
	} {
		all := Ask(entered(t, row.lines...), before)
		if len(all) != 1 || all[0].Kind != row.kind || !strings.Contains(all[0].Asks, row.asks) {
			t.Errorf("%s: asked %+v", row.about, all)
		}
	}
}

// What is as it was is not asked about: questions that cry wolf are not read.
func TestASoundVisitIsNotAskedAbout(t *testing.T) {
	before := known(t, "2026-04-01", "feed_temperature = 9 C", "feed_strength = 310 ppm NaCl", "permeate_strength = 8 ppm NaCl", "permeate_flow = 1.6 gpm", "permeate_meter = 10000 gal")
	read := entered(t, "feed_temperature = 14 C", "feed_strength = 335 ppm NaCl", "permeate_strength = 9 ppm NaCl, after 15 min", "permeate_flow = 1.85 gpm",
		"concentrate_flow = 2.25 gpm", "concentrate_strength = 590 ppm NaCl", "permeate_meter = 21000 gal", "polished_strength = 0 ppm NaCl", "tank_level = skipped: no ladder")
	if all := Ask(read, before); len(all) != 0 {
		t.Errorf("asked %+v", all)
	}
}

// What is offered instead is a line that reads, and one that is asked no more.
func TestWhatIsOfferedInsteadSettlesTheQuestion(t *testing.T) {
	before := known(t, "2026-06-01", "permeate_flow = 1.8 gpm", "feed_strength = 310 ppm NaCl", "permeate_strength = 8 ppm NaCl")
	for _, lines := range [][]string{{"permeate_flow = 6.8 gpm, by bucket"}, {"feed_strength = 8 ppm NaCl", "permeate_strength = 310 ppm NaCl, after 20 min"}} {
		q := Ask(entered(t, lines...), before)
		if len(q) != 1 || len(q[0].Instead) != len(lines) {
			t.Fatalf("%v: asked %+v", lines, q)
		}
		if again := Ask(entered(t, q[0].Instead...), before); len(again) != 0 {
			t.Errorf("%v: instead %v, asked again %+v", lines, q[0].Instead, again)
		}
	}
}

func TestTheLastReadingIsTheLatestBeforeTheDay(t *testing.T) {
	s := Site{Log: []Visit{{Date: "2026-02-01", Read: entered(t, "permeate 1.6 gpm")}, {Date: "2026-01-01", Read: entered(t, "permeate 1.5 gpm")}, {Date: "2026-03-01", Read: entered(t, "permeate 1.7 gpm")}}}
	if got := s.LastRead("2026-03-01")["permeate_flow"]; got.Date != "2026-02-01" {
		t.Errorf("last before March: %s", got.Date)
	}
}

func FuzzAsk(f *testing.F) {
	f.Add("permeate_strength = 9 ppm NaCl", "feed_strength = 8 uS/cm", 1e-3)
	f.Add("hour_meter = 9 h", "permeate 0 gpm", math.NaN())
	f.Add("feed_temperature = -3 C", "feed_pressure = 0 psi", math.Inf(1))
	f.Fuzz(func(t *testing.T, a, b string, expected float64) {
		var read []Reading
		for _, line := range []string{a, b} {
			if r, err := ParseReading(line, quantity.Locale{}); err == nil {
				read = append(read, r)
			}
		}
		k := Known{Date: "2026-07-01", Last: map[string]Dated{}, Expected: map[string]float64{string(plant.PermeateStrength): expected}}
		if len(read) > 0 {
			k.Last[read[0].Key()] = Dated{read[0].Reading, "2026-06-01"}
		}
		for _, q := range Ask(read, k) {
			if q.Asks == "" || len(q.Keys) == 0 || strings.Contains(q.Asks, "NaN") {
				t.Fatalf("%q, %q: %+v", a, b, q)
			}
			for _, line := range q.Instead {
				if _, err := ParseReading(line, quantity.Locale{}); err != nil {
					t.Fatalf("offers %q: %v", line, err)
				}
			}
		}
	})
}
