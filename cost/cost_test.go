package cost

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"rinsewright/quantity"
)

// A year worked by hand: 1000 rinses, 40 m³ of feed at 1.50, 28 m³ to drain at
// 1.70, 56.6 L of resin at 7.80, two changes of half an hour at 75.00 and 40.00
// of travel. Published: none; arithmetic on invented prices, done on paper.
func TestAYearWorkedByHand(t *testing.T) {
	told := func(p Price) Entry { return Entry{p, true} }
	y, err := Yearly(Use{Vends: 1000, Feed: 40, Drain: 28, ResinVolume: quantity.Litres(56.6), ResinChanges: 2, MinutesPerStop: 30},
		Prices{Currency: "USD", Water: told(150), Sewer: told(170), Resin: told(780), Labour: told(7500), Visit: told(4000)})
	if err != nil {
		t.Fatal(err)
	}
	// 60.00 + 47.60 + 441.48 + 75.00 + 80.00 = 704.08
	if y.Total != 70408 {
		t.Errorf("total %d minor units, want 70408", y.Total)
	}
	if math.Abs(y.PerRinseExact-70.408) > 1e-9 || y.PerRinse != 70 {
		t.Errorf("a rinse costs %v (%v), want 70.408 minor units", y.PerRinseExact, y.PerRinse)
	}
}

// Handbook row: 1 kWh is 3.6 MJ (published: SP 811, table of units).
func TestAKilowattHourIsPaidOnce(t *testing.T) {
	y, err := Yearly(Use{Vends: 1, Energy: 3.6e6}, Prices{Power: Entry{16, true}})
	if err != nil || y.Total != 16 {
		t.Errorf("1 kWh at 16 costs %v (%v), want 16", y.Total, err)
	}
}

func TestTheTotalIsTheSumOfItsLines(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		amount := rapid.Float64Range(0, 1e4)
		u := Use{
			Vends: rapid.Float64Range(1, 1e5).Draw(r, "vends"), Feed: quantity.Volume(amount.Draw(r, "feed")), Drain: quantity.Volume(amount.Draw(r, "drain")),
			Filters: amount.Draw(r, "filters"), Membranes: amount.Draw(r, "membranes"), Salt: quantity.Mass(amount.Draw(r, "salt")),
		}
		y, err := Yearly(u, Default())
		if err != nil {
			r.Fatal(err)
		}
		var sum Money
		for _, l := range y.Lines {
			sum += l.Amount
		}
		if sum != y.Total {
			r.Errorf("lines add up to %d, the total says %d", sum, y.Total)
		}
	})
}

func TestNothingIsPaidForWhatIsNotUsed(t *testing.T) {
	y, err := Yearly(Use{Vends: 10}, Default())
	if err != nil || y.Total != 0 || len(y.Lines) != 0 {
		t.Errorf("got %+v, %v", y, err)
	}
}

func FuzzYearly(f *testing.F) {
	f.Add(10.0, 1.0, 1.0, 1.0)
	f.Add(0.0, math.NaN(), -1.0, math.Inf(1))
	f.Fuzz(func(t *testing.T, vends, feed, resin, changes float64) {
		y, err := Yearly(Use{Vends: vends, Feed: quantity.Volume(feed), ResinVolume: quantity.Volume(resin), ResinChanges: changes, MinutesPerStop: 30}, Default())
		if err != nil {
			if !errors.Is(err, ErrRange) {
				t.Errorf("an error without its kind: %v", err)
			}
			return
		}
		if math.IsNaN(y.PerRinseExact) || math.IsInf(y.PerRinseExact, 0) || y.Total < 0 {
			t.Errorf("%+v", y)
		}
	})
}
