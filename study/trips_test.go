package study_test

import (
	"encoding/json"
	"errors"
	"reflect"
	"slices"
	"testing"
	"time"

	"rinsewright/plant"
	"rinsewright/service"
	"rinsewright/site"
	"rinsewright/study"
)

func julyTrips() study.TripOptions {
	return study.TripOptions{From: time.Date(2026, 8, 7, 0, 0, 0, 0, time.UTC), Weeks: 6}
}

// twoPiers are the marina twice on one shore, its source a half stronger since
// July (invented).
func twoPiers(t *testing.T) (all []*site.Site) {
	for _, name := range []string{"North pier", "South pier"} {
		s := marinaLog(t)
		s.Name, s.Area = name, "shore"
		for day := range 4 {
			on := time.Date(2026, 7, 16+7*day, 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
			v := site.Visit{Date: on, Changed: []site.Change{site.LeadResin}}
			v.Read = append(v.Read, site.Reading{Reading: plant.Reading{Of: plant.FeedStrength, SI: 0.093, Instrument: "pen B"}})
			s.Log = append(s.Log, v)
		}
		all = append(all, s)
	}
	return all
}

func TestTripsTellOneCauseOnceAndShareTheDrive(t *testing.T) {
	p, err := study.Trips(twoPiers(t), julyTrips())
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Shared) == 0 || p.Shared[0].What != "feed strength" || len(p.Shared[0].Sites) != 2 {
		t.Errorf("shared: %+v", p.Shared)
	}
	trips := 0
	for _, w := range p.Weeks {
		for _, trip := range w.Trips {
			trips++
			if len(trip.With) != 1 {
				t.Errorf("on %s %s is gone to alone, its neighbour wants the same on the same days", trip.On.Format(time.DateOnly), trip.Site)
			}
			if trip.On.Weekday() == time.Saturday || trip.On.Weekday() == time.Sunday {
				t.Errorf("a trip on %s", trip.On.Weekday())
			}
		}
	}
	if trips < 6 {
		t.Errorf("%d trips in six weeks to two sites whose bottles last two weeks", trips)
	}
}

// A reading at one site moves nothing at a site of another area.
func TestAReadingMovesNoTripElsewhere(t *testing.T) {
	sites := twoPiers(t)
	sites[1].Area = "lake"
	o := julyTrips()
	before, err := study.Trips(sites, o)
	if err != nil {
		t.Fatal(err)
	}
	sites[0].Log = append(sites[0].Log, site.Visit{Date: "2026-08-07", Changed: []site.Change{site.LeadResin}})
	after, err := study.Trips(sites, o)
	if err != nil {
		t.Fatal(err)
	}
	if a, b := daysAt(before, "South pier"), daysAt(after, "South pier"); !slices.Equal(a, b) {
		t.Errorf("days at the other site %v, were %v", b, a)
	}
	if a, b := daysAt(before, "North pier"), daysAt(after, "North pier"); slices.Equal(a, b) {
		t.Errorf("a fresh bottle today leaves the next change where it was: %v", a)
	}
}

func daysAt(p *study.TripPlan, name string) (days []string) {
	for _, w := range p.Weeks {
		for _, trip := range w.Trips {
			if trip.Site == name {
				days = append(days, trip.On.Format(time.DateOnly))
			}
		}
	}
	return days
}

func TestAgreedDaysStay(t *testing.T) {
	sites, o := twoPiers(t), julyTrips()
	first, err := study.Trips(sites, o)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range first.Weeks {
		for _, trip := range w.Trips {
			for _, j := range trip.Jobs {
				o.Agreed = append(o.Agreed, study.Agreed{Site: trip.Site, Name: j.Name, On: trip.On})
			}
		}
	}
	again, err := study.Trips(sites, o)
	if err != nil || !slices.Equal(daysAt(first, "North pier"), daysAt(again, "North pier")) {
		t.Errorf("%v became %v, %v", daysAt(first, "North pier"), daysAt(again, "North pier"), err)
	}
}

// The bottle promised for the first day is changed that day; planned again the day
// after, the second promise has become the first and stands.
func TestTheSecondPromiseBecomesTheFirst(t *testing.T) {
	sites, o := twoPiers(t), julyTrips()
	first, err := study.Trips(sites, o)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range first.Weeks {
		for _, trip := range w.Trips {
			for _, j := range trip.Jobs {
				o.Agreed = append(o.Agreed, study.Agreed{Site: trip.Site, Name: j.Name, On: trip.On})
			}
		}
	}
	promised := daysAt(first, "North pier")
	for _, s := range sites {
		s.Log = append(s.Log, site.Visit{Date: promised[0], Changed: []site.Change{site.LeadResin, site.SedimentFilter}})
	}
	done, _ := time.Parse(time.DateOnly, promised[0])
	o.From = done.AddDate(0, 0, 1)
	again, err := study.Trips(sites, o)
	if err != nil || len(promised) < 2 {
		t.Fatal(promised, err)
	}
	if got := daysAt(again, "North pier"); got[0] != promised[1] {
		t.Errorf("promised %v, now %v", promised, got)
	}
}

func TestTripsMakeACalendar(t *testing.T) {
	p, err := study.Trips(twoPiers(t), julyTrips())
	if err != nil {
		t.Fatal(err)
	}
	ids := map[string]bool{}
	all := study.TripAppointments(p)
	for _, a := range all {
		ids[a.Site+a.Key] = true
		if a.From == "" || a.From != a.By || a.Says == "" {
			t.Errorf("%+v", a)
		}
	}
	if len(all) == 0 || len(ids) != len(all) {
		t.Errorf("%d appointments with %d keys", len(all), len(ids))
	}
}

// What each site wants, kept as JSON, makes the plan that the sites make.
func TestAPlanFromWhatWasKeptIsThePlan(t *testing.T) {
	sites := append(twoPiers(t), example(t, "cormorant-reach"), example(t, "brightmere"))
	for _, s := range sites {
		s.Prices.Currency = "USD"
	}
	o := julyTrips()
	now, err := study.Trips(sites, o)
	if err != nil {
		t.Fatal(err)
	}
	kept := make([]study.Wants, len(sites))
	for i, s := range sites {
		text, err := json.Marshal(study.WantsOf(s, o.Options, o.From))
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(text, &kept[i]); err != nil {
			t.Fatal(err)
		}
	}
	later, err := study.PlanTrips(kept, o)
	if err != nil || !reflect.DeepEqual(now, later) {
		t.Errorf("from what was kept another plan is made: %v", err)
	}
}

func TestTripsRefuse(t *testing.T) {
	sites, o := twoPiers(t), julyTrips()
	o.Weeks = 0
	if _, err := study.Trips(sites, o); !errors.Is(err, service.ErrRange) {
		t.Errorf("no weeks: %v", err)
	}
	sites[0].Prices.Currency = "EUR"
	if _, err := study.Trips(sites, julyTrips()); !errors.Is(err, study.ErrCurrencies) {
		t.Errorf("two currencies: %v", err)
	}
}
