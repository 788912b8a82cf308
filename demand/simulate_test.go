package demand

import (
	"context"
	"errors"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

// aSite draws an invented site and tank, some of them hopelessly short of water.
func aSite(t *rapid.T) (Profile, Tank, MakeUp) {
	p := steady(rapid.Float64Range(1, 300).Draw(t, "vehicles a day"), rapid.IntRange(1, 6).Draw(t, "bays"),
		rapid.IntRange(0, 5).Draw(t, "waiting"), Vend{})
	p.Vends = rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Vend {
		return Vend{
			Share:    rapid.Float64Range(0.1, 1).Draw(t, "share"),
			Length:   quantity.Time(rapid.Float64Range(30, 900).Draw(t, "length")),
			Flow:     quantity.LitresPerMinute(rapid.Float64Range(0.1, 20).Draw(t, "gun")),
			SpotFree: quantity.Ratio(rapid.SampledFrom([]float64{0, 0.01, 0.3, 0.77, 1}).Draw(t, "spot-free")),
			Spread:   Spread(rapid.IntRange(0, 2).Draw(t, "spread")),
			Within:   quantity.Ratio(rapid.Float64Range(0, 1).Draw(t, "within")),
		}
	}), 1, 3).Draw(t, "vends")
	for h := range 8 {
		p.Hours[h] = 0
	}
	total := quantity.Litres(rapid.Float64Range(50, 3000).Draw(t, "tank"))
	stop := 0.9 * total
	tank := Tank{
		Total: total, Stop: stop, CutOff: 0.1 * total, Restart: 0.2 * total,
		Start: stop - quantity.Volume(rapid.SampledFrom([]float64{0, 0.01, 0.1, 0.7}).Draw(t, "differential"))*total,
	}
	if rapid.Bool().Draw(t, "small pump") {
		tank.Pump = quantity.LitresPerMinute(10)
	}
	cold := quantity.LitresPerMinute(rapid.Float64Range(0, 8).Draw(t, "cold"))
	return p, tank, SeasonalMakeUp(cold, 1.5*cold, 14)
}

func TestEveryVehicleAndLitreIsAccountedFor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, tank, makeUp := aSite(t)
		y, err := SimulateYear(context.Background(), p, tank, makeUp, rapid.Uint64().Draw(t, "seed"))
		if err != nil {
			t.Fatal(err)
		}
		if got := y.Served + y.Cut + y.Refused + y.TurnedAway + y.Unfinished; got != y.Wanted {
			t.Errorf("%d vehicles accounted for, %d came", got, y.Wanted)
		}
		if y.Closing() > 1e-9 {
			t.Errorf("made %g, delivered %g, stored %g: %g of it is missing, want 1e-9", y.Made, y.Delivered, y.Storage, y.Closing())
		}
		wanted, short, starts := 0, 0, 0
		for _, d := range y.Days {
			wanted, short, starts = wanted+d.Wanted, short+d.Short, starts+d.Starts
			if !(tank.CutOff*(1-1e-9) <= d.Lowest && d.Lowest <= tank.Stop*(1+1e-9)) {
				t.Errorf("level fell to %g, want it from cut-off %g to stop %g", d.Lowest, tank.CutOff, tank.Stop)
			}
		}
		if len(y.Days) != DaysInYear || wanted != y.Wanted || short != y.Short() || starts != y.Starts {
			t.Errorf("%d days add up to %d, %d, %d; the year to %d, %d, %d", len(y.Days), wanted, short, starts, y.Wanted, y.Short(), y.Starts)
		}
		if y.Delivered > y.LitresWanted*(1+1e-9)+quantity.Litres(2000) {
			t.Errorf("delivered %g, more than the %g wanted", y.Delivered, y.LitresWanted)
		}
		if whole := y.ShareBelow(2 * tank.Stop); math.Abs(float64(whole)-1) > 1e-9 {
			t.Errorf("the levels of the year add up to %g of it", whole)
		}
		checkLevels(t, y)
	})
}

func checkLevels(t *rapid.T, y Year) {
	for h := range 24 {
		low, mid, high := y.LevelAt(h, 0.05), y.LevelAt(h, 0.5), y.LevelAt(h, 0.95)
		if !(0 <= low && low <= mid && mid <= high && float64(high) <= y.stop) {
			t.Errorf("hour %d: levels %g, %g, %g are not in order", h, low, mid, high)
		}
	}
}

