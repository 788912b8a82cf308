package demand

import (
	"context"
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

// vansAtSix are invented: eight vans fill 650 L each, between six and seven on
// weekdays, two at a time.
func vansAtSix() Group {
	g := Group{
		Name: "vans", Outlets: 2, Waiting: 10, Regular: true,
		Vends:   []Vend{{Name: "fill", Length: quantity.Minutes(20), SpotFree: 1, Flow: quantity.LitresPerMinute(32.5)}},
		Weekday: [7]float64{0, 8, 8, 8, 8, 8, 0},
	}
	g.Hours[6] = 1
	return g
}

func roomyTank() Tank {
	return Tank{Total: 20, Stop: 20, Start: 19.5, CutOff: 1, Restart: 2}
}

func TestRegularVansComeInTheirNumberAndHour(t *testing.T) {
	p := steady(20, 3, 3, Vend{Length: 240, SpotFree: 0.3, Flow: 1e-4})
	p.Groups = []Group{vansAtSix()}
	y := mustSimulate(t, p, roomyTank(), SteadyMakeUp(quantity.LitresPerMinute(8)), 3)
	alone := p
	alone.Groups = nil
	without := mustSimulate(t, alone, roomyTank(), SteadyMakeUp(quantity.LitresPerMinute(8)), 3)
	weekdays := 0
	for d := range DaysInYear {
		w := p.WeekdayOf(d)
		want := 0
		if w != 0 && w != 6 {
			want = 8
			weekdays++
		}
		if got := y.Days[d].Wanted - without.Days[d].Wanted; got != want {
			t.Fatalf("day %d: %d vans, want %d", d, got, want)
		}
	}
	if y.Short() != 0 || y.Unfinished != 0 {
		t.Fatalf("%d short", y.Short())
	}
	const source = derived + "arithmetic: eight vans of 650 L on each weekday"
	check.Within(t, float64(y.LitresWanted-without.LitresWanted), 8*0.65*float64(weekdays), 1e-9, source)
	for w := 1; w <= 5; w++ {
		if extra := y.Week[w][6].Vends - without.Week[w][6].Vends; extra != 8*math.Round(extra/8) || extra == 0 {
			t.Errorf("weekday %d: %g vans at six", w, extra)
		}
	}
}

func TestDemandAddsUpTheGroups(t *testing.T) {
	p := steady(20, 3, 3, Vend{Length: 240, SpotFree: 0.5, Flow: quantity.LitresPerMinute(5)}) // 10 L
	p.Groups = []Group{vansAtSix()}
	d, err := p.Demand()
	if err != nil {
		t.Fatal(err)
	}
	const source = derived + "arithmetic: 20 vends of 10 L, and 8 vans of 650 L on weekdays"
	weekdays := 0.0
	for day := range DaysInYear {
		if w := p.WeekdayOf(day); w != 0 && w != 6 {
			weekdays++
		}
	}
	check.Within(t, d.Year.Litres(), DaysInYear*200+weekdays*5200, 1e-12, source)
	check.Within(t, d.PerVend.Litres(), (DaysInYear*200+weekdays*5200)/(DaysInYear*20+weekdays*8), 1e-12, source)
	check.Within(t, d.BusyDay.Litres(), 5400, 1e-12, source)
	check.Within(t, d.Busiest, 28, 1e-12, source)
	check.Near(t, float64(d.PeakHour), 6, 0, source)
	check.Within(t, d.Peak, 8+20.0/24, 1e-12, source)
	if w := p.WeekdayOf(d.BusiestDay); w == 0 || w == 6 {
		t.Errorf("busiest on weekday %d", w)
	}
}

// A part of a regular vehicle is carried on: three a fortnight stay so.
func TestPartsOfRegularVehiclesAreCarried(t *testing.T) {
	g := vansAtSix()
	for d := range g.Weekday {
		g.Weekday[d] = 3.0 / 14
	}
	p := steady(1, 1, 0, Vend{Length: 60, SpotFree: 0.1, Flow: 1e-5})
	p.Groups = []Group{g}
	alone := p
	alone.Groups = nil
	a, b := mustSimulate(t, p, roomyTank(), SteadyMakeUp(1e-3), 3), mustSimulate(t, alone, roomyTank(), SteadyMakeUp(1e-3), 3)
	check.Near(t, float64(a.Wanted-b.Wanted), 365*3.0/14, 1, derived+"arithmetic: 3 in 14 days")
}

// Two groups alike are one crowd of twice the customers, by chance: Poisson
// processes add up.
func TestGroupsAtRandomAddUp(t *testing.T) {
	v := Vend{Length: 1e-3, SpotFree: 1, Spread: Exponential, Flow: 10}
	p := steady(800, 16, 100, v)
	p.Groups = []Group{{Outlets: 16, Waiting: 100, Vends: []Vend{v}, Weekday: p.Weekday}}
	full := quantity.Litres(1280)
	makeUp := quantity.Flow(0.01 * 1600 / 86400 / 0.8) // lumps of 10 L, load 0.8
	y := mustSimulate(t, p, bottomless(full), SteadyMakeUp(makeUp), 5)
	for _, x := range []float64{20, 50, 100} {
		want, err := DeficitExponential(quantity.Time(86400.0/1600), quantity.Litres(10), makeUp, quantity.Litres(x))
		if err != nil {
			t.Fatal(err)
		}
		check.Near(t, float64(y.ShareBelow(full-quantity.Litres(x))), float64(want), 0.015, "published: University of Cambridge, Tripos 2004, workload of M/M/1, here of two streams together")
	}
}

// Days that swing together have the variance of a mixed Poisson.
func TestDaysSwingTogether(t *testing.T) {
	p := steady(100, 20, 100, Vend{Length: 10, SpotFree: 0.1, Flow: 1e-5})
	p.DayToDay = 0.3
	var sum, square, n float64
	for seed := range uint64(12) {
		for _, d := range mustSimulate(t, p, roomyTank(), SteadyMakeUp(1e-3), seed).Days {
			x := float64(d.Wanted)
			sum, square, n = sum+x, square+x*x, n+1
		}
	}
	mean := sum / n
	const source = derived + "variance of a mixed Poisson count: μ + (μ c)²"
	check.Near(t, mean, 100, 1.6, source)
	check.Within(t, square/n-mean*mean, 100+900, 0.1, source)
}

func TestGroupsThatCannotBe(t *testing.T) {
	for name, spoil := range map[string]func(*Group){
		"no outlets":             func(g *Group) { g.Outlets = 0 },
		"no vends":               func(g *Group) { g.Vends = nil },
		"vehicles not a number":  func(g *Group) { g.Weekday[1] = math.NaN() },
		"nobody ever":            func(g *Group) { g.Weekday = [7]float64{} },
		"a weight below nothing": func(g *Group) { g.Hours[3] = -1 },
	} {
		p := steady(20, 3, 3, Vend{Length: 240, SpotFree: 0.3, Flow: 1e-4})
		g := vansAtSix()
		spoil(&g)
		p.Groups = []Group{g}
		_, err := SimulateYear(context.Background(), p, roomyTank(), SteadyMakeUp(1e-3), 1)
		if !errors.Is(err, ErrRange) && !errors.Is(err, ErrNoDemand) {
			t.Errorf("%s: %v", name, err)
		}
		if _, err := p.Demand(); err == nil {
			t.Errorf("%s: demand has no error", name)
		}
	}
}

// aCase draws an invented site with everything that may be said of it.
func aCase(t *rapid.T) Case {
	p, tank, makeUp := aSite(t)
	c := Case{Profile: p, Tank: tank, MakeUp: makeUp}
	c.Profile.DayToDay = quantity.Ratio(rapid.SampledFrom([]float64{0, 0.2, 0.8}).Draw(t, "day to day"))
	if rapid.Bool().Draw(t, "vans") {
		g := vansAtSix()
		g.Regular = rapid.Bool().Draw(t, "regular")
		c.Profile.Groups = []Group{g}
	}
	left, within := 0.0, 0.0
	for range rapid.IntRange(0, 4).Draw(t, "slices") {
		left += (1 - left) * rapid.Float64Range(0, 1).Draw(t, "left")
		within += rapid.Float64Range(0.01, 0.2).Draw(t, "within") * float64(tank.Stop)
		c.Back = append(c.Back, BackPressure{quantity.Volume(within), quantity.Ratio(left)})
	}
	for range rapid.IntRange(0, 3).Draw(t, "interruptions") {
		c.Interruptions = append(c.Interruptions, Interruption{
			Day: rapid.IntRange(0, 364).Draw(t, "day"), Every: rapid.IntRange(0, 9).Draw(t, "every"),
			At:       quantity.Time(rapid.Float64Range(0, 86400).Draw(t, "at")),
			For:      quantity.Time(rapid.Float64Range(1, 2e5).Draw(t, "for")),
			Left:     quantity.Ratio(rapid.SampledFrom([]float64{0, 0.5, 1}).Draw(t, "left")),
			PowerOff: rapid.Bool().Draw(t, "power off"),
		})
	}
	return c
}

func TestEveryCaseClosesItsBooks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := aCase(t)
		y, err := Simulate(context.Background(), c, rapid.Uint64().Draw(t, "seed"))
		if err != nil {
			t.Fatal(err)
		}
		if got := y.Served + y.Cut + y.Refused + y.TurnedAway + y.Unfinished; got != y.Wanted {
			t.Errorf("%d vehicles accounted for, %d came", got, y.Wanted)
		}
		if y.Closing() > 1e-9 {
			t.Errorf("water does not close: %g", y.Closing())
		}
		if whole := y.ShareBelow(2 * c.Tank.Stop); math.Abs(float64(whole)-1) > 1e-6 {
			t.Errorf("the levels of the year add up to %g of it", whole)
		}
		checkWeek(t, c, y)
		checkLevels(t, y)
	})
}

