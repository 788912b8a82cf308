package archive_test

import (
	"archive/tar"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"rinsewright/internal/check"
	"rinsewright/internal/store"
	"rinsewright/internal/store/archive"
	"rinsewright/internal/store/storetest"
)

var made = time.Date(2026, 6, 13, 9, 30, 0, 0, time.UTC) // invented

// kept is a store with something of everything in it.
type kept struct {
	archive.Source
	site string
}

func filled(t testing.TB, address string) kept {
	t.Helper()
	s := opened(t, address)
	folder, err := store.OpenFolder(filepath.Join(t.TempDir(), "photos"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := folder.Close(); err != nil {
			t.Error(err)
		}
	})
	k := kept{archive.Source{Store: s, Photos: folder, Program: "test", Made: made}, ""}
	person, err := s.AddFirst(t.Context(), store.Person{Login: "owner", Name: "Öwner, 水 🚤 \"quoted\" <b>"})
	if err != nil {
		t.Fatal(err)
	}
	site, err := s.AddSite(t.Context(), person.ID, storetest.File("Gull Point"), false)
	if err != nil {
		t.Fatal(err)
	}
	k.site = site.ID
	device := store.NewID(made)
	for n := range int64(20) {
		x := storetest.Taken(site.ID, device, n+1)
		x.Readings = append(x.Readings, store.Reading{Name: "odd", Typed: "1,5", SI: 1e-310 * float64(n), Unit: ""}, store.Reading{Name: "whole", Typed: "5", SI: float64(n)})
		if r, err := s.Log(t.Context(), person.ID, []store.Sample{x}); err != nil || !r[0].Kept {
			t.Fatal(r, err)
		}
	}
	for n := range 3 {
		picture := bytes.Repeat([]byte{byte(n), 0xff, 0x00}, 700*n+1)
		name, err := folder.Keep(picture)
		if err != nil {
			t.Fatal(err)
		}
		if err := s.AddPhoto(t.Context(), person.ID, store.Photo{ID: name, Site: site.ID, Kept: name, Bytes: int64(len(picture)), Taken: made}); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.BeginSession(t.Context(), strings.Repeat("a", 64), person.ID, made); err != nil {
		t.Fatal(err)
	}
	return k
}

func opened(t testing.TB, address string) *store.Store {
	t.Helper()
	s, err := store.Open(t.Context(), address, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

func written(t testing.TB, from archive.Source) ([]byte, archive.Manifest) {
	t.Helper()
	var b bytes.Buffer
	m, err := archive.Write(t.Context(), &b, from)
	if err != nil {
		t.Fatal(err)
	}
	return b.Bytes(), m
}

func sqlite(t testing.TB) string { return filepath.Join(t.TempDir(), "data.sqlite") }

// Each database's backup is restored into both, and a backup of what was
// restored has the same content; so has one made once more of the first.
func TestABackupRestoresIntoEitherDatabase(t *testing.T) {
	server := storetest.StartPostgres(t)
	for from, address := range map[string]string{"SQLite": sqlite(t), "PostgreSQL": server.Database(t)} {
		k := filled(t, address)
		file, m := written(t, k.Source)
		if m.About.Database != from || m.Photos != 3 || len(m.Missing) != 0 || m.Rows() < 80 {
			t.Errorf("%s: %+v", from, m)
		}
		if again, _ := written(t, k.Source); !bytes.Equal(again, file) {
			t.Errorf("%s: made twice at one time, the backup is not the same", from)
		}
		drills(t, k)
		for into, database := range map[string]string{"SQLite": "", "PostgreSQL": server.Database(t)} {
			place := archive.Place{Data: filepath.Join(t.TempDir(), "new"), Database: database}
			got, err := archive.Restore(t.Context(), bytes.NewReader(file), place)
			if err != nil || got.Content != m.Content {
				t.Errorf("%s into %s: %v", from, into, err)
				continue
			}
			if database == "" {
				database = filepath.Join(place.Data, archive.DataFile)
			}
			folder, err := store.OpenFolder(filepath.Join(place.Data, archive.PhotosName))
			if err != nil {
				t.Fatal(err)
			}
			s := opened(t, database)
			if _, back := written(t, archive.Source{Store: s, Photos: folder, Made: made}); back.Content != m.Content {
				t.Errorf("%s into %s: opened and backed up again it is not the same", from, into)
			}
			if err := errors.Join(s.CheckAudit(t.Context()), folder.Close()); err != nil {
				t.Errorf("%s into %s: %v", from, into, err)
			}
			if _, err := s.Session(t.Context(), strings.Repeat("a", 64)); !errors.Is(err, store.ErrNone) {
				t.Errorf("%s into %s: who was signed in still is: %v", from, into, err)
			}
			if _, err := archive.Restore(t.Context(), bytes.NewReader(file), place); !errors.Is(err, store.ErrNotEmpty) {
				t.Errorf("%s into %s twice: %v", from, into, err)
			}
		}
	}
}

// The backup is made while four hands log: what was answered before it began is
// in it, and what is in it is whole.
func TestABackupMadeWhileOthersWorkHoldsWhatWasAnswered(t *testing.T) {
	rounds := check.Often(3, 200)
	var k kept
	for round := range rounds {
		if round%10 == 0 {
			k = filled(t, sqlite(t)) // so that it does not grow for ever
		}
		before, file := underLoad(t, k)
		place := archive.Place{Data: filepath.Join(t.TempDir(), fmt.Sprint(round))}
		if _, err := archive.Restore(t.Context(), bytes.NewReader(file), place); err != nil {
			t.Fatal(err)
		}
		s, err := store.Open(t.Context(), filepath.Join(place.Data, archive.DataFile), store.Options{})
		if err != nil {
			t.Fatal(err)
		}
		samples, err := s.Samples(t.Context(), k.site, 1_000_000)
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
		if err := errors.Join(s.Close(), os.RemoveAll(place.Data)); err != nil || len(before) == 0 {
			t.Error(len(before), err)
		}
	}
	t.Logf("%d backups under load restored, each the same to the hash", rounds)
}

func underLoad(t *testing.T, k kept) (before []string, file []byte) {
	ctx, stop := context.WithCancel(t.Context())
	var hands sync.WaitGroup
	var mu sync.Mutex
	var answered []string
	for range 4 {
		hands.Go(func() {
			device := store.NewID(time.Now())
			for n := int64(1); ctx.Err() == nil; n++ {
				x := storetest.Taken(k.site, device, n)
				if r, err := k.Store.Log(context.Background(), "", []store.Sample{x}); err != nil || !r[0].Kept {
					t.Errorf("%v, %v", r, err)
				}
				mu.Lock()
				answered = append(answered, x.ID)
				mu.Unlock()
			}
		})
	}
	for len(before) < 20 && !t.Failed() {
		time.Sleep(5 * time.Millisecond)
		mu.Lock()
		before = append(before[:0], answered...)
		mu.Unlock()
	}
	file, _ = written(t, k.Source)
	stop()
	hands.Wait()
	return before, file
}

func TestALostPhotoIsNamed(t *testing.T) {
	k := filled(t, sqlite(t))
	k.Photos = nil
	file, m := written(t, k.Source)
	if len(m.Missing) != 3 || m.Photos != 0 {
		t.Errorf("%+v", m)
	}
	if _, err := archive.Drill(t.Context(), bytes.NewReader(file), t.TempDir()); err != nil {
		t.Errorf("the rest is not saved: %v", err)
	}
}

func TestRestoreLeavesNothingHalfDone(t *testing.T) {
	k := filled(t, sqlite(t))
	file, _ := written(t, k.Source)
	data := filepath.Join(t.TempDir(), "data")
	for _, cut := range []int{0, 1, 600, len(file) / 2, len(file) - 1} {
		if _, err := archive.Restore(t.Context(), bytes.NewReader(file[:cut]), archive.Place{Data: data}); !errors.Is(err, archive.ErrDamaged) {
			t.Errorf("cut at %d: %v", cut, err)
		}
		if left, err := os.ReadDir(data); err == nil && len(left) > 0 {
			t.Errorf("cut at %d left %v", cut, left)
		}
	}
	if _, err := archive.Restore(t.Context(), bytes.NewReader(file), archive.Place{Data: data}); err != nil {
		t.Errorf("whole, after all that: %v", err)
	}
}

func TestSaveWritesOverNothing(t *testing.T) {
	k := filled(t, sqlite(t))
	path := filepath.Join(t.TempDir(), "what is 100% safe?.tar")
	if _, err := archive.Save(t.Context(), path, k.Source, nil); err != nil {
		t.Fatal(err)
	}
	if about, err := os.Stat(path); err != nil || about.Mode().Perm() != 0o600 {
		t.Errorf("%v, %v", about, err)
	}
	if _, err := archive.Save(t.Context(), path, k.Source, nil); !errors.Is(err, os.ErrExist) {
		t.Errorf("%v", err)
	}
	gone := filepath.Join(t.TempDir(), "gone", "x.tar")
	if _, err := archive.Save(t.Context(), gone, k.Source, nil); err == nil {
		t.Error("saved into a folder that is not there")
	}
	if left, _ := filepath.Glob(filepath.Dir(path) + "/*"); len(left) != 1 {
		t.Errorf("left: %v", left)
	}
}

func TestDrillClearsUp(t *testing.T) {
	drills(t, filled(t, sqlite(t)))
}

func drills(t *testing.T, k kept) {
	t.Helper()
	dir := t.TempDir()
	_, want := written(t, k.Source)
	m, err := archive.DrillSource(t.Context(), k.Source, dir)
	if err != nil || m.Content != want.Content {
		t.Errorf("%+v, %v", m, err)
	}
	if left, err := os.ReadDir(dir); err != nil || len(left) != 0 {
		t.Errorf("left %v, %v", left, err)
	}
}

// A backup is a plain tar file: another reader finds the rows in it.
func TestAnyComputerOpensABackup(t *testing.T) {
	k := filled(t, sqlite(t))
	file, _ := written(t, k.Source)
	names := map[string]string{}
	r := tar.NewReader(bytes.NewReader(file))
	for {
		head, err := r.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		names[head.Name] = string(text)
	}
	if !strings.Contains(names["tables/people/000001.jsonl"], `"Öwner, 水 🚤 \"quoted\" <b>"`) || !strings.Contains(names["about.json"], "rinsewright restore") || strings.Contains(fmt.Sprint(names), "token_hash") {
		t.Errorf("%v", names)
	}
}

func TestEncrypted(t *testing.T) {
	k := filled(t, sqlite(t))
	secret, public, err := archive.NewKey()
	if err != nil {
		t.Fatal(err)
	}
	other, _, err := archive.NewKey()
	if err != nil {
		t.Fatal(err)
	}
	locks, err := archive.LocksOf(public)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "x.tar.age")
	want, err := archive.Save(t.Context(), path, k.Source, locks)
	if err != nil {
		t.Fatal(err)
	}
	file, err := os.ReadFile(path)
	if err != nil || bytes.Contains(file, []byte("about.json")) {
		t.Errorf("it can be read by all: %v", err)
	}
	for name, key := range map[string]string{"its key": secret, "another key": other, "no key": ""} {
		var keys archive.Keys
		if key != "" {
			if keys, err = archive.KeysOf(strings.NewReader("# a remark\n" + key + "\n")); err != nil {
				t.Fatal(err)
			}
		}
		r, encrypted, err := archive.Opened(bytes.NewReader(file), keys)
		if !encrypted || (name == "its key") != (err == nil) || err != nil && !errors.Is(err, archive.ErrLocked) {
			t.Errorf("%s: %v, %v", name, encrypted, err)
			continue
		}
		if err == nil {
			if m, err := archive.Drill(t.Context(), r, t.TempDir()); err != nil || m.Content != want.Content {
				t.Errorf("%v", err)
			}
		}
	}
	if _, err := archive.LocksOf(secret); err == nil {
		t.Error("a secret key was taken as a public one")
	}
}

func TestEncryptedByPassphrase(t *testing.T) {
	k := filled(t, sqlite(t))
	locks, keys, err := archive.Passphrase("correct horse") // invented
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "x.tar.age")
	if _, err := archive.Save(t.Context(), path, k.Source, locks); err != nil {
		t.Fatal(err)
	}
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = file.Close() }()
	r, _, err := archive.Opened(file, keys)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := archive.Verify(r); err != nil {
		t.Error(err)
	}
}
