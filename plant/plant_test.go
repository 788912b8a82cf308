package plant

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"rinsewright/hydraulics"
	"rinsewright/membrane"
	"rinsewright/quantity"
	"rinsewright/water"
)

// Fresh well water, invented: 300 mg/L of salts at pH 7.4.
func tap(t testing.TB, celsius float64) water.Water {
	t.Helper()
	w := water.Water{Temperature: quantity.Celsius(celsius)}
	w.Total[water.Calcium], w.Total[water.Magnesium], w.Total[water.Sodium] = 1.2, 0.4, 1.5
	w.Total[water.Chloride], w.Total[water.Sulphate], w.Total[water.Silica] = 1.4, 0.4, 0.2
	w.Alkalinity = water.ElectroneutralAlkalinity(w)
	w, _, err := water.WithPH(w, 7.4)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func element(t testing.TB) membrane.Element {
	t.Helper()
	e, _, err := membrane.FromSheet(membrane.Sheet{
		Area: 2.6, PermeateFlow: quantity.GallonsPerDay(750), Rejection: 0.99, TestPressure: quantity.PSI(100), TestSalt: quantity.MilligramsPerLitre(500),
	})
	if err != nil {
		t.Fatal(err)
	}
	return e
}

func rig(t testing.TB, elements int) Plant {
	t.Helper()
	p := Plant{
		Supply:     hydraulics.CityCurve{Static: quantity.PSI(60), RunningPressure: quantity.PSI(50), RunningFlow: quantity.GallonsPerMinute(4)},
		FeedSide:   []Part{{"filter", hydraulics.Filter{CleanDrop: quantity.PSI(2), RatedFlow: quantity.GallonsPerMinute(1), ChangeDrop: quantity.PSI(15)}}},
		Restrictor: hydraulics.RatedRestrictor{Rated: quantity.GallonsPerMinute(0.5), At: quantity.PSI(60)},
	}
	for range elements {
		p.Train.Housings = append(p.Train.Housings, membrane.Housing{Element: element(t), Wear: membrane.New()})
	}
	return p
}

func operate(t testing.TB, p Plant, c Conditions) Point {
	t.Helper()
	point, err := p.Operate(c)
	if err != nil {
		t.Fatal(err)
	}
	return point
}

func TestWaterThatEntersLeaves(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		p := rig(t, rapid.IntRange(1, 3).Draw(r, "elements"))
		p.Lift = quantity.Metres(rapid.Float64Range(0, 5).Draw(r, "lift"))
		c := Conditions{Feed: tap(t, rapid.Float64Range(4, 35).Draw(r, "celsius")), TankPressure: quantity.PSI(rapid.Float64Range(0, 25).Draw(r, "back"))}
		point, err := p.Operate(c)
		if err != nil {
			r.Fatal(err)
		}
		m := point.Membrane
		in, out := float64(point.Feed.Flow), float64(m.Permeate.Flow+m.Concentrate.Flow)
		if math.Abs(in-out) > 1e-9*in {
			r.Errorf("feed %g m³/s, permeate and concentrate %g", in, out)
		}
		for component, feed := range point.Feed.Water.Total {
			enters := float64(feed) * in
			leaves := float64(m.Permeate.Water.Total[component])*float64(m.Permeate.Flow) + float64(m.Concentrate.Water.Total[component])*float64(m.Concentrate.Flow)
			if math.Abs(enters-leaves) > 1e-9*enters+1e-20 {
				r.Errorf("component %v: %g mol/s enters, %g leaves", water.Component(component), enters, leaves)
			}
		}
	})
}

func TestPressuresAgreeAtTheRestrictor(t *testing.T) {
	p := rig(t, 2)
	point := operate(t, p, Conditions{Feed: tap(t, 15)})
	fluid := hydraulics.Fluid{Density: 999.1, Viscosity: 1.138e-3}
	want, err := p.Restrictor.Loss(point.Membrane.Concentrate.Flow, fluid)
	if err != nil {
		t.Fatal(err)
	}
	got := point.Membrane.Concentrate.Pressure
	if math.Abs(float64(got-want)) > 1e-3*float64(want) {
		t.Errorf("the concentrate arrives with %.4f bar, its restrictor takes %.4f bar", got.Bar(), want.Bar())
	}
}

