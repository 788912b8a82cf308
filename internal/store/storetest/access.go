package storetest

import (
	"errors"
	"testing"
	"time"

	"rinsewright/internal/store"
)

func codesAreTakenOnce(t *testing.T, p place) {
	s := p.open(t)
	kit := must[store.Person](t)(s.AddFirst(t.Context(), store.Person{Login: "kit", Name: "Kit", Password: "x"}))
	if x := must[store.SecondStep](t)(s.SecondStep(t.Context(), kit.ID)); x != (store.SecondStep{}) {
		t.Errorf("before any was offered: %+v", x)
	}
	for _, secret := range []string{"first", "second"} {
		if err := s.OfferSecondStep(t.Context(), kit.ID, secret); err != nil {
			t.Fatal(err)
		}
	}
	if x := must[store.SecondStep](t)(s.SecondStep(t.Context(), kit.ID)); x.Secret != "second" || x.On {
		t.Errorf("offered twice: %+v", x)
	}
	for _, hash := range []string{"here", "elsewhere"} {
		if err := s.BeginSession(t.Context(), hash, kit.ID, time.Time{}); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.ConfirmSecondStep(t.Context(), kit.ID, 100, []string{"a", "b"}, "here"); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Session(t.Context(), "here"); err != nil {
		t.Errorf("who turned it on was signed out: %v", err)
	}
	if _, err := s.Session(t.Context(), "elsewhere"); !errors.Is(err, store.ErrNone) {
		t.Errorf("a session without the step lives on: %v", err)
	}
	if err := s.OfferSecondStep(t.Context(), kit.ID, "third"); !errors.Is(err, store.ErrConflict) {
		t.Errorf("a secret in use is replaced: %v", err)
	}
	for _, x := range []struct {
		span int64
		want error
	}{{100, store.ErrTaken}, {101, nil}, {101, store.ErrTaken}, {99, store.ErrTaken}} {
		if err := s.TakeSpan(t.Context(), kit.ID, x.span); !errors.Is(err, x.want) {
			t.Errorf("span %d: %v, want %v", x.span, err, x.want)
		}
	}
	for _, x := range []struct {
		hash string
		want error
	}{{"a", nil}, {"a", store.ErrTaken}, {"c", store.ErrTaken}} {
		if err := s.TakeSpare(t.Context(), kit.ID, x.hash); !errors.Is(err, x.want) {
			t.Errorf("spare code %s: %v, want %v", x.hash, err, x.want)
		}
	}
	if x := must[store.SecondStep](t)(s.SecondStep(t.Context(), kit.ID)); !x.On || x.Spares != 1 {
		t.Errorf("after all that: %+v", x)
	}
	if err := s.EndSecondStep(t.Context(), kit.ID, kit.ID); err != nil {
		t.Fatal(err)
	}
	if x := must[store.SecondStep](t)(s.SecondStep(t.Context(), kit.ID)); x != (store.SecondStep{}) {
		t.Errorf("turned off: %+v", x)
	}
}

func invitationsOpenOnce(t *testing.T, p place) {
	s := p.open(t)
	kit := must[store.Person](t)(s.AddFirst(t.Context(), store.Person{Login: "kit", Name: "Kit", Password: "x"}))
	toni := must[store.Person](t)(s.AddPerson(t.Context(), kit.ID, store.Person{Login: "toni", Name: "Toni", Role: store.Tech}))
	soon, past := time.Now().Add(time.Hour), time.Now().Add(-time.Hour)
	for _, x := range []struct {
		hash string
		ends time.Time
	}{{"replaced", soon}, {"over", past}} {
		if err := s.Invite(t.Context(), kit.ID, toni.ID, x.hash, x.ends); err != nil {
			t.Fatal(err)
		}
	}
	for _, hash := range []string{"replaced", "over", "guessed"} {
		if _, err := s.Welcome(t.Context(), hash, "y"); !errors.Is(err, store.ErrNone) {
			t.Errorf("link %s opens: %v", hash, err)
		}
	}
	if err := s.Invite(t.Context(), kit.ID, toni.ID, "good", soon); err != nil {
		t.Fatal(err)
	}
	if err := s.BeginSession(t.Context(), "old", toni.ID, time.Time{}); err != nil {
		t.Fatal(err)
	}
	if who, err := s.Welcome(t.Context(), "good", "y"); err != nil || who.ID != toni.ID {
		t.Errorf("welcomed %+v, %v", who, err)
	}
	if _, err := s.Session(t.Context(), "old"); !errors.Is(err, store.ErrNone) {
		t.Errorf("a session from before the new password lives on: %v", err)
	}
	if who := must[store.Person](t)(s.PersonByID(t.Context(), toni.ID)); who.Password != "y" {
		t.Errorf("the password is %q", who.Password)
	}
	if _, err := s.Welcome(t.Context(), "good", "z"); !errors.Is(err, store.ErrNone) {
		t.Errorf("a link opens twice: %v", err)
	}
}

func passkeysBelongToOne(t *testing.T, p place) {
	s := p.open(t)
	kit := must[store.Person](t)(s.AddFirst(t.Context(), store.Person{Login: "kit", Name: "Kit", Password: "x"}))
	key := store.Passkey{ID: "AAEC", Person: kit.ID, Name: "phone in the van", Host: "localhost", Record: "{}"}
	if err := s.AddPasskey(t.Context(), key); err != nil {
		t.Fatal(err)
	}
	key.Person = "another"
	if err := s.AddPasskey(t.Context(), key); !errors.Is(err, store.ErrTaken) {
		t.Errorf("one device for two people: %v", err)
	}
	if err := s.UsedPasskey(t.Context(), "AAEC", `{"n":1}`); err != nil {
		t.Fatal(err)
	}
	if all := must[[]store.Passkey](t)(s.Passkeys(t.Context(), kit.ID)); len(all) != 1 || all[0].Record != `{"n":1}` || all[0].Used.IsZero() || all[0].Name != "phone in the van" {
		t.Errorf("kept %+v", all)
	}
	if err := s.EndPasskey(t.Context(), "another", "AAEC"); !errors.Is(err, store.ErrNone) {
		t.Errorf("somebody else's is taken away: %v", err)
	}
	if err := s.EndPasskey(t.Context(), kit.ID, "AAEC"); err != nil {
		t.Fatal(err)
	}
	if all := must[[]store.Passkey](t)(s.Passkeys(t.Context(), kit.ID)); len(all) != 0 {
		t.Errorf("ended, and yet %+v", all)
	}
}

func halfWaysEnd(t *testing.T, p place) {
	s := p.open(t)
	for _, h := range []store.HalfWay{
		{Hash: "past", Kind: "code", Person: "kit", Ends: time.Now().Add(-time.Second)},
		{Hash: "now", Kind: "code", Person: "kit", Data: "{}", Ends: time.Now().Add(time.Minute)},
	} {
		if err := s.AddHalfWay(t.Context(), h); err != nil {
			t.Fatal(err)
		}
	}
	for _, x := range []struct{ kind, hash string }{{"code", "past"}, {"key", "now"}, {"code", "other"}} {
		if _, err := s.HalfWay(t.Context(), x.kind, x.hash); !errors.Is(err, store.ErrNone) {
			t.Errorf("%s %s: %v", x.kind, x.hash, err)
		}
	}
	if h, err := s.HalfWay(t.Context(), "code", "now"); err != nil || h.Person != "kit" || h.Data != "{}" {
		t.Errorf("got %+v, %v", h, err)
	}
	if err := s.EndHalfWay(t.Context(), "now"); err != nil {
		t.Fatal(err)
	}
	if err := s.EndHalfWay(t.Context(), "now"); !errors.Is(err, store.ErrNone) {
		t.Errorf("ended twice: %v", err)
	}
}
