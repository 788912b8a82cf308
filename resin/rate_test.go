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

// mixed is a cubic foot of new mixed bed as its working sites.
func mixed(t testing.TB) resin.Bed {
	t.Helper()
	bed, err := resin.MixedBed(quantity.CubicFeet(1), resin.New)
	if err != nil {
		t.Fatal(err)
	}
	return bed.Working()
}

// rated is mixed with film and beads at so many gpm.
func rated(t testing.TB, gpm float64, cells int) resin.Polisher {
	p := resin.NewPolisher(mixed(t))
	p.Cells, p.Duty = cells, resin.Duty{Flow: quantity.GallonsPerMinute(gpm)}
	return p
}

func TestDiffusivitiesAreThoseOfTables(t *testing.T) {
	for _, row := range []struct {
		c         water.Component
		want      float64 // 1e-9 m²/s at 25 °C
		tolerance float64
		source    string
	}{
		{water.Sodium, 1.334, 0.02, "published: ion diffusivities at infinite dilution, read in a public data file"},
		{water.Potassium, 1.957, 0.02, "published: ion diffusivities at infinite dilution, read in a public data file"},
		{water.Chloride, 2.032, 0.02, "published: ion diffusivities at infinite dilution, read in a public data file"},
		{water.Calcium, 0.792, 0.03, "from memory, unverified: Li and Gregory 1974"},
		{water.Sulphate, 1.065, 0.02, "from memory, unverified: Li and Gregory 1974"},
		{water.Nitrate, 1.902, 0.02, "from memory, unverified: Li and Gregory 1974"},
		{water.Boron, 1.12, 0.05, "published: B(OH)3 of Mackin 1986, read in public code"},
		{water.Silica, 1.0, 0.05, "published: H4SiO4 of Wollast and Garrels 1971, read in public code"},
	} {
		got, err := resin.Diffusivity(row.c, quantity.Celsius(25))
		if err != nil {
			t.Fatal(err)
		}
		near(t, row.c.String()+" diffusivity", float64(got)*1e9, row.want, row.tolerance, row.source)
	}
	carbon, err := resin.Diffusivity(water.Carbon, quantity.Celsius(25))
	if err != nil || !(1.185e-9 < carbon && carbon < 1.91e-9) {
		t.Errorf("carbon diffuses at %v, want between bicarbonate and carbon dioxide (published: read in a public data file)", carbon)
	}
}

// Two published films, each measured by itself, lie within a third of each other.
func TestTwoFilmsAgreeAsFarAsFilmsAreKnown(t *testing.T) {
	for _, u := range []quantity.Speed{0.001, 0.005, 0.02} {
		wilson, errA := resin.FilmWilson(u, 0.6e-3, 1.5e-9)
		kataoka, errB := resin.FilmKataoka(u, 0.6e-3, 1.5e-9)
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		near(t, "Kataoka over Wilson and Geankoplis", float64(kataoka/wilson), 0.76, 0.01, "published: both correlations, read in public code")
	}
	// Pocket calculator: (0.005 0.0006 / 1.5e-9) = 2000, cube root 12.60, over 0.38 times
	// 1.09 is 36.14; times D / d is 9.03e-5 m/s.
	k, err := resin.FilmWilson(0.005, 0.6e-3, 1.5e-9)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "film, m/s", float64(k), 9.03e-5, 2e-3, "published: Wilson and Geankoplis 1966, read in public code")
}

