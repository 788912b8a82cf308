package carbon_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"rinsewright/carbon"
	"rinsewright/quantity"
)

// bare is a rig without carbon that runs all day on so much free chlorine.
func bare(free float64) carbon.Plan {
	return carbon.Plan{
		Calendar: carbon.Calendar{Usual: town(free, 0)},
		Flow:     quantity.LitresPerMinute(5), RunPerDay: quantity.Hours(24), Years: 5,
	}
}

func clock(t testing.TB, p carbon.Plan) carbon.Account {
	t.Helper()
	a, err := carbon.Clock(p)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func TestTraceOfChlorineStillRuinsAMembraneInYears(t *testing.T) {
	a := clock(t, bare(0.05))
	const source = "published: membrane manual, 200 to 1,000 ppm-h; arithmetic of 0.05 mg/L all day"
	if !a.FirstHarm.Reached || !a.Ruin.Reached {
		t.Fatalf("%+v", a)
	}
	near(t, "days to 200 mg/L-h", a.FirstHarm.Time.Days(), 167, 3e-3, source)
	near(t, "years to 1,000 mg/L-h", a.Ruin.Time.Days()/365.25, 2.28, 3e-3, source)
}

func TestExposureAlreadyHadCounts(t *testing.T) {
	p := bare(0.05)
	p.Before = quantity.MilligramHoursPerLitre(100)
	a := clock(t, p)
	near(t, "days to 200 mg/L-h with 100 behind", a.FirstHarm.Time.Days(), 100/(0.05*24), 1e-9, "arithmetic of 0.05 mg/L all day")
	p.Before = carbon.Ruin
	if a := clock(t, p); !a.Ruin.Reached || a.Ruin.Time != 0 {
		t.Errorf("a ruined membrane is ruined on day %v", a.Ruin.Time.Days())
	}
}

func TestADayOfOneMilligramIsTwentyFourMilligramHours(t *testing.T) {
	p := bare(1)
	p.Years = 1
	a := clock(t, p)
	near(t, "mg/L-h in a day", a.PerYear[0].MilligramHoursPerLitre()/365, 24, 1e-12, "published: membrane manual's unit; arithmetic")
}

// common practice, no source: a rig whose membrane had no carbon before it on
// chlorinated water was ruined.
func TestNoCarbonIsRuinWithinWeeks(t *testing.T) {
	a := clock(t, bare(1))
	if !a.Ruin.Reached || a.Ruin.Time.Days() > 60 || !a.LeakStarts.Reached {
		t.Errorf("%+v", a)
	}
}

// common practice, no source: chloramine is far gentler, 300,000 mg/L-h often
// quoted against 1,000.
func TestChloramineRunsTheClockSlowly(t *testing.T) {
	free, amine := bare(1), bare(0)
	amine.Calendar.Usual = town(0, 1)
	free.Years, amine.Years = 1, 1
	got := float64(clock(t, free).PerYear[0]) / float64(clock(t, amine).PerYear[0])
	near(t, "free chlorine against chloramine", got, 300, 1e-9, "from memory, unverified")
}

// switchTown sends chloramine, but six weeks of free chlorine from day 60. invented.
func switchTown() carbon.Calendar {
	return carbon.Calendar{
		Usual: town(0, 2),
		Events: []carbon.Event{{
			Name: "free chlorine weeks", Start: quantity.Days(60), Length: quantity.Days(42), Challenge: town(2.5, 0),
		}},
	}
}

func TestSwitchWeeksBurnThroughTiredCarbonAndNotThroughFresh(t *testing.T) {
	cartridge := bed(t, carbon.Block, quantity.Litres(2.5))
	p := carbon.Plan{Carbon: &cartridge, Calendar: switchTown(), Flow: quantity.LitresPerMinute(5), RunPerDay: quantity.Hours(6), Used: 0.6, Years: 1}
	tired := clock(t, p)
	p.Changes = []quantity.Time{0, quantity.Days(59), quantity.Days(81), quantity.Days(180), quantity.Days(270)}
	renewed := clock(t, p)
	if !tired.FirstHarm.Reached {
		t.Errorf("tired cartridges: %+v", tired)
	}
	if day := tired.FirstHarm.Time.Days(); !(60 <= day && day <= 102) {
		t.Errorf("harm on day %.0f, want it in the weeks of free chlorine, days 60 to 102", day)
	}
	if renewed.PerYear[0] > tired.PerYear[0]/10 {
		t.Errorf("renewed before the switch: %.0f mg/L-h a year, tired %.0f", renewed.PerYear[0].MilligramHoursPerLitre(), tired.PerYear[0].MilligramHoursPerLitre())
	}
}

func TestCalendarComesRoundEachYear(t *testing.T) {
	c := switchTown()
	c.Events = append(c.Events, carbon.Event{Name: "over new year", Start: quantity.Days(360), Length: quantity.Days(10), Challenge: town(1, 0)})
	for day, want := range map[float64]string{
		0: "over new year", 4.9: "over new year", 5: "", 59.9: "", 60: "free chlorine weeks", 101.9: "free chlorine weeks", 102: "",
		365 + 60: "free chlorine weeks", 364: "over new year", 3*365 + 200: "",
	} {
		if _, got := c.On(quantity.Days(day)); got != want {
			t.Errorf("day %v: %q, want %q", day, got, want)
		}
	}
}

func TestTheSwitchIsSeenComing(t *testing.T) {
	c := switchTown()
	c.Events = append(c.Events, carbon.Event{Name: "autumn flush", Start: quantity.Days(300), Length: quantity.Days(7), Challenge: town(1, 0)})
	for day, want := range map[float64]struct {
		name string
		wait float64
	}{
		0: {"free chlorine weeks", 60}, 59: {"free chlorine weeks", 1}, 61: {"autumn flush", 239},
		301: {"free chlorine weeks", 124}, 365 + 50: {"free chlorine weeks", 10},
	} {
		e, wait, ok := c.Next(quantity.Days(day))
		if !ok || e.Name != want.name || math.Abs(wait.Days()-want.wait) > 1e-9 {
			t.Errorf("day %v: %q in %v days, want %+v", day, e.Name, wait.Days(), want)
		}
	}
	if _, _, ok := (carbon.Calendar{}).Next(0); ok {
		t.Error("an empty calendar has a next event")
	}
}

// What the clock says of the switch weeks, the forecast of one event says too.
func TestForecastOfAnEventAgreesWithTheClock(t *testing.T) {
	cartridge := bed(t, carbon.Block, quantity.Litres(2.5))
	flow, hours := quantity.LitresPerMinute(5), quantity.Hours(6)
	for _, used := range []quantity.Ratio{0, 0.3, 0.6} {
		e := carbon.Event{Name: "free", Start: 0, Length: quantity.Days(42), Challenge: town(2.5, 0)}
		through, err := cartridge.Through(e, flow, hours, used)
		if err != nil {
			t.Fatal(err)
		}
		a := clock(t, carbon.Plan{
			Carbon: &cartridge, Calendar: carbon.Calendar{Usual: town(0, 0), Events: []carbon.Event{e}},
			Flow: flow, RunPerDay: hours, Used: used, Years: 1,
		})
		near(t, "used share", float64(through.Used), float64(a.Used), 1e-9, "mass balance")
		if through.Holds == a.LeakStarts.Reached {
			t.Errorf("used %v: holds %v, yet the clock's leak starts %+v", used, through.Holds, a.LeakStarts)
		}
	}
}

func FuzzClock(f *testing.F) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1e-300, 1e300} {
		f.Add(x, 1e-4, 2e4, 0.1, 0.0, 1e6)
		f.Add(2e-3, x, 2e4, 0.1, 0.0, 1e6)
		f.Add(2e-3, 1e-4, x, 0.1, 0.0, 1e6)
		f.Add(2e-3, 1e-4, 2e4, x, 0.0, 1e6)
		f.Add(2e-3, 1e-4, 2e4, 0.1, x, 1e6)
		f.Add(2e-3, 1e-4, 2e4, 0.1, 0.0, x)
	}
	f.Fuzz(func(t *testing.T, chlorine, flow, run, used, before, length float64) {
		b := bed(t, carbon.Granular, 0.028)
		c := town(0, 1)
		c.FreeChlorine = quantity.MassConc(chlorine)
		e := carbon.Event{Name: "weeks", Length: quantity.Time(length), Challenge: c}
		a, err := carbon.Clock(carbon.Plan{
			Carbon: &b, Calendar: carbon.Calendar{Usual: c, Events: []carbon.Event{e}}, Flow: quantity.Flow(flow),
			RunPerDay: quantity.Time(run), Used: quantity.Ratio(used), Before: quantity.Exposure(before), Years: 1,
		})
		if err == nil {
			mustBeFinite(t, float64(a.PerYear[0]), float64(a.FirstHarm.Time), float64(a.Ruin.Time), float64(a.LeakStarts.Time), float64(a.Used))
		}
		if p, err := b.Through(e, quantity.Flow(flow), quantity.Time(run), quantity.Ratio(used)); err == nil {
			mustBeFinite(t, float64(p.AtEnd.Total()), float64(p.AtStart.Total()), float64(p.Used))
		}
		if verdicts, err := b.Contact(c, quantity.Flow(flow)); err == nil {
			for _, v := range verdicts {
				mustBeFinite(t, float64(v.Have), float64(v.Margin))
			}
		}
		if v, err := carbon.LifeFromRating(quantity.Volume(flow), quantity.MassConc(chlorine), quantity.MassConc(run)); err == nil {
			mustBeFinite(t, float64(v))
		}
	})
}

