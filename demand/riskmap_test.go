package demand

import (
	"context"
	"errors"
	"math"
	"reflect"
	"runtime"
	"testing"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

// tightSite is an invented wash that is short of water in some years.
func tightSite(t testing.TB) Case {
	t.Helper()
	p, _, err := FromAnswers(Answers{VehiclesPerDay: 30, VehiclesBusiest: 55, Bays: 3, LitresPerVehicle: quantity.Litres(9)})
	if err != nil {
		t.Fatal(err)
	}
	p.DayToDay = 0.2
	tank := Tank{Total: 0.75, Stop: 0.7, Start: 0.6, CutOff: 0.06, Restart: 0.13}
	return Case{Profile: p, Tank: tank, MakeUp: SeasonalMakeUp(quantity.LitresPerMinute(0.22), quantity.LitresPerMinute(0.34), 20)}
}

// One bottomless run gives the risk of every tank: the same as simulating each
// tank by itself, year for year.
func TestOneRunServesAllTanks(t *testing.T) {
	c := tightSite(t)
	c.Interruptions = []Interruption{{Name: "regeneration", Day: 2, Every: 4, At: quantity.Hours(11), For: quantity.Hours(1)}}
	c.Back = []BackPressure{{0.05, 0.7}, {0.2, 0.9}}
	const years = 40
	m, err := MapRisk(context.Background(), c, []quantity.Ratio{0.8, 1, 1.25}, years, 11)
	if err != nil {
		t.Fatal(err)
	}
	told := 0
	for _, row := range m.Rows {
		for _, usable := range []quantity.Volume{0.35, 0.5, 0.64, 0.8} {
			own := c
			own.Tank.CutOff = 0.001
			own.Tank.Stop = usable + own.Tank.CutOff
			own.Tank.Total, own.Tank.Start, own.Tank.Restart = own.Tank.Stop, own.Tank.Stop-c.Tank.FloatDifferential(), own.Tank.CutOff+0.03
			own.MakeUp = func(day int) quantity.Flow { return c.MakeUp(day) * quantity.Flow(row.Times) }
			r, err := Repeat(context.Background(), own, years, 11)
			if err != nil {
				t.Fatal(err)
			}
			if got := row.Risk(usable); got != r.RunDry {
				t.Errorf("%g times the make-up, %g m³: map %+v, simulated %+v", row.Times, usable, got, r.RunDry)
			}
			if r.RunDry.Mean > 0 && r.RunDry.Mean < 1 {
				told++
			}
		}
	}
	if told < 4 {
		t.Errorf("only %d of the tanks were short in some years and not in others: too easy a test", told)
	}
}

func TestMapFallsWithTankAndMakeUp(t *testing.T) {
	m, err := MapRisk(context.Background(), tightSite(t), []quantity.Ratio{0.8, 0.9, 1, 1.1, 1.3}, 40, 3)
	if err != nil {
		t.Fatal(err)
	}
	for i, row := range m.Rows {
		a, _ := row.Usable(0.5)
		b, _ := row.Usable(0.1)
		if !(a <= b) {
			t.Errorf("one year in two asks for %g m³, one in ten for %g", a, b)
		}
		if i == 0 {
			continue
		}
		for y := range row.Deepest {
			if row.Deepest[y] > m.Rows[i-1].Deepest[y]*(1+1e-9) {
				t.Errorf("%g times the make-up needs %g m³, less make-up %g", row.Times, row.Deepest[y], m.Rows[i-1].Deepest[y])
			}
		}
	}
	row := m.Rows[2]
	v, ok := row.Usable(0.1)
	if risk := row.Risk(v).Mean; !ok || math.Abs(float64(risk)-0.1) > 0.026 {
		t.Errorf("%g m³ for one year in ten has a risk of %g", v, risk)
	}
	if _, ok := row.Usable(0.01); ok {
		t.Error("one year in a hundred told from forty")
	}
	if row.MakeUp < quantity.LitresPerMinute(0.22) || row.MakeUp > quantity.LitresPerMinute(0.34) {
		t.Errorf("make-up on the deepest days %g", row.MakeUp.LitresPerMinute())
	}
}

// The demand that gives out, put back into the simulation, has the risk asked.
func TestGoodUntilIsWhereTheRiskIs(t *testing.T) {
	c := tightSite(t)
	const years, risk = 30, 0.2
	g, err := GoodUntil(context.Background(), c, risk, years, 5)
	if err != nil {
		t.Fatal(err)
	}
	run := func(times float64) float64 {
		more := c
		more.Profile = c.Profile.scaled(times)
		r, err := Repeat(context.Background(), more, years, 5)
		if err != nil {
			t.Fatal(err)
		}
		return float64(r.RunDry.Mean)
	}
	if at, beyond := run(float64(g.Times)), run(float64(g.Times)*1.06); at > risk || beyond <= risk {
		t.Errorf("good until %g times today: risk %g there and %g beyond, want %g between", g.Times, at, beyond, risk)
	}
	d, err := c.Profile.Demand()
	if err != nil {
		t.Fatal(err)
	}
	check.Within(t, g.BusiestDay, float64(g.Times)*d.Busiest, 1e-12, derived+"definition")
	c.MakeUp = SteadyMakeUp(quantity.LitresPerMinute(60))
	if g, err = GoodUntil(context.Background(), c, risk, 2, 5); err != nil || !g.AtLeast {
		t.Errorf("a river of make-up: %+v, %v", g, err)
	}
	c.MakeUp = SteadyMakeUp(0)
	if g, err = GoodUntil(context.Background(), c, risk, 2, 5); err != nil || g.Times != 0 {
		t.Errorf("no make-up at all: %+v, %v", g, err)
	}
}

// A weep that draws steadily: starts a day are arithmetic, so the gap is too.
func TestGapForStartsIsArithmetic(t *testing.T) {
	// draw q, make-up r: a cycle is V/q + V/(r-q); six a day is 240 minutes: V (1/1 + 1/3) = 240
	weep := weeping(1)
	for d := range weep.Weekday {
		weep.Weekday[d] = 1000 // the next gun opens a minute after the last: near enough
	}
	c := Case{Profile: weep, Tank: Tank{Total: 1, Stop: 0.95, Start: 0.9, CutOff: 0.1, Restart: 0.2}, MakeUp: SteadyMakeUp(quantity.LitresPerMinute(4))}
	g, err := GapForStarts(context.Background(), c, 6, 2, 1)
	if err != nil {
		t.Fatal(err)
	}
	check.Within(t, g.Differential.Litres(), 180, 0.03, derived+"arithmetic of a float cycle: 180 L down at 1 L/min and up at 3")
	if !g.Reaches || g.Starts.Mean > 6 || g.RunPerStart.Mean.Minutes() < 58 {
		t.Errorf("%+v", g)
	}
	half := c
	for m := range 6 {
		half.Profile.Month[m] = 0
	}
	open, err := GapForStarts(context.Background(), half, 6, 2, 1)
	if err != nil {
		t.Fatal(err)
	}
	check.Within(t, open.Differential.Litres(), 180, 0.05, derived+"the same cycle on open days alone, half of the year shut")
	if g, err = GapForStarts(context.Background(), c, 0.5, 2, 1); err != nil || g.Reaches {
		t.Errorf("half a start a day from 850 L: %+v, %v", g, err)
	}
}

func TestAnswersDoNotDependOnCores(t *testing.T) {
	c := tightSite(t)
	run := func(cores int) [3]any {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		m, err1 := MapRisk(context.Background(), c, []quantity.Ratio{0.9, 1.1}, 9, 4)
		g, err2 := GoodUntil(context.Background(), c, 0.3, 9, 4)
		r, _, err3 := RepeatTo(context.Background(), c, Accuracy{RunDry: 0.2, FewYears: 5, MostYears: 20}, 4)
		if err := firstError(err1, err2, err3); err != nil {
			t.Fatal(err)
		}
		return [3]any{m, g, r}
	}
	if !reflect.DeepEqual(run(1), run(4)) {
		t.Error("one core and four differ")
	}
}

// A sharper answer has a narrower interval and begins with the same years.
func TestRepeatToStopsWhenSure(t *testing.T) {
	c := tightSite(t)
	c.MakeUp = SteadyMakeUp(quantity.LitresPerMinute(0.21))
	rough, sure, err := RepeatTo(context.Background(), c, Accuracy{RunDry: 0.2, FewYears: 5}, 4)
	if err != nil || !sure {
		t.Fatalf("%v, sure %v", err, sure)
	}
	sharp, sure, err := RepeatTo(context.Background(), c, Accuracy{RunDry: 0.06, Short: 0.3, FewYears: 5}, 4)
	if err != nil || !sure {
		t.Fatalf("%v, sure %v after %d", err, sure, sharp.Years)
	}
	if half := (sharp.RunDry.High - sharp.RunDry.Low) / 2; half > 0.06 || sharp.Years <= rough.Years {
		t.Errorf("half a width of %g after %d years, rough after %d", half, sharp.Years, rough.Years)
	}
	same, err := Repeat(context.Background(), c, sharp.Years, 4)
	if err != nil || !reflect.DeepEqual(same, sharp) {
		t.Error("so many years at once differ")
	}
	if _, sure, err = RepeatTo(context.Background(), c, Accuracy{RunDry: 0.01, FewYears: 5, MostYears: 8}, 4); err != nil || sure {
		t.Errorf("eight years are enough for one in a hundred: %v", err)
	}
	if _, _, err = RepeatTo(context.Background(), c, Accuracy{RunDry: math.NaN()}, 4); !errors.Is(err, ErrRange) {
		t.Errorf("accuracy not a number: %v", err)
	}
}

// The busiest day, the hour and the months hang together.
func TestBusiestDayAndHour(t *testing.T) {
	c := tightSite(t)
	c.MakeUp = SteadyMakeUp(quantity.LitresPerMinute(0.2))
	r, err := Repeat(context.Background(), c, 20, 8)
	if err != nil {
		t.Fatal(err)
	}
	d, err := c.Profile.Demand()
	if err != nil {
		t.Fatal(err)
	}
	if r.BusiestDay != d.BusiestDay || r.RunDryBusiest.Mean > r.RunDry.Mean || len(r.BusyDay) != 96 {
		t.Errorf("busiest day %d, want %d; dry %g then, %g in the year", r.BusiestDay, d.BusiestDay, r.RunDryBusiest.Mean, r.RunDry.Mean)
	}
	if r.DryHour < 13 || r.DryHour > 20 {
		t.Errorf("runs dry at %d o'clock, want the afternoon: open 8 to 20, busiest at 14", r.DryHour)
	}
	day, hour, short := r.Weekday()
	if day.String() != "Saturday" || short <= 0 || hour < 12 {
		t.Errorf("worst on %s at %d with %g a year", day, hour, short)
	}
	sum := 0.0
	for _, m := range r.Months {
		sum += m.Short.Mean
		if !(m.RunDry.Mean <= r.RunDry.Mean && m.Lowest >= r.LowestLevel) {
			t.Errorf("%+v", m)
		}
	}
	check.Within(t, sum, r.Short.Mean, 1e-9, derived+"months add up to the year")
	vends, short := 0.0, 0.0
	for d := range r.Week {
		for _, w := range r.Week[d] {
			vends, short = vends+w.Vends, short+w.Short
		}
	}
	check.Within(t, vends, r.Wanted.Mean, 1e-9, derived+"the week adds up to the year")
	check.Within(t, short, r.Short.Mean, 1e-3, derived+"the week adds up to the year, but for vends under way at its end")
	for q, b := range r.BusyDay {
		if !(b.Low <= b.Median && b.Median <= b.High) {
			t.Errorf("quarter %d: %+v", q, b)
		}
	}
	if r.BusyDay[18*4].Median >= r.BusyDay[8*4].Median {
		t.Error("the level does not fall through the busiest day")
	}
}

// Nothing that an engine door takes makes it return what is not a number.
func FuzzBusyAnswers(f *testing.F) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 0.5, 1e300} {
		f.Add(x, 0.2, 0.5, 6.0)
		f.Add(1.0, x, x, x)
	}
	f.Fuzz(func(t *testing.T, times, risk, swing, starts float64) {
		p := steady(2, 2, 2, Vend{Length: 60, SpotFree: 0.5, Flow: 1e-4})
		p.DayToDay = quantity.Ratio(swing)
		c := Case{Profile: p, Tank: Tank{Total: 0.02, Stop: 0.02, Start: 0.018, CutOff: 0.001, Restart: 0.003}, MakeUp: SteadyMakeUp(1e-7)}
		if m, err := MapRisk(context.Background(), c, []quantity.Ratio{quantity.Ratio(times)}, 2, 1); err == nil {
			if !(0 <= m.Rows[0].Deepest[0] && m.Rows[0].Deepest[1] < 1e9 && m.Rows[0].MakeUp >= 0) {
				t.Fatalf("%+v", m)
			}
		}
		if g, err := GoodUntil(context.Background(), c, quantity.Ratio(risk), 2, 1); err == nil && !(0 <= g.Times && g.BusiestDay < 1e9) {
			t.Fatalf("%+v", g)
		}
		if g, err := GapForStarts(context.Background(), c, starts, 2, 1); err == nil && !(0 < g.Differential && g.Starts.Mean < 1e9) {
			t.Fatalf("%+v", g)
		}
	})
}
