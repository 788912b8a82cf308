package resin_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/water"
)

// hardWater is 20 gpg of two parts calcium to one of magnesium.
func hardWater(t testing.TB) water.Solution {
	t.Helper()
	w := water.Water{Temperature: quantity.Celsius(15)}
	w.Total[water.Calcium], w.Total[water.Magnesium], w.Total[water.Sodium] = 2.3, 1.12, 1.5
	w.Total[water.Chloride], w.Total[water.Sulphate] = 2, 0.5
	w.Alkalinity = water.ElectroneutralAlkalinity(w)
	w.Total[water.Carbon] = 1.1 * quantity.MolarConc(w.Alkalinity)
	s, err := water.Equilibrate(w)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// The column knows nothing of the trade's salt table: selectivity, film and beads
// alone give its capacities by salt dose.
func TestBrineInTheColumnGivesTheSaltTable(t *testing.T) {
	s := hardWater(t)
	for _, row := range []struct{ salt, want float64 }{{6, 20000}, {15, 30000}} { // lb/ft³, grains/ft³
		got, err := softenerBed(row.salt, false).Cycle(s)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "grains per ft³", resin.InGrainsPerCubicFoot(got.Capacity), row.want, 0.06, "published: trade page on softener salt, 1.0 ft³ row; other pages are 6 % apart")
	}
}

func softenerBed(pound float64, counter bool) resin.SoftenerBed {
	return resin.SoftenerBed{
		Resin: quantity.CubicFeet(1), Duty: resin.Duty{Flow: quantity.GallonsPerMinute(3)}, Cells: 20,
		Brine: resin.Brine{Salt: pounds(pound), Counter: counter},
	}
}

// Brine against the flow leaves the foot of the bed cleanest. common practice, no
// source.
func TestBrineAgainstTheFlowLeaksLess(t *testing.T) {
	s := hardWater(t)
	with, errA := softenerBed(6, false).Cycle(s)
	against, errB := softenerBed(6, true).Cycle(s)
	if errA != nil || errB != nil {
		t.Fatal(errA, errB)
	}
	if !(against.Leak < with.Leak*0.8) || !(against.Capacity > with.Capacity) {
		t.Errorf("with the flow %+v, against it %+v", with, against)
	}
	if !(with.Efficiency < 1 && with.Sodium < 1) {
		t.Errorf("%+v: no softener beats stoichiometry", with)
	}
}

// Whichever way brine goes, it takes hardness off and brings none, its sites stay
// full, and it is never better than its charge.
func TestBrineOnlyTakesHardnessOff(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		column, feed := resin.SoftenerColumn(hardWater(t), rapid.IntRange(2, 8).Draw(rt, "cells"))
		column.Volume, column.Duty = quantity.CubicFeet(1), resin.Duty{Flow: quantity.GallonsPerMinute(rapid.Float64Range(0.5, 8).Draw(rt, "gpm"))}
		run, err := column.Start()
		if err != nil {
			rt.Fatal(err)
		}
		for range 200 {
			if _, err := run.Shift(feed); err != nil {
				rt.Fatal(err)
			}
		}
		hard := func() (sum float64) {
			for i, ion := range column.Ions {
				if i > 0 {
					sum += float64(run.Held(i)) + float64(ion.Charge)*float64(run.Dissolved(i))
				}
			}
			return sum
		}
		before := hard()
		salt := pounds(rapid.Float64Range(3, 15).Draw(rt, "lb"))
		done, err := run.Regenerate(resin.Brine{Salt: salt, Counter: rapid.Bool().Draw(rt, "counter")}, column.Volume, make([]quantity.MolarConc, len(feed)))
		if err != nil {
			rt.Fatal(err)
		}
		if after := hard(); after > before*(1+1e-9) {
			rt.Fatalf("brine adds hardness: %v to %v", before, after)
		}
		sites := 0.0
		for i := range column.Ions {
			sites += float64(run.Held(i))
		}
		if math.Abs(sites-float64(column.Capacity)) > 1e-6*float64(column.Capacity) {
			rt.Fatalf("%v eq/m³ of sites taken, of %v", sites, column.Capacity)
		}
		if !(0 <= done.Efficiency && done.Efficiency <= 1 && 0 <= done.Sodium && done.Sodium <= 1) {
			rt.Fatalf("%+v", done)
		}
	})
}

func TestAFailingSoftenerIsHardAndSilent(t *testing.T) {
	softener := resin.Softener{Resin: quantity.CubicFeet(1), Salt: pounds(8), Diameter: quantity.Inches(9), Reserve: 0.25}
	h := grainsPerGallon(20)
	cycle, err := softener.Cycle(h, 10)
	if err != nil {
		t.Fatal(err)
	}
	outlet := func(f resin.SoftenerFault) resin.SoftenerOutlet {
		o, err := softener.Outlet(cycle, h, f)
		if err != nil {
			t.Fatal(err)
		}
		return o
	}
	near(t, "sound", float64(outlet(resin.SoftenerFault{}).Hardness), float64(cycle.Leak), 1e-12, "the cycle's leak")
	near(t, "a tenth bypassed", float64(outlet(resin.SoftenerFault{Bypassed: 0.1}).Hardness), 0.1*float64(h)+0.9*float64(cycle.Leak), 1e-12, "mass balance")
	never := outlet(resin.SoftenerFault{Missed: 2 * cycle.Water})
	near(t, "never regenerated", float64(never.Hardness), float64(h), 1e-12, "mass balance: a spent bed takes up nothing")
	if !never.Spent || outlet(resin.SoftenerFault{Missed: cycle.Water}).Spent {
		t.Error("the reserve is used up first, then the bed is spent")
	}
	near(t, "gallons until hard", never.HardFrom.Gallons(), 0.9*1200, 1e-4, "published: trade page, 24,000 grains at 20 gpg, less half the front")
	if _, err := softener.Outlet(cycle, h, resin.SoftenerFault{Bypassed: 2}); !errors.Is(err, resin.ErrRange) {
		t.Errorf("twice all bypassed: %v", err)
	}
}

func FuzzRegenerate(f *testing.F) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1e-300, 1e300} {
		f.Add(x, 1800.0, 1e-4)
		f.Add(3.0, x, 1e-4)
		f.Add(3.0, 1800.0, x)
	}
	f.Fuzz(func(t *testing.T, salt, strength, flow float64) {
		column, feed := resin.SoftenerColumn(hardWater(t), 3)
		column.Volume, column.Duty = 0.03, resin.Duty{Flow: 1e-4}
		run, err := column.Start()
		if err != nil {
			t.Fatal(err)
		}
		done, err := run.Regenerate(resin.Brine{Salt: quantity.Mass(salt), Strength: quantity.EquivConc(strength), Flow: quantity.Flow(flow)}, column.Volume, feed)
		if err == nil {
			mustBeFinite(t, float64(done.Drain), float64(done.Efficiency), float64(done.Sodium))
		}
		s := resin.Softener{Resin: 0.03, Salt: quantity.Mass(salt), Diameter: 0.2}
		if o, err := s.Outlet(resin.Cycle{Water: quantity.Volume(flow)}, 0.3, resin.SoftenerFault{Bypassed: quantity.Ratio(salt), Missed: quantity.Volume(strength)}); err == nil {
			mustBeFinite(t, float64(o.Hardness), float64(o.HardFrom))
		}
	})
}
