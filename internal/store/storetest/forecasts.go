package storetest

import (
	"testing"
	"time"

	"rinsewright/internal/store"
)

func forecastsGrowOld(t *testing.T, p place) {
	s := p.open(t)
	site := must[store.Site](t)(s.AddSite(t.Context(), by, File("Pier"), false))
	old := func(word string) int {
		t.Helper()
		return len(must[[]store.Foretold](t)(s.OldForecasts(t.Context(), word, 10)))
	}
	keep := func(word string) {
		t.Helper()
		for _, f := range must[[]store.Foretold](t)(s.OldForecasts(t.Context(), word, 10)) {
			if err := s.KeepForecast(t.Context(), f.Of, store.Forecast{Site: f.Site, Urgency: store.Due, RunsOut: 20_000, First: "resin", Told: "{}"}); err != nil {
				t.Fatal(err)
			}
		}
	}
	if old("v1 monday") != 1 {
		t.Error("a new site has no forecast to be made")
	}
	keep("v1 monday")
	if old("v1 monday") != 0 || old("v1 tuesday") != 1 || old("v2 monday") != 1 {
		t.Error("a forecast holds for its day and its program alone")
	}
	before := must[[]store.Foretold](t)(s.OldForecasts(t.Context(), "v1 tuesday", 10))
	x := Taken(site.ID, phone, 1)
	if receipts := must[[]store.Receipt](t)(s.Log(t.Context(), by, []store.Sample{x})); !receipts[0].Kept {
		t.Fatal(receipts[0].Err)
	}
	if old("v1 monday") != 1 {
		t.Error("what is logged makes no forecast old")
	}
	// One that was begun before the reading came in is old when it is kept.
	if err := s.KeepForecast(t.Context(), before[0].Of, store.Forecast{Site: site.ID, Told: "{}"}); err != nil {
		t.Fatal(err)
	}
	if old("v1 tuesday") != 1 {
		t.Error("a forecast without the last reading is taken for a new one")
	}
	keep("v1 tuesday")
	must[store.Site](t)(s.SaveSite(t.Context(), by, site.ID, 1, File("Pier 2")))
	if told, n, err := s.Forecasts(t.Context(), "v1 tuesday"); err != nil || n != 1 || len(told) != 1 || told[0].Told != "{}" {
		t.Errorf("told %+v, %d old, %v", told, n, err)
	}
	if err := s.RemoveSite(t.Context(), by, site.ID); err != nil {
		t.Fatal(err)
	}
	if told, n, err := s.Forecasts(t.Context(), "v1 tuesday"); err != nil || n != 0 || len(told) != 0 {
		t.Errorf("of a removed site: %+v, %d old, %v", told, n, err)
	}
}

// The worse of a look and a forecast puts a site in its place, then the day.
func listByForecast(t *testing.T, p place) {
	s := p.open(t)
	for _, x := range []struct {
		name             string
		looked, foreseen store.Urgency
		day              int64
	}{
		{"fine", store.Fine, store.Fine, 30}, {"soon", store.Fine, store.Due, 20}, {"sooner", store.Due, store.Fine, 10}, {"today", store.Fine, store.Today, 5}, {"unlogged", store.Due, store.Unseen, store.NeverOut},
	} {
		site := must[store.Site](t)(s.AddSite(t.Context(), by, File(x.name), false))
		if err := s.KeepForecast(t.Context(), "of", store.Forecast{Site: site.ID, Urgency: x.foreseen, RunsOut: x.day, First: x.name}); err != nil {
			t.Fatal(err)
		}
		if err := s.KeepGlance(t.Context(), site.ID, site.Hash, "us", "v1", x.looked, "{}"); err != nil {
			t.Fatal(err)
		}
	}
	list, _, err := s.SitesFor(t.Context(), "us", "", 0, 10)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"today", "sooner", "soon", "unlogged", "fine"} {
		if list[i].Name != want || list[i].First != want {
			t.Errorf("row %d is %s (%s), want %s", i+1, list[i].Name, list[i].First, want)
		}
	}
}

func tripsTold(t *testing.T, p place) {
	s := p.open(t)
	if x := must[store.ToldTrips](t)(s.TripsTold(t.Context())); x != (store.ToldTrips{}) {
		t.Errorf("told before anybody was: %+v", x)
	}
	for _, told := range []string{"[1]", "[2]", ""} {
		if err := s.TellTrips(t.Context(), by, told); err != nil {
			t.Fatal(err)
		}
		if x := must[store.ToldTrips](t)(s.TripsTold(t.Context())); x.Told != told || x.Person != by || time.Since(x.At) > time.Hour {
			t.Errorf("told %q, kept %+v", told, x)
		}
	}
}