// checkWeek holds the week's cells against the year.
func checkWeek(t *rapid.T, c Case, y Year) {
	vends, short, low := 0.0, 0.0, c.Tank.Stop
	for d := range y.Week {
		for h, w := range y.Week[d] {
			vends, short, low = vends+w.Vends, short+w.Short, min(low, w.Lowest)
			if !(w.Lowest <= w.Level*(1+1e-9) && w.Level <= c.Tank.Stop*(1+1e-9) && 0 <= w.Dry && w.Dry <= 1) {
				t.Errorf("weekday %d at %d: %+v", d, h, w)
			}
		}
	}
	if vends != float64(y.Wanted) {
		t.Errorf("the week has %g vehicles, the year %d", vends, y.Wanted)
	}
	if gone := short - float64(y.Short()); gone < 0 || gone > float64(y.Unfinished) {
		t.Errorf("the week has %g short vends, the year %d, %d were left when it ended", short, y.Short(), y.Unfinished)
	}
	lowest := c.Tank.Stop
	for _, d := range y.Days {
		lowest = min(lowest, d.Lowest)
	}
	if math.Abs(float64(lowest-low)) > 1e-9*float64(c.Tank.Stop) {
		t.Errorf("the week's lowest is %g, the year's %g", low, lowest)
	}
	if len(y.BusyDay) != 96 {
		t.Errorf("%d quarters of an hour", len(y.BusyDay))
	}
}

// Regular vehicles come at any time of their hour: the mean of their times is
// its middle and their spread that of even chances.
func TestRegularVehiclesSpreadOverTheirHour(t *testing.T) {
	g := vansAtSix()
	c := newCrowd(g, make([]float64, DaysInYear), 5)
	var sum, square, n float64
	for range 5000 {
		c.expects = 8
		c.another(0)
		for last := 0.0; !math.IsInf(c.next, 1); c.another(c.next) {
			if c.next < last || c.next > hour {
				t.Fatalf("%g s after %g", c.next, last)
			}
			last = c.next
			sum, square, n = sum+c.next, square+c.next*c.next, n+1
		}
	}
	mean := sum / n
	check.Near(t, n, 40000, 0, derived+"eight in each hour")
	check.Near(t, mean, 1800, 25, derived+"mean of even chances over an hour")
	check.Within(t, math.Sqrt(square/n-mean*mean), 3600/math.Sqrt(12), 0.01, derived+"spread of even chances over an hour")
}