// What a practitioner knows of any rig, as directions.
func TestEveryChangeMovesTheRigTheRightWay(t *testing.T) {
	base := operate(t, rig(t, 2), Conditions{Feed: tap(t, 15)})
	flow := func(p Point) float64 { return float64(p.Membrane.Permeate.Flow) }
	salt := func(p Point) float64 { return float64(p.Membrane.Permeate.Water.Total[water.Sodium]) }
	recovery := func(p Point) float64 { return float64(p.Recovery()) }
	for _, row := range []struct {
		about string
		plant func(*Plant)
		at    Conditions
		of    func(Point) float64
		more  bool
	}{
		{"warmer feed makes more", func(*Plant) {}, Conditions{Feed: tap(t, 25)}, flow, true},
		{"colder feed makes less", func(*Plant) {}, Conditions{Feed: tap(t, 5)}, flow, false},
		{"back-pressure makes less", func(*Plant) {}, Conditions{Feed: tap(t, 15), TankPressure: quantity.PSI(20)}, flow, false},
		{"back-pressure passes more salt", func(*Plant) {}, Conditions{Feed: tap(t, 15), TankPressure: quantity.PSI(20)}, salt, true},
		{"a higher tank makes less", func(p *Plant) { p.Lift = quantity.Metres(6) }, Conditions{Feed: tap(t, 15)}, flow, false},
		{"a tighter restrictor raises recovery", func(p *Plant) {
			p.Restrictor = hydraulics.RatedRestrictor{Rated: quantity.GallonsPerMinute(0.25), At: quantity.PSI(60)}
		}, Conditions{Feed: tap(t, 15)}, recovery, true},
		{"a tighter restrictor passes more salt", func(p *Plant) {
			p.Restrictor = hydraulics.RatedRestrictor{Rated: quantity.GallonsPerMinute(0.25), At: quantity.PSI(60)}
		}, Conditions{Feed: tap(t, 15)}, salt, true},
		{"a clogged filter makes less", func(p *Plant) {
			p.FeedSide[0].Resistance = hydraulics.Filter{CleanDrop: quantity.PSI(15), RatedFlow: quantity.GallonsPerMinute(1), ChangeDrop: quantity.PSI(60)}
		}, Conditions{Feed: tap(t, 15)}, flow, false},
		{"a fouled membrane makes less", func(p *Plant) {
			for i := range p.Train.Housings {
				p.Train.Housings[i].Wear.WaterPermeability = 0.7
			}
		}, Conditions{Feed: tap(t, 15)}, flow, false},
		{"an oxidised membrane passes more", func(p *Plant) {
			for i := range p.Train.Housings {
				p.Train.Housings[i].Wear = membrane.Oxidation(quantity.MilligramHoursPerLitre(1500))
			}
		}, Conditions{Feed: tap(t, 15)}, salt, true},
	} {
		p := rig(t, 2)
		row.plant(&p)
		got := row.of(operate(t, p, row.at))
		if was := row.of(base); (got > was) != row.more || got == was {
			t.Errorf("%s: was %g, is %g", row.about, was, got)
		}
	}
}

// The trade's table of what back-pressure costs at 60 psi of feed:
// common practice, no source (TRADE 3.3, derived there with constant feed
// pressure, which our main does not hold; so within 8 points of flow).
func TestBackPressureCostsWhatTheTradeSays(t *testing.T) {
	p := rig(t, 1)
	p.Supply = hydraulics.CityCurve{Static: quantity.PSI(60), RunningPressure: quantity.PSI(59.9), RunningFlow: quantity.GallonsPerMinute(4)}
	p.FeedSide = nil
	free := float64(operate(t, p, Conditions{Feed: tap(t, 25)}).Membrane.Permeate.Flow)
	for _, row := range []struct{ psi, percent float64 }{{5, 91}, {10, 82}, {20, 65}, {40, 30}} {
		got := 100 * float64(operate(t, p, Conditions{Feed: tap(t, 25), TankPressure: quantity.PSI(row.psi)}).Membrane.Permeate.Flow) / free
		if math.Abs(got-row.percent) > 8 {
			t.Errorf("%g psi of back-pressure leaves %.0f %% of the flow, the trade says %g %%", row.psi, got, row.percent)
		}
	}
}

func TestARigThatCannotWorkSaysWhatToChange(t *testing.T) {
	var none *NoFeedError
	_, err := rig(t, 1).Operate(Conditions{Feed: tap(t, 15), TankPressure: quantity.PSI(70)})
	if !errors.As(err, &none) || none.Hint() == "" {
		t.Errorf("back-pressure above the tap's: got %v, want a NoFeedError with a hint", err)
	}
	if _, err := (Plant{}).Operate(Conditions{Feed: tap(t, 15)}); !errors.Is(err, ErrIncomplete) {
		t.Errorf("an empty plant: got %v, want ErrIncomplete", err)
	}
}

// Any rig and feed in or out of range ends with an answer or a reason, never
// with a number that is not one.
func FuzzOperate(f *testing.F) {
	f.Add(4.0, 2.0, 0.5, 15.0, 0.0, 0.0)
	f.Add(math.NaN(), 2.0, 0.5, 15.0, 0.0, 0.0)
	f.Add(4.0, math.Inf(1), -1.0, 400.0, 1e9, -50.0)
	f.Add(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
	f.Fuzz(func(t *testing.T, static, drop, restrictor, celsius, back, lift float64) {
		p := rig(t, 1)
		p.Supply = hydraulics.CityCurve{Static: quantity.Bar(static), RunningPressure: quantity.Bar(static - drop), RunningFlow: quantity.LitresPerMinute(10)}
		p.Restrictor = hydraulics.RatedRestrictor{Rated: quantity.LitresPerMinute(restrictor), At: quantity.Bar(4)}
		p.Lift = quantity.Metres(lift)
		w := tap(t, 15)
		w.Temperature = quantity.Celsius(celsius)
		point, err := p.Operate(Conditions{Feed: w, TankPressure: quantity.Bar(back)})
		if err != nil {
			return
		}
		for _, x := range []float64{float64(point.Feed.Flow), float64(point.Membrane.Permeate.Flow), float64(point.Recovery()), float64(point.BackPressure)} {
			if math.IsNaN(x) || math.IsInf(x, 0) || x < 0 {
				t.Errorf("an answer of %g", x)
			}
		}
	})
}

func BenchmarkOperate(b *testing.B) {
	p, c := rig(b, 2), Conditions{Feed: tap(b, 15)}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := p.Operate(c); err != nil {
			b.Fatal(err)
		}
	}
}
