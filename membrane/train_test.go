package membrane

import (
	"errors"
	"math"
	"testing"

	"rinsewright/internal/check"
	"rinsewright/quantity"
	"rinsewright/water"
)

// flows is the train's permeate on the tap stream, with the feed changed.
func flows(t *testing.T, train Train, celsius float64, change func(*Feed)) float64 {
	t.Helper()
	f := must[Feed](t)(FeedOf(tapStream(celsius), 0))
	if change != nil {
		change(&f)
	}
	q, _, err := train.Flows(f)
	if err != nil {
		t.Fatal(err)
	}
	return float64(q)
}

func TestFlowsAndRunAreOneModel(t *testing.T) {
	train := pair(t)
	train.Housings[1].Wear = Wear{WaterPermeability: 0.8, SaltPermeability: 2, Drop: 1.4, Bypass: 0.01, ScaledTail: 0.3}
	train.Parallel = 2
	for _, celsius := range []float64{5, 15, 30} {
		s := tapStream(celsius)
		s.Flow *= 2
		back := quantity.PSI(5)
		r := must[Result](t)(train.Run(s, back, 0))
		q, p, err := train.Flows(must[Feed](t)(FeedOf(s, back)))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "permeate", float64(q), float64(r.Permeate.Flow), 1e-12)
		near(t, "concentrate pressure", float64(p), float64(r.Concentrate.Pressure), 1e-12)
	}
}

func TestFlowsAllocatesNothing(t *testing.T) {
	train, f := pair(t), must[Feed](t)(FeedOf(tapStream(15), 0))
	if n := testing.AllocsPerRun(100, func() { _, _, _ = train.Flows(f) }); n != 0 {
		t.Errorf("%v allocations, want none", n)
	}
}

func TestMorePressureMorePermeate(t *testing.T) {
	train, was := pair(t), 0.0
	for psi := 30.0; psi <= 200; psi += 10 {
		q := flows(t, train, 15, func(f *Feed) { f.Pressure = quantity.PSI(psi); f.Flow = quantity.GallonsPerMinute(8) })
		if !(q > was) {
			t.Errorf("at %v psi %v, not more than %v", psi, q, was)
		}
		was = q
	}
}

func TestWarmerMorePermeate(t *testing.T) {
	train, was := pair(t), 0.0
	for c := 2.0; c <= 40; c += 2 {
		q := flows(t, train, c, nil)
		if !(q > was) {
			t.Errorf("at %v °C %v, not more than %v", c, q, was)
		}
		was = q
	}
}

func TestBackPressureTakesItsShare(t *testing.T) {
	train := pair(t)
	free := flows(t, train, 25, func(f *Feed) { f.Flow = quantity.GallonsPerMinute(6) })
	for _, c := range []struct{ psi, share float64 }{{5, 0.91}, {10, 0.82}, {20, 0.65}, {40, 0.30}} {
		q := flows(t, train, 25, func(f *Feed) { f.Flow = quantity.GallonsPerMinute(6); f.PermeatePressure = quantity.PSI(c.psi) })
		check.Near(t, q/free, c.share, 0.05, "common practice, no source: share of flow at 60 psi of a weaker feed against back-pressure, by net driving pressure")
	}
}

func TestWearMovesFlowTheWayTheTradeKnows(t *testing.T) {
	e := tapElement(t)
	q := func(w Wear) float64 { return flows(t, Train{Housings: []Housing{{e, w}}}, 15, nil) }
	fresh := q(New())
	for name, c := range map[string]struct {
		wear     Wear
		low, top float64 // of the new flow
	}{
		"fouled":   {Wear{WaterPermeability: 0.7, SaltPermeability: 1, Drop: 1}, 0.68, 0.85},
		"oxidised": {Wear{WaterPermeability: 1.3, SaltPermeability: 3, Drop: 1}, 1.1, 1.32},
		"scaled":   {Wear{WaterPermeability: 1, SaltPermeability: 1, Drop: 1, ScaledTail: 0.4}, 0.65, 0.8},
		"blocked":  {Wear{WaterPermeability: 1, SaltPermeability: 1, Drop: 6}, 0.8, 0.99},
		"leaking":  {Wear{WaterPermeability: 1, SaltPermeability: 1, Drop: 1, Bypass: 0.02}, 1.005, 1.05},
	} {
		if got := q(c.wear) / fresh; !(got > c.low && got < c.top) {
			t.Errorf("%s: ×%.4f of new, want %v to %v", name, got, c.low, c.top)
		}
	}
}

