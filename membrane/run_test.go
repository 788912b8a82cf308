package membrane

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"rinsewright/internal/check"
	"rinsewright/quantity"
	"rinsewright/water"
)

// passage is a component's permeate strength over its feed strength.
func passage(r Result, feed water.Water, c water.Component) float64 {
	return float64(r.Permeate.Water.Total[c] / feed.Total[c])
}

func solution(t testing.TB, w water.Water) water.Solution {
	t.Helper()
	s, err := water.Equilibrate(w)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestAnswerDoesNotDependOnTheGrid(t *testing.T) {
	train := pair(t)
	for _, gpm := range []float64{3, 4, 8} {
		s := tapStream(20)
		s.Flow = quantity.GallonsPerMinute(gpm)
		coarse, fine := must[Result](t)(train.Run(s, 0, 0)), must[Result](t)(train.Run(s, 0, 100*DefaultSlices))
		near(t, "permeate", float64(coarse.Permeate.Flow), float64(fine.Permeate.Flow), 1e-3)
		near(t, "drop", float64(coarse.Drop), float64(fine.Drop), 1e-3)
		for c := range water.NComponents {
			if s.Water.Total[c] > 0 {
				near(t, c.String(), passage(coarse, s.Water, c), passage(fine, s.Water, c), 1e-3)
			}
		}
	}
}

func TestHealthyTapRigDeliversWhatTheTradeSees(t *testing.T) {
	const source = "common practice, no source: a healthy small rig at tap pressure on a tap of 428 ppm delivers 4 to 12 ppm by pen"
	check.Near(t, pen(t, tapWater(25)), 428, 10, source)
	for _, celsius := range []float64{10, 15, 20, 25} {
		r := must[Result](t)(pair(t).Run(tapStream(celsius), 0, 0))
		check.Near(t, pen(t, r.Permeate.Water), 8, 4, source)
	}
}

// common practice, no source: the classical order of rejection.
func TestIonsPassInTheClassicalOrder(t *testing.T) {
	s := tapStream(15)
	r := must[Result](t)(pair(t).Run(s, 0, 0))
	p := func(c water.Component) float64 { return passage(r, s.Water, c) }
	for _, order := range [][2]water.Component{
		{water.Calcium, water.Sodium},
		{water.Magnesium, water.Sodium},
		{water.Strontium, water.Sodium},
		{water.Sodium, water.Potassium},
		{water.Potassium, water.Ammonia},
		{water.Sulphate, water.Chloride},
		{water.Phosphate, water.Chloride},
		{water.Fluoride, water.Chloride},
		{water.Chloride, water.Nitrate},
		{water.Nitrate, water.Boron},
	} {
		if !(p(order[0]) < p(order[1])) {
			t.Errorf("%v passes %.4f, %v %.4f", order[0], p(order[0]), order[1], p(order[1]))
		}
	}
	if !(4*p(water.Calcium) < p(water.Sodium) && 4*p(water.Sulphate) < p(water.Chloride)) {
		t.Error("divalents pass more than a quarter of what monovalents do")
	}
}

func TestCarbonDioxidePassesAsIfThereWereNoMembrane(t *testing.T) {
	for _, celsius := range []float64{5, 15, 30} {
		s := tapStream(celsius)
		r := must[Result](t)(pair(t).Run(s, 0, 0))
		feed, out := solution(t, s.Water), solution(t, r.Permeate.Water)
		near(t, "CO2", float64(out.CO2()), float64(feed.CO2()), 0.03)
		if !(out.PH < feed.PH-1) {
			t.Errorf("permeate pH %.2f of a feed at %.2f: want well below", out.PH, feed.PH)
		}
	}
}

func TestPermeateCarriesNoCharge(t *testing.T) {
	r := must[Result](t)(pair(t).Run(tapStream(15), 0, 0))
	ions, net := 0.0, 0.0
	solution(t, r.Permeate.Water).EachSpecies(func(_ string, z int, c quantity.MolarConc) {
		net += float64(z) * float64(c)
		ions += math.Abs(float64(z)) * float64(c)
	})
	if !(math.Abs(net) < 1e-6*ions) {
		t.Errorf("charge %.3g of %.3g mol/m3", net, ions)
	}
	if a := float64(r.Permeate.Water.Alkalinity); !(a > 0) {
		t.Errorf("alkalinity %v, want some bicarbonate", a)
	}
}

func TestWeakAcidsAndAmmoniaPassByTheirCharge(t *testing.T) {
	low, high := tapStream(25), tapStream(25)
	high.Water.Total[water.Carbon] = quantity.MolarConc(0.55 * float64(high.Water.Alkalinity)) // pH near 10
	train := pair(t)
	rl, rh := must[Result](t)(train.Run(low, 0, 0)), must[Result](t)(train.Run(high, 0, 0))
	if rh.FeedPH < 9.5 {
		t.Fatalf("pH %.2f, want an alkaline feed", rh.FeedPH)
	}
	for _, c := range []water.Component{water.Silica, water.Boron} {
		if !(passage(rh, high.Water, c) < 0.85*passage(rl, low.Water, c)) {
			t.Errorf("%v passes %.4f at pH %.1f and %.4f at pH %.1f", c, passage(rh, high.Water, c), rh.FeedPH, passage(rl, low.Water, c), rl.FeedPH)
		}
	}
	if a, b := passage(rh, high.Water, water.Ammonia), passage(rl, low.Water, water.Ammonia); !(a > 10*b) {
		t.Errorf("ammonia passes %.4f as gas and %.4f as ion", a, b)
	}
}

// Softening trades hardness for sodium, which passes more: the permeate is stronger.
func TestSoftenedFeedGivesStrongerPermeate(t *testing.T) {
	hard, soft := tapStream(15), tapStream(15)
	for _, c := range []water.Component{water.Calcium, water.Magnesium, water.Strontium} {
		soft.Water.Total[water.Sodium] += 2 * soft.Water.Total[c]
		soft.Water.Total[c] = 0
	}
	train := pair(t)
	rh, rs := must[Result](t)(train.Run(hard, 0, 0)), must[Result](t)(train.Run(soft, 0, 0))
	ions := func(r Result) float64 {
		w := r.Permeate.Water
		return float64(w.Alkalinity) + float64(w.Total[water.Chloride]+w.Total[water.Nitrate]+2*w.Total[water.Sulphate])
	}
	if !(ions(rs) > 1.1*ions(rh)) {
		t.Errorf("softened %.4g, hard %.4g eq/m3", ions(rs), ions(rh))
	}
}

func TestSaltPassageFollowsConditions(t *testing.T) {
	train := pair(t)
	at := func(celsius float64, back, feed quantity.Pressure) float64 {
		s := tapStream(celsius)
		s.Pressure = feed
		return float64(must[Result](t)(train.Run(s, back, 0)).Passage)
	}
	base := at(15, 0, quantity.PSI(60))
	if x := at(25, 0, quantity.PSI(60)); !(x > base) {
		t.Errorf("warmer: %.5f, was %.5f; want more", x, base)
	}
	if x := at(15, quantity.PSI(20), quantity.PSI(60)); !(x > 1.2*base) {
		t.Errorf("back-pressure: %.5f, was %.5f; want a fifth more", x, base)
	}
	if x := at(15, 0, quantity.PSI(40)); !(x > base) {
		t.Errorf("less pressure: %.5f, was %.5f; want more", x, base)
	}
}

func TestWearRaisesPassage(t *testing.T) {
	e := tapElement(t)
	run := func(w Wear) float64 {
		return float64(must[Result](t)(Train{Housings: []Housing{{e, w}}}.Run(tapStream(15), 0, 0)).Permeate.Water.Total[water.Sodium])
	}
	fresh := run(New())
	for name, w := range map[string]Wear{
		"oxidised": {WaterPermeability: 1.1, SaltPermeability: 2, Drop: 1},
		"scaled":   {WaterPermeability: 1, SaltPermeability: 1, Drop: 1, ScaledTail: 0.4},
		"leaking":  {WaterPermeability: 1, SaltPermeability: 1, Drop: 1, Bypass: 0.01},
	} {
		if got := run(w); !(got > 1.05*fresh) {
			t.Errorf("%s: sodium %.4g, new %.4g", name, got, fresh)
		}
	}
}

// A leak of 1 % of the permeate brings 1 % of the feed's strength with it.
func TestSealLeakCarriesFeedAcross(t *testing.T) {
	e := tapElement(t)
	w := New()
	w.Bypass = 0.01
	s := tapStream(25)
	r := must[Result](t)(Train{Housings: []Housing{{e, w}}}.Run(s, 0, 0))
	tight := must[Result](t)(Train{Housings: []Housing{{e, New()}}}.Run(s, 0, 0))
	share := float64(r.Elements[0].Leak) / float64(r.Permeate.Flow)
	near(t, "sulphate", passage(r, s.Water, water.Sulphate)-passage(tight, s.Water, water.Sulphate), share, 0.02)
}

func TestProfileIsOnePicture(t *testing.T) {
	r := must[Result](t)(pair(t).Run(tapStream(15), 0, 0))
	if len(r.Profile) != 2*DefaultSlices || len(r.Elements) != 2 {
		t.Fatalf("%d slices, %d elements", len(r.Profile), len(r.Elements))
	}
	for i := 1; i < len(r.Profile); i++ {
		a, b := r.Profile[i-1], r.Profile[i]
		if !(b.Position > a.Position && b.Pressure < a.Pressure && b.Strength > a.Strength && b.Speed < a.Speed && b.Flux < a.Flux) {
			t.Errorf("slice %d: %+v after %+v", i, b, a)
		}
	}
	if !(r.FirstFlux > r.MeanFlux && r.MeanFlux > r.LastFlux) {
		t.Errorf("flux %v %v %v", r.FirstFlux, r.MeanFlux, r.LastFlux)
	}
	near(t, "drop", float64(r.Drop), float64(tapStream(15).Pressure-r.Concentrate.Pressure), 1e-12)
	near(t, "mean flux", float64(r.MeanFlux)*2*7.9, float64(r.Permeate.Flow), 1e-12)
}

// anyTrain draws a train in a state of wear.
func anyTrain(t *rapid.T, e Element) Train {
	train := Train{Parallel: rapid.IntRange(1, 3).Draw(t, "rows")}
	for range rapid.IntRange(1, 4).Draw(t, "elements") {
		train.Housings = append(train.Housings, Housing{e, Wear{
			WaterPermeability: rapid.Float64Range(0.3, 1.5).Draw(t, "A"),
			SaltPermeability:  rapid.Float64Range(0.5, 10).Draw(t, "B"),
			Drop:              rapid.Float64Range(0.8, 5).Draw(t, "drop"),
			Bypass:            quantity.Ratio(rapid.Float64Range(0, 0.05).Draw(t, "bypass")),
			ScaledTail:        quantity.Ratio(rapid.Float64Range(0, 1).Draw(t, "tail")),
		}})
	}
	return train
}

// anyWater draws a water, neutral in charge, any component perhaps absent.
func anyWater(t *rapid.T) water.Water {
	w := water.Water{Temperature: quantity.Celsius(rapid.Float64Range(1, 40).Draw(t, "°C"))}
	for c := range water.NComponents {
		top := 3.0
		if c == water.Strontium || c == water.Barium || c == water.Iron || c == water.Manganese || c == water.Phosphate || c == water.Boron {
			top = 0.02
		}
		if rapid.Bool().Draw(t, "present") {
			w.Total[c] = quantity.MolarConc(rapid.Float64Range(1e-9, top).Draw(t, c.String()))
		}
	}
	w.Total[water.Sodium] += 0.2
	if short := 0.2 - float64(water.ElectroneutralAlkalinity(w)); short > 0 {
		w.Total[water.Sodium] += quantity.MolarConc(short)
	}
	w.Alkalinity = water.ElectroneutralAlkalinity(w)
	w.Total[water.Carbon] = quantity.MolarConc(float64(w.Alkalinity) * rapid.Float64Range(0.97, 1.3).Draw(t, "carbon"))
	return w
}

func TestWhatEntersLeaves(t *testing.T) {
	e := tapElement(t)
	ran := 0
	rapid.Check(t, func(t *rapid.T) {
		feed := water.Stream{
			Water:    anyWater(t),
			Flow:     quantity.LitresPerMinute(rapid.Float64Range(5, 100).Draw(t, "L/min")),
			Pressure: quantity.Bar(rapid.Float64Range(1.5, 15).Draw(t, "bar")),
		}
		r, err := anyTrain(t, e).Run(feed, quantity.Bar(rapid.Float64Range(0, 0.5).Draw(t, "back")), 5)
		if err != nil {
			return
		}
		ran++
		closes := func(what string, in, p, c float64) {
			if !(math.Abs(in-p-c) <= 1e-9*math.Abs(in)) {
				t.Errorf("%s: %.12g enters, %.12g leaves", what, in, p+c)
			}
		}
		q, qp, qc := float64(feed.Flow), float64(r.Permeate.Flow), float64(r.Concentrate.Flow)
		closes("water", q, qp, qc)
		for c := range water.NComponents {
			in, p, k := float64(feed.Water.Total[c]), float64(r.Permeate.Water.Total[c]), float64(r.Concentrate.Water.Total[c])
			closes(c.String(), q*in, qp*p, qc*k)
			if p < 0 || k < 0 {
				t.Errorf("%v below nothing: %v, %v", c, p, k)
			}
		}
		closes("alkalinity", q*float64(feed.Water.Alkalinity), qp*float64(r.Permeate.Water.Alkalinity), qc*float64(r.Concentrate.Water.Alkalinity))
		if _, err := water.Equilibrate(r.Permeate.Water); err != nil {
			t.Errorf("permeate has no equilibrium: %v", err)
		}
	})
	if ran < 10 { // of 100, and of the 20 that short tests may draw
		t.Errorf("only %d of the draws could run", ran)
	}
}

func FuzzRun(f *testing.F) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1e-300, 1e300} {
		f.Add(x, 4e5, 0.0, 288.0, 1.0, 1.0, 1.0, 20)
		f.Add(2e-4, x, x, 288.0, 1.0, 1.0, 1.0, 20)
		f.Add(2e-4, 4e5, 0.0, x, x, 1.0, 1.0, 20)
		f.Add(2e-4, 4e5, 0.0, 288.0, 1.0, x, x, -1)
	}
	e := tapElement(f)
	f.Fuzz(func(t *testing.T, flow, pressure, back, temperature, calcium, carbon, alkalinity float64, slices int) {
		w := water.Water{Temperature: quantity.Temperature(temperature), Alkalinity: quantity.EquivConc(alkalinity)}
		w.Total[water.Calcium], w.Total[water.Carbon] = quantity.MolarConc(calcium), quantity.MolarConc(carbon)
		train := Train{Housings: []Housing{{e, New()}}}
		feed := water.Stream{Water: w, Flow: quantity.Flow(flow), Pressure: quantity.Pressure(pressure)}
		r, err := train.Run(feed, quantity.Pressure(back), min(slices, 100))
		if err != nil {
			return
		}
		if err := r.check(); err != nil {
			t.Error(err)
		}
		for _, s := range r.Profile {
			if !finite(float64(s.Flux) + float64(s.Osmotic) + s.Polarisation + s.Strength + s.PermeateStrength) {
				t.Errorf("no error, yet slice %+v", s)
			}
		}
	})
}

func BenchmarkRun(b *testing.B) {
	train, s := pair(b), tapStream(15)
	b.ReportAllocs()
	for b.Loop() {
		_, _ = train.Run(s, 0, 0)
	}
}
