package store_test

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"rinsewright/internal/check"
	"rinsewright/internal/store"
	"rinsewright/internal/store/storetest"
	"rinsewright/internal/store/storetest/disk"
)

// often is how soon SQLite moves what was logged into the database's own file,
// so that the power goes then as well.
const often = "wal_autocheckpoint(12)"

// The power goes at any moment, and of what the disk has not confirmed anything
// may be left. What was answered as kept is there.
func TestNothingAnsweredIsLostWhenThePowerGoes(t *testing.T) {
	told, lost, cuts := powerCuts(t, check.Often(4, 60), check.Often(15, 25), often)
	t.Logf("the power went %d times: %d samples answered as kept, %d lost", cuts, told, lost)
	if lost != 0 || told < 10*cuts {
		t.Errorf("%d of %d samples that were answered as kept are lost", lost, told)
	}
}

// The control waits for the disk less, so it must lose something, sooner or
// later: what is in flight when the power goes depends on the machine.
func TestPowerControl(t *testing.T) {
	var told, lost, cuts int
	for round := 0; round < 20 && lost == 0; round++ {
		t1, l1, c1 := powerCuts(t, check.Often(2, 20), check.Often(15, 25), often, "synchronous(NORMAL)")
		told, lost, cuts = told+t1, lost+l1, cuts+c1
	}
	t.Logf("the power went %d times with the weaker setting: %d samples answered as kept, %d lost", cuts, told, lost)
	if lost == 0 {
		t.Error("the weaker setting loses nothing: the test sees nothing")
	}
}

func powerCuts(t *testing.T, lives, each int, pragmas ...string) (told, lost, cuts int) {
	t.Helper()
	const seed = 14
	for life := range lives {
		d := disk.New(t)
		busy(t, d, pragmas)
		rng := rand.New(rand.NewPCG(seed, uint64(life)))
		for range each {
			n := 1 + rng.IntN(d.Steps())
			marked := d.Marked(n)
			there := afterPower(t, d, rng, n)
			for _, id := range marked {
				if there[id] == 0 {
					lost++
				}
			}
			told, cuts = told+len(marked), cuts+1
		}
	}
	return told, lost, cuts
}

// busy is a life of the program in which four hands log and one changes sites.
func busy(t *testing.T, d *disk.Disk, pragmas []string) {
	t.Helper()
	s, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "data"), store.OnDisk(d.Name(), pragmas...))
	if err != nil {
		t.Fatal(err)
	}
	site, err := s.AddSite(t.Context(), "", storetest.File("x"), false)
	if err != nil {
		t.Fatal(err)
	}
	var hands sync.WaitGroup
	for range 4 {
		hands.Go(func() {
			device := store.NewID(time.Now())
			for n := range int64(25) {
				x := storetest.Taken(site.ID, device, n+1)
				if r, err := s.Log(t.Context(), "", []store.Sample{x}); err != nil || !r[0].Kept {
					t.Errorf("%+v, %v", r, err)
				}
				d.Mark(x.ID)
			}
		})
	}
	hands.Go(func() {
		for n := range int64(10) {
			if _, err := s.SaveSite(t.Context(), "", site.ID, n+1, storetest.File(fmt.Sprint("x", n))); err != nil {
				t.Error(err)
			}
		}
	})
	hands.Wait()
	if err := s.Close(); err != nil {
		t.Error(err)
	}
}

// afterPower starts the program again on what is left, and counts each sample
// that is there. Whenever the power went, it starts, and all is sound.
func afterPower(t *testing.T, d *disk.Disk, rng *rand.Rand, n int) map[string]int {
	t.Helper()
	there, err := left(t, d, rng, n)
	if err != nil {
		t.Fatalf("after the power went at step %d: %v", n, err)
	}
	return there
}

func left(t *testing.T, d *disk.Disk, rng *rand.Rand, n int) (there map[string]int, err error) {
	t.Helper()
	dir, err := os.MkdirTemp(t.TempDir(), "left")
	if err != nil {
		return nil, err
	}
	if err := d.Left(rng, n, dir); err != nil {
		return nil, err
	}
	s, err := store.Open(t.Context(), filepath.Join(dir, "data"), store.Options{})
	if err != nil {
		return nil, err
	}
	if err = errors.Join(s.CheckSound(t.Context()), s.CheckAudit(t.Context())); err == nil {
		there = samplesIn(t, s)
	}
	return there, errors.Join(err, s.Close(), os.RemoveAll(dir))
}

// samplesIn counts the samples of all sites by their id; each must be there
// once and whole.
func samplesIn(t *testing.T, s *store.Store) map[string]int {
	t.Helper()
	there := map[string]int{}
	sites, _, err := s.Sites(t.Context(), "", 0, 10)
	if err != nil {
		t.Fatal(err)
	}
	for _, site := range sites {
		samples, err := s.Samples(t.Context(), site.ID, 1_000_000)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range samples {
			if there[x.ID]++; there[x.ID] > 1 || len(x.Readings) != 1 {
				t.Errorf("sample %s is there %d times with %d readings", x.ID, there[x.ID], len(x.Readings))
			}
		}
	}
	return there
}
