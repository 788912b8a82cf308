package storetest

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"testing"
	"time"

	"rinsewright/internal/store"
)

func onlyOneFirst(t *testing.T, p place) {
	here, there := p.open(t), p.open(t)
	var wait sync.WaitGroup
	won := make(chan store.Person, 40)
	for i := range 40 {
		s := []*store.Store{here, there}[i%2]
		wait.Go(func() {
			person, err := s.AddFirst(t.Context(), store.Person{Login: fmt.Sprintf("p%d", i), Name: "P", Password: "hashed"})
			if err == nil {
				won <- person
			} else if !errors.Is(err, store.ErrTaken) {
				t.Error(err)
			}
		})
	}
	wait.Wait()
	people := must[[]store.Person](t)(here.People(t.Context()))
	if len(won) != 1 || len(people) != 1 {
		t.Fatalf("%d of 40 were first, %d are there", len(won), len(people))
	}
	if first := <-won; people[0] != first || first.Role != store.Owner {
		t.Errorf("first is %+v, kept is %+v", first, people[0])
	}
}

func lastOwnerStays(t *testing.T, p place) {
	s := p.open(t)
	owner := must[store.Person](t)(s.AddFirst(t.Context(), store.Person{Login: "Kit", Name: "Kit", Password: "a"}))
	if _, err := s.AddPerson(t.Context(), owner.ID, store.Person{Login: " KIT ", Name: "Other", Role: store.Tech, Password: "b"}); !errors.Is(err, store.ErrTaken) {
		t.Errorf("the same login in capitals: %v", err)
	}
	demoted := owner
	demoted.Role = store.Tech
	if err := s.ChangePerson(t.Context(), owner.ID, demoted); !errors.Is(err, store.ErrConflict) {
		t.Errorf("the last owner made a tech: %v", err)
	}
	if got := must[store.Person](t)(s.PersonByLogin(t.Context(), "kit ")); got.Role != store.Owner || got.Password != "a" {
		t.Errorf("the owner is now %+v", got)
	}
	second := must[store.Person](t)(s.AddPerson(t.Context(), owner.ID, store.Person{Login: "jo", Name: "Jo", Role: store.Owner, Password: "c"}))
	demoted.Password = "new"
	if err := s.ChangePerson(t.Context(), second.ID, demoted); err != nil {
		t.Fatal(err)
	}
	if got := must[store.Person](t)(s.PersonByLogin(t.Context(), "kit")); got.Role != store.Tech || got.Password != "new" {
		t.Errorf("after the change: %+v", got)
	}
	if err := s.ChangePerson(t.Context(), second.ID, store.Person{ID: "nobody"}); !errors.Is(err, store.ErrNone) {
		t.Errorf("somebody who is not there: %v", err)
	}
}

func sessionEnds(t *testing.T, p place) {
	s := p.open(t)
	owner := must[store.Person](t)(s.AddFirst(t.Context(), store.Person{Login: "kit", Name: "Kit", Password: "a"}))
	tech := must[store.Person](t)(s.AddPerson(t.Context(), owner.ID, store.Person{Login: "jo", Name: "Jo", Role: store.Tech, Password: "a"}))
	begin := func(token, person string, quiet time.Duration) {
		t.Helper()
		if err := s.BeginSession(t.Context(), token, person, time.Now().Add(-quiet)); err != nil {
			t.Fatal(err)
		}
	}
	begin("t1", owner.ID, time.Hour)
	begin("t2", tech.ID, time.Hour)
	begin("t3", tech.ID, time.Hour)
	if got := must[store.Session](t)(s.Session(t.Context(), "t2")); got.Person != tech {
		t.Errorf("session of %+v", got.Person)
	}
	if err := s.SeenSession(t.Context(), "t2"); err != nil {
		t.Fatal(err)
	}
	if err := s.EndSession(t.Context(), "t3"); err != nil {
		t.Fatal(err)
	}
	tech.Gone, tech.Password = true, ""
	if err := s.ChangePerson(t.Context(), owner.ID, tech); err != nil {
		t.Fatal(err)
	}
	begin("t4", owner.ID, -time.Hour) // everything until now is too quiet
	for token, there := range map[string]bool{"t1": false, "t2": false, "t3": false, "t4": true, "": false} {
		if _, err := s.Session(t.Context(), token); there != (err == nil) || !there && !errors.Is(err, store.ErrNone) {
			t.Errorf("session %q: %v", token, err)
		}
	}
	if _, err := s.PersonByLogin(t.Context(), "jo"); !errors.Is(err, store.ErrNone) {
		t.Errorf("somebody who is gone may sign in: %v", err)
	}
}

