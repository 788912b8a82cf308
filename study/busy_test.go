package study_test

import (
	"context"
	"math"
	"reflect"
	"testing"

	"rinsewright/demand"
	"rinsewright/quantity"
	"rinsewright/study"
)

func busy(t testing.TB, name string, o study.BusyOptions) *study.Busy {
	t.Helper()
	if o.Years == 0 {
		o.Years = 8
	}
	o.Seed = 1
	b, err := study.BusyDay(context.Background(), example(t, name), o)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return b
}

var exampleSites = []string{"brightmere", "cormorant-reach", "fennel-lane", "harrow-field", "long-barrow"}

// What must hold of any site, whatever its numbers.
func TestBusyAnswersHangTogether(t *testing.T) {
	for _, name := range exampleSites {
		t.Run(name, func(t *testing.T) {
			b := busy(t, name, study.BusyOptions{})
			if b.Years.RunDryBusiest.Mean > b.Years.RunDry.Mean {
				t.Errorf("the busiest day runs dry in %g of years, any day in %g", b.Years.RunDryBusiest.Mean, b.Years.RunDry.Mean)
			}
			usable := b.Case.Tank.Usable()
			today := b.Years.RunDry.Mean
			for i, row := range b.Map.Rows {
				risk := row.Risk(usable).Mean
				if row.Times == 1 && risk != today {
					t.Errorf("the map says %g of today's rig, the years %g", risk, today)
				}
				if i > 0 && risk > b.Map.Rows[i-1].Risk(usable).Mean {
					t.Errorf("more make-up runs dry more often at %g times", row.Times)
				}
			}
			if (today <= b.Risk) != (b.MoreTank <= usable*(1+1e-9)) {
				t.Errorf("risk %g accepted %g, yet the tank of %g m³ should be %g", today, b.Risk, usable, b.MoreTank)
			}
			if b.MoreMakeUp > 0 && (today <= b.Risk) != (b.MoreMakeUp <= 1) {
				t.Errorf("risk %g, yet %g times the make-up would do", today, b.MoreMakeUp)
			}
			if !(b.Recovers.Low <= b.Recovers.Median && b.Recovers.Median <= b.Recovers.High) {
				t.Errorf("recovers in %v", b.Recovers)
			}
			if b.Gap.Reaches && b.Gap.Starts.Mean > b.MostStarts {
				t.Errorf("%g starts a day, at most %g asked", b.Gap.Starts.Mean, b.MostStarts)
			}
			as, out := b.WhatIf[0], b.WhatIf[1]
			if out.Short.Mean < as.Short.Mean || out.Lowest > as.Lowest {
				t.Errorf("a day without membrane: %+v, with it %+v", out, as)
			}
			for i, o := range b.Delivery {
				if i > 0 && (o.Each > b.Delivery[i-1].Each || o.Pump < b.Delivery[i-1].Pump) {
					t.Errorf("%d guns get %g each from %g", o.Guns, o.Each, o.Pump)
				}
			}
		})
	}
}

func TestBusyDayDependsOnItsSeedAlone(t *testing.T) {
	if a, b := busy(t, "brightmere", study.BusyOptions{Years: 10}), busy(t, "brightmere", study.BusyOptions{Years: 10}); !reflect.DeepEqual(a.Years, b.Years) || !reflect.DeepEqual(a.Map, b.Map) || a.Good != b.Good {
		t.Error("two runs differ")
	}
}

// A van that fills every morning leaves less for the bays.
func TestMoreOutletsAskForMore(t *testing.T) {
	without := busy(t, "brightmere", study.BusyOptions{Years: 10})
	g := demand.Group{
		Name: "van", Outlets: 1, Waiting: 1, Regular: true,
		Vends: []demand.Vend{{Name: "fill", Length: quantity.Minutes(20), SpotFree: 1, Flow: quantity.LitresPerMinute(20)}},
	}
	for d := range g.Weekday {
		g.Weekday[d] = 1
	}
	g.Hours[6] = 1
	with := busy(t, "brightmere", study.BusyOptions{Years: 10, Groups: []demand.Group{g}})
	if !(with.Demand.Year > without.Demand.Year && with.Years.Lowest.Mean < without.Years.Lowest.Mean && with.Good.Times <= without.Good.Times) {
		t.Errorf("with a van %g m³ a year, without %g; good until %g and %g times", with.Demand.Year, without.Demand.Year, with.Good.Times, without.Good.Times)
	}
}

// The pump's starts between cut-in and cut-out are most at half its flow.
func TestAccumulatorKeepsThePumpsStarts(t *testing.T) {
	for _, name := range exampleSites {
		b := busy(t, name, study.BusyOptions{Years: 2})
		v := float64(b.PumpStarts.Drawdown)
		if v == 0 {
			continue
		}
		pump := float64(b.Delivery[len(b.Delivery)-1].Pump)
		most := 0.0
		for share := 0.01; share < 1; share += 0.01 {
			q := share * pump
			most = max(most, 3600/(v/q+v/(pump-q)))
		}
		if math.Abs(most-20) > 0.01 {
			t.Errorf("%s: %g starts an hour at worst, want 20", name, most)
		}
		if !(b.PumpStarts.Accumulator > b.PumpStarts.Drawdown) || !b.Suction.Holds {
			t.Errorf("%s: %+v %+v", name, b.PumpStarts, b.Suction)
		}
	}
}

func BenchmarkBusyDay(b *testing.B) {
	s := example(b, "brightmere")
	for b.Loop() {
		if _, err := study.BusyDay(context.Background(), s, study.BusyOptions{Options: study.Options{Seed: 1}}); err != nil {
			b.Fatal(err)
		}
	}
}

// The picture's week begins on Monday and is full at night.
func TestWeekIsToldFromMonday(t *testing.T) {
	b := busy(t, "cormorant-reach", study.BusyOptions{})
	fill, short := b.Week()
	sum := 0.0
	for d := range fill {
		for h, f := range fill[d] {
			if !(0 <= f && f <= 1) {
				t.Errorf("weekday %d at %d is filled to %g", d, h, f)
			}
			sum += short[d][h]
		}
	}
	if math.Abs(sum-b.Years.Short.Mean) > 0.2*b.Years.Short.Mean+1 {
		t.Errorf("the week has %g short vends, the year %g", sum, b.Years.Short.Mean)
	}
	if fill[6][5] < fill[6][14] {
		t.Errorf("Sunday at five %g, at two in the afternoon %g", fill[6][5], fill[6][14])
	}
	if got, want := short[6][13], b.Years.Week[0][13].Short; got != want {
		t.Errorf("Sunday is %g, want %g", got, want)
	}
}
