package store_test

import (
	"database/sql"
	"fmt"
	"path/filepath"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"rinsewright/internal/store"
	"rinsewright/internal/store/storetest"
)

// BenchmarkLogAgainstBare logs samples from one hand and from fifty at once
// beside bare commits, one row each, in the same run: the disk is the same and
// so is whatever else the machine does. It reports both and their ratio.
func BenchmarkLogAgainstBare(b *testing.B) {
	for _, hands := range []int{1, 50} {
		b.Run(fmt.Sprintf("hands=%d", hands), func(b *testing.B) {
			bare, ours := bareCommits(b), loggers(b, hands)
			b.ResetTimer()
			var times [2][]time.Duration
			for range b.N {
				times[0] = append(times[0], bare(10)...)
				times[1] = append(times[1], ours()...)
			}
			b.StopTimer()
			p50 := func(all []time.Duration) float64 {
				slices.Sort(all)
				return float64(all[len(all)/2].Microseconds())
			}
			p99 := func(all []time.Duration) float64 { // sorted by p50
				return float64(all[len(all)*99/100].Microseconds())
			}
			rate := func(all []time.Duration, at int) float64 {
				var sum time.Duration
				for _, t := range all {
					sum += t
				}
				return float64(len(all)*at) / sum.Seconds()
			}
			b.ReportMetric(p50(times[0]), "bare-p50-us")
			b.ReportMetric(p50(times[1]), "log-p50-us")
			b.ReportMetric(p50(times[1])/p50(times[0]), "p50-ratio")
			b.ReportMetric(p99(times[0]), "bare-p99-us")
			b.ReportMetric(p99(times[1]), "log-p99-us")
			b.ReportMetric(p99(times[1])/p99(times[0]), "p99-ratio")
			b.ReportMetric(rate(times[0], 1), "bare/s")
			b.ReportMetric(rate(times[1], hands), "log/s")
			b.ReportMetric(rate(times[1], hands)/rate(times[0], 1), "rate-ratio")
		})
	}
}

// bareCommits is n rows, each in a transaction of its own with nothing around
// it; it tells how long each took.
func bareCommits(b *testing.B) func(n int) []time.Duration {
	db, err := sql.Open("sqlite", "file:"+filepath.Join(b.TempDir(), "bare")+"?_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)")
	if err != nil {
		b.Fatal(err)
	}
	db.SetMaxOpenConns(1)
	b.Cleanup(func() { _ = db.Close() })
	if _, err := db.Exec(`CREATE TABLE t (a TEXT PRIMARY KEY, b TEXT)`); err != nil {
		b.Fatal(err)
	}
	return func(n int) (times []time.Duration) {
		for range n {
			begun := time.Now()
			if _, err := db.Exec(`INSERT INTO t VALUES ($1, $2)`, store.NewID(begun), "9 ppm"); err != nil {
				b.Fatal(err)
			}
			times = append(times, time.Since(begun))
		}
		return times
	}
}

// loggers is so many hands that log one sample each, ten times over; it tells
// how long each sample took.
func loggers(b *testing.B, hands int) func() []time.Duration {
	s, err := store.Open(b.Context(), filepath.Join(b.TempDir(), "data"), store.Options{})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() {
		if err := s.Close(); err != nil {
			b.Error(err)
		}
	})
	site, err := s.AddSite(b.Context(), "", storetest.File("x"), false)
	if err != nil {
		b.Fatal(err)
	}
	device := store.NewID(time.Now())
	var n atomic.Int64
	return func() []time.Duration {
		var wait sync.WaitGroup
		times := make([][]time.Duration, hands)
		for hand := range hands {
			wait.Go(func() {
				for range 10 {
					begun := time.Now()
					if r, err := s.Log(b.Context(), "", []store.Sample{storetest.Taken(site.ID, device, n.Add(1))}); err != nil || !r[0].Kept {
						b.Errorf("%+v, %v", r, err)
					}
					times[hand] = append(times[hand], time.Since(begun))
				}
			})
		}
		wait.Wait()
		return slices.Concat(times...)
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