func mustBeFinite(t *testing.T, xs ...float64) {
	t.Helper()
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			t.Fatalf("%v left the package", xs)
		}
	}
}

func TestExposureIsTheSumOfItsYearsAndOnlyGrows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, b := drawDuty(t)
		p := carbon.Plan{Carbon: &b, Calendar: carbon.Calendar{Usual: d.Challenge}, Flow: d.Flow, RunPerDay: d.RunPerDay, Used: d.Used, Years: 3}
		long, err := carbon.Clock(p)
		if err != nil {
			t.Fatal(err)
		}
		sum := quantity.Exposure(0)
		for year, e := range long.PerYear {
			if e < 0 || (year > 0 && float64(e) < float64(long.PerYear[year-1])*(1-1e-12)) {
				t.Fatalf("exposure by year %v: carbon that ages leaks no less", long.PerYear)
			}
			sum += e
		}
		for _, limit := range []struct {
			m carbon.Moment
			e quantity.Exposure
		}{{long.FirstHarm, carbon.FirstHarm}, {long.Ruin, carbon.Ruin}} {
			if limit.m.Reached != (float64(sum) >= float64(limit.e)*(1-1e-9)) && math.Abs(float64(sum/limit.e)-1) > 1e-9 {
				t.Fatalf("sum %v, limit %v, %+v", sum, limit.e, limit.m)
			}
		}
		p.Before = 100
		if later, err := carbon.Clock(p); err != nil || (long.Ruin.Reached && later.Ruin.Time > long.Ruin.Time) {
			t.Fatalf("a membrane with exposure behind it lasts longer: %+v, %v", later.Ruin, err)
		}
	})
}

