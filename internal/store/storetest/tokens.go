package storetest

import (
	"errors"
	"fmt"
	"slices"
	"testing"
	"time"

	"rinsewright/internal/store"
)

func tokensEnd(t *testing.T, p place) {
	s := p.open(t)
	kit := must[store.Person](t)(s.AddFirst(t.Context(), store.Person{Login: "kit", Name: "Kit", Password: "x"}))
	toni := must[store.Person](t)(s.AddPerson(t.Context(), kit.ID, store.Person{Login: "toni", Name: "Toni", Role: store.Owner, Password: "x"}))
	until := time.Now().Add(time.Hour).Truncate(time.Millisecond)
	made := must[store.Token](t)(s.AddToken(t.Context(), toni.ID, store.Token{Hash: "h", Name: "gauge in the shed", Scopes: []store.Scope{store.ReadScope, store.LogScope}, Expires: until}))
	got, who, err := s.TokenByHash(t.Context(), "h")
	if err != nil || got.ID != made.ID || !got.Expires.Equal(until) || who.Login != "toni" || !got.May(store.LogScope) || got.May(store.OwnScope) || !got.Used.IsZero() {
		t.Errorf("found %+v of %+v, %v", got, who, err)
	}
	if err := s.UsedToken(t.Context(), made.ID); err != nil {
		t.Fatal(err)
	}
	if got, _, _ := s.TokenByHash(t.Context(), "h"); got.Used.IsZero() {
		t.Error("nobody knows that it was used")
	}
	if _, _, err := s.TokenByHash(t.Context(), "another"); !errors.Is(err, store.ErrNone) {
		t.Errorf("another: %v", err)
	}
	toni.Gone = true
	if err := s.ChangePerson(t.Context(), kit.ID, toni); err != nil {
		t.Fatal(err)
	}
	if _, _, err := s.TokenByHash(t.Context(), "h"); !errors.Is(err, store.ErrNone) {
		t.Errorf("its person is gone: %v", err)
	}
	mine := must[store.Token](t)(s.AddToken(t.Context(), kit.ID, store.Token{Hash: "i", Name: "mine", Scopes: []store.Scope{store.OwnScope}, Expires: until}))
	if err := s.EndToken(t.Context(), kit.ID, mine.ID); err != nil {
		t.Fatal(err)
	}
	if _, _, err := s.TokenByHash(t.Context(), "i"); !errors.Is(err, store.ErrNone) {
		t.Errorf("it was ended: %v", err)
	}
	if err := s.EndToken(t.Context(), kit.ID, mine.ID); !errors.Is(err, store.ErrNone) {
		t.Errorf("ended twice: %v", err)
	}
	if all := must[[]store.Token](t)(s.Tokens(t.Context())); len(all) != 2 || !all[0].Gone || all[1].Gone {
		t.Errorf("listed %+v", all)
	}
}

func answersKept(t *testing.T, p place) {
	now := time.Date(2026, 6, 1, 8, 0, 0, 0, time.UTC)
	s, err := store.Open(t.Context(), p.address, store.Options{Now: func() time.Time { return now }})
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = s.Close() }()
	wanted := store.KeptAnswer{Token: "t", Key: "k", Request: "r"}
	begin := func() (store.KeptAnswer, bool) {
		t.Helper()
		a, first, err := s.BeginAnswer(t.Context(), wanted)
		if err != nil {
			t.Fatal(err)
		}
		return a, first
	}
	if _, first := begin(); !first {
		t.Error("the first is not the first")
	}
	if a, first := begin(); first || a.Status != 0 {
		t.Errorf("while it is under way: %v, %+v", first, a)
	}
	now = now.Add(3 * time.Minute)
	if _, first := begin(); !first {
		t.Error("a claim whose program was lost is never given back")
	}
	done := wanted
	done.Status, done.Headers, done.Body = 201, "{}", "kept"
	if err := s.KeepAnswer(t.Context(), done); err != nil {
		t.Fatal(err)
	}
	now = now.Add(time.Hour)
	if a, first := begin(); first || a.Status != 201 || a.Body != "kept" || a.Request != "r" {
		t.Errorf("an hour later: %v, %+v", first, a)
	}
	now = now.Add(store.AnswersLast)
	if _, first := begin(); !first {
		t.Error("it is kept for ever")
	}
	if err := s.KeepAnswer(t.Context(), wanted); err != nil { // given back
		t.Fatal(err)
	}
	if _, first := begin(); !first {
		t.Error("a claim given back cannot be taken")
	}
}

func pagesHoldEachOnce(t *testing.T, p place) {
	s := p.open(t)
	var ids, read []string
	for i := range 7 {
		ids = append(ids, must[store.Site](t)(s.AddSite(t.Context(), by, fmt.Sprintf("rinsewright = 1\n[site]\nname = \"Dock %d\" # invented\n", i), false)).ID)
	}
	for after := ""; ; after = read[len(read)-1] {
		page := must[[]store.Site](t)(s.SitesAfter(t.Context(), after, 3))
		if len(page) == 0 {
			break
		}
		for _, x := range page {
			read = append(read, x.ID)
		}
	}
	slices.Sort(ids)
	if !slices.Equal(ids, read) {
		t.Errorf("sites %v, read %v", ids, read)
	}
	device := store.NewID(time.Now())
	taken := map[string]bool{}
	for n := range int64(7) {
		x := Taken(ids[0], device, n+1)
		x.Taken = x.Taken.Truncate(time.Hour) // several at one time
		taken[x.ID] = true
		if receipts := must[[]store.Receipt](t)(s.Log(t.Context(), by, []store.Sample{x})); !receipts[0].Kept {
			t.Fatal(receipts)
		}
	}
	last := store.Sample{}
	for {
		page := must[[]store.Sample](t)(s.SamplesBefore(t.Context(), ids[0], last.Taken, last.ID, 2))
		if len(page) == 0 {
			break
		}
		for _, x := range page {
			if !taken[x.ID] || len(x.Readings) == 0 {
				t.Errorf("sample %s twice, or without its readings", x.ID)
			}
			delete(taken, x.ID)
		}
		last = page[len(page)-1]
	}
	if len(taken) > 0 {
		t.Errorf("not read: %v", taken)
	}
}
