package store_test

import (
	"context"
	"errors"
	"maps"
	"net/url"
	"slices"
	"sync"
	"testing"
	"time"

	"rinsewright/internal/check"
	"rinsewright/internal/store"
	"rinsewright/internal/store/storetest"
)

// PostgreSQL is killed while four hands log, again and again; the program goes
// on and is never started anew. Hands whose sample was not answered send it
// again, as phones do.
func TestNothingAnsweredIsLostWhenPostgreSQLIsKilled(t *testing.T) {
	rounds := check.Often(2, 200)
	kept, lost, slowest := killedServers(t, rounds, "")
	t.Logf("PostgreSQL killed %d times: %d samples answered as kept, %d lost; it took a new sample %v after it answered again, at worst", rounds, kept, lost, slowest.Round(time.Millisecond))
	if lost != 0 || kept < 20*rounds || slowest > 5*time.Second {
		t.Errorf("%d kept, %d lost, slowest %v", kept, lost, slowest)
	}
}

// The control lets PostgreSQL answer before its disk has.
func TestKilledPostgreSQLControl(t *testing.T) {
	rounds := check.Often(2, 20)
	kept, lost, _ := killedServers(t, rounds, "-csynchronous_commit=off")
	t.Logf("PostgreSQL killed %d times, answering too early: %d samples answered as kept, %d lost", rounds, kept, lost)
	if lost == 0 {
		t.Error("answering before the disk loses nothing: the test sees nothing")
	}
}

func killedServers(t *testing.T, rounds int, options string) (all, lost int, slowest time.Duration) {
	t.Helper()
	server := storetest.StartPostgres(t)
	address := server.Database(t)
	if options != "" {
		address += "&options=" + url.QueryEscape(options)
	}
	s, err := store.Open(t.Context(), address, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	site, err := s.AddSite(t.Context(), "", storetest.File("x"), false)
	if err != nil {
		t.Fatal(err)
	}
	kept := map[string]bool{}
	for range rounds {
		took, ids := oneKill(t, server, s, site.ID)
		slowest = max(slowest, took)
		for _, id := range ids {
			kept[id] = true
		}
	}
	if err := errors.Join(s.CheckAudit(t.Context()), s.Close()); err != nil && options == "" {
		t.Error(err)
	}
	after, err := store.Open(t.Context(), address, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	there := samplesIn(t, after)
	if err := after.Close(); err != nil {
		t.Error(err)
	}
	return len(kept), missing(there, slices.Collect(maps.Keys(kept))), slowest
}

// oneKill kills the server in the middle of the work and starts it again; it
// tells how soon after that a sample was kept.
func oneKill(t *testing.T, server *storetest.Server, s *store.Store, site string) (took time.Duration, kept []string) {
	t.Helper()
	ctx, stop := context.WithCancel(t.Context())
	var hands sync.WaitGroup
	var mu sync.Mutex
	var last time.Time
	for range 4 {
		hands.Go(func() {
			device := store.NewID(time.Now())
			for n := int64(1); ctx.Err() == nil; n++ {
				x := storetest.Taken(site, device, n)
				for ctx.Err() == nil {
					r, err := s.Log(context.Background(), "", []store.Sample{x})
					if err == nil && r[0].Kept {
						mu.Lock()
						kept, last = append(kept, x.ID), time.Now()
						mu.Unlock()
						break
					}
					time.Sleep(10 * time.Millisecond)
				}
			}
		})
	}
	enough := func(want int, since time.Time) time.Duration {
		for {
			mu.Lock()
			n, at := len(kept), last
			mu.Unlock()
			if n >= want && at.After(since) {
				return at.Sub(since)
			}
			if time.Since(since) > 30*time.Second {
				t.Error("no sample is kept any more")
				return 30 * time.Second
			}
			time.Sleep(2 * time.Millisecond)
		}
	}
	enough(40, time.Now())
	server.Kill(t)
	server.Start(t)
	took = enough(0, time.Now())
	stop()
	hands.Wait()
	return took, kept
}
