package web

import (
	"context"
	"errors"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"rinsewright/internal/check"
	"rinsewright/internal/store"
	"rinsewright/internal/store/storetest/disk"
)

// onDisk is a server whose database lies on a disk of a test's own.
func onDisk(t *testing.T, d *disk.Disk) *served {
	t.Helper()
	kept, err := store.Open(context.Background(), filepath.Join(t.TempDir(), "data.sqlite"), store.Options{Disk: d.Name()})
	if err != nil {
		t.Fatal(err)
	}
	pages, err := New(Options{Store: kept, Version: "test", Setup: setupToken, Log: slog.New(slog.DiscardHandler)})
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(pages)
	t.Cleanup(func() {
		server.Close()
		pages.Close()
		if err := kept.Close(); err != nil {
			t.Error(err)
		}
	})
	return &served{server, kept, pages}
}

// The disk fills and is made room on again, many times. Nothing that was
// answered as kept is lost; what cannot be kept is refused with 507 in words;
// pages answer all the while; nobody has to start anything again.
func TestAFullDiskIsToldAndHeals(t *testing.T) {
	d := disk.New(t)
	s := onDisk(t, d)
	v := s.visitor(t)
	v.begins()
	site := s.gullPoint(t)
	path := "/sites/" + site.ID + "/reading"
	cycles := check.Often(4, 100)
	kept, refused, read := 0, 0, 0
	log := func() (int, string) { return v.logs290(path) }
	for cycle := range cycles {
		room := int64(0)
		d.Judged(func(_ int, what, _ string, end int64) disk.Failure {
			if room == 0 {
				room = end + int64(cycle%5)*60_000 // at once, or after some more
			}
			if what == string(disk.Write) && end > room {
				return disk.Full
			}
			return disk.None
		})
		full := 0
		for try := 0; full < 3 && try < 400; try++ {
			status, body := log()
			switch status {
			case http.StatusSeeOther:
				kept++
			case http.StatusInsufficientStorage:
				if full++; !strings.Contains(body, "The disk of this machine is full") || !strings.Contains(body, "makes room") {
					t.Fatalf("refused with %s", body)
				}
			default:
				t.Fatalf("%d %s", status, body)
			}
			for _, page := range []string{"/", "/sites/" + site.ID, path} {
				if status, body := v.get(page); status != http.StatusOK {
					t.Fatalf("%s on a full disk: %d %s", page, status, body)
				}
				read++
			}
		}
		if refused += full; full == 0 {
			t.Fatal("the disk never filled")
		}
		d.Judged(nil)
		if status, body := log(); status != http.StatusSeeOther {
			t.Fatalf("with room again: %d %s", status, body)
		}
		kept++
	}
	samples, err := s.store.Samples(t.Context(), site.ID, 1_000_000)
	if err = errors.Join(err, s.store.CheckAudit(t.Context()), s.store.CheckSound(t.Context())); err != nil {
		t.Fatal(err)
	}
	t.Logf("%d times full and free again: %d kept, %d refused with 507, %d pages read; %d there", cycles, kept, refused, read, len(samples))
	if len(samples) != kept {
		t.Errorf("%d samples are there of %d that were answered as kept", len(samples), kept)
	}
}

// A disk that breaks is told too, and not as somebody's mistake.
func TestABrokenDiskIsTold(t *testing.T) {
	d := disk.New(t)
	s := onDisk(t, d)
	v := s.visitor(t)
	v.begins()
	broken := func(_ int, what, _ string, _ int64) disk.Failure {
		if what == string(disk.Sync) {
			return disk.SyncBad
		}
		return disk.None
	}
	path := "/sites/" + s.gullPoint(t).ID + "/reading"
	form := v.form290(path)
	d.Judged(broken)
	if status, body, _ := v.send(http.MethodPost, path, form); status != http.StatusServiceUnavailable || !strings.Contains(body, "does not work as it should") {
		t.Errorf("%d %s", status, body)
	}
	if status, _ := v.get(path); status != http.StatusOK {
		t.Errorf("reading on a broken disk: %d", status)
	}
	d.Judged(nil)
	if status, body, _ := v.send(http.MethodPost, path, form); status != http.StatusSeeOther {
		t.Errorf("well again: %d %s", status, body)
	}
}

// form290 is a reading page filled in.
func (v *visitor) form290(path string) url.Values {
	v.t.Helper()
	_, page := v.get(path)
	form := url.Values{"raw.value": {"290"}, "raw.unit": {"ppm"}}
	for _, m := range regexp.MustCompile(`type="hidden" name="([a-z.]+)" value="([^"]*)"`).FindAllStringSubmatch(page, -1) {
		form.Set(m[1], m[2])
	}
	return form
}

func (v *visitor) logs290(path string) (int, string) {
	v.t.Helper()
	status, body, _ := v.send(http.MethodPost, path, v.form290(path))
	return status, body
}
