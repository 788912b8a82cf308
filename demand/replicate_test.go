package demand

import (
	"context"
	"math"
	"reflect"
	"runtime"
	"testing"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

func TestReplicationDoesNotDependOnCores(t *testing.T) {
	p, tank, makeUp := busySite(t)
	run := func(cores int) Replication {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		r, err := Replicate(context.Background(), p, tank, makeUp, 6, 77)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	before := runtime.NumGoroutine()
	if one, four := run(1), run(4); !reflect.DeepEqual(one, four) {
		t.Errorf("one core gives %+v, four %+v", one, four)
	}
	if after := runtime.NumGoroutine(); after > before {
		t.Errorf("%d goroutines before, %d after", before, after)
	}
}

// The interval holds the expected number of vehicles, a Poisson mean, in 95 of
// 100 replications.
func TestIntervalsHoldTheTruthAsOftenAsTheySay(t *testing.T) {
	p := steady(20, 3, 3, Vend{Length: 60, SpotFree: 0.5, Flow: 1e-4})
	tank := Tank{Total: 1, Stop: 1, Start: 0.9, CutOff: 0.1, Restart: 0.2}
	const runs, truth = 200, 20 * DaysInYear
	held := 0
	for i := range runs {
		r, err := Replicate(context.Background(), p, tank, SteadyMakeUp(1e-4), 5, uint64(i))
		if err != nil {
			t.Fatal(err)
		}
		if r.Wanted.Low <= truth && truth <= r.Wanted.High {
			held++
		}
	}
	if held < 181 || held > 199 { // 190 ± 3 standard deviations
		t.Errorf("95 %% intervals held the truth in %d of %d", held, runs)
	}
}

// Open from 8 to 20 o'clock with twice the make-up asked for: lowest when the
// wash shuts, full before it opens.
func TestLevelsFollowTheDay(t *testing.T) {
	tank := Tank{Total: 1, Stop: 1, Start: 0.99, CutOff: 0.1, Restart: 0.2}
	r, err := Replicate(context.Background(), twelveHours(60), tank, SteadyMakeUp(quantity.LitresPerMinute(0.5)), 4, 1)
	if err != nil {
		t.Fatal(err)
	}
	for h, l := range r.Hours {
		if l.Median.Mean < r.Hours[19].Median.Mean-1e-3 {
			t.Errorf("the level at %d o'clock is below that at closing", h)
		}
		if !(l.Low.Mean <= l.Median.Mean && l.Median.Mean <= l.High.Mean && l.Median.Low <= l.Median.High) {
			t.Errorf("levels at %d o'clock are out of order: %+v", h, l)
		}
	}
	if r.Hours[6].Median.Mean != 1 {
		t.Errorf("median before opening %g, want full", r.Hours[6].Median.Mean)
	}
	// 50 L an hour asked for, 30 made: 20 L an hour lost, half of the last hour to go
	check.Near(t, r.Hours[19].Median.Mean.Litres(), 1000-20*11.5, 15, derived+"arithmetic of the average day")
}

func TestNothingSeenIsNotNothing(t *testing.T) {
	p := steady(5, 3, 3, Vend{Length: 60, SpotFree: 0.5, Flow: 1e-5})
	tank := Tank{Total: 1, Stop: 1, Start: 0.9, CutOff: 0.1, Restart: 0.2}
	r, err := Replicate(context.Background(), p, tank, SteadyMakeUp(1e-4), 10, 1)
	if err != nil {
		t.Fatal(err)
	}
	if r.Short.Mean != 0 || r.RunDry.Mean != 0 {
		t.Fatalf("short %+v: this tank should never be", r.Short)
	}
	check.Near(t, r.Short.High, 0.3689, 1e-4, derived+"Poisson limit with none seen, -ln(0.025), over 10 years")
	check.Near(t, float64(r.RunDry.High), 0.2775, 1e-3, derived+"Wilson interval of 0 in 10")
}

func TestWilson(t *testing.T) {
	const source = derived + "Wilson interval of 5 in 10, worked by hand"
	e := wilson(5, 10)
	check.Near(t, float64(e.Low), 0.2366, 1e-4, source)
	check.Near(t, float64(e.High), 0.7634, 1e-4, source)
}

func TestStudentInterval(t *testing.T) {
	ds := []digest{{wanted: 1}, {wanted: 2}, {wanted: 3}, {wanted: 4}}
	e := estimate[float64](ds, func(d digest) float64 { return d.wanted })
	const source = derived + "Student's t of 3 degrees, 3.1824, times 1.29099/2"
	check.Near(t, e.Mean, 2.5, 1e-12, source)
	check.Near(t, e.High-e.Mean, 2.0543, 1e-3, source)
	check.Near(t, e.Mean-e.Low, 2.0543, 1e-3, source)
}

// The exponential bound stands above the simulated tail, and near it.
func TestBoundStandsAboveTheSimulatedTail(t *testing.T) {
	for _, spread := range []Spread{Fixed, Uniform, Exponential} {
		p := steady(1650, 16, 100, Vend{Length: 1e-3, SpotFree: 1, Spread: spread, Within: 0.5, Flow: 10})
		full := quantity.Litres(1280)
		makeUp := quantity.Flow(0.01 * 1650 / 86400 / 0.8)
		y := mustSimulate(t, p, bottomless(full), SteadyMakeUp(makeUp), 7)
		for _, x := range []float64{20, 50, 100} { // L
			b, err := p.DeficitBound(quantity.Litres(x), makeUp)
			if err != nil {
				t.Fatal(err)
			}
			got := float64(y.ShareBelow(full - quantity.Litres(x)))
			if !(got-0.005 <= float64(b.AtMost) && float64(b.AtMost) < 3*got+0.01) {
				t.Errorf("spread %d, %g L: bound %.4f, simulated %.4f", spread, x, b.AtMost, got)
			}
			if math.Abs(b.Load-0.8) > 1e-9 {
				t.Errorf("load %g, want 0.8", b.Load)
			}
		}
	}
}

// The bound holds for slow draws and a real float too: deficits counted below
// the float's start.
func TestBoundHoldsForARealTank(t *testing.T) {
	p := steady(600, 10, 50, Vend{Length: 200, SpotFree: 0.4, Spread: Exponential, Flow: quantity.LitresPerMinute(7)})
	tank := Tank{Total: 2, Stop: 1.9, Start: 1.7, CutOff: 0.1, Restart: 0.3}
	makeUp := quantity.LitresPerMinute(5)
	y := mustSimulate(t, p, tank, SteadyMakeUp(makeUp), 3)
	for _, x := range []float64{1, 10, 30, 60, 100} {
		b, err := p.DeficitBound(quantity.Litres(x), makeUp)
		if err != nil {
			t.Fatal(err)
		}
		if got := y.ShareBelow(tank.Start - quantity.Litres(x)); got > b.AtMost {
			t.Errorf("%g L below start for %.4f of the time, bound %.4f", x, got, b.AtMost)
		}
	}
}
