package demand

import (
	"errors"
	"testing"
	"time"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

// twelveHours is open from 8 to 20 o'clock, all hours alike.
func twelveHours(perDay float64) Profile {
	p := steady(perDay, 20, 100, Vend{Length: 60, SpotFree: 1, Flow: quantity.LitresPerMinute(10)})
	for h := range p.Hours {
		if h < 8 || h >= 20 {
			p.Hours[h] = 0
		}
	}
	return p
}

func TestSequentPeakIsArithmetic(t *testing.T) {
	v, _, err := twelveHours(100).SequentPeak(SteadyMakeUp(quantity.LitresPerMinute(480 / 720.0)))
	if err == nil {
		t.Fatalf("960 L a day made of 1000 asked for, and a peak of %g m³", v)
	}
	if !errors.Is(err, ErrRange) {
		t.Errorf("error is %v, want ErrRange", err)
	}
	v, _, err = twelveHours(90).SequentPeak(SteadyMakeUp(quantity.LitresPerMinute(480 / 720.0)))
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, v.Litres(), 900-480, 1e-6, derived+"arithmetic: 900 L asked for in 12 h, 480 made in them")

	busy := twelveHours(90)
	busy.Surge = []Surge{{100, 2}, {101, 2}}
	v, day, err := busy.SequentPeak(SteadyMakeUp(quantity.LitresPerMinute(1)))
	if err != nil {
		t.Fatal(err)
	}
	// day 100: 1800 - 720 missing, night makes 720; day 101 the same on top of 360
	check.Near(t, v.Litres(), 360+1080, 1e-6, derived+"arithmetic of two busy days")
	if day != 101 {
		t.Errorf("worst on day %d, want the second busy day", day)
	}
}

// Vehicles in plenty come nearly evenly: the simulated tank falls as far as the
// average one.
func TestSimulatedTankFallsAsFarAsTheSequentPeak(t *testing.T) {
	p := twelveHours(4000)
	p.Bays = 60
	makeUp := SteadyMakeUp(quantity.LitresPerMinute(40))
	want, _, err := p.SequentPeak(makeUp)
	if err != nil {
		t.Fatal(err)
	}
	full := quantity.Litres(40000)
	y := mustSimulate(t, p, bottomless(full), makeUp, 1)
	mean := 0.0
	for _, d := range y.Days {
		mean += float64(full-d.Lowest) / DaysInYear
	}
	if r := mean / float64(want); !(0.99 <= r && r < 1.05) {
		t.Errorf("the level falls %.4f times the %.0f L of the average day", r, want.Litres())
	}
}

func TestSequentPeakOfASeasonAcrossNewYear(t *testing.T) {
	p, _ := mustProfile(t, Answers{VehiclesPerDay: 50, VehiclesBusiest: 50, FirstMonth: time.December, LastMonth: time.January})
	v, day, err := p.SequentPeak(SteadyMakeUp(quantity.LitresPerMinute(0.2)))
	if err != nil {
		t.Fatal(err)
	}
	// 62 days of rinse less 62 of make-up, but for the 8 h before the first
	// opening, when the tank is full, and the 4 h after the last closing
	want := 62*50*p.Vends[0].Water().Litres() - 0.2*60*(62*24-12)
	check.Near(t, v.Litres(), want, 1e-6, derived+"arithmetic of a season of 62 days")
	if day != 30 {
		t.Errorf("worst on day %d, want the last of January", day)
	}
}
