package store_test

import (
	"database/sql"
	"fmt"
	"path/filepath"
	"sync/atomic"
	"testing"
	"time"

	"rinsewright/internal/store"
	"rinsewright/internal/store/storetest"
)

// BenchmarkBareCommit is one row in a transaction of its own, with nothing
// around it: what the others are compared with on the same machine.
func BenchmarkBareCommit(b *testing.B) {
	db, err := sql.Open("sqlite", "file:"+filepath.Join(b.TempDir(), "bare")+"?_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)")
	if err != nil {
		b.Fatal(err)
	}
	db.SetMaxOpenConns(1)
	if _, err := db.Exec(`CREATE TABLE t (a TEXT PRIMARY KEY, b TEXT)`); err != nil {
		b.Fatal(err)
	}
	b.ResetTimer()
	for range b.N {
		if _, err := db.Exec(`INSERT INTO t VALUES ($1, $2)`, store.NewID(time.Now()), "9 ppm"); err != nil {
			b.Fatal(err)
		}
	}
	b.StopTimer()
	if err := db.Close(); err != nil {
		b.Fatal(err)
	}
}

// BenchmarkLog logs samples from one hand and from fifty at once.
func BenchmarkLog(b *testing.B) {
	for _, hands := range []int{1, 50} {
		b.Run(fmt.Sprintf("hands=%d", hands), func(b *testing.B) {
			s, err := store.Open(b.Context(), filepath.Join(b.TempDir(), "data"), store.Options{})
			if err != nil {
				b.Fatal(err)
			}
			site, err := s.AddSite(b.Context(), "", storetest.File("x"), false)
			if err != nil {
				b.Fatal(err)
			}
			device := store.NewID(time.Now())
			var n atomic.Int64
			b.SetParallelism((hands + 1) / 2)
			b.ResetTimer()
			log := func(next func() bool) {
				for next() {
					if r, err := s.Log(b.Context(), "", []store.Sample{storetest.Taken(site.ID, device, n.Add(1))}); err != nil || !r[0].Kept {
						b.Errorf("%+v, %v", r, err)
					}
				}
			}
			if hands == 1 {
				log(b.Loop)
			} else {
				b.RunParallel(func(p *testing.PB) { log(p.Next) })
			}
			b.StopTimer()
			if err := s.Close(); err != nil {
				b.Fatal(err)
			}
		})
	}
}

// BenchmarkSites lists, filters and searches ten thousand sites.
func BenchmarkSites(b *testing.B) {
	s, err := store.Open(b.Context(), filepath.Join(b.TempDir(), "data"), store.Options{})
	if err != nil {
		b.Fatal(err)
	}
	done := make(chan error, 100)
	for hand := range 100 {
		go func() {
			for i := range 100 {
				if _, err := s.AddSite(b.Context(), "", storetest.File(fmt.Sprintf("Site %d of hand %d", i, hand)), false); err != nil {
					done <- err
					return
				}
			}
			done <- nil
		}()
	}
	for range 100 {
		if err := <-done; err != nil {
			b.Fatal(err)
		}
	}
	for _, typed := range []string{"", "hand 7", "nobody"} {
		b.Run(fmt.Sprintf("typed=%q", typed), func(b *testing.B) {
			for b.Loop() {
				if _, _, err := s.Sites(b.Context(), typed, 0, 50); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	if err := s.Close(); err != nil {
		b.Fatal(err)
	}
}
