package web

import (
	"bytes"
	"context"
	"errors"
	"log/slog"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"rinsewright/internal/store"
	"rinsewright/internal/store/archive"
)

func TestBackupFromThePage(t *testing.T) {
	s := serving(t)
	v := s.visitor(t)
	v.begins()
	if _, body := v.get("/backup"); !strings.Contains(body, "There is no backup yet") || !strings.Contains(body, "No backup has been tried out yet") {
		t.Error("before any backup")
	}
	if status, body := v.post("/backup"); status != http.StatusSeeOther {
		t.Fatalf("%d %s", status, body)
	}
	_, page := v.get("/backup")
	found := regexp.MustCompile(`/backup/(rinsewright-[0-9-]+\.tar)`).FindString(page)
	if found == "" || !strings.Contains(page, "within a day") || !strings.Contains(page, `class="state fine"`) || !strings.Contains(page, `class="state due"`) {
		t.Fatalf("after one: %s", page)
	}
	status, file, header := v.send(http.MethodGet, found, nil)
	if _, err := archive.Verify(strings.NewReader(file)); status != http.StatusOK || err != nil || !strings.HasPrefix(header.Get("Content-Disposition"), "attachment") {
		t.Errorf("%d, %d bytes, %v", status, len(file), err)
	}
	if status, body := v.post("/backup/drill"); status != http.StatusSeeOther {
		t.Fatalf("%d %s", status, body)
	}
	if _, page := v.get("/backup?drilled"); !strings.Contains(page, "found to be the same") || strings.Contains(page, `class="state due"`) {
		t.Errorf("after a drill: %s", page)
	}
	for _, other := range []string{"/backup/..%2fdata.sqlite", "/backup/data.sqlite", "/backup/" + strings.Repeat("x", 300)} {
		if status, _ := v.get(other); status != http.StatusNotFound {
			t.Errorf("%s: %d", other, status)
		}
	}
}

// The night's work is done once a night, at three, or when the machine comes
// back; what goes wrong is in the log and is tried again.
func TestEveryNight(t *testing.T) {
	now := time.Date(2026, 6, 13, 14, 0, 0, 0, time.Local) // invented
	dir := t.TempDir()
	kept, err := store.Open(t.Context(), filepath.Join(dir, "data.sqlite"), store.Options{Now: func() time.Time { return now }})
	if err != nil {
		t.Fatal(err)
	}
	photos, err := store.OpenFolder(filepath.Join(dir, "photos"))
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := errors.Join(kept.Close(), photos.Close()); err != nil {
			t.Error(err)
		}
	}()
	var log bytes.Buffer
	s := &safekeeping{options: &Options{Store: kept, Photos: photos, Backups: filepath.Join(dir, "backups"), Now: func() time.Time { return now }, Log: slog.New(slog.NewTextHandler(&log, nil))}}
	left := filepath.Join(dir, "backups", archive.DrillName+"x")
	if err := os.MkdirAll(left, 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.Chtimes(left, now, now); err != nil {
		t.Fatal(err)
	}
	made := 0
	for hour := range 13 * 24 {
		ctx, stop := context.WithCancel(t.Context())
		look := make(chan time.Time)
		go func() { look <- now; stop() }()
		s.eachNight(ctx, look)
		files, err := s.files()
		if err != nil {
			t.Fatal(err)
		}
		if want := min(1+(hour+11)/24, mostBackups); len(files) != want {
			t.Fatalf("%v: %d backups, want %d", now, len(files), want)
		}
		last, err := kept.LastDrill(t.Context())
		if err != nil || now.Sub(last) > 24*time.Hour {
			t.Fatalf("%v: the last drill is from %v, %v", now, last, err)
		}
		made, now = len(files), now.Add(time.Hour)
	}
	if _, err := os.Stat(left); made != mostBackups || err == nil {
		t.Errorf("%d are kept, and what a killed drill left is there: %v", made, err)
	}
	if strings.Contains(log.String(), "ERROR") {
		t.Error(log.String())
	}
	now = now.AddDate(0, 0, 1)
	s.options.Backups = filepath.Join(dir, "data.sqlite", "no folder")
	if err := s.night(t.Context()); err == nil {
		t.Error("a night without a folder went well")
	}
}
