package study

import (
	"errors"
	"math"
	"os"
	"testing"

	"rinsewright/internal/sitefile"
	"rinsewright/quantity"
	"rinsewright/site"
)

func rigged(t *testing.T, change func(*site.Site)) *Rigged {
	t.Helper()
	data, err := os.ReadFile("../testdata/sites/cormorant-reach/site.toml")
	if err != nil {
		t.Fatal(err)
	}
	s, err := sitefile.Read("site.toml", data)
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(s)
	}
	r, err := Rig(s, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// What a practitioner knows of any year.
func TestTheYearFollowsTheWater(t *testing.T) {
	r := rigged(t, func(s *site.Site) {
		s.Supply.Coldest, s.Supply.Warmest = quantity.Told(quantity.Celsius(5)), quantity.Told(quantity.Celsius(22))
	})
	february, august := r.Season.Months[1], r.Season.Months[7]
	if !(august.Free.Flow > february.Free.Flow && august.Free.Recovery > february.Free.Recovery) {
		t.Errorf("August makes %v at %v, February %v at %v", august.Free.Flow, august.Free.Recovery, february.Free.Flow, february.Free.Recovery)
	}
	// Which mineral is first, and whether warmth helps it, is the water's own.
	if august.Free.First == "" || !(math.Abs(august.Free.Margin()) < 10) {
		t.Errorf("August leaves %.2f to the scaling of %q", august.Free.Margin(), august.Free.First)
	}
	if !(august.Held.Strength > august.Free.Strength) {
		t.Errorf("throttled August gives %v, free %v", august.Held.Strength, august.Free.Strength)
	}
	for m, at := range r.Season.Months {
		if off := math.Abs(float64(at.Held.Flow-r.Season.Throttled)) / float64(r.Season.Throttled); at.Free.Flow > 0 && off > 2e-3 {
			t.Errorf("month %d is held to %v, wanted %v", m+1, at.Held.Flow, r.Season.Throttled)
		}
	}
}

func TestASecondSampleOfTheYearMovesItsMonths(t *testing.T) {
	r := rigged(t, func(s *site.Site) {
		winter := s.Samples[0]
		winter.Date, winter.Strength.PPM = "2026-01-20", quantity.Told(quantity.MilligramsPerLitre(580))
		s.Samples = append(s.Samples, winter)
	})
	if january, june := r.Season.Months[0].Feed, r.Season.Months[5].Feed; !(float64(january) > 1.6*float64(june)) {
		t.Errorf("January's feed %v, June's %v: read twice as strong in January", january, june)
	}
}

func TestAlongTheMembraneFluxFallsAndScaleNears(t *testing.T) {
	a := rigged(t, nil).Profile
	if len(a.Ends) != 3 || len(a.Places) == 0 {
		t.Fatalf("%d ends of three elements, %d places", len(a.Ends), len(a.Places))
	}
	for i := 1; i < len(a.Places); i++ {
		was, is := a.Places[i-1], a.Places[i]
		if !(is.Position > was.Position && is.Strength > was.Strength && is.Pressure < was.Pressure) {
			t.Errorf("place %d: %+v after %+v", i, is, was)
		}
	}
	first, last := a.Places[0], a.Places[len(a.Places)-1]
	if !(last.Flux < first.Flux && last.Index > first.Index) {
		t.Errorf("from %+v to %+v", first, last)
	}
}

func TestAThinnerTubeCostsMore(t *testing.T) {
	r := rigged(t, nil)
	for name, all := range map[string][]TubeCost{"permeate": r.Permeate, "line": r.Delivery} {
		if len(all) < 3 {
			t.Fatalf("%s: %d tubes", name, len(all))
		}
		for i := 1; i < len(all); i++ {
			if all[i].Why == "" && all[i-1].Why == "" && !(all[i].Flow >= all[i-1].Flow) {
				t.Errorf("%s: %s passes %v, the thinner %s %v", name, all[i].Tube, all[i].Flow, all[i-1].Tube, all[i-1].Flow)
			}
		}
	}
	if c := r.Curve; c == nil || len(c.Flows) != len(c.Pump) || !(c.Pump[0] > c.Line[0] && c.Pump[len(c.Pump)-1] < c.Line[len(c.Line)-1]) {
		t.Errorf("pump and line do not cross: %+v", c)
	}
	if len(r.Limits) < 8 || r.Limits[0].Source == "" || len(r.Start.Minutes) < 2 {
		t.Errorf("%d limits, %d minutes", len(r.Limits), len(r.Start.Minutes))
	}
}

func TestARigNeedsAMembrane(t *testing.T) {
	if _, err := Rig(&site.Site{}, Options{}); !errors.Is(err, ErrNoRig) {
		t.Errorf("error %v, want ErrNoRig", err)
	}
}
