package study_test

import (
	"errors"
	"testing"
	"time"

	"rinsewright/site"
	"rinsewright/study"
)

func marinaLog(t *testing.T) *site.Site { return example(t, "cormorant-reach") }

// The marina's bottles went every eleven to fourteen days (invented); the next
// one is foreseen in that stride, and carbon dioxide is named for it.
func TestTheMarinasNextBottleComesInItsStride(t *testing.T) {
	f, err := study.Forecast(marinaLog(t), study.Options{}, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	resin := dueOf(t, f, "resin")
	last := time.Date(2026, 6, 30, 0, 0, 0, 0, time.UTC)
	if days := resin.Likely.Sub(last).Hours() / 24; !(8 <= days && days <= 16) {
		t.Errorf("the bottle of 30 June is foreseen to last %.0f days, the log's lasted 11 to 14", days)
	}
	if len(resin.Eats) == 0 || resin.Eats[0].Name != "carbon dioxide" {
		t.Errorf("taken up by %v, want carbon dioxide first", resin.Eats)
	}
	if resin.State == study.Fine {
		t.Error("a bottle due within days is told as fine")
	}
	if !(resin.Low.Before(resin.High) && !resin.Likely.Before(resin.Low)) {
		t.Errorf("band %v %v %v", resin.Low, resin.Likely, resin.High)
	}
}

// 91 ppm written for 9 is named, and the salt passage does not follow it.
func TestTheMarinasMisreadPenIsNamed(t *testing.T) {
	f, err := study.Forecast(marinaLog(t), study.Options{}, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Surprises) != 1 || f.Surprises[0].On.Format(time.DateOnly) != "2026-06-27" {
		t.Fatalf("surprises %v", f.Surprises)
	}
	for _, x := range f.Trends {
		p := x.Points[len(x.Points)-1]
		if x.Name == "Salt passage, normalised" && !(0.8 <= p.Likely && p.Likely <= 1.3) {
			t.Errorf("salt passage %g of the first", p.Likely)
		}
	}
}

// Asked as of a day, later visits are not seen.
func TestAForecastAsOfADayDoesNotSeeLaterVisits(t *testing.T) {
	on := time.Date(2026, 6, 13, 0, 0, 0, 0, time.UTC)
	whole, cut := marinaLog(t), marinaLog(t)
	cut.Log = cut.Log[:7]
	a, err := study.Forecast(whole, study.Options{}, on)
	if err != nil {
		t.Fatal(err)
	}
	b, err := study.Forecast(cut, study.Options{}, on)
	if err != nil {
		t.Fatal(err)
	}
	x, y := dueOf(t, a, "resin"), dueOf(t, b, "resin")
	if a.Visits != 7 || !x.Likely.Equal(y.Likely) || !x.Low.Equal(y.Low) || !x.High.Equal(y.High) {
		t.Errorf("%d visits, %v and %v", a.Visits, x.Likely, y.Likely)
	}
}

func TestASiteWithoutLogSaysSo(t *testing.T) {
	s := marinaLog(t)
	s.Log = nil
	if _, err := study.Forecast(s, study.Options{}, time.Time{}); !errors.Is(err, study.ErrNoLog) {
		t.Errorf("got %v", err)
	}
	s = marinaLog(t)
	s.Rig.Membrane = nil
	if _, err := study.Forecast(s, study.Options{}, time.Time{}); !errors.Is(err, study.ErrNoRig) {
		t.Errorf("got %v", err)
	}
}

func dueOf(t *testing.T, f *study.Forecasted, name string) study.DueRow {
	t.Helper()
	for _, d := range f.Dues {
		if d.Name == name {
			return d
		}
	}
	t.Fatalf("nothing foreseen of %s", name)
	return study.DueRow{}
}