// All water wanted is delivered when nobody is short, but for vends still
// running when the year ends.
func TestDeliveredIsWhatWasWanted(t *testing.T) {
	p, tank, makeUp := busySite(t)
	y := mustSimulate(t, p, tank, makeUp, 1)
	if y.Short() != 0 || y.Unfinished != 0 {
		t.Fatalf("%d short, %d unfinished: the site should have water enough and be shut at midnight", y.Short(), y.Unfinished)
	}
	if d := math.Abs(float64(y.Delivered/y.LitresWanted) - 1); d > 1e-9 {
		t.Errorf("delivered %g m³ of %g, apart by %g", y.Delivered, y.LitresWanted, d)
	}
}

func TestTheSameSeedGivesTheSameYear(t *testing.T) {
	p, tank, makeUp := busySite(t)
	a, b, c := mustSimulate(t, p, tank, makeUp, 9), mustSimulate(t, p, tank, makeUp, 9), mustSimulate(t, p, tank, makeUp, 10)
	if !reflect.DeepEqual(a, b) {
		t.Error("two years of one seed differ")
	}
	if reflect.DeepEqual(a, c) {
		t.Error("two seeds gave one year")
	}
}

func TestTwoTanksMeetTheSameCustomers(t *testing.T) {
	p, tank, _ := busySite(t)
	small := Tank{Total: 0.2, Stop: 0.19, Start: 0.15, CutOff: 0.02, Restart: 0.04}
	a := mustSimulate(t, p, tank, SteadyMakeUp(quantity.LitresPerMinute(3)), 4)
	b := mustSimulate(t, p, small, SteadyMakeUp(quantity.LitresPerMinute(2)), 4)
	if b.Short() == 0 {
		t.Error("a tank of 200 L should be short at this site")
	}
	if a.Wanted != b.Wanted || a.TurnedAway != b.TurnedAway || a.Waited != b.Waited || a.LitresWanted != b.LitresWanted {
		t.Errorf("customers differ: %d and %d came", a.Wanted, b.Wanted)
	}
}

// On the same customers, with the float a fixed volume below full.
func TestMoreTankOrMoreMakeUpMeansFewerShortVends(t *testing.T) {
	p, _, _ := busySite(t)
	tankOf := func(litres float64) Tank {
		total := quantity.Litres(litres)
		return Tank{Total: total, Stop: total, Start: total - quantity.Litres(50), CutOff: quantity.Litres(20), Restart: quantity.Litres(40)}
	}
	short := func(litres, perMinute float64) int {
		return mustSimulate(t, p, tankOf(litres), SteadyMakeUp(quantity.LitresPerMinute(perMinute)), 21).Short()
	}
	for _, litres := range []float64{120, 250, 500, 1000, 2000} {
		if a, b := short(litres, 2), short(litres*1.4, 2); !(b < a) && a != 0 {
			t.Errorf("%g L: %d short; 1.4 times as large: %d", litres, a, b)
		}
		if a, b := short(litres, 2), short(litres, 2.6); !(b < a) && a != 0 {
			t.Errorf("%g L: %d short at 2 L/min and %d at 2.6", litres, a, b)
		}
	}
}

func TestNoMakeUpServesOneTankful(t *testing.T) {
	p := steady(100, 4, 4, Vend{Length: 60, SpotFree: 1, Flow: quantity.LitresPerMinute(10)})
	tank := Tank{Total: 1, Stop: 1, Start: 0.9, CutOff: 0.1, Restart: 0.2}
	y := mustSimulate(t, p, tank, SteadyMakeUp(0), 2)
	check.Near(t, y.Delivered.Litres(), 900, 1e-6, derived+"conservation of mass: 1000 L less a heel of 100")
	if y.Served != 90 && y.Served != 89 && y.Served != 88 {
		t.Errorf("%d vends of 10 L served from 900 L", y.Served)
	}
	if y.Refused < y.Wanted-100 || y.Starts != 0 || y.Running != 0 || y.Emptied != 1 || y.Recovered != 0 {
		t.Errorf("%d of %d refused, %d starts, emptied %d: want nearly all, none, once", y.Refused, y.Wanted, y.Starts, y.Emptied)
	}
}

