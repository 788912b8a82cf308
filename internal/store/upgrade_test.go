package store_test

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rinsewright/internal/check"
	"rinsewright/internal/store"
	"rinsewright/internal/store/storetest"
	"rinsewright/internal/store/storetest/disk"
)

// Data as each version left it lies in testdata/released, one file of SQL for
// each, the same for both databases. A file is written once, by UPDATE=1, when
// its version is new, and never again.
func released(version int64) string {
	return filepath.Join("testdata", "released", fmt.Sprintf("%02d.sql", version))
}

const newestSite = "Gull Point, as it was left" // invented

// TestDataOfEveryVersionIsBroughtUpToDate loads what each version left and opens
// it: what was in it is there, and it was shown before it was changed.
func TestDataOfEveryVersionIsBroughtUpToDate(t *testing.T) {
	newest := store.Newest()
	server := storetest.StartPostgres(t)
	for version := int64(1); version <= newest; version++ {
		writeReleased(t, version)
		if _, err := os.Stat(released(version)); err != nil {
			t.Fatalf("version %d has no data of its own: UPDATE=1 go test ./internal/store -run EveryVersion writes it, once", version)
		}
		for _, address := range []string{filepath.Join(t.TempDir(), "data"), server.Database(t)} {
			load(t, address, version)
			var shown []int64
			s, err := store.Open(t.Context(), address, store.Options{Upgrading: func(_ context.Context, old *store.Store, from, to int64) error {
				shown = append(shown, from, to)
				return old.AtOneMoment(context.Background(), func(m *store.Moment) error {
					if m.Version != from {
						t.Errorf("version %d is shown as %d", from, m.Version)
					}
					return nil
				})
			}})
			if err != nil {
				t.Fatalf("version %d: %v", version, err)
			}
			if version < newest && fmt.Sprint(shown) != fmt.Sprint([]int64{version, newest}) || version == newest && shown != nil {
				t.Errorf("version %d: shown before the change: %v", version, shown)
			}
			asLeft(t, s, version)
			if err := s.Close(); err != nil {
				t.Error(err)
			}
		}
	}
}

// asLeft looks whether all that was left is there.
func asLeft(t *testing.T, s *store.Store, version int64) {
	t.Helper()
	if err := errors.Join(s.CheckSound(t.Context()), s.CheckAudit(t.Context())); err != nil {
		t.Errorf("version %d: %v", version, err)
	}
	sites, _, err := s.Sites(t.Context(), "", 0, 10)
	if err != nil || len(sites) != 1 || sites[0].Name != newestSite {
		t.Fatalf("version %d: %+v, %v", version, sites, err)
	}
	if there := samplesIn(t, s); len(there) != 3 {
		t.Errorf("version %d: %d samples", version, len(there))
	}
	people, err := s.People(t.Context())
	if err != nil || len(people) != 1 || people[0].Role != store.Owner {
		t.Errorf("version %d: %+v, %v", version, people, err)
	}
}

// An older program says in words that the data is newer, and changes nothing.
func TestAnOlderProgramLeavesNewerDataAlone(t *testing.T) {
	path := filepath.Join(t.TempDir(), "data")
	load(t, path, store.Newest())
	raw(t, path, `INSERT INTO goose_db_version (version_id, is_applied) VALUES (99, true)`)
	before, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	_, err = store.Open(t.Context(), path, store.Options{})
	if !errors.Is(err, store.ErrNewer) || !strings.Contains(err.Error(), "data of version 99 and this program knows up to") {
		t.Errorf("%v", err)
	}
	if after, err := os.ReadFile(path); err != nil || string(after) != string(before) {
		t.Errorf("the data was changed: %v", err)
	}
}

// When what was to be done before the change fails, a backup say, nothing is
// changed.
func TestWithoutABackupNothingIsChanged(t *testing.T) {
	path := filepath.Join(t.TempDir(), "data")
	load(t, path, 1)
	full := errors.New("no room for a backup")
	if _, err := store.Open(t.Context(), path, store.Options{Upgrading: func(context.Context, *store.Store, int64, int64) error { return full }}); !errors.Is(err, full) {
		t.Errorf("%v", err)
	}
	if at, _ := versionAndSchema(t, path); at != 1 {
		t.Errorf("it is of version %d", at)
	}
}

