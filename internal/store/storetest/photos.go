package storetest

import (
	"errors"
	"testing"
	"time"

	"rinsewright/internal/store"
)

func photosKeptOnce(t *testing.T, p place) {
	s := p.open(t)
	site := must[store.Site](t)(s.AddSite(t.Context(), by, File("x"), false))
	other := must[store.Site](t)(s.AddSite(t.Context(), by, File("y"), false))
	at := time.Date(2026, 6, 13, 9, 30, 0, 0, time.UTC)
	one := store.Photo{ID: store.Hash("sent"), Site: site.ID, Kept: store.Hash("kept"), Bytes: 4, Width: 1600, Height: 1200, Words: "the lead bottle 水", Taken: at, OffsetMinutes: -240} // invented
	for range 2 {
		if err := s.AddPhoto(t.Context(), by, one); err != nil {
			t.Fatal(err)
		}
	}
	got := must[[]store.Photo](t)(s.Photos(t.Context(), site.ID, 10))
	if len(got) != 1 || got[0].Kept != one.Kept || got[0].Words != one.Words || !got[0].Taken.Equal(at) || got[0].Person != by || got[0].Width != 1600 {
		t.Errorf("came back as %+v", got)
	}
	if back := must[store.Photo](t)(s.Photo(t.Context(), site.ID, one.ID)); back != got[0] {
		t.Errorf("by id: %+v", back)
	}
	if back := must[store.Photo](t)(s.PhotoKept(t.Context(), one.Kept)); back.Site != site.ID {
		t.Errorf("by file: %+v", back)
	}
	for what, ask := range map[string]func() error{
		"of another site": func() error { _, err := s.Photo(t.Context(), other.ID, one.ID); return err },
		"of no file":      func() error { _, err := s.PhotoKept(t.Context(), store.Hash("x")); return err },
		"for no site": func() error {
			lost := one
			lost.Site = store.NewID(at)
			return s.AddPhoto(t.Context(), by, lost)
		},
	} {
		if err := ask(); !errors.Is(err, store.ErrNone) {
			t.Errorf("a photo %s: %v", what, err)
		}
	}
	if entries := must[[]store.Entry](t)(s.Audit(t.Context(), 0, 100)); len(entries) != 3 {
		t.Errorf("%d entries in the audit, want 3", len(entries))
	}
}
