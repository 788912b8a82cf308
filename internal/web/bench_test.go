package web

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"rinsewright/internal/store"
	"rinsewright/quantity"
	"rinsewright/testdata/sites"
)

// BenchmarkPages lets 50 people look at the list of ten thousand sites, its
// filter and a site's page while 10 log readings, and tells how long the
// slowest in a hundred waits.
func BenchmarkPages(b *testing.B) {
	kept, err := store.Open(b.Context(), filepath.Join(b.TempDir(), "data.sqlite"), store.Options{})
	if err != nil {
		b.Fatal(err)
	}
	pages, err := New(Options{Store: kept, Setup: setupToken, Log: slog.New(slog.NewJSONHandler(io.Discard, nil)), Examples: sites.Names, Example: sites.File})
	if err != nil {
		b.Fatal(err)
	}
	pages.visitors = newLimiter(time.Now, 1_000_000_000, time.Second) // all come from one address here
	server := httptest.NewServer(pages)
	defer func() {
		server.Close()
		pages.Close()
		if err := kept.Close(); err != nil {
			b.Error(err)
		}
	}()
	jar, err := cookiejar.New(nil)
	if err != nil {
		b.Fatal(err)
	}
	client := &http.Client{Jar: jar, Transport: &http.Transport{MaxIdleConnsPerHost: 64}}
	post(b, client, server.URL+"/setup", url.Values{"token": {setupToken}, "name": {"Kit"}, "login": {"kit"}, "password": {password}})
	post(b, client, server.URL+"/practice", nil)
	many(b, pages, 10_000)
	marina, _, err := kept.Sites(b.Context(), "Cormorant", 0, 1)
	if err != nil || len(marina) != 1 {
		b.Fatal(err)
	}
	site := server.URL + "/sites/" + marina[0].ID
	for _, page := range []string{server.URL + "/", server.URL + "/?q=4711", site} {
		fetch(b, client, page)
	}
	for b.Loop() {
		var reads, writes timings
		ctx, stop := context.WithTimeout(b.Context(), 5*time.Second)
		var wait sync.WaitGroup
		for i := range 50 {
			wait.Go(func() {
				time.Sleep(time.Duration(i) * 4 * time.Millisecond) // nobody comes at the very same moment
				for n := i; ctx.Err() == nil; n++ {
					reads.time(func() { fetch(b, client, []string{server.URL + "/", server.URL + "/?q=4711", site}[n%3]) })
					time.Sleep(200 * time.Millisecond) // a person looks at the page
				}
			})
		}
		for i := range 10 {
			wait.Go(func() {
				time.Sleep(time.Duration(i) * 20 * time.Millisecond)
				device := store.NewID(time.Now())
				for n := int64(1); ctx.Err() == nil; n++ {
					form := url.Values{"id": {device}, "seq": {fmt.Sprint(3 * n)}, "taken": {fmt.Sprint(time.Now().UnixMilli())}, "offset": {"0"}, "raw.value": {"300"}, "raw.unit": {"ppm"}, "raw.id": {store.NewID(time.Now())}}
					writes.time(func() { post(b, client, site+"/reading", form) })
					time.Sleep(200 * time.Millisecond)
				}
			})
		}
		wait.Wait()
		stop()
		b.ReportMetric(reads.share(0.5), "read-p50-ms")
		b.ReportMetric(reads.share(0.99), "read-p99-ms")
		b.ReportMetric(writes.share(0.5), "write-p50-ms")
		b.ReportMetric(writes.share(0.99), "write-p99-ms")
		b.ReportMetric(float64(len(reads.all))/5, "reads/s")
	}
}

// many adds plain sites, and waits until all were looked at.
func many(b *testing.B, pages *Server, n int) {
	b.Helper()
	var wait sync.WaitGroup
	for hand := range 50 {
		wait.Go(func() {
			for i := hand; i < n; i += 50 {
				file := fmt.Sprintf("rinsewright = 1\n[site]\nname = \"Bench %d\" # invented\n", i)
				if _, err := pages.store.AddSite(b.Context(), "", file, false); err != nil {
					b.Error(err)
					return
				}
			}
		})
	}
	wait.Wait()
	for {
		stale, err := pages.store.Stale(b.Context(), reader{units: quantity.US}.word(), "", 1)
		if err != nil {
			b.Fatal(err)
		}
		if len(stale) == 0 {
			return
		}
		time.Sleep(100 * time.Millisecond)
	}
}

type timings struct {
	mu  sync.Mutex
	all []time.Duration
}

func (t *timings) time(do func()) {
	begun := time.Now()
	do()
	t.mu.Lock()
	t.all = append(t.all, time.Since(begun))
	t.mu.Unlock()
}

// share is the time in milliseconds that a share of them did not exceed.
func (t *timings) share(s float64) float64 {
	slices.Sort(t.all)
	return float64(t.all[int(s*float64(len(t.all)-1))].Microseconds()) / 1000
}

func fetch(b *testing.B, client *http.Client, page string) {
	answer, err := client.Get(page)
	drained(b, answer, err)
}

func post(b *testing.B, client *http.Client, page string, form url.Values) {
	r, err := http.NewRequest(http.MethodPost, page, strings.NewReader(form.Encode()))
	if err != nil {
		b.Error(err)
		return
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	if strings.HasSuffix(page, "/reading") {
		r.Header.Set("X-Part", "phone")
	}
	answer, err := client.Do(r)
	drained(b, answer, err)
}

func drained(b *testing.B, answer *http.Response, err error) {
	if err != nil {
		b.Error(err)
		return
	}
	if _, err := io.Copy(io.Discard, answer.Body); err != nil {
		b.Error(err)
	}
	if err := answer.Body.Close(); err != nil {
		b.Error(err)
	}
	if answer.StatusCode >= 400 {
		b.Errorf("%s answered %d", answer.Request.URL.Path, answer.StatusCode)
	}
}
