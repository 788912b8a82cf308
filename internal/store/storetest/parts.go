package storetest

import (
	"errors"
	"testing"
	"time"

	"rinsewright/internal/store"
)

// A price that changes is kept with its day beside the one before; one that
// stays keeps its day.
func pricesWithTheirDay(t *testing.T, p place) {
	now := time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
	s, err := store.Open(t.Context(), p.address, store.Options{Now: func() time.Time { return now }})
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	}()
	if _, err := s.Parts(t.Context()); !errors.Is(err, store.ErrNone) {
		t.Errorf("before anyone kept a list: %v", err)
	}
	first := []store.PartPrice{{Kind: "tank", Name: "blue", Price: 100, Currency: "USD"}, {Kind: "tank", Name: "red", Price: 200, Refill: 5, Currency: "USD"}} // invented
	must[store.PartList](t)(s.SaveParts(t.Context(), by, 0, "one", first))
	if _, err := s.SaveParts(t.Context(), by, 0, "two", nil); !errors.Is(err, store.ErrConflict) {
		t.Errorf("a list made from nothing after the first: %v", err)
	}
	now = now.AddDate(0, 1, 0)
	second := append([]store.PartPrice{}, first...)
	second[1].Price = 210
	if l := must[store.PartList](t)(s.SaveParts(t.Context(), by, 1, "two", second)); l.Rev != 2 || l.Hash != store.Hash("two") {
		t.Errorf("saved as %+v", l)
	}
	if l := must[store.PartList](t)(s.Parts(t.Context())); l.Text != "two" || l.Rev != 2 || l.Person != by || !l.At.Equal(now) {
		t.Errorf("kept as %+v", l)
	}
	prices := must[[]store.PartPrice](t)(s.PartPrices(t.Context()))
	if len(prices) != 3 || prices[0].Name != "red" || prices[0].Price != 210 || !prices[0].Since.Equal(now) {
		t.Fatalf("prices %+v", prices)
	}
	for _, p := range prices[1:] {
		if !p.Since.Equal(now.AddDate(0, -1, 0)) || p.Person != by {
			t.Errorf("the first price is %+v", p)
		}
	}
	if _, err := s.SaveParts(t.Context(), by, 2, "a\x00b", nil); !errors.Is(err, store.ErrText) {
		t.Errorf("text that cannot be kept: %v", err)
	}
}
