package demand

import (
	"context"
	"errors"
	"math"
	"testing"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

// weeping is one gun that never closes: all that follows is arithmetic.
func weeping(perMinute float64) Profile {
	return steady(5e4, 1, 0, Vend{Length: quantity.Days(1), SpotFree: 1, Flow: quantity.LitresPerMinute(perMinute)})
}

func mustRun(t *testing.T, c Case, seed uint64) Year {
	t.Helper()
	y, err := Simulate(context.Background(), c, seed)
	if err != nil {
		t.Fatal(err)
	}
	return y
}

// A tank that throttles at full and has a softener that takes 90 minutes every
// third night: the level falls by the draw for as long, and comes back by what
// is left over.
func TestRegenerationStealsItsTime(t *testing.T) {
	const source = derived + "arithmetic: 2 L/min for 90 minutes without make-up is 180 L"
	tank := Tank{Total: 1, Stop: 1, Start: 1, CutOff: 0.1, Restart: 0.2}
	c := Case{
		Profile: weeping(2), Tank: tank, MakeUp: SteadyMakeUp(quantity.LitresPerMinute(3)),
		Interruptions: []Interruption{{Name: "regeneration", Day: 1, Every: 3, At: quantity.Hours(2), For: quantity.Minutes(90)}},
	}
	y := mustRun(t, c, 1)
	regenerations := 0
	for day, d := range y.Days {
		want := 1000.0
		if day%3 == 1 {
			want = 820
			regenerations++
		}
		if day > 0 && math.Abs(d.Lowest.Litres()-want) > 1e-6 {
			t.Fatalf("day %d fell to %g L, want %g: %s", day, d.Lowest.Litres(), want, source)
		}
	}
	// make-up rests for 90 minutes each
	check.Near(t, float64(y.Running)/60, DaysInYear*1440-float64(regenerations)*90, 60, source)
}

// Overlapping shares multiply: a backwash at half make-up within a
// regeneration.
func TestInterruptionsOverlap(t *testing.T) {
	changes, err := changesOf([]Interruption{
		{At: 100, For: 200, Left: 0.5}, {At: 200, For: 50, Left: 0.4}, {At: 260, For: 10, PowerOff: true}, {At: 300, For: 100, Left: 0.1},
	})
	if err != nil {
		t.Fatal(err)
	}
	want := []change{{100, 0.5, false}, {200, 0.2, false}, {250, 0.5, false}, {260, 0, true}, {270, 0.5, false}, {300, 0.1, false}, {400, 1, false}}
	if len(changes) != len(want) {
		t.Fatalf("%+v", changes)
	}
	for i, c := range changes {
		if c.at != want[i].at || c.off != want[i].off || math.Abs(c.left-want[i].left) > 1e-15 {
			t.Errorf("change %d is %+v, want %+v", i, c, want[i])
		}
	}
}

// A power cut from 10 to 12 on one day: a steady run of short draws goes without
// for two hours, nobody else does.
func TestPowerCutRefusesWhoComes(t *testing.T) {
	p := steady(1440, 20, 20, Vend{Length: 30, SpotFree: 1, Flow: quantity.LitresPerMinute(1)})
	c := Case{
		Profile: p, Tank: roomyTank(), MakeUp: SteadyMakeUp(quantity.LitresPerMinute(3)),
		Interruptions: []Interruption{{Day: 40, At: quantity.Hours(10), For: quantity.Hours(2), PowerOff: true}},
	}
	y := mustRun(t, c, 7)
	for day, d := range y.Days {
		if (d.Short > 0) != (day == 40) {
			t.Errorf("day %d has %d short vends", day, d.Short)
		}
	}
	check.Near(t, float64(y.Refused), 120, 4*11, derived+"arithmetic: one a minute for two hours, four standard deviations")
	w := p.WeekdayOf(40)
	check.Near(t, float64(y.Week[w][10].Dry)*52, 1, 0.03, derived+"one hour in 52 weeks")
	if y.Emptied != 0 {
		t.Errorf("the tank emptied %d times, want never: it was the power", y.Emptied)
	}
}

// A membrane out for a day on a site that uses 400 L a day.
func TestMembraneOutForADayTakesADaysWater(t *testing.T) {
	tank := Tank{Total: 2, Stop: 2, Start: 2, CutOff: 0.1, Restart: 0.2}
	p := weeping(400.0 / 1440)
	c := Case{
		Profile: p, Tank: tank, MakeUp: SteadyMakeUp(quantity.LitresPerMinute(1)),
		Interruptions: []Interruption{{Day: 100, For: quantity.Days(1)}},
	}
	y := mustRun(t, c, 1)
	check.Within(t, y.Days[100].Lowest.Litres(), 1600, 1e-6, derived+"arithmetic: 2000 L less a day's 400")
	// 400 L at 1 - 400/1440 L/min
	check.Within(t, float64(y.AtFull.Days()), 364-400/(1-400.0/1440)/1440, 1e-3, derived+"arithmetic of the refill")
}

// Make-up that falls in two steps as the tank fills: fill times add up slice by
// slice.
func TestBackPressureSlowsTheFill(t *testing.T) {
	tank := Tank{Total: 1, Stop: 1, Start: 0.95, CutOff: 0.1, Restart: 0.999}
	p := steady(0.1, 1, 0, Vend{Length: quantity.Minutes(30), SpotFree: 1, Flow: quantity.LitresPerMinute(100)})
	c := Case{
		Profile: p, Tank: tank, MakeUp: SteadyMakeUp(quantity.LitresPerMinute(3)),
		Back: []BackPressure{{quantity.Litres(200), 0.5}, {quantity.Litres(500), 0.8}},
	}
	y := mustRun(t, c, 6)
	if y.Recovered < 20 {
		t.Fatalf("recovered %d times", y.Recovered)
	}
	check.Within(t, y.MeanRecovery.Minutes(), 400/3.0+300/2.4+200/1.5, 1e-6, derived+"900 L: 400 at 3 L/min, 300 at 2.4, 200 at 1.5")
}

// A draw between the make-ups of two slices holds the level on their edge.
func TestLevelRestsBetweenTwoSlices(t *testing.T) {
	tank := Tank{Total: 1, Stop: 1, Start: 0.9, CutOff: 0.1, Restart: 0.2}
	c := Case{
		Profile: weeping(2), Tank: tank, MakeUp: SteadyMakeUp(quantity.LitresPerMinute(3)),
		Back: []BackPressure{{quantity.Litres(300), 0.5}},
	}
	y := mustRun(t, c, 1)
	for day, d := range y.Days[2:] {
		if math.Abs(d.Lowest.Litres()-700) > 1e-6 {
			t.Fatalf("day %d: %g L, want 700, the edge: 3 L/min below it and 1.5 above against a draw of 2", day+2, d.Lowest.Litres())
		}
	}
	check.Within(t, y.Made.Litres()/y.Delivered.Litres(), 1, 1e-3, derived+"conservation of mass at rest")
	if y.Closing() > 1e-9 {
		t.Errorf("closes to %g", y.Closing())
	}
}

// Slices that all have the whole make-up change nothing.
func TestSlicesWithoutBackPressureChangeNothing(t *testing.T) {
	p, tank, makeUp := busySite(t)
	plain := mustRun(t, Case{Profile: p, Tank: tank, MakeUp: makeUp}, 3)
	sliced := mustRun(t, Case{Profile: p, Tank: tank, MakeUp: makeUp, Back: []BackPressure{{0.3, 1}, {0.9, 1}}}, 3)
	if plain.Short() != sliced.Short() || plain.Starts != sliced.Starts || math.Abs(float64(plain.Made-sliced.Made)) > 1e-9*float64(plain.Made) {
		t.Errorf("short %d and %d, starts %d and %d, made %g and %g", plain.Short(), sliced.Short(), plain.Starts, sliced.Starts, plain.Made, sliced.Made)
	}
}

func TestInterruptionsThatCannotBe(t *testing.T) {
	p, tank, makeUp := busySite(t)
	nan := math.NaN()
	for name, c := range map[string]Case{
		"day 365":             {Interruptions: []Interruption{{Day: 365, For: 60}}},
		"no length":           {Interruptions: []Interruption{{}}},
		"share not a number":  {Interruptions: []Interruption{{For: 60, Left: quantity.Ratio(nan)}}},
		"begins nowhere":      {Interruptions: []Interruption{{For: 60, At: quantity.Time(nan)}}},
		"more near full":      {Back: []BackPressure{{0.1, 0.9}, {0.2, 0.5}}},
		"slices out of order": {Back: []BackPressure{{0.2, 0.5}, {0.1, 0.9}}},
		"deeper than full":    {Back: []BackPressure{{5, 0.5}}},
		"depth not a number":  {Back: []BackPressure{{quantity.Volume(nan), 0.5}}},
	} {
		c.Profile, c.Tank, c.MakeUp = p, tank, makeUp
		if _, err := Simulate(context.Background(), c, 1); !errors.Is(err, ErrRange) {
			t.Errorf("%s: error is %v, want %v", name, err, ErrRange)
		}
	}
}