// The power goes at every step of the disk while data of the first version is
// brought up to date: what is left is of one version whole, and goes on from
// there to the newest with everything in it.
func TestThePowerGoesInTheMiddleOfAnUpgrade(t *testing.T) {
	const seed = 14
	whole := map[int64]string{}
	for version := int64(1); version <= store.Newest(); version++ {
		path := filepath.Join(t.TempDir(), "data")
		load(t, path, version)
		_, whole[version] = versionAndSchema(t, path)
	}
	d := disk.New(t)
	path := filepath.Join(t.TempDir(), "data")
	loadOn(t, d.Name(), path, 1)
	begun := d.Steps()
	s, err := store.Open(t.Context(), path, store.OnDisk(d.Name()))
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(seed, 0))
	found, points := map[int64]int{}, 0
	for k := begun; k <= d.Steps(); k += 19 / check.Often(1, 19) {
		dir := filepath.Join(t.TempDir(), fmt.Sprint(k))
		if err := os.Mkdir(dir, 0o700); err != nil {
			t.Fatal(err)
		}
		if err := d.Left(rng, k, dir); err != nil {
			t.Fatal(err)
		}
		left := filepath.Join(dir, "data")
		at, schema := versionAndSchema(t, left)
		if schema != whole[at] {
			t.Errorf("at step %d: between versions: it says %d", k, at)
		}
		found[at]++
		points++
		s, err := store.Open(t.Context(), left, store.Options{})
		if err != nil {
			t.Fatal(err)
		}
		asLeft(t, s, at)
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	}
	t.Logf("seed %d: the power went at %d of %d steps; left were versions %v", seed, points, d.Steps()-begun, found)
	if found[1] == 0 || found[store.Newest()] == 0 {
		t.Error("neither the old nor the new was ever left: the test sees nothing")
	}
}

const upgradeAddress = "STORE_UPGRADE_ADDRESS"

// upgrade is the program that is killed while it brings data up to date.
func upgrade(address string) int {
	s, err := store.Open(context.Background(), address, store.Options{})
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	if err := s.Close(); err != nil {
		return 1
	}
	return 0
}

// The program is killed while it brings data in PostgreSQL up to date.
func TestKilledInTheMiddleOfAnUpgradeOfPostgreSQL(t *testing.T) {
	server := storetest.StartPostgres(t)
	found := map[int64]int{}
	rounds := check.Often(5, 100)
	for round := range rounds {
		address := server.Database(t)
		load(t, address, 1)
		c := exec.Command(os.Args[0])
		c.Env = append(os.Environ(), upgradeAddress+"="+address)
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(5+200*round/rounds) * time.Millisecond)
		_ = c.Process.Kill() // it may be done
		_ = c.Wait()
		time.Sleep(20 * time.Millisecond) // the server notices
		found[versionOf(t, address)]++
		s, err := store.Open(t.Context(), address, store.Options{})
		if err != nil {
			t.Fatalf("round %d: %v", round, err)
		}
		asLeft(t, s, 1)
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	}
	t.Logf("killed %d times; left were versions %v", rounds, found)
}

func versionOf(t *testing.T, address string) (at int64) {
	t.Helper()
	withRaw(t, address, func(db *sql.DB) error {
		return db.QueryRow(`SELECT MAX(version_id) FROM goose_db_version`).Scan(&at)
	})
	return at
}

// versionAndSchema is what a SQLite database says of its version, and of which
// tables it is.
func versionAndSchema(t *testing.T, path string) (at int64, schema string) {
	t.Helper()
	withRaw(t, path, func(db *sql.DB) error {
		if err := db.QueryRow(`SELECT MAX(version_id) FROM goose_db_version`).Scan(&at); err != nil {
			return err
		}
		return db.QueryRow(`SELECT group_concat(sql, ';') FROM (SELECT sql FROM sqlite_master WHERE sql IS NOT NULL AND name NOT LIKE 'goose%' AND name NOT LIKE 'sqlite%' ORDER BY type, name)`).Scan(&schema)
	})
	return at, schema
}

