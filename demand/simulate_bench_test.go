package demand

import (
	"context"
	"testing"
	"time"

	"rinsewright/quantity"
)

// busySite is an invented wash of about 100,000 vends a year.
func busySite(t testing.TB) (Profile, Tank, MakeUp) {
	t.Helper()
	p, _, err := FromAnswers(Answers{
		VehiclesPerDay: 255, VehiclesBusiest: 400, Bays: 6,
		LitresPerVehicle: quantity.Litres(8), BusiestWeekdays: []time.Weekday{time.Saturday},
	})
	if err != nil {
		t.Fatal(err)
	}
	makeUp := SteadyMakeUp(quantity.LitresPerMinute(3))
	tank, err := VentedTank(quantity.Litres(2000), quantity.LitresPerMinute(3))
	if err != nil {
		t.Fatal(err)
	}
	return p, tank, makeUp
}

// A year of 100,000 vends: 5 ms wanted, nothing allocated within the year.
func BenchmarkSimulateYear(b *testing.B) {
	p, tank, makeUp := busySite(b)
	b.ReportAllocs()
	vends := 0
	for i := 0; b.Loop(); i++ {
		y, err := SimulateYear(context.Background(), p, tank, makeUp, uint64(i))
		if err != nil {
			b.Fatal(err)
		}
		vends = y.Wanted
	}
	b.ReportMetric(float64(vends), "vends/year")
}

func TestNothingIsAllocatedWithinTheYear(t *testing.T) {
	tank := Tank{Total: 1, Stop: 1, Start: 0.9, CutOff: 0.1, Restart: 0.2}
	allocs := func(perDay float64) float64 {
		p := steady(perDay, 6, 6, Vend{Length: 120, SpotFree: 0.5, Spread: Exponential, Flow: 1e-4})
		return testing.AllocsPerRun(3, func() { mustSimulate(t, p, tank, SteadyMakeUp(1e-4), 1) })
	}
	if few, many := allocs(3), allocs(3000); few != many {
		t.Errorf("%.0f allocations in a quiet year, %.0f in one of a million vends", few, many)
	}
}

// Ten make-ups, forty years each, for every size of tank: a small site.
func BenchmarkMapRisk(b *testing.B) {
	c := tightSite(b)
	times := []quantity.Ratio{0.6, 0.7, 0.8, 0.9, 1, 1.1, 1.3, 1.5, 1.75, 2}
	for b.Loop() {
		if _, err := MapRisk(context.Background(), c, times, 40, 1); err != nil {
			b.Fatal(err)
		}
	}
}

// Two years of a wash, about 35,000 lines.
func BenchmarkFitLog(b *testing.B) {
	p, _, err := FromAnswers(Answers{VehiclesPerDay: 40, VehiclesBusiest: 75})
	if err != nil {
		b.Fatal(err)
	}
	log := madeLog{profile: p, days: 730, trend: 1.05, swing: 0.2, seed: 1}.lines()
	for b.Loop() {
		if _, err := FitLog(log, Answers{}, nil); err != nil {
			b.Fatal(err)
		}
	}
}
