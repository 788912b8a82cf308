package storetest

import (
	"errors"
	"fmt"
	"sync"
	"testing"
	"time"

	"rinsewright/internal/store"
)

func claimsEnd(t *testing.T, p place) {
	now := time.Date(2026, 6, 1, 3, 0, 0, 0, time.UTC)
	s := must[*store.Store](t)(store.Open(t.Context(), p.address, store.Options{Now: func() time.Time { return now }}))
	defer func() { _ = s.Close() }()
	night := store.Claim{Kind: "night", About: "2026-06-01", Of: "one"}
	claims := func(worker string, c store.Claim) bool {
		t.Helper()
		return must[bool](t)(s.Claim(t.Context(), worker, c, time.Hour))
	}
	if !claims("a", night) || claims("b", night) || !claims("a", night) {
		t.Error("it is not the first one's alone")
	}
	other := night
	other.Of = "two"
	if !claims("b", other) {
		t.Error("another state is not other work")
	}
	now = now.Add(time.Hour)
	if !claims("c", other) {
		t.Error("what a lost program had claimed is claimed for ever")
	}
	if err := s.Release(t.Context(), "b", other); err != nil { // it is not b's any more
		t.Fatal(err)
	}
	if claims("d", other) {
		t.Error("somebody else gave it back")
	}
	if err := s.Release(t.Context(), "c", other); err != nil {
		t.Fatal(err)
	}
	if !claims("d", other) {
		t.Error("what was given back cannot be taken")
	}
}

// Several workers in several programs take all there is, each site once; what a
// worker took and did not do is given to another after its time.
func forecastsShared(t *testing.T, p place) {
	now := time.Date(2026, 6, 1, 3, 0, 0, 0, time.UTC)
	clock := store.Options{Now: func() time.Time { return now }}
	open := func() *store.Store { return must[*store.Store](t)(store.Open(t.Context(), p.address, clock)) }
	programs := []*store.Store{open(), open()}
	defer func() { _ = errors.Join(programs[0].Close(), programs[1].Close()) }()
	const sites = 40
	for i := range sites {
		must[store.Site](t)(programs[0].AddSite(t.Context(), by, File(fmt.Sprintf("Dock %d", i)), false))
	}
	var mu sync.Mutex
	taken := map[string]int{}
	lost := map[string]bool{}
	worker := func(s *store.Store, name string, does bool) {
		for {
			mine, err := s.TakeOldForecasts(t.Context(), name, "word", 3, time.Minute)
			if errors.Is(err, store.ErrTaken) {
				continue
			}
			if err != nil {
				t.Error(err)
				return
			}
			if len(mine) == 0 {
				return
			}
			for _, f := range mine {
				mu.Lock()
				taken[f.Site]++
				lost[f.Site] = !does
				mu.Unlock()
				if !does {
					continue
				}
				if err := s.KeepForecast(t.Context(), f.Of, store.Forecast{Site: f.Site, Urgency: store.Fine, RunsOut: store.NeverOut, Told: "{}"}); err != nil {
					t.Error(err)
				}
			}
			if !does { // killed after its first batch
				return
			}
		}
	}
	var wait sync.WaitGroup
	for i := range 4 {
		wait.Go(func() { worker(programs[i%2], fmt.Sprint("worker ", i), i != 3) })
	}
	wait.Wait()
	if len(taken) != sites {
		t.Errorf("%d of %d sites were taken", len(taken), sites)
	}
	left := 0
	for site, n := range taken {
		if n != 1 {
			t.Errorf("site %s was taken %d times while the claims held", site, n)
		}
		if lost[site] {
			left++
		}
	}
	if old := must[[]store.Foretold](t)(programs[0].OldForecasts(t.Context(), "word", 100)); len(old) != left || left == 0 {
		t.Errorf("%d are old, %d were lost with their worker", len(old), left)
	}
	now = now.Add(2 * time.Minute)
	worker(programs[0], "worker 4", true)
	if old := must[[]store.Foretold](t)(programs[1].OldForecasts(t.Context(), "word", 100)); len(old) != 0 {
		t.Errorf("%d are never done", len(old))
	}
}
