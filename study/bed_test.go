package study_test

import (
	"context"
	"errors"
	"math"
	"os"
	"testing"

	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

func beds(t testing.TB, s *site.Site) *study.BedAnswer {
	t.Helper()
	a, err := study.Beds(context.Background(), s, study.Options{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// On every example site the fast form and the column tell the same life.
func TestBedsOfTheExampleSitesAgreeWithTheColumn(t *testing.T) {
	entries, err := os.ReadDir("../testdata/sites")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if !e.IsDir() {
			continue
		}
		a, err := study.Beds(context.Background(), example(t, e.Name()), study.Options{Seed: 1})
		if errors.Is(err, study.ErrNoRig) {
			continue
		} else if err != nil {
			t.Fatalf("%s: %v", e.Name(), err)
		}
		for _, end := range a.Ends {
			if end.Never || end.Full == nil {
				continue
			}
			fast, _ := end.Volume.Value.Plain(quantity.SI)
			full, _ := end.Full.Plain(quantity.SI)
			if !(math.Abs(fast/full-1) < 0.05) {
				t.Errorf("%s to %s: fast form %.0f L, column %.0f L", e.Name(), end.Name, fast, full)
			}
		}
	}
}

// The marina's story (invented): carbon dioxide eats the bottle, and the cheapest
// change that doubles its life is found by running the chain, not by a list.
func TestTheCheapestChangeThatDoublesTheMarinasResinIsFound(t *testing.T) {
	a := beds(t, example(t, "cormorant-reach"))
	if a.Doubles == nil || a.Doubles.Times < 2 {
		t.Fatalf("nothing doubles the life: %+v", a.Changes)
	}
	for _, c := range a.Changes {
		t.Logf("%-50s x%.2f", c.Name, c.Times)
		if c.Name == "an element that passes half the salt" && c.Times > 1.5 {
			t.Errorf("less salt passage makes the life %.1f times as long where carbon dioxide eats it", c.Times)
		}
	}
	if len(a.Ends) < 2 || len(a.Places) != 2 {
		t.Errorf("%d endpoints and %d places", len(a.Ends), len(a.Places))
	}
}

func TestBedsAsksForABed(t *testing.T) {
	s := *example(t, "cormorant-reach")
	s.Rig.Resin, s.Rig.Softener, s.Rig.Carbon = nil, nil, nil
	if _, err := study.Beds(context.Background(), &s, study.Options{Seed: 1}); !errors.Is(err, study.ErrNoRig) {
		t.Errorf("%v", err)
	}
}
