package cli

import (
	"testing"

	"rinsewright/internal/sitefile"
	"rinsewright/quantity"
	"rinsewright/site"
)

// surveyedWith is a survey in which keys were set, invented.
func surveyedWith(t *testing.T, said ...string) *surveyed {
	t.Helper()
	s := &surveyed{file: "a.toml", site: &site.Site{Name: "A"}, start: &site.Site{}}
	for i := 0; i < len(said); i += 2 {
		if err := sitefile.Set(s.site, said[i], said[i+1], quantity.Locale{}); err != nil {
			t.Fatal(err)
		}
	}
	return s
}

// Each row is what was said, which part is gone, and what the file must say.
func TestWhatBreaksARuleIsSettled(t *testing.T) {
	for _, row := range []struct {
		about string
		said  []string
		gone  string
		want  map[string]string
		notes int
	}{
		{"one end of the season", []string{"demand.last_month", "10"}, "", map[string]string{"demand.last_month": ""}, 1},
		{"the other end", []string{"demand.first_month", "5"}, "", map[string]string{"demand.first_month": ""}, 1},
		{"half a capillary", []string{"membrane", "yes", "restrictor.kind", "capillary", "restrictor.length", "0.5 m"}, "", map[string]string{"restrictor.length": "", "restrictor.kind": "capillary"}, 1},
		{"a restrictor whose membrane is gone", []string{"membrane", "yes", "restrictor.kind", "fixed"}, "membrane", map[string]string{"restrictor.kind": ""}, 1},
		{"nothing hangs behind what is gone", []string{"filter.1.rating", "20 um", "filter.2.rating", "5 um", "filter.3.rating", "1 um"}, "filter.2", map[string]string{"filter.1.rating": "20 um", "filter.2.rating": "", "filter.3.rating": ""}, 0},
		{"levels upside down", []string{"tank.start", "280 gal", "tank.stop", "230 gal"}, "", map[string]string{"tank.start": "", "tank.stop": "230 gal"}, 1},
		{"a place without a name", []string{"site.name", ""}, "", map[string]string{"site.name": "a"}, 1},
	} {
		t.Run(row.about, func(t *testing.T) {
			s := surveyedWith(t, row.said...)
			s.settle(map[string]bool{row.gone: row.gone != ""})
			wantKeys(t, s.site, row.want)
			if ps := s.site.Problems(); len(ps) > 0 || len(s.notes) != row.notes {
				t.Errorf("problems %v; said %q, want %d notes", ps, s.notes, row.notes)
			}
		})
	}
}

// The engine reads the newest sample of a place, so that is the one to edit.
func TestTheNewestSampleOfAPlaceIsAsked(t *testing.T) {
	s := surveyedWith(t, "sample.1.place", "raw", "sample.1.date", "2026-06-13", "sample.2.place", "permeate", "sample.3.place", "raw", "sample.3.date", "2025-06-13")
	for place, want := range map[string]int{"raw": 1, "permeate": 2, "gun": 4} {
		if got := sampleNumber(s.site, place); got != want {
			t.Errorf("%s is sample %d, want %d", place, got, want)
		}
	}
}
