package storetest

import (
	"errors"
	"testing"

	"rinsewright/internal/store"
)

// Two versions of one sample are both kept, shown as a pair once, and settled
// once; whatever is chosen, nothing is lost.
func bothVersionsKept(t *testing.T, p place) {
	s := p.open(t)
	site := must[store.Site](t)(s.AddSite(t.Context(), by, File("x"), false))
	const jo = "0192f0c1-2345-7abc-8def-0000000000b0" // invented
	for i, choice := range store.Choices {
		first := Taken(site.ID, phone, int64(i+1))
		second := first
		second.Readings = []store.Reading{{Name: "strength", Typed: "90 ppm", SI: 0.09, Unit: "kg/m3"}}
		if i == 2 { // another id under the same number of the device
			second.ID = Taken(site.ID, phone, 9).ID
		}
		must[[]store.Receipt](t)(s.Log(t.Context(), by, []store.Sample{first}))
		for range 3 {
			if r := must[[]store.Receipt](t)(s.Log(t.Context(), jo, []store.Sample{second})); r[0].Kept || !errors.Is(r[0].Err, store.ErrConflict) {
				t.Errorf("receipt %+v", r[0])
			}
		}
		pairs := must[[]store.Version](t)(s.Versions(t.Context(), 10))
		if n := must[int64](t)(s.OpenVersions(t.Context())); len(pairs) != 1 || n != 1 {
			t.Fatalf("%d pairs, %d told, want 1", len(pairs), n)
		}
		pair := pairs[0]
		if pair.First.ID != first.ID || pair.First.Readings[0].Typed != "9 ppm" || pair.First.Person != by || pair.Second.Readings[0].Typed != "90 ppm" || pair.Second.Person != jo {
			t.Errorf("the pair is %+v", pair)
		}
		if err := s.Settle(t.Context(), by, pair.ID, choice); err != nil {
			t.Fatal(err)
		}
		if err := s.Settle(t.Context(), by, pair.ID, choice); !errors.Is(err, store.ErrConflict) {
			t.Errorf("settled twice: %v", err)
		}
		if n := must[int64](t)(s.OpenVersions(t.Context())); n != 0 {
			t.Errorf("%d are open", n)
		}
		// Sent once more, a settled pair stays settled.
		must[[]store.Receipt](t)(s.Log(t.Context(), jo, []store.Sample{second}))
		if n := must[int64](t)(s.OpenVersions(t.Context())); n != 0 {
			t.Errorf("sent again after %s, %d are open", choice, n)
		}
	}
	samples := must[[]store.Sample](t)(s.Samples(t.Context(), site.ID, 20))
	if len(samples) != 5 {
		t.Fatalf("%d samples, want three firsts, one correction and one beside", len(samples))
	}
	corrections := 0
	for _, x := range samples {
		if x.Corrects != "" {
			corrections++
		}
		if x.Readings[0].Typed == "90 ppm" && x.Person != jo {
			t.Errorf("the second is said to be read by %s", x.Person)
		}
	}
	if corrections != 1 {
		t.Errorf("%d corrections, want 1", corrections)
	}
	if err := s.Settle(t.Context(), by, phone, store.FirstStands); !errors.Is(err, store.ErrNone) {
		t.Errorf("a pair that is not there: %v", err)
	}
	if err := s.CheckAudit(t.Context()); err != nil {
		t.Error(err)
	}
}