// F6: a long draw against a steady make-up; every time is arithmetic.
func TestFloatCycleIsArithmetic(t *testing.T) {
	const source = derived + "arithmetic of a float cycle: 200 gal at 4 - 1.5 gpm lasts 80 minutes"
	// one gun of 4 gpm that never closes, opened by the first vehicle
	p := steady(5e4, 1, 0, Vend{Length: quantity.Days(1), SpotFree: 1, Flow: quantity.GallonsPerMinute(4)})
	tank := Tank{
		Total: quantity.Gallons(300), Stop: quantity.Gallons(250), Start: quantity.Gallons(250),
		CutOff: quantity.Gallons(50), Restart: quantity.Gallons(80),
	}
	y := mustSimulate(t, p, tank, SteadyMakeUp(quantity.GallonsPerMinute(1.5)), 1)
	// 80 min at first, then 30 gal up at 1.5 gpm (20 min) and down at 2.5 gpm (12 min)
	days := DaysInYear * 24 * 60.0
	check.Near(t, float64(y.Emptied), 1+(days-80)/(20+12), 1.5, source)
	if y.Served != 0 || y.Cut < 364 {
		t.Errorf("%d served, %d cut: a gun that never closes is always cut", y.Served, y.Cut)
	}
	if y.Starts != 1 {
		t.Errorf("make-up started %d times, want once: it never fills the tank", y.Starts)
	}
	check.Within(t, y.Made.Gallons(), 1.5*days, 1e-6, source)
}

// A weep that draws less than make-up cycles the float between its levels.
func TestFloatStartsPerDayAreArithmetic(t *testing.T) {
	const source = derived + "arithmetic of a float cycle: 60 L down at 1 L/min and up at 4 - 1 L/min is 80 minutes"
	p := steady(5e4, 1, 0, Vend{Length: quantity.Days(1), SpotFree: 1, Flow: quantity.LitresPerMinute(1)})
	tank := Tank{Total: 1, Stop: 0.9, Start: 0.84, CutOff: 0.1, Restart: 0.2}
	y := mustSimulate(t, p, tank, SteadyMakeUp(quantity.LitresPerMinute(4)), 1)
	mean, most := y.StartsPerDay()
	check.Near(t, mean, 24*60/80.0, 0.01, source)
	check.Near(t, float64(most), 18, 0, source)
	check.Near(t, y.RunPerStart().Minutes(), 20, 0.01, source)
	check.Within(t, y.Delivered.Litres(), DaysInYear*1440, 1e-3, source)
}

// The wash shuts at night; a tank run empty is full again after V / r.
func TestRecoveryWithoutCustomersIsFillTime(t *testing.T) {
	p := steady(0.1, 1, 0, Vend{Length: quantity.Minutes(30), SpotFree: 1, Flow: quantity.LitresPerMinute(100)})
	tank := Tank{Total: 1, Stop: 1, Start: 0.95, CutOff: 0.1, Restart: 0.999}
	y := mustSimulate(t, p, tank, SteadyMakeUp(quantity.LitresPerMinute(3)), 6)
	if y.Recovered < 20 {
		t.Fatalf("recovered %d times, want enough to look at", y.Recovered)
	}
	check.Within(t, y.MeanRecovery.Minutes(), 300, 1e-6, derived+"900 L at 3 L/min")
	check.Within(t, y.LongestRecovery.Minutes(), 300, 1e-6, derived+"900 L at 3 L/min")
}

func TestWorstDay(t *testing.T) {
	days := func(ds ...Day) Year { return Year{Days: ds} }
	for _, c := range []struct {
		name string
		y    Year
		want int
	}{
		{"most short vends", days(Day{Short: 1, Lowest: 0.1}, Day{Short: 3, Lowest: 0.5}, Day{Short: 2}), 1},
		{"none short: lowest level", days(Day{Lowest: 0.3}, Day{Lowest: 0.2}, Day{Lowest: 0.4}), 1},
		{"the first of equals", days(Day{Lowest: 0.3}, Day{Lowest: 0.3}), 0},
	} {
		if got, _ := c.y.WorstDay(); got != c.want {
			t.Errorf("%s: day %d, want %d", c.name, got, c.want)
		}
	}
}

func TestGunsShareASmallPump(t *testing.T) {
	p := steady(2000, 8, 8, Vend{Length: 300, SpotFree: 1, Flow: quantity.LitresPerMinute(10)})
	tank := Tank{Total: 1, Stop: 1, Start: 0.9, CutOff: 0.1, Restart: 0.2, Pump: quantity.LitresPerMinute(25)}
	y := mustSimulate(t, p, tank, SteadyMakeUp(quantity.LitresPerMinute(60)), 1)
	if y.Short() != 0 {
		t.Errorf("%d vends short for want of water, want none: the tank keeps up", y.Short())
	}
	if y.MostGuns != 8 {
		t.Errorf("%d guns open together, want all 8 bays: each is taken again at once", y.MostGuns)
	}
	if y.PumpLimited.Days() < 300 || y.Delivered.Litres() > 25*60*24*DaysInYear {
		t.Errorf("pump at its limit for %.0f days, gave %.0f L", y.PumpLimited.Days(), y.Delivered.Litres())
	}
}

