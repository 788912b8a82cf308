package storetest

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"rinsewright/internal/store"
)

// Suite is the claims that hold for every database. Fresh gives the address
// of an empty one, Driver the name under which database/sql knows it.
type Suite struct {
	Fresh  func(t testing.TB) string
	Driver string
	Raw    func(address string) string // what the driver wants instead of the address
	Often  func(short, long int) int   // how often a claim is tried; nil for short
}

func (s Suite) often(short, long int) int {
	if s.Often == nil {
		return short
	}
	return s.Often(short, long)
}

// Run runs them all.
func (s Suite) Run(t *testing.T) {
	for name, claim := range map[string]func(*testing.T, place){
		"a site file comes back to the letter":           siteComesBack,
		"a change from an old state is refused":          oldStateIsRefused,
		"a file that is no site is refused":              badFileIsRefused,
		"the list shows who needs a person first":        listInOrder,
		"practice sites are cleared and nothing else":    practiceCleared,
		"a sample is kept once however often it is sent": sampleKeptOnce,
		"a sample with other content is a conflict":      otherContentIsConflict,
		"a device's number is used once":                 deviceNumberOnce,
		"numbers and words come back as typed":           asTyped,
		"what is no sample is refused":                   unsoundRefused,
		"one bad change does not harm its neighbours":    badNeighbour,
		"only one can be first":                          onlyOneFirst,
		"the last owner stays":                           lastOwnerStays,
		"a session ends with its person":                 sessionEnds,
		"prices keep their day":                          pricesWithTheirDay,
		"photos are kept once":                           photosKeptOnce,
		"an issued paper stays as it is":                 issuedStays,
		"two versions are both kept":                     bothVersionsKept,
		"two values of one field are both kept":          bothFieldsKept,
		"the last sizing is kept":                        lastSizingKept,
		"a token lasts until it is ended":                tokensEnd,
		"a code is taken once":                           codesAreTakenOnce,
		"an invitation opens once":                       invitationsOpenOnce,
		"a passkey belongs to one person":                passkeysBelongToOne,
		"what was asked half-way ends":                   halfWaysEnd,
		"an answer is given once for a key":              answersKept,
		"pages of sites and samples hold each once":      pagesHoldEachOnce,
		"a forecast grows old":                           forecastsGrowOld,
		"the list heeds what is foreseen":                listByForecast,
		"days of trips that were told":                   tripsTold,
		"work is claimed by one and given anew":          claimsEnd,
		"what others stood in the way of is tried again": triedAgain,
		"forecasts are shared by workers":                forecastsShared,
		"settings":                                       settings,
		"people read as they like":                       peopleRead,
		"every change is in the audit":                   everyChangeAudited,
		"a change of the audit from outside is found":    tamperingFound,
		"any change of the audit from outside is found":  anyTamperingFound,
		"two programs write one chain":                   twoPrograms,
		"data of a newer program is left alone":          newerLeftAlone,
		"a closed store refuses and loses nothing":       closedRefuses,
		"text that cannot be kept is refused":            badText,
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			claim(t, place{s, s.Fresh(t)})
		})
	}
}

// place is one database under test.
type place struct {
	suite   Suite
	address string
}

func (p place) open(t testing.TB) *store.Store {
	t.Helper()
	s, err := store.Open(context.Background(), p.address, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Errorf("close: %v", err)
		}
	})
	return s
}

