package archive_test

import (
	"errors"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"rinsewright/internal/check"
	"rinsewright/internal/store"
	"rinsewright/internal/store/archive"
	"rinsewright/internal/store/storetest"
)

// A large backup, mostly photos as they are, is restored, compared and opened in
// a time that somebody waits for beside the machine.
func TestALargeBackupIsRestoredSoon(t *testing.T) {
	megabytes := check.Often(8, 1000)
	k := filled(t, sqlite(t))
	rng := rand.New(rand.NewPCG(14, 10))
	picture := make([]byte, 300_000) // about what a photo of a phone is kept as
	for n := range megabytes * 10 / 3 {
		for i := range picture {
			picture[i] = byte(rng.Uint32())
		}
		name, err := k.Photos.Keep(picture)
		if err != nil {
			t.Fatal(err)
		}
		if err := k.Store.AddPhoto(t.Context(), "", store.Photo{ID: name, Site: k.site, Kept: name, Bytes: int64(len(picture)), Taken: made.Add(time.Duration(n) * time.Minute)}); err != nil {
			t.Fatal(err)
		}
	}
	device := store.NewID(made)
	for n := 0; n < megabytes*20; n += 200 {
		var some []store.Sample
		for i := range 200 {
			some = append(some, storetest.Taken(k.site, device, int64(n+i+1)))
		}
		if _, err := k.Store.Log(t.Context(), "", some); err != nil {
			t.Fatal(err)
		}
	}
	path := filepath.Join(t.TempDir(), "large.tar")
	begun := time.Now()
	m, err := archive.Save(t.Context(), path, k.Source, nil)
	if err != nil {
		t.Fatal(err)
	}
	saved := time.Since(begun)
	about, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	place := archive.Place{Data: filepath.Join(t.TempDir(), "new")}
	begun = time.Now()
	err = archive.WithFile(path, nil, func(r io.Reader, _ bool) error {
		_, err := archive.Restore(t.Context(), r, place)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	s, err := store.Open(t.Context(), filepath.Join(place.Data, archive.DataFile), store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	_, err = s.Site(t.Context(), k.site)
	took := time.Since(begun)
	if err = errors.Join(err, s.Close()); err != nil {
		t.Error(err)
	}
	t.Logf("%.0f MB with %d rows and %d photos: saved in %v, restored, compared and opened in %v", float64(about.Size())/1e6, m.Rows(), m.Photos, saved.Round(time.Millisecond), took.Round(time.Millisecond))
}
