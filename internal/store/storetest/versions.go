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

// Two values of one field are both kept, shown once however often they come,
// and settled once; who saved what is known.
func bothFieldsKept(t *testing.T, p place) {
	s := p.open(t)
	site := must[store.Site](t)(s.AddSite(t.Context(), by, File("x"), false))
	const jo = "0192f0c1-2345-7abc-8def-0000000000b0" // invented
	saved := must[store.Site](t)(s.SaveSite(t.Context(), jo, site.ID, site.Rev, File("x")+"[supply]\nstatic_pressure = \"60 psi\"\n"))
	editions := must[[]store.Edition](t)(s.Editions(t.Context(), site.ID, site.Rev, 10))
	if len(editions) != 1 || editions[0].By != jo || editions[0].Rev != saved.Rev || editions[0].File != saved.File {
		t.Errorf("editions are %+v", editions)
	}
	held := store.FieldVersion{Field: "supply.static_pressure", Base: site.Rev, First: "60 psi", FirstBy: jo, FirstAt: editions[0].At, Second: "55 psi"}
	for range 3 {
		must[store.Site](t)(s.SaveSite(t.Context(), by, site.ID, saved.Rev, saved.File, held))
	}
	all := must[[]store.FieldVersion](t)(s.FieldVersions(t.Context(), 10))
	if n := must[int64](t)(s.OpenVersions(t.Context())); len(all) != 1 || n != 1 || all[0].Second != "55 psi" || all[0].SecondBy != by || all[0].FirstBy != jo || !all[0].FirstAt.Equal(editions[0].At) {
		t.Fatalf("%d told, held are %+v", n, all)
	}
	id := all[0].ID
	if err := s.SettleField(t.Context(), by, id, store.SecondStands, saved.Rev-1, File("x")+"[supply]\nstatic_pressure = \"55 psi\"\n"); !errors.Is(err, store.ErrConflict) {
		t.Errorf("settled on an old text: %v", err)
	}
	if err := s.SettleField(t.Context(), by, id, store.SecondStands, saved.Rev, File("x")+"[supply]\nstatic_pressure = \"55 psi\"\n"); err != nil {
		t.Fatal(err)
	}
	if err := s.SettleField(t.Context(), by, id, store.FirstStands, 0, ""); !errors.Is(err, store.ErrConflict) {
		t.Errorf("settled twice: %v", err)
	}
	if _, err := s.FieldVersion(t.Context(), site.ID); !errors.Is(err, store.ErrNone) {
		t.Errorf("a pair that is not there: %v", err)
	}
	now := must[store.Site](t)(s.Site(t.Context(), site.ID))
	one := must[store.FieldVersion](t)(s.FieldVersion(t.Context(), id))
	of := must[[]store.FieldVersion](t)(s.FieldVersionsOf(t.Context(), site.ID, 10))
	if now.Rev != saved.Rev+1 || one.Choice != store.SecondStands || len(of) != 1 || of[0].ID != id {
		t.Errorf("revision %d, choice %q, of the site %+v", now.Rev, one.Choice, of)
	}
	must[store.Site](t)(s.SaveSite(t.Context(), by, site.ID, now.Rev, now.File, held)) // sent once more, it stays settled
	if n := must[int64](t)(s.OpenVersions(t.Context())); n != 0 {
		t.Errorf("%d are open", n)
	}
}

// The last sizing of a site is kept for the question that it answers.
func lastSizingKept(t *testing.T, p place) {
	s := p.open(t)
	site := must[store.Site](t)(s.AddSite(t.Context(), by, File("x"), false))
	for _, body := range []string{"<p>first</p>", "<p>second</p>"} {
		if err := s.KeepSizing(t.Context(), site.ID, "q", body); err != nil {
			t.Fatal(err)
		}
		got, at, err := s.Sizing(t.Context(), site.ID, "q")
		if err != nil || got != body || at.IsZero() {
			t.Errorf("kept %q at %v, %v", got, at, err)
		}
	}
	if _, _, err := s.Sizing(t.Context(), site.ID, "another"); !errors.Is(err, store.ErrNone) {
		t.Errorf("an answer to another question: %v", err)
	}
}