// raw runs a statement behind the store's back.
func (p place) raw(t testing.TB, statement string, args ...any) {
	t.Helper()
	address := p.address
	if p.suite.Raw != nil {
		address = p.suite.Raw(address)
	}
	db, err := sql.Open(p.suite.Driver, address)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec(statement, args...); err != nil {
		t.Fatalf("%s: %v", statement, err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
}

func must[T any](t testing.TB) func(T, error) T {
	return func(x T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
}

// File is the smallest site file with a name.
func File(name string) string {
	return "rinsewright = 1\n\n[site] # invented\nname = " + fmt.Sprintf("%q", name) + "\n"
}

const by = "0192f0c1-2345-7abc-8def-0123456789ab" // invented

// Taken makes a sound sample of a site, the nth of its device.
func Taken(site, device string, n int64) store.Sample {
	at := time.Date(2026, 6, 13, 9, 30, 0, 0, time.UTC).Add(time.Duration(n) * time.Minute)
	return store.Sample{
		ID: store.NewID(at), Site: site, Place: "permeate", Taken: at, OffsetMinutes: -240, Device: device, DeviceSeq: n, Program: "test",
		Readings: []store.Reading{{Name: "strength", Typed: "9 ppm", SI: 0.009, Unit: "kg/m3"}},
	}
}

func siteComesBack(t *testing.T, p place) {
	s := p.open(t)
	file := File("Gull Point") + "about = \"Größe, 水, 🚤 and a \\\"quote\\\"\"\n# a remark of mine\n"
	added := must[store.Site](t)(s.AddSite(t.Context(), by, file, false))
	got := must[store.Site](t)(s.Site(t.Context(), added.ID))
	if got.File != file || got.Hash != store.Hash(file) || got.Name != "Gull Point" || got.Rev != 1 {
		t.Errorf("came back as %+v", got)
	}
	if !got.Changed.Equal(added.Changed) {
		t.Errorf("changed %v, was answered as %v", got.Changed, added.Changed)
	}
	if _, err := s.Site(t.Context(), store.NewID(time.Now())); !errors.Is(err, store.ErrNone) {
		t.Errorf("a site that is not there: %v", err)
	}
}

func oldStateIsRefused(t *testing.T, p place) {
	s := p.open(t)
	added := must[store.Site](t)(s.AddSite(t.Context(), by, File("One"), false))
	second := must[store.Site](t)(s.SaveSite(t.Context(), by, added.ID, 1, File("Two")))
	if second.Rev != 2 || second.Name != "Two" {
		t.Fatalf("saved as %+v", second)
	}
	if _, err := s.SaveSite(t.Context(), by, added.ID, 1, File("Three")); !errors.Is(err, store.ErrConflict) {
		t.Errorf("a change from revision 1 after revision 2: %v", err)
	}
	if again := must[store.Site](t)(s.SaveSite(t.Context(), by, added.ID, 1, File("Two"))); again.Rev != 2 {
		t.Errorf("the same text sent twice is revision %d", again.Rev)
	}
	if was := must[string](t)(s.Revision(t.Context(), added.ID, 1)); was != File("One") {
		t.Errorf("revision 1 is %q", was)
	}
	var wait sync.WaitGroup
	won := make(chan string, 20)
	for i := range 20 {
		wait.Go(func() {
			file := File(fmt.Sprintf("Racer %d", i))
			if _, err := s.SaveSite(t.Context(), by, added.ID, 2, file); err == nil {
				won <- file
			} else if !errors.Is(err, store.ErrConflict) {
				t.Errorf("racer %d: %v", i, err)
			}
		})
	}
	wait.Wait()
	if len(won) != 1 {
		t.Fatalf("%d of 20 changes from one state were kept, want 1", len(won))
	}
	if now := must[store.Site](t)(s.Site(t.Context(), added.ID)); now.File != <-won || now.Rev != 3 {
		t.Errorf("what stands is %+v", now)
	}
}

func badFileIsRefused(t *testing.T, p place) {
	s := p.open(t)
	for _, file := range []string{"", "name = 3", File("x") + "colour = \"red\"\n", File("")} {
		if _, err := s.AddSite(t.Context(), by, file, false); err == nil {
			t.Errorf("kept %q", file)
		}
	}
	if entries := must[[]store.Entry](t)(s.Audit(t.Context(), 0, 10)); len(entries) != 0 {
		t.Errorf("refused files left %d entries in the audit", len(entries))
	}
}

func listInOrder(t *testing.T, p place) {
	s := p.open(t)
	want := []string{"Älv", "Wet 100% bay", "apple", "Banana", "Cherry", "zebra"}
	urgency := map[string]store.Urgency{"Älv": store.Today, "Wet 100% bay": store.Due, "apple": store.Fine, "Banana": store.Fine, "Cherry": store.Fine, "zebra": store.Fine}
	for _, name := range []string{"zebra", "Cherry", "Banana", "apple", "Wet 100% bay", "Älv"} {
		site := must[store.Site](t)(s.AddSite(t.Context(), by, File(name), false))
		if err := s.KeepGlance(t.Context(), site.ID, site.Hash, "us", "v1", urgency[name], `{"says":"x"}`); err != nil {
			t.Fatal(err)
		}
	}
	list, total, err := s.Sites(t.Context(), "", 0, 10)
	if err != nil || total != 6 {
		t.Fatalf("%d sites, %v", total, err)
	}
	for i, row := range list {
		if row.Name != want[i] {
			t.Errorf("row %d is %q, want %q", i+1, row.Name, want[i])
		}
	}
	for typed, want := range map[string]int{"AN": 1, "%": 1, "0%": 1, "_": 0, "!": 0, "\\": 0, "älv": 1, " bay ": 1, "'": 0, "": 6, "\x00": 6, "\xff": 6} {
		if list, total, err := s.Sites(t.Context(), typed, 0, 10); err != nil || len(list) != want || total != int64(want) {
			t.Errorf("typed %q: %d of %d sites, want %d (%v)", typed, len(list), total, want, err)
		}
	}
	if list, total, err := s.Sites(t.Context(), "", 4, 10); err != nil || len(list) != 2 || total != 6 {
		t.Errorf("after four: %d of %d (%v)", len(list), total, err)
	}
	site := must[store.Site](t)(s.AddSite(t.Context(), by, File("new"), false))
	if stale := must[[]store.Row](t)(s.Stale(t.Context(), "us", "v1", 10)); len(stale) != 1 || stale[0].ID != site.ID {
		t.Errorf("to be looked at: %+v", stale)
	}
	if err := s.KeepGlance(t.Context(), site.ID, "hash of an older text", "us", "v1", store.Fine, "{}"); err != nil {
		t.Fatal(err)
	}
	if stale := must[[]store.Row](t)(s.Stale(t.Context(), "us", "v1", 10)); len(stale) != 1 {
		t.Error("a glance at an older text was kept")
	}
	for reader, program := range map[string]string{"si": "v1", "us": "v2"} {
		if stale := must[[]store.Row](t)(s.Stale(t.Context(), reader, program, 10)); len(stale) != 7 || stale[0].Current(program) && reader == "us" {
			t.Errorf("%d sites to be looked at for %s by %s, want all 7", len(stale), reader, program)
		}
	}
	for reader, want := range map[string]string{"us": `{"says":"x"}`, "si": "", "": ""} {
		list, _, err := s.SitesFor(t.Context(), reader, "Cherry", 0, 1)
		if err != nil || len(list) != 1 || list[0].Glance != want || list[0].Current("v1") != (want != "") {
			t.Errorf("for reader %q: %+v, %v", reader, list, err)
		}
	}
}

func practiceCleared(t *testing.T, p place) {
	s := p.open(t)
	must[store.Site](t)(s.AddSite(t.Context(), by, File("practice"), true))
	mine := must[store.Site](t)(s.AddSite(t.Context(), by, File("mine"), false))
	if n := must[int64](t)(s.ClearPractice(t.Context(), by)); n != 1 {
		t.Errorf("%d practice sites cleared, want 1", n)
	}
	if list, _, err := s.Sites(t.Context(), "", 0, 10); err != nil || len(list) != 1 || list[0].ID != mine.ID {
		t.Errorf("left: %+v (%v)", list, err)
	}
	if err := s.RemoveSite(t.Context(), by, mine.ID); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Site(t.Context(), mine.ID); !errors.Is(err, store.ErrNone) {
		t.Errorf("a removed site: %v", err)
	}
	if err := s.RemoveSite(t.Context(), by, mine.ID); !errors.Is(err, store.ErrNone) {
		t.Errorf("removed twice: %v", err)
	}
}

func badNeighbour(t *testing.T, p place) {
	s := p.open(t)
	var wait sync.WaitGroup
	broken := errors.New("broken")
	for i := range 60 {
		wait.Go(func() {
			if i%3 != 0 {
				if err := s.Set(t.Context(), by, fmt.Sprintf("name%02d", i), "kept"); err != nil {
					t.Errorf("good change %d: %v", i, err)
				}
				return
			}
			err := s.Change(t.Context(), func(tx *store.Tx) error {
				if err := tx.Exec(`INSERT INTO settings (tenant_id, name, value) VALUES ('own', $1, 'kept')`, fmt.Sprintf("name%02d", i)); err != nil {
					return err
				}
				if i%2 == 0 {
					return broken
				}
				return tx.Exec(`INSERT INTO nowhere (x) VALUES (1)`)
			})
			if err == nil {
				t.Errorf("bad change %d was answered as kept", i)
			}
		})
	}
	wait.Wait()
	for i := range 60 {
		got := must[string](t)(s.Setting(t.Context(), fmt.Sprintf("name%02d", i), "not kept"))
		if want := map[bool]string{true: "not kept", false: "kept"}[i%3 == 0]; got != want {
			t.Errorf("change %d: %s, want %s", i, got, want)
		}
	}
	if entries := must[[]store.Entry](t)(s.Audit(t.Context(), 0, 100)); len(entries) != 40 {
		t.Errorf("%d entries in the audit, want 40", len(entries))
	}
	if err := s.CheckAudit(t.Context()); err != nil {
		t.Error(err)
	}
}

func settings(t *testing.T, p place) {
	s := p.open(t)
	if got := must[string](t)(s.Setting(t.Context(), "units", "us")); got != "us" {
		t.Errorf("a setting nobody set is %q", got)
	}
	for _, value := range []string{"si", "us", strings.Repeat("x", 4000)} {
		if err := s.Set(t.Context(), by, "units", value); err != nil {
			t.Fatal(err)
		}
		if got := must[string](t)(s.Setting(t.Context(), "units", "")); got != value {
			t.Errorf("came back as %q", got)
		}
	}
}

func closedRefuses(t *testing.T, p place) {
	s, err := store.Open(t.Context(), p.address, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var wait sync.WaitGroup
	var mu sync.Mutex
	kept := map[string]bool{}
	for i := range 200 {
		wait.Go(func() {
			name := fmt.Sprintf("n%03d", i)
			switch err := s.Set(context.Background(), by, name, "kept"); {
			case err == nil:
				mu.Lock()
				kept[name] = true
				mu.Unlock()
			case !errors.Is(err, store.ErrClosed):
				t.Errorf("%s: %v", name, err)
			}
		})
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	wait.Wait()
	again := p.open(t)
	for i := range 200 {
		name := fmt.Sprintf("n%03d", i)
		if there := must[string](t)(again.Setting(t.Context(), name, "")) == "kept"; there != kept[name] {
			t.Errorf("%s: there %v, answered as kept %v", name, there, kept[name])
		}
	}
}

func badText(t *testing.T, p place) {
	s := p.open(t)
	for _, text := range []string{"a\x00b", "a\xffb", "a\x1bb"} {
		if err := s.Set(t.Context(), by, "words", text); !errors.Is(err, store.ErrText) {
			t.Errorf("%q: %v", text, err)
		}
		if _, err := s.AddSite(t.Context(), by, File("x")+"# "+text+"\n", false); !errors.Is(err, store.ErrText) {
			t.Errorf("a file with %q: %v", text, err)
		}
	}
}

func newerLeftAlone(t *testing.T, p place) {
	s, err := store.Open(t.Context(), p.address, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	p.raw(t, `INSERT INTO goose_db_version (version_id, is_applied) VALUES (99999, '1')`)
	if s, err := store.Open(t.Context(), p.address, store.Options{}); !errors.Is(err, store.ErrNewer) {
		t.Errorf("opened with %v", err)
		if err == nil {
			_ = s.Close()
		}
	}
}
