package store_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"rinsewright/internal/store"
	"rinsewright/internal/store/storetest"
)

// A backup is made while four hands log: what was answered before it began is
// in it, and it opens as a whole.
func TestABackupHoldsWhatWasAnswered(t *testing.T) {
	dir := t.TempDir()
	s, err := store.Open(t.Context(), filepath.Join(dir, "data.sqlite"), store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	}()
	if at, err := s.LastBackup(t.Context()); err != nil || !at.IsZero() {
		t.Errorf("before any: %v, %v", at, err)
	}
	site, err := s.AddSite(t.Context(), "", storetest.File("x"), false)
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	var hands sync.WaitGroup
	var mu sync.Mutex
	answered := map[string]bool{}
	for range 4 {
		hands.Go(func() {
			device := store.NewID(time.Now())
			for n := int64(1); ctx.Err() == nil; n++ {
				x := storetest.Taken(site.ID, device, n)
				if r, err := s.Log(context.Background(), "", []store.Sample{x}); err != nil || !r[0].Kept {
					t.Errorf("%v, %v", r, err)
				}
				mu.Lock()
				answered[x.ID] = true
				mu.Unlock()
			}
		})
	}
	time.Sleep(100 * time.Millisecond)
	mu.Lock()
	before := make([]string, 0, len(answered))
	for id := range answered {
		before = append(before, id)
	}
	mu.Unlock()
	to := filepath.Join(dir, "what is 100% safe?.sqlite")
	err = s.Backup(t.Context(), "", to)
	stop()
	hands.Wait()
	if err != nil {
		t.Fatal(err)
	}
	if about, err := os.Stat(to); err != nil || about.Mode().Perm() != 0o600 {
		t.Errorf("the copy: %v, %v", about, err)
	}
	if at, err := s.LastBackup(t.Context()); err != nil || time.Since(at) > time.Minute {
		t.Errorf("the last is said to be from %v, %v", at, err)
	}
	copied, err := store.Open(t.Context(), to, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := copied.Close(); err != nil {
			t.Error(err)
		}
	}()
	samples, err := copied.Samples(t.Context(), site.ID, 1_000_000)
	if err != nil {
		t.Fatal(err)
	}
	there := map[string]bool{}
	for _, x := range samples {
		there[x.ID] = true
	}
	for _, id := range before {
		if !there[id] {
			t.Errorf("%s was answered before the backup and is not in it", id)
		}
	}
	if err := copied.CheckAudit(t.Context()); err != nil || len(before) == 0 {
		t.Errorf("%d were answered before; %v", len(before), err)
	}
	if err := s.Backup(t.Context(), "", to); err == nil {
		t.Error("a backup that is there was written over")
	}
}

func TestPostgreSQLIsBackedUpElsewhere(t *testing.T) {
	server := storetest.StartPostgres(t)
	s, err := store.Open(t.Context(), server.Database(t), store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Backup(t.Context(), "", filepath.Join(t.TempDir(), "x")); !errors.Is(err, store.ErrElsewhere) {
		t.Errorf("%v", err)
	}
	if err := s.Close(); err != nil {
		t.Error(err)
	}
}