func TestTransferUnitsFallWithTheTwoThirdsPowerOfFlow(t *testing.T) {
	units := func(gpm float64) float64 {
		n, err := mixed(t).TransferUnits(water.Chloride, resin.Duty{Flow: quantity.GallonsPerMinute(gpm)}, quantity.Celsius(15))
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	near(t, "units at 8 times the flow", units(8)/units(1), 0.25, 1e-9, "published: Wilson and Geankoplis 1966, read in public code")
	if _, err := mixed(t).TransferUnits(water.Chloride, resin.Duty{}, quantity.Celsius(15)); !errors.Is(err, resin.ErrRange) {
		t.Errorf("a bed without flow: %v", err)
	}
}

// What crosses the film of a fresh bed falls by e with each transfer unit.
func TestFreshBedLeaksByItsTransferUnits(t *testing.T) {
	p := rated(t, 60, 50)
	p.PoreVolumes = 1
	feed := permeateWater(0.2, 0.05, 0, 0.01)
	run, err := p.Start(feed.Temperature)
	if err != nil {
		t.Fatal(err)
	}
	out, err := run.Shift(feed)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []water.Component{water.Sodium, water.Chloride} {
		n, err := p.Bed.TransferUnits(c, p.Duty, feed.Temperature)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "ln of "+c.String()+" that passes", math.Log(float64(out.Water.Total[c]/feed.Total[c])), -n, 0.01, "definition of a transfer unit")
	}
}

// Slow flow over small beads is equilibrium: both codes must then agree.
func TestWithoutResistanceTheRatesAreEquilibrium(t *testing.T) {
	feed := permeateWater(0.3, 0.1, 0.2, 0.05)
	slow := rated(t, 0.01, 40)
	slow.Duty.Bead = quantity.Length(1e-4)
	still := slow
	still.Duty = resin.Duty{}
	e := resin.Endpoint{Silica: quantity.MilligramsPerLitre(2)}
	a, okA, errA := slow.ToEndpoint(feed, e, 1e4)
	b, okB, errB := still.ToEndpoint(feed, e, 1e4)
	if !okA || !okB || errA != nil || errB != nil {
		t.Fatal(okA, okB, errA, errB)
	}
	near(t, "litres at no resistance", a.Litres(), b.Litres(), 0.015, "limit of the equations")
}

// randomPermeate draws a permeate such as membranes give.
func randomPermeate(t *rapid.T) water.Water {
	amount := func(name string, lo, hi float64) float64 {
		return math.Exp(rapid.Float64Range(math.Log(lo), math.Log(hi)).Draw(t, name))
	}
	w := permeateWater(amount("salt", 0.03, 1.5), amount("bicarbonate", 0.02, 0.5), amount("CO2", 0.01, 2.5), amount("silica", 0.003, 0.3))
	w.Temperature = quantity.Celsius(rapid.Float64Range(5, 30).Draw(t, "°C"))
	w.Total[water.Calcium] = quantity.MolarConc(amount("calcium", 0.002, 0.05))
	w.Total[water.Potassium] = quantity.MolarConc(amount("potassium", 0.002, 0.02))
	w.Total[water.Sulphate], w.Total[water.Nitrate] = w.Total[water.Calcium], w.Total[water.Potassium]
	return w
}

// Mass of every component and charge on both resins close over a run, whatever
// the flow.
func TestRatedPolisherLosesNothing(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		feed := randomPermeate(rt)
		p := rated(t, rapid.Float64Range(0.5, 20).Draw(rt, "gpm"), rapid.IntRange(1, 6).Draw(rt, "cells"))
		p.PoreVolumes = rapid.IntRange(1, 400).Draw(rt, "pore volumes")
		p.SodiumLeft, p.ChlorideLeft = 0.02, 0.05
		run, err := p.Start(feed.Temperature)
		if err != nil {
			rt.Fatal(err)
		}
		var before, left [water.NComponents]float64
		for c := range water.NComponents {
			before[c] = float64(run.Held(c))
		}
		step := float64(run.Step()) / float64(p.Bed.Volume)
		const shifts = 60
		for range shifts {
			out, err := run.Shift(feed)
			if err != nil {
				rt.Fatal(err)
			}
			for c := range water.NComponents {
				left[c] += float64(out.Water.Total[c]) * step
			}
			if miss := math.Abs(float64(out.Water.ChargeImbalance())); miss > 1e-9 {
				rt.Fatalf("water leaves with a charge of %v eq/m³", miss)
			}
		}
		cations, anions := 0.0, 0.0
		for c := range water.NComponents {
			in := float64(feed.Total[c]) * step * shifts
			if miss := in - left[c] - (float64(run.Held(c)) - before[c]); math.Abs(miss) > 1e-9*(1+in+before[c]) {
				rt.Fatalf("%s: in %v, out %v, gained %v", c, in, left[c], float64(run.Held(c))-before[c])
			}
			if z := float64(c.Charge()); z > 0 {
				cations += z * float64(run.Held(c))
			} else {
				anions += max(1, -z) * float64(run.Held(c))
			}
		}
		if cations > float64(p.Bed.CationCapacity)*(1+1e-9) || anions > float64(p.Bed.AnionCapacity)*(1+1e-9) {
			rt.Fatalf("%v and %v eq/m³ held on %v and %v of sites", cations, anions, p.Bed.CationCapacity, p.Bed.AnionCapacity)
		}
	})
}

