package store_test

import (
	"errors"
	"math/rand/v2"
	"path/filepath"
	"testing"
	"time"

	"rinsewright/internal/check"
	"rinsewright/internal/store"
	"rinsewright/internal/store/storetest"
	"rinsewright/internal/store/storetest/disk"
)

// afterwards is what became of the samples of one life with a failing disk.
type afterwards struct {
	kept, refused, silent int
}

// Each step of the disk fails in turn, once or for good, as a write, a sync, an
// opening or for want of room. Every sample is either answered as kept and is
// there, also when the power goes afterwards, or its sender was told. What is
// there can be read all the while, and a disk that is well again is written to
// without a new start.
func TestEveryStepOfTheDiskFailsInTurn(t *testing.T) {
	const seed = 14
	sum, points := afterwards{}, 0
	for _, lasting := range []bool{false, true} {
		for _, as := range []disk.Failure{disk.SyncBad, disk.Full} {
			every := 61 / check.Often(1, 61)
			for k := 1; ; k += every {
				got, reached := failing(t, k, as, lasting, seed)
				if !reached {
					break
				}
				sum.kept, sum.refused, sum.silent, points = sum.kept+got.kept, sum.refused+got.refused, sum.silent+got.silent, points+1
			}
		}
	}
	t.Logf("seed %d: the disk failed at %d points: %d samples kept and there, %d refused in words, %d lost in silence", seed, points, sum.kept, sum.refused, sum.silent)
	if sum.silent != 0 || points < 16 || sum.refused < points {
		t.Errorf("%d points: %+v", points, sum)
	}
}

// The control tells SQLite that a sync that failed went well, as a driver does
// that drops an error, so it must lose something in silence.
func TestFailingDiskControl(t *testing.T) {
	silent := 0
	for k := 40; k < 80; k += 4 {
		d, path := disk.New(t), filepath.Join(t.TempDir(), "data")
		s, site := begun(t, d, path, "wal_autocheckpoint(0)")
		d.Judged(func(n int, what, _ string, _ int64) disk.Failure {
			if what == string(disk.Sync) && n >= k {
				return disk.Deaf
			}
			return disk.None
		})
		kept := logSome(t, d, s, site, nil)
		if err := s.Close(); err != nil {
			t.Error(err)
		}
		there, err := left(t, d, rand.New(rand.NewPCG(1, uint64(k))), d.Steps())
		if err != nil {
			t.Logf("what is left cannot be used at all: %v", err)
		}
		silent += missing(there, kept)
	}
	t.Logf("syncs that are not made and not told of: %d samples lost in silence", silent)
	if silent == 0 {
		t.Error("a disk that does not sync loses nothing: the test sees nothing")
	}
}

// begun opens a store on a disk while all is well.
func begun(t *testing.T, d *disk.Disk, path, pragma string) (*store.Store, string) {
	t.Helper()
	s, err := store.Open(t.Context(), path, store.OnDisk(d.Name(), pragma))
	if err != nil {
		t.Fatal(err)
	}
	site, err := s.AddSite(t.Context(), "", storetest.File("x"), false)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Site(t.Context(), site.ID); err != nil { // so that reading has begun
		t.Fatal(err)
	}
	return s, site.ID
}

// logSome logs samples one after another and returns which were answered as
// kept. The others go to told, with what was said.
func logSome(t *testing.T, d *disk.Disk, s *store.Store, site string, told func(error)) (kept []string) {
	t.Helper()
	device := store.NewID(time.Now())
	for n := range int64(12) {
		x := storetest.Taken(site, device, n+1)
		r, err := s.Log(t.Context(), "", []store.Sample{x})
		switch {
		case err == nil && r[0].Kept:
			kept = append(kept, x.ID)
		case told != nil:
			told(err)
		default:
			t.Errorf("%+v, %v", r, err)
		}
		if _, err := s.Site(t.Context(), site); err != nil {
			t.Errorf("what is there cannot be read: %v", err)
		}
	}
	return kept
}

func missing(there map[string]int, want []string) (n int) {
	for _, id := range want {
		if there[id] == 0 {
			n++
		}
	}
	return n
}

// failing is a life in which step k fails, and all later ones when it lasts.
func failing(t *testing.T, k int, as disk.Failure, lasting bool, seed uint64) (out afterwards, reached bool) {
	t.Helper()
	d := disk.New(t)
	path := filepath.Join(t.TempDir(), "data")
	s, site := begun(t, d, path, often)
	d.Judged(func(n int, _, _ string, _ int64) disk.Failure {
		if n == k || lasting && n > k {
			reached = true
			return as
		}
		return disk.None
	})
	kept := logSome(t, d, s, site, func(err error) {
		out.refused++
		if !errors.Is(err, store.ErrDisk) && !errors.Is(err, store.ErrNoRoom) {
			t.Errorf("step %d: refused as %v", k, err)
		}
	})
	failed := reached
	d.Judged(nil)
	kept = append(kept, logSome(t, d, s, site, nil)...)
	if err := s.Close(); err != nil {
		t.Error(err)
	}
	there := afterPower(t, d, rand.New(rand.NewPCG(seed, uint64(k))), d.Steps())
	out.kept, out.silent = len(kept), missing(there, kept)
	return out, failed
}
