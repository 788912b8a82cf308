package storetest

import (
	"errors"
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/jackc/pgx/v5/pgconn"

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

// What another process stood in the way of is tried again by the one wrapper that
// all changes go through, and kept once; other errors are not.
func triedAgain(t *testing.T, p place) {
	s := p.open(t)
	for code, want := range map[string]int{"40001": 3, "40P01": 3, "23505": 1} {
		times := 0
		err := s.Change(t.Context(), func(tx *store.Tx) error {
			times++
			if err := tx.Exec(`INSERT INTO settings (tenant_id, name, value) VALUES ('own', $1, 'x')`, "tried "+code); err != nil {
				return err
			}
			if times < 3 {
				return fmt.Errorf("commit: %w", &pgconn.PgError{Code: code})
			}
			return nil
		})
		if kept := must[string](t)(s.Setting(t.Context(), "tried "+code, "")); times < want || (err == nil) != (want == 3) || (kept == "x") != (want == 3) {
			t.Errorf("%s: tried %d times, %v, kept %q", code, times, err, kept)
		}
	}
}