// Faster flow and bigger beads never make a bed last longer.
func TestResistanceShortensTheRun(t *testing.T) {
	feed := permeateWater(0.3, 0.1, 0.2, 0.05)
	e := resin.Endpoint{Conductivity: quantity.MicrosiemensPerCm(1)}
	last := math.Inf(1)
	for _, gpm := range []float64{1, 3, 8, 20} {
		v, ok, err := rated(t, gpm, 20).ToEndpoint(feed, e, 1e4)
		if err != nil || !ok || !(v.Litres() < last) {
			t.Errorf("%v gpm: %v L after %v, %v", gpm, v.Litres(), last, err)
		}
		last = v.Litres()
	}
	fine := rated(t, 8, 20)
	coarse := fine
	coarse.Duty.Bead = quantity.Length(0.9e-3)
	a, _, errA := fine.ToEndpoint(feed, e, 1e4)
	b, _, errB := coarse.ToEndpoint(feed, e, 1e4)
	if errA != nil || errB != nil || !(b < a) {
		t.Errorf("0.6 mm beads %v, 0.9 mm beads %v: %v %v", a, b, errA, errB)
	}
}

// Beads that let ions in slowly shorten the run even where the film is the same.
func TestSlowBeadsShortenTheRun(t *testing.T) {
	feed := permeateWater(1, 0.3, 0.4, 0.1)
	e := resin.Endpoint{Silica: quantity.MilligramsPerLitre(1)}
	usual := rated(t, 3, 20)
	slow := usual
	slow.Duty.CationParticle, slow.Duty.AnionParticle = 5e-12, 5e-12
	a, _, errA := usual.ToEndpoint(feed, e, 1e4)
	b, _, errB := slow.ToEndpoint(feed, e, 1e4)
	if errA != nil || errB != nil || !(b < 0.98*a) {
		t.Errorf("usual beads %v, slow ones %v: %v %v", a, b, errA, errB)
	}
	fast, err := slow.Bed.Reach(feed, slow.Duty, e, resin.Doubts{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "litres by the fast form", fast.Volume.Litres(), b.Litres(), 0.05, "the column")
}

// Cells are a first-order scheme: its error falls as one over their number, so
// that a run ten times finer than 100 cells differs by 1.35 times what one three
// times finer does. Half a hundredth here is less than a hundredth there.
func TestAHundredCellsAreFineEnough(t *testing.T) {
	feed := permeateWater(1, 0.3, 0.4, 0.1)
	e := resin.Endpoint{Conductivity: quantity.MicrosiemensPerCm(1)}
	coarse, _, errA := rated(t, 3, 100).ToEndpoint(feed, e, 1e4)
	fine, _, errB := rated(t, 3, 300).ToEndpoint(feed, e, 1e4)
	if errA != nil || errB != nil {
		t.Fatal(errA, errB)
	}
	near(t, "litres with 100 cells", coarse.Litres(), fine.Litres(), 0.005, "convergence: 300 cells")
}

// A night's standing brings water and beads to equilibrium: a fresh foot of the
// bed keeps it pure, a spent bed gives feed.
func TestStandingWaterIsAsPureAsTheBedsFoot(t *testing.T) {
	p := rated(t, 60, 20)
	p.PoreVolumes = 20
	feed := permeateWater(0.2, 0.05, 0.1, 0.02)
	run, err := p.Start(feed.Temperature)
	if err != nil {
		t.Fatal(err)
	}
	running, err := run.Shift(feed)
	if err != nil {
		t.Fatal(err)
	}
	stood, err := run.Stand()
	if err != nil {
		t.Fatal(err)
	}
	if !(stood.Water.Total[water.Sodium] < running.Water.Total[water.Sodium]/1000) {
		t.Errorf("sodium %v while running, %v after standing: standing water has met the beads", running.Water.Total[water.Sodium], stood.Water.Total[water.Sodium])
	}
	slug, err := run.Restart(feed)
	if err != nil || len(slug) != p.Cells {
		t.Fatal(len(slug), err)
	}
	if first := slug[0].Water.Total[water.Sodium]; first != stood.Water.Total[water.Sodium] {
		t.Errorf("the first water out has %v of sodium, what stood has %v", first, stood.Water.Total[water.Sodium])
	}
	again, err := run.Shift(feed)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "sodium once it runs again", float64(again.Water.Total[water.Sodium]), float64(running.Water.Total[water.Sodium]), 0.05, "the same flow through the same film")
	if err := run.SetFlow(quantity.GallonsPerMinute(5)); err != nil {
		t.Fatal(err)
	}
	slower, err := run.Shift(feed)
	if err != nil || !(slower.Water.Total[water.Sodium] < again.Water.Total[water.Sodium]/100) {
		t.Errorf("a twelfth of the flow: %v after %v, %v", slower.Water.Total[water.Sodium], again.Water.Total[water.Sodium], err)
	}
}