func raw(t *testing.T, address, statements string) {
	t.Helper()
	withRaw(t, address, func(db *sql.DB) error {
		_, err := db.Exec(statements)
		return err
	})
}

func withRaw(t *testing.T, address string, do func(*sql.DB) error) {
	t.Helper()
	driver, at := "sqlite", "file:"+(&url.URL{Path: address}).EscapedPath()+"?_pragma=busy_timeout(5000)&_pragma=journal_mode(WAL)"
	if strings.HasPrefix(address, "postgres") {
		driver, at = "pgx", address
	}
	withDriver(t, driver, at, do)
}

func withDriver(t *testing.T, driver, at string, do func(*sql.DB) error) {
	t.Helper()
	db, err := sql.Open(driver, at)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(do(db), db.Close()); err != nil {
		t.Fatal(err)
	}
}

// load brings data of a version to an address.
func load(t *testing.T, address string, version int64) {
	t.Helper()
	withRaw(t, address, func(db *sql.DB) error { return loadInto(db, strings.HasPrefix(address, "postgres"), version) })
}

func loadOn(t *testing.T, disk, path string, version int64) {
	t.Helper()
	withDriver(t, "sqlite", "file:"+(&url.URL{Path: path}).EscapedPath()+"?_pragma=journal_mode(WAL)&vfs="+disk, func(db *sql.DB) error { return loadInto(db, false, version) })
}

func loadInto(db *sql.DB, postgres bool, version int64) error {
	text, err := os.ReadFile(released(version))
	if err != nil {
		return err
	}
	steps := `CREATE TABLE goose_db_version (id INTEGER PRIMARY KEY AUTOINCREMENT, version_id INTEGER NOT NULL, is_applied INTEGER NOT NULL, tstamp TIMESTAMP DEFAULT (datetime('now')));`
	if postgres {
		steps = `CREATE TABLE goose_db_version (id integer PRIMARY KEY GENERATED BY DEFAULT AS IDENTITY, version_id bigint NOT NULL, is_applied boolean NOT NULL, tstamp timestamp NOT NULL DEFAULT now());`
	}
	for v := range version + 1 {
		steps += fmt.Sprintf("INSERT INTO goose_db_version (version_id, is_applied) VALUES (%d, true);", v)
	}
	_, err = db.Exec("BEGIN;" + steps + string(text) + "COMMIT;")
	return err
}

// writeReleased writes the file of a version that has none, by UPDATE=1: a
// store of today is filled, and what of it there was at that version goes into
// tables as they were.
func writeReleased(t *testing.T, version int64) {
	t.Helper()
	if _, err := os.Stat(released(version)); err == nil || os.Getenv("UPDATE") == "" {
		return
	}
	text, err := store.AsOf(t.Context(), version, filledStore(t), t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(filepath.Dir(released(version)), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(released(version), []byte("-- Invented data as version "+fmt.Sprint(version)+" of the tables left it.\n"+text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func filledStore(t *testing.T) *store.Store {
	t.Helper()
	s, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "data"), store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	person, err := s.AddFirst(t.Context(), store.Person{Login: "kit", Name: "Kit", Password: "none"})
	if err != nil {
		t.Fatal(err)
	}
	site, err := s.AddSite(t.Context(), person.ID, storetest.File("Gull Point"), false)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.SaveSite(t.Context(), person.ID, site.ID, 1, storetest.File(newestSite)); err != nil {
		t.Fatal(err)
	}
	for n := range int64(3) {
		if r, err := s.Log(t.Context(), person.ID, []store.Sample{storetest.Taken(site.ID, person.ID, n+1)}); err != nil || !r[0].Kept {
			t.Fatal(r, err)
		}
	}
	if err := s.Set(t.Context(), person.ID, "units", "si"); err != nil {
		t.Fatal(err)
	}
	return s
}
