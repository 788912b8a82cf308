package rinse

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

func TestPartsOfADropAddUp(t *testing.T) {
	mg := quantity.MilligramsPerLitre
	const source = derived + "arithmetic: 10, 15 and 25 of 50 mg/L"
	p, err := Chain{mg(10), mg(25), mg(50)}.Parts(0.05)
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, float64(p.Tank.Mean), 0.2, 1e-12, source)
	check.Near(t, float64(p.Line.Mean), 0.3, 1e-12, source)
	check.Near(t, float64(p.Film.Mean), 0.5, 1e-12, source)
	check.Near(t, float64(p.Water.Mean), 0.5, 1e-12, source)
	// gun 25 + 1.25 + 1 of drip 50 - 2.5 - 1
	check.Near(t, float64(p.Water.High), 27.25/46.5, 1e-12, derived+"arithmetic: both readings off by their doubt")
	check.Near(t, float64(p.Water.Low), 22.75/53.5, 1e-12, derived+"arithmetic: both readings off by their doubt")
}

func TestPartsOfAnyDrop(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		strength := rapid.Float64Range(0, 1)
		c := Chain{quantity.MassConc(strength.Draw(t, "tank")), quantity.MassConc(strength.Draw(t, "gun")), quantity.MassConc(0.002 + strength.Draw(t, "drip"))}
		p, err := c.Parts(quantity.Ratio(rapid.Float64Range(0, 0.5).Draw(t, "doubt")))
		if err != nil {
			t.Fatal(err)
		}
		if sum := p.Tank.Mean + p.Line.Mean + p.Film.Mean; math.Abs(float64(sum-1)) > 1e-12 {
			t.Errorf("parts add up to %g", sum)
		}
		for _, s := range []Share{p.Tank, p.Line, p.Film, p.Water} {
			if !(0 <= s.Low+1e-12 && s.Low <= s.Mean && s.Mean <= s.High && s.High <= 1+1e-12) {
				t.Errorf("share %+v", s)
			}
		}
	})
}

// The film that drips tell is the film that displacement was computed with.
func TestFilmFromDripsTurnsDisplacementRound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := Displacement{
			Film:  quantity.Length(rapid.Float64Range(2e-5, 5e-4).Draw(t, "film")),
			Wash:  quantity.MassConc(rapid.Float64Range(0.1, 2).Draw(t, "wash")),
			Rinse: quantity.MassConc(rapid.Float64Range(0, 0.05).Draw(t, "rinse")),
		}
		laid := d.Film * quantity.Length(rapid.Float64Range(0.03, 3.8).Draw(t, "films laid"))
		drip, err := d.After(laid)
		if err != nil {
			t.Fatal(err)
		}
		film, err := FilmFromDrips(laid, d.Wash, d.Rinse, drip)
		if err != nil || math.Abs(float64(film/d.Film)-1) > 1e-9 {
			t.Errorf("film %g (%v), want %g", film, err, d.Film)
		}
	})
	mg := quantity.MilligramsPerLitre
	got, err := FilmFromDrips(quantity.Millimetres(0.2), mg(400), mg(10), mg(10+390*math.Exp(-2)))
	if err != nil {
		t.Fatal(err)
	}
	check.Within(t, float64(got), 1e-4, 1e-9, "common practice, no source: the trade's 0.1 L/m² film, by displacement 62.8 mg/L after 0.2 L/m²")
	for name, drip := range map[string]float64{"cleaner than the rinse": 5, "nothing left": 11, "nothing displaced": 400, "not a number": math.NaN()} {
		if _, err := FilmFromDrips(quantity.Millimetres(0.2), mg(400), mg(10), mg(drip)); !errors.Is(err, ErrRange) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestPanelTestBlamesByElimination(t *testing.T) {
	for _, c := range []struct {
		test PanelTest
		want Link
	}{
		{PanelTest{BottledSpots: true, GunSpots: true, LongSpots: true}, NoTest},
		{PanelTest{GunSpots: true, LongSpots: true}, FromWater},
		{PanelTest{GunSpots: true}, FromWater},
		{PanelTest{}, FromPanel},
		{PanelTest{LongSpots: true}, FromDrops},
	} {
		if got := c.test.Says(); got != c.want {
			t.Errorf("%+v says %q, want %q", c.test, got, c.want)
		}
	}
}

func TestDropsThatCannotBeSplit(t *testing.T) {
	mg := quantity.MilligramsPerLitre
	for name, c := range map[string]Chain{
		"too clean":         {mg(0), mg(0), mg(1)},
		"tank not a number": {mg(math.NaN()), mg(5), mg(10)},
		"gun below nothing": {mg(1), mg(-1), mg(10)},
	} {
		if _, err := c.Parts(0.05); !errors.Is(err, ErrRange) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A pen that shows whole milligrams can't blame the tank for one of them.
func TestThePensLastDigitBlamesNobody(t *testing.T) {
	mg := quantity.MilligramsPerLitre
	for tank, want := range map[float64]Link{30.9: FromDrops, 31.1: FromWater} {
		got, err := Chain{mg(tank), mg(tank), mg(tank)}.Weakest(mg(30), 0)
		if err != nil || got != want {
			t.Errorf("%g mg/L against 30: %q (%v), want %q", tank, got, err, want)
		}
	}
}
