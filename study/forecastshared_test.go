package study_test

import (
	"slices"
	"testing"
	"time"

	"rinsewright/plant"
	"rinsewright/site"
	"rinsewright/study"
)

// Two marinas on one main, a third elsewhere; the source of the first two turns
// a half stronger in July (invented).
func TestASourceThatSwitchesIsToldOnceForBothSites(t *testing.T) {
	var all []*study.Forecasted
	for name, factor := range map[string]float64{"North pier": 1.5, "South pier": 1.5, "Lake": 1} {
		s := marinaLog(t)
		s.Name = name
		for day := range 4 {
			on := time.Date(2026, 7, 16+7*day, 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
			v := site.Visit{Date: on}
			v.Read = append(v.Read, site.Reading{Reading: plant.Reading{Of: plant.FeedStrength, SI: 0.062 * factor, Instrument: "pen B"}})
			s.Log = append(s.Log, v)
		}
		f, err := study.Forecast(s, study.Options{}, time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, f)
	}
	shared := study.SharedCauses(all)
	if len(shared) == 0 || shared[0].What != "feed strength" {
		t.Fatalf("got %+v", shared)
	}
	names := slices.Sorted(slices.Values(shared[0].Sites))
	if !slices.Equal(names, []string{"North pier", "South pier"}) {
		t.Errorf("explains %v", names)
	}
}