func everyChangeAudited(t *testing.T, p place) {
	s := p.open(t)
	owner := must[store.Person](t)(s.AddFirst(t.Context(), store.Person{Login: "kit", Name: "Kit", Password: "secret-hash"}))
	site := must[store.Site](t)(s.AddSite(t.Context(), owner.ID, File("x"), true))
	must[store.Site](t)(s.SaveSite(t.Context(), owner.ID, site.ID, 1, File("y")))
	must[[]store.Receipt](t)(s.Log(t.Context(), owner.ID, []store.Sample{Taken(site.ID, phone, 1)}))
	must[int64](t)(s.ClearPractice(t.Context(), owner.ID))
	if err := errors.Join(s.Set(t.Context(), owner.ID, "units", "si"), s.BeginSession(t.Context(), "tok", owner.ID, time.Time{})); err != nil {
		t.Fatal(err)
	}
	want := []string{"person.added", "site.added", "site.saved", "sample.logged", "practice.cleared", "setting.set", "person.signed-in"}
	entries := must[[]store.Entry](t)(s.Audit(t.Context(), 0, 100))
	if len(entries) != len(want) {
		t.Fatalf("%d entries, want %d", len(entries), len(want))
	}
	for i, e := range entries {
		if e.What != want[i] || e.Person != owner.ID || e.Seq != int64(i+1) {
			t.Errorf("entry %d is %+v, want %s", i+1, e, want[i])
		}
		if e.Detail == "secret-hash" || e.Detail == "tok" {
			t.Errorf("entry %d tells a secret", i+1)
		}
	}
	cancelled, stop := context.WithCancel(t.Context())
	stop()
	if err := s.Set(cancelled, owner.ID, "units", "us"); !errors.Is(err, context.Canceled) {
		t.Errorf("a change nobody waits for: %v", err)
	}
	if err := s.CheckAudit(t.Context()); err != nil {
		t.Error(err)
	}
}

// tamperingFound changes the audit behind the store's back in every way and
// puts it right again; the control is that the untouched chain is sound.
func tamperingFound(t *testing.T, p place) {
	s := p.open(t)
	for i := range 12 {
		if err := s.Set(t.Context(), by, "n", fmt.Sprint(i)); err != nil {
			t.Fatal(err)
		}
	}
	sound := func() error { return s.CheckAudit(t.Context()) }
	if err := sound(); err != nil {
		t.Fatal(err)
	}
	for _, change := range [][2]string{
		{`UPDATE audit SET detail = 'x' WHERE seq = 5`, `UPDATE audit SET detail = '4' WHERE seq = 5`},
		{`UPDATE audit SET what = 'x' WHERE seq = 5`, `UPDATE audit SET what = 'setting.set' WHERE seq = 5`},
		{`UPDATE audit SET at_ms = at_ms + 1 WHERE seq = 1`, `UPDATE audit SET at_ms = at_ms - 1 WHERE seq = 1`},
		{`UPDATE audit SET person_id = '' WHERE seq = 12`, `UPDATE audit SET person_id = '` + by + `' WHERE seq = 12`},
		{`UPDATE audit SET about = 'nn' WHERE seq = 2`, `UPDATE audit SET about = 'n' WHERE seq = 2`},
		{`UPDATE audit SET seq = 99 WHERE seq = 6`, `UPDATE audit SET seq = 6 WHERE seq = 99`},
		{`UPDATE audit SET seq = 99 WHERE seq = 12`, `UPDATE audit SET seq = 12 WHERE seq = 99`},
		{`UPDATE audit SET tenant_id = 'x' WHERE seq = 12`, `UPDATE audit SET tenant_id = 'own' WHERE seq = 12`},
		{`UPDATE audit_head SET seq = 13`, `UPDATE audit_head SET seq = 12`},
	} {
		p.raw(t, change[0])
		if err := sound(); !errors.Is(err, store.ErrAudit) {
			t.Errorf("after %s: %v", change[0], err)
		}
		p.raw(t, change[1])
		if err := sound(); err != nil {
			t.Fatalf("put right by %s: %v", change[1], err)
		}
	}
	p.raw(t, `DELETE FROM audit WHERE seq = 12`)
	if err := sound(); !errors.Is(err, store.ErrAudit) {
		t.Errorf("the last entry taken away: %v", err)
	}
}

func twoPrograms(t *testing.T, p place) {
	here, there := p.open(t), p.open(t)
	var wait sync.WaitGroup
	for i := range 60 {
		s := []*store.Store{here, there}[i%2]
		wait.Go(func() {
			if err := s.Set(t.Context(), by, fmt.Sprintf("n%d", i), "x"); err != nil {
				t.Error(err)
			}
		})
	}
	wait.Wait()
	if err := there.CheckAudit(t.Context()); err != nil {
		t.Error(err)
	}
	if entries := must[[]store.Entry](t)(here.Audit(t.Context(), 0, 100)); len(entries) != 60 {
		t.Errorf("%d entries, want 60", len(entries))
	}
}

func peopleRead(t *testing.T, p place) {
	s := p.open(t)
	kit := must[store.Person](t)(s.AddFirst(t.Context(), store.Person{Login: "kit", Name: "Kit", Password: "x"}))
	if kit.Units != "" || kit.Decimal != "" {
		t.Errorf("begins with %+v", kit)
	}
	if err := s.Reads(t.Context(), kit.ID, "si", "comma", "es"); err != nil {
		t.Fatal(err)
	}
	if err := s.BeginSession(t.Context(), "hash", kit.ID, time.Time{}); err != nil {
		t.Fatal(err)
	}
	if got := must[store.Session](t)(s.Session(t.Context(), "hash")).Person; got.Units != "si" || got.Decimal != "comma" || got.Language != "es" {
		t.Errorf("signed in as %+v", got)
	}
	if err := s.Reads(t.Context(), store.NewID(time.Now()), "si", "", ""); !errors.Is(err, store.ErrNone) {
		t.Errorf("somebody who is not there: %v", err)
	}
}
