package paper_test

import (
	"strings"
	"testing"
	"time"

	"rinsewright/internal/paper"
	"rinsewright/site"
	"rinsewright/study"
)

// The month's page tells the trips of the weeks ahead, in either language.
func TestTheMonthsPageTellsTheTrips(t *testing.T) {
	var fleet []paper.Fleet
	var all []*site.Site
	for _, name := range []string{"cormorant-reach", "fennel-lane"} {
		r := record(t, name)
		fleet, all = append(fleet, paper.Fleet{Name: r.Site.Name, Checked: r.Hangs}), append(all, r.Site)
	}
	plan, err := study.Trips(all, study.TripOptions{From: time.Date(2026, 7, 13, 0, 0, 0, 0, time.UTC), Weeks: 5})
	if err != nil {
		t.Fatal(err)
	}
	for _, language := range paper.Languages {
		j := plainJob()
		j.Language = language
		made, err := paper.MakeFleet(fleet, plan, j)
		if err != nil {
			t.Fatal(err)
		}
		found := ""
		for _, f := range made.Facts {
			found += f.Name + " " + f.Value + "\n"
		}
		for _, phrase := range made.Unsaid {
			t.Errorf("%q has no Spanish", phrase)
		}
		want := map[string]string{"en": "likely 23 July 2026", "es": "probablemente el 23 de julio de 2026"}[language]
		if !strings.Contains(found, want) {
			t.Errorf("no %q in %s", want, found)
		}
	}
}
