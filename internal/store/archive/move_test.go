package archive_test

import (
	"errors"
	"path/filepath"
	"testing"
	"time"

	"rinsewright/internal/store"
	"rinsewright/internal/store/archive"
	"rinsewright/internal/store/storetest"
)

// From SQLite to PostgreSQL and back, the content keeps its hash, and the old
// place is as it was.
func TestMovedThereAndBackItIsTheSame(t *testing.T) {
	server := storetest.StartPostgres(t)
	k := filled(t, sqlite(t))
	_, before := written(t, k.Source)
	there := archive.Place{Data: filepath.Join(t.TempDir(), "there"), Database: server.Database(t)}
	m, err := archive.Move(t.Context(), k.Source, there)
	if err != nil || m.Content != before.Content {
		t.Fatalf("into PostgreSQL: %v", err)
	}
	photos, err := store.OpenFolder(filepath.Join(there.Data, archive.PhotosName))
	if err != nil {
		t.Fatal(err)
	}
	large := archive.Source{Store: opened(t, there.Database), Photos: photos, Made: made}
	back := archive.Place{Data: filepath.Join(t.TempDir(), "back")}
	if m, err = archive.Move(t.Context(), large, back); err != nil || m.Content != before.Content || m.Rows() != before.Rows() || m.Photos != before.Photos {
		t.Errorf("and back: %v", err)
	}
	if _, err := archive.Move(t.Context(), large, back); !errors.Is(err, store.ErrNotEmpty) {
		t.Errorf("where there is something already: %v", err)
	}
	if _, after := written(t, k.Source); after.Content != before.Content {
		t.Error("the old place has changed")
	}
	if err := photos.Close(); err != nil {
		t.Error(err)
	}
}

// What comes in while it is moved is told, since it stays behind.
func TestWritingWhileItIsMovedIsTold(t *testing.T) {
	k := filled(t, sqlite(t))
	from := k.Source
	stop, done := make(chan struct{}), make(chan error, 1)
	go func() {
		device := store.NewID(time.Now())
		for n := int64(1); ; n++ {
			select {
			case <-stop:
				done <- nil
				return
			default:
			}
			if _, err := from.Store.Log(t.Context(), "", []store.Sample{storetest.Taken(k.site, device, n)}); err != nil {
				done <- err
				return
			}
		}
	}()
	_, err := archive.Move(t.Context(), from, archive.Place{Data: filepath.Join(t.TempDir(), "new")})
	close(stop)
	if err2 := <-done; err2 != nil {
		t.Error(err2)
	}
	if !errors.Is(err, archive.ErrWritten) {
		t.Errorf("moved under load: %v", err)
	}
}