func TestTwoRowsShareTheFeed(t *testing.T) {
	one := pair(t)
	two := one
	two.Parallel = 2
	q1 := flows(t, one, 15, nil)
	q2 := flows(t, two, 15, func(f *Feed) { f.Flow *= 2 })
	near(t, "two rows", q2, 2*q1, 1e-12)
}

func TestNoFlowSaysWhichPressureAndWhatToChange(t *testing.T) {
	f := must[Feed](t)(FeedOf(tapStream(15), quantity.PSI(60)))
	_, _, err := pair(t).Flows(f)
	var no *NoFlowError
	if !errors.As(err, &no) || !errors.Is(err, ErrNoFlow) {
		t.Fatalf("error %v, want NoFlowError", err)
	}
	if no.Permeate != f.PermeatePressure || no.Hint() == "" {
		t.Errorf("error %+v, hint %q", no, no.Hint())
	}
	brine := water.Stream{Water: saltWater(8000, 15), Flow: 3e-4, Pressure: quantity.PSI(60)}
	_, err = pair(t).Run(brine, 0, 0)
	if !errors.As(err, &no) || no.Osmotic < no.Feed {
		t.Errorf("error %v, want osmotic pressure above feed pressure", err)
	}
}

func TestStarvedChannelSaysSo(t *testing.T) {
	f := must[Feed](t)(FeedOf(tapStream(25), 0))
	f.Flow, f.Pressure = quantity.LitresPerMinute(0.5), quantity.Bar(10)
	_, _, err := pair(t).Flows(f)
	var starved *StarvedError
	if !errors.As(err, &starved) || starved.Hint() == "" {
		t.Errorf("error %v, want StarvedError", err)
	}
}

func TestTrainMustBeMadeOfElements(t *testing.T) {
	f := must[Feed](t)(FeedOf(tapStream(25), 0))
	worn := pair(t)
	worn.Housings[0].Wear.Drop = math.NaN()
	for name, train := range map[string]Train{"empty": {}, "blank": {Housings: []Housing{{}}}, "worn": worn, "rows": {Housings: pair(t).Housings, Parallel: -1}} {
		if _, _, err := train.Flows(f); !errors.Is(err, ErrRange) {
			t.Errorf("%s: error %v, want ErrRange", name, err)
		}
	}
}

func FuzzFlows(f *testing.F) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1e-300, 1} {
		f.Add(x, 4e5, 0.0, 2e4, 288.0, 1.0, 1.0, 0.0)
		f.Add(2e-4, x, x, x, 288.0, 1.0, 1.0, 0.0)
		f.Add(2e-4, 4e5, 0.0, 2e4, x, x, 1.0, 0.0)
		f.Add(2e-4, 4e5, 0.0, 2e4, 288.0, 1.0, x, x)
	}
	e := tapElement(f)
	f.Fuzz(func(t *testing.T, flow, pressure, back, osmotic, temperature, passage, factor, share float64) {
		worn := Wear{factor, factor, factor, quantity.Ratio(share), quantity.Ratio(share)}
		q, p, err := Train{Housings: []Housing{{e, New()}, {e, worn}}}.Flows(Feed{
			Flow: quantity.Flow(flow), Pressure: quantity.Pressure(pressure), PermeatePressure: quantity.Pressure(back),
			OsmoticPressure: quantity.Pressure(osmotic), Temperature: quantity.Temperature(temperature), Passage: passage,
		})
		if err == nil && !(q >= 0 && float64(q) <= flow && finite(float64(p)) && float64(p) <= pressure) {
			t.Errorf("no error, yet permeate %v of %v, pressure %v of %v", q, flow, p, pressure)
		}
	})
}

func BenchmarkFlows(b *testing.B) {
	train := pair(b)
	f := must[Feed](b)(FeedOf(tapStream(15), 0))
	b.ReportAllocs()
	for b.Loop() {
		_, _, _ = train.Flows(f)
	}
}
