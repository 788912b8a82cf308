package service

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rinsewright/plant"
)

// Drifts invented for the test: three of five sites see their feed a third
// stronger.
func TestADriftThatSitesShareIsNamedOnceWithThem(t *testing.T) {
	site := func(shift float64) []Drift {
		return []Drift{{StrengthDrift, shift, 0.002, 0.0036}, {DemandDrift, shift / 50, 0.01, 0.01}}
	}
	all := CommonCauses([][]Drift{site(0.31), site(0.28), site(0.33), nil, site(0.30)})
	if len(all) != 1 || all[0].Of != StrengthDrift || !slices.Equal(all[0].Members, []int{0, 1, 2, 4}) {
		t.Fatalf("got %+v", all)
	}
	if !(all[0].Low < 0.30 && 0.30 < all[0].High) {
		t.Errorf("band %g to %g of a shift of 0.30", all[0].Low, all[0].High)
	}
}

func TestSitesThatWanderApartShareNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(0, 0.5).Draw(t, "a")
		drifts := func(x float64) []Drift { return []Drift{{StrengthDrift, x, 0.002, 0.0036}} }
		if all := CommonCauses([][]Drift{drifts(a), drifts(-a)}); len(all) != 0 {
			t.Fatalf("got %+v", all)
		}
		if all := CommonCauses([][]Drift{drifts(a)}); len(all) != 0 {
			t.Fatalf("one site has no common cause: %+v", all)
		}
	})
}

// Two sites whose utility changes its source are seen to share it; a third on
// another main is not among them.
func TestASourceSwitchIsSeenAtBothSites(t *testing.T) {
	o := outset(t, plain)
	follow := func(factor float64) []Drift {
		w := watch(t, o)
		w.Keep()
		for week := range 20 {
			k := 0.048
			if week >= 17 {
				k *= factor
			}
			add(t, w, []Entry{{Day: o.From + Day(7*week), Readings: []plant.Reading{
				{Of: plant.FeedStrength, SI: k, Instrument: "P1"}, {Of: plant.FeedTemperature, SI: 287, Instrument: "T1"},
			}}})
		}
		return w.Drifts(60)
	}
	all := CommonCauses([][]Drift{follow(1.35), follow(1), follow(1.35)})
	if len(all) == 0 || all[0].Of != StrengthDrift || !slices.Equal(all[0].Members, []int{0, 2}) {
		t.Fatalf("got %+v", all)
	}
}
