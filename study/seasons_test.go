package study_test

import (
	"strings"
	"testing"
	"time"

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