func TestClockRefusesWhatIsNoPlan(t *testing.T) {
	spoil := map[string]func(*carbon.Plan){
		"no years":       func(p *carbon.Plan) { p.Years = 0 },
		"a century":      func(p *carbon.Plan) { p.Years = 100 },
		"no flow":        func(p *carbon.Plan) { p.Flow = 0 },
		"25 hours a day": func(p *carbon.Plan) { p.RunPerDay = quantity.Hours(25) },
		"NaN used":       func(p *carbon.Plan) { p.Used = quantity.Ratio(math.NaN()) },
		"NaN before":     func(p *carbon.Plan) { p.Before = quantity.Exposure(math.NaN()) },
		"endless event":  func(p *carbon.Plan) { p.Calendar.Events[0].Length = quantity.Time(math.Inf(1)) },
		"empty bed":      func(p *carbon.Plan) { p.Carbon = &carbon.Bed{} },
	}
	for name, f := range spoil {
		p := bare(1)
		p.Calendar = switchTown()
		f(&p)
		if a, err := carbon.Clock(p); err == nil {
			t.Errorf("%s: %+v", name, a)
		}
	}
}

func BenchmarkClock(b *testing.B) {
	cartridge := bed(b, carbon.Block, quantity.Litres(2.5))
	p := carbon.Plan{Carbon: &cartridge, Calendar: switchTown(), Flow: quantity.LitresPerMinute(5), RunPerDay: quantity.Hours(6), Years: 10}
	for b.Loop() {
		if _, err := carbon.Clock(p); err != nil {
			b.Fatal(err)
		}
	}
}