func FuzzRatedPolisher(f *testing.F) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1e-300, 1e-9, 1e300, 9} {
		f.Add(x, 0.9, 6e-4, 1e-10, 0.1)
		f.Add(1e-4, x, 6e-4, 1e-10, 0.1)
		f.Add(1e-4, 0.9, x, 1e-10, 0.1)
		f.Add(1e-4, 0.9, 6e-4, x, 0.1)
		f.Add(1e-4, 0.9, 6e-4, 1e-10, x)
	}
	f.Fuzz(func(t *testing.T, flow, depth, bead, inside, salt float64) {
		p := rated(t, 1, 3)
		p.Duty = resin.Duty{Flow: quantity.Flow(flow), Depth: quantity.Length(depth), Bead: quantity.Length(bead), CationParticle: quantity.Diffusivity(inside)}
		feed := permeateWater(salt, 0.1, 0.1, 0.05)
		if r, err := p.Bed.Reach(feed, p.Duty, resin.Endpoint{Conductivity: 1e-4, Silica: 1e-3}, resin.Doubts{Water: 0.1, Flow: 0.1}); err == nil {
			mustBeFinite(t, float64(r.Volume), float64(r.Low), float64(r.High), float64(r.Utilisation))
		}
		if w, err := p.Bed.InService(feed, p.Duty); err == nil {
			mustBeFinite(t, float64(w.Total[water.Sodium]), float64(w.Alkalinity))
		}
		shifts := 0
		out, _, err := p.Until(feed, 1e5, func(resin.Outlet) bool { shifts++; return shifts > 20 })
		if err != nil {
			return
		}
		mustBeFinite(t, out.BedVolumes, float64(out.PH))
		for _, amount := range out.Water.Total {
			mustBeFinite(t, float64(amount))
		}
	})
}

// BenchmarkRatedPolisher is a mixed bed of 100 cells and 8 components run until
// nothing is held back any more.
func BenchmarkRatedPolisher(b *testing.B) {
	feed := permeateWater(0.15, 0.05, 0.2, 0.02)
	feed.Total[water.Calcium], feed.Total[water.Sulphate] = 0.02, 0.02
	feed.Total[water.Potassium], feed.Total[water.Nitrate] = 0.01, 0.01
	shifts := 0
	for b.Loop() {
		_, reached, err := rated(b, 3, 100).Until(feed, 1e5, func(o resin.Outlet) bool {
			shifts++
			return o.Water.Total[water.Chloride] > 0.9*feed.Total[water.Chloride] && o.Water.Total[water.Sodium] > 0.9*feed.Total[water.Sodium]
		})
		if err != nil || !reached {
			b.Fatal(reached, err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(shifts*100), "ns/cell-step")
}
