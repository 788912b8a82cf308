package study_test

import (
	"strings"
	"testing"
	"time"

	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

func tasks(t testing.TB, s *site.Site, from string) map[string]study.SeasonTask {
	t.Helper()
	day, err := time.Parse(time.DateOnly, from)
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]study.SeasonTask{}
	before := ""
	for _, task := range study.Seasons(s, day) {
		if task.By < before {
			t.Errorf("%s by %s stands after %s", task.Name, task.By, before)
		}
		if task.From > task.By || len(task.Do) == 0 || len(task.Cautions) == 0 || task.Why == "" {
			t.Errorf("%s: %+v", task.Name, task)
		}
		before = task.By
		all[task.Name] = task
	}
	return all
}

// The marina (invented) opens from May to October on its own well.
func TestASeasonOpensAndCloses(t *testing.T) {
	all := tasks(t, example(t, "cormorant-reach"), "2026-07-01")
	if all["lay_up"].By != "2026-11-08" || all["spring_start"].By != "2027-05-01" {
		t.Errorf("lay-up by %s, spring start by %s", all["lay_up"].By, all["spring_start"].By)
	}
	if _, frost := all["frost"]; frost {
		t.Error("a place that is closed and drained all winter is told to be ready for frost")
	}
	if _, tank := all["tank_cleaning"]; tank {
		t.Error("a bladder tank is to be cleaned from inside")
	}
}

// The bus depot (invented) has six weeks of free chlorine a year.
func TestCarbonComesAheadOfTheSwitch(t *testing.T) {
	task, ok := tasks(t, example(t, "harrow-field"), "2026-12-01")["carbon_before_switch"]
	if !ok || task.By != "2027-03-01" || task.From != "2027-02-15" {
		t.Errorf("%v, %+v", ok, task)
	}
}

func TestTheTankIsCleanedAYearAfterTheLastTime(t *testing.T) {
	s := example(t, "fennel-lane")
	s.Log = append(s.Log, site.Visit{Date: "2026-05-20", Changed: []site.Change{site.Sanitised}})
	task := tasks(t, s, "2026-06-01")["tank_cleaning"]
	if task.By != "2027-05-20" {
		t.Errorf("due by %s", task.By)
	}
	text := strings.Join(task.Cautions, " ")
	for _, want := range []string{"Never enter", "never meets acid", "never reaches membrane"} {
		if !strings.Contains(text, want) {
			t.Errorf("no caution of %q", want)
		}
	}
	// 50 mg/L in 500 gal (1893 L) is 95 g of chlorine, in bleach of 50 g/L 1.9 L.
	// Arithmetic by hand on common practice, no source.
	if !strings.Contains(strings.Join(task.Do, " "), "1.9 L") {
		t.Errorf("dose: %v", task.Do)
	}
}

// Frost begins by the climate: 15 January less 365/2π arccos(12/(12+10)), 57.7
// days, for a feed of 6 to 18 °C and a coldest night of −10 °C. From memory,
// unverified: worked by hand.
func TestFrostBeginsByTheClimate(t *testing.T) {
	s := example(t, "fennel-lane")
	s.Supply.Coldest, s.Supply.Warmest = quantity.Told(quantity.Celsius(6)), quantity.Told(quantity.Celsius(18))
	for _, c := range []struct {
		night float64
		month int
		want  string
	}{{-10, 0, "2026-11-18"}, {-10, 8, "2027-05-18"}, {-30, 0, "2026-11-02"}, {-2, 0, "2026-12-15"}, {2, 0, ""}} {
		s.ColdestNight, s.Supply.ColdestMonth = quantity.Told(quantity.Celsius(c.night)), c.month
		if got := tasks(t, s, "2026-07-01")["frost"].By; got != c.want {
			t.Errorf("coldest night %g °C, coldest month %d: frost by %q, want %q", c.night, c.month, got, c.want)
		}
	}
}

// South of the equator the year is half a year away: the tank is cleaned in its
// spring, carbon is changed ahead of its autumn, and the coldest month makes least.
func TestTheYearTurnsSouthOfTheEquator(t *testing.T) {
	north, south := example(t, "harrow-field"), example(t, "harrow-field")
	south.Supply.ColdestMonth = 8
	n, s := tasks(t, north, "2026-06-01"), tasks(t, south, "2026-12-01")
	for name, task := range n {
		day := func(text string) time.Time { d, _ := time.Parse(time.DateOnly, text); return d }
		if apart := day(s[name].By).Sub(day(task.By)).Hours() / 24; task.Why == s[name].Why && !(178 <= apart && apart <= 187) {
			t.Errorf("%s by %s in the north and %s in the south", name, task.By, s[name].By)
		}
	}
	checked, err := study.Check(t.Context(), south, study.Options{Seed: 1, Looks: 1})
	if err != nil {
		t.Fatal(err)
	}
	if m := checked.Months.PerDay; !(m[7] < m[1]) {
		t.Errorf("August makes %v and February %v", m[7], m[1])
	}
}