func TestSimulationRefusesWhatCannotWork(t *testing.T) {
	good, tank, makeUp := busySite(t)
	nan := math.NaN()
	stopped, cancel := context.WithCancel(context.Background())
	cancel()
	for _, c := range []struct {
		name string
		ctx  context.Context
		p    func(*Profile)
		t    func(*Tank)
		m    MakeUp
		want error
	}{
		{"nobody ever comes", nil, func(p *Profile) { p.Weekday = [7]float64{} }, nil, makeUp, ErrNoDemand},
		{"closed all year", nil, func(p *Profile) { p.Month = [12]float64{} }, nil, makeUp, ErrNoDemand},
		{"vehicles not a number", nil, func(p *Profile) { p.Weekday[2] = nan }, nil, makeUp, ErrRange},
		{"no bays", nil, func(p *Profile) { p.Bays = 0 }, nil, makeUp, ErrRange},
		{"no vend", nil, func(p *Profile) { p.Vends = nil }, nil, makeUp, ErrRange},
		{"a vend without end", nil, func(p *Profile) { p.Vends[0].Length = quantity.Time(math.Inf(1)) }, nil, makeUp, ErrRange},
		{"closed on day 400", nil, func(p *Profile) { p.Closed = []int{400} }, nil, makeUp, ErrRange},
		{"more vends than can be", nil, func(p *Profile) { p.Weekday[0] = 1e6; p.Month[0] = 100 }, nil, makeUp, ErrRange},
		{"stop above the tank", nil, nil, func(t *Tank) { t.Stop = 2 * t.Total }, makeUp, ErrTank},
		{"start above stop", nil, nil, func(t *Tank) { t.Start = 1.01 * t.Stop }, makeUp, ErrTank},
		{"cut-off above start", nil, nil, func(t *Tank) { t.CutOff = t.Start }, makeUp, ErrTank},
		{"restart at cut-off", nil, nil, func(t *Tank) { t.Restart = t.CutOff }, makeUp, ErrTank},
		{"volume not a number", nil, nil, func(t *Tank) { t.Total = quantity.Volume(nan) }, makeUp, ErrRange},
		{"chatter", nil, nil, func(t *Tank) { t.Start = t.Stop * (1 - 1e-9) }, makeUp, ErrTank},
		{"no make-up given", nil, nil, nil, nil, ErrRange},
		{"make-up not a number", nil, nil, nil, SteadyMakeUp(quantity.Flow(nan)), ErrRange},
		{"make-up negative", nil, nil, nil, SteadyMakeUp(-1), ErrRange},
		{"stopped", stopped, nil, nil, makeUp, context.Canceled},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, tk, ctx := good, tank, c.ctx
			p.Vends = append([]Vend(nil), good.Vends...)
			if c.p != nil {
				c.p(&p)
			}
			if c.t != nil {
				c.t(&tk)
			}
			if ctx == nil {
				ctx = context.Background()
			}
			if _, err := SimulateYear(ctx, p, tk, c.m, 1); !errors.Is(err, c.want) {
				t.Errorf("error is %v, want %v", err, c.want)
			}
			if _, err := Replicate(ctx, p, tk, c.m, 2, 1); !errors.Is(err, c.want) {
				t.Errorf("replicated: error is %v, want %v", err, c.want)
			}
		})
	}
}

// A glass of water a day from a lake: the lake's digits are not lost.
func TestSmallDrawsOnALargeTankClose(t *testing.T) {
	p := steady(30, 2, 2, Vend{Length: 60, SpotFree: 1, Spread: Exponential, Flow: quantity.LitresPerMinute(0.01)})
	y := mustSimulate(t, p, Tank{Total: 1e5, Stop: 1e5, Start: 5e4, CutOff: 1e3, Restart: 2e3}, SteadyMakeUp(0), 1)
	if y.Delivered < 0.05 || y.Closing() > 1e-11 {
		t.Errorf("delivered %g m³, closes to %g", y.Delivered, y.Closing())
	}
}
