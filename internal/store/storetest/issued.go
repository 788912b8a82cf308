package storetest

import (
	"bytes"
	"errors"
	"testing"
	"time"

	"rinsewright/internal/store"
)

// An issued paper comes back to the byte, its letters are taken in order, and
// nothing writes over one.
func issuedStays(t *testing.T, p place) {
	s := p.open(t)
	site := must[store.Site](t)(s.AddSite(t.Context(), by, File("x"), false))
	pdf := []byte("%PDF-1.3\n\x00\xff whole")
	one := store.Issued{Site: site.ID, Paper: "quote-es", Number: 1, Letter: "A", Day: "2026-06-13", Prepared: "A. Finch", Checked: "B. Wren", Change: "first offer", Input: "0123456789ab", Facts: `[{"name":"price"}]`} // invented
	if err := s.IssuePaper(t.Context(), by, one, pdf); err != nil {
		t.Fatal(err)
	}
	if err := s.IssuePaper(t.Context(), by, one, []byte("other")); !errors.Is(err, store.ErrConflict) {
		t.Errorf("the same letter is taken twice: %v", err)
	}
	two := one
	two.Number, two.Letter = 3, "C"
	if err := s.IssuePaper(t.Context(), by, two, pdf); !errors.Is(err, store.ErrConflict) {
		t.Errorf("a letter is left out: %v", err)
	}
	two.Number, two.Letter = 2, "B"
	if err := s.IssuePaper(t.Context(), by, two, []byte("second")); err != nil {
		t.Fatal(err)
	}
	all := must[[]store.Issued](t)(s.IssuedPapers(t.Context(), site.ID))
	if len(all) != 2 || all[0].Letter != "A" || all[0].Checked != "B. Wren" || all[0].Facts != one.Facts || all[0].Person != by || all[1].Letter != "B" {
		t.Errorf("issued are %+v", all)
	}
	if got := must[[]byte](t)(s.IssuedPaper(t.Context(), site.ID, "quote-es", "A")); !bytes.Equal(got, pdf) {
		t.Errorf("it came back as %q", got)
	}
	for what, ask := range map[string]func() error{
		"of a letter that is not there": func() error {
			_, err := s.IssuedPaper(t.Context(), site.ID, "quote-es", "C")
			return err
		},
		"for no site": func() error {
			lost := one
			lost.Site = store.NewID(time.Date(2026, 6, 13, 0, 0, 0, 0, time.UTC))
			return s.IssuePaper(t.Context(), by, lost, pdf)
		},
	} {
		if err := ask(); !errors.Is(err, store.ErrNone) {
			t.Errorf("a paper %s: %v", what, err)
		}
	}
	if entries := must[[]store.Entry](t)(s.Audit(t.Context(), 0, 100)); len(entries) != 3 {
		t.Errorf("%d entries in the audit, want 3", len(entries))
	}
}
