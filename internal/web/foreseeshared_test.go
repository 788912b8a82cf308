package web

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"rinsewright/internal/store"
	"rinsewright/testdata/sites"
)

// A night's forecasts over two programs on one database: together they do every
// site, and none twice.
func TestTwoProgramsShareTheNightsForecasts(t *testing.T) {
	address := freshDatabase(t)
	var programs []*store.Store
	for range 2 {
		s, err := store.Open(t.Context(), address, store.Options{})
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = s.Close() }()
		programs = append(programs, s)
	}
	text, err := sites.File("cormorant-reach")
	if err != nil {
		t.Fatal(err)
	}
	const many = 30
	for i := range many {
		if _, err := programs[0].AddSite(t.Context(), "", strings.Replace(string(text), "Cormorant Reach", fmt.Sprint("Dock ", i), 1), false); err != nil {
			t.Fatal(err)
		}
	}
	day := time.Date(2026, 9, 21, 0, 0, 0, 0, time.UTC)
	done := make(chan int)
	for i, s := range programs {
		go func() {
			n, err := Foresee(t.Context(), s, fmt.Sprint("program ", i), "test", day)
			if err != nil {
				t.Error(err)
			}
			done <- n
		}()
	}
	first, second := <-done, <-done
	t.Logf("%d by one, %d by the other", first, second)
	if first+second != many || first == 0 || second == 0 {
		t.Errorf("%d and %d of %d sites", first, second, many)
	}
	told, old, err := programs[0].Forecasts(t.Context(), foreseenBy("test", day))
	if err != nil || len(told) != many || old != 0 {
		t.Errorf("%d are told, %d are old, %v", len(told), old, err)
	}
}
