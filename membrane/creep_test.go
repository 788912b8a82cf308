package membrane

import (
	"errors"
	"math"
	"testing"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

// tapCreep is the tap element after a standstill between 600 and 8 mg/L.
func tapCreep(t *testing.T, minutes float64) Creep {
	t.Helper()
	return must[Creep](t)(tapElement(t).Creep(quantity.Minutes(minutes), quantity.MilligramsPerLitre(600), quantity.MilligramsPerLitre(8), quantity.Celsius(18), New()))
}

func TestStandstillFeelsAsTheTradeKnowsIt(t *testing.T) {
	const source = "from memory, unverified: "
	check.Near(t, tapElement(t).HoldUp().Gallons(), 0.3, 0.1, source+"permeate side of a 40 in element, US gal")
	hour := tapCreep(t, 60)
	check.Near(t, hour.First.MilligramsPerLitre(), 250, 150, source+"first reading seen after a standstill, ppm")
	check.Near(t, tapCreep(t, 15).First.MilligramsPerLitre(), 150, 75, source+"slug of a float start, ppm")
	fiveMinutes := quantity.GallonsPerMinute(0.35).Over(quantity.Minutes(5))
	if left := hour.After(fiveMinutes).MilligramsPerLitre(); !(left < 12) {
		t.Errorf("after 5 min at 0.35 gpm %.1f mg/L, want clear", left)
	}
}

func TestShareOfCreepInTheResinsLoad(t *testing.T) {
	// 0.3 gal of 150 ppm before 0.35 gpm of 10 ppm.
	c := Creep{First: quantity.MilligramsPerLitre(160), Steady: quantity.MilligramsPerLitre(10), HoldUp: quantity.Gallons(0.3)}
	for _, row := range []struct{ minutes, share float64 }{{6, 0.68}, {10, 0.56}, {30, 0.30}, {60, 0.18}} {
		ran := quantity.GallonsPerMinute(0.35).Over(quantity.Minutes(row.minutes))
		extra := float64(c.Extra())
		share := extra / (extra + float64(ran)*float64(c.Steady))
		check.Near(t, share, row.share, 0.006, "common practice, no source: slug C0/(slug C0 + Q t Cp)")
	}
}

func TestCreepWashesOutWhatCreptIn(t *testing.T) {
	c := tapCreep(t, 30)
	v := quantity.Volume(20 * float64(c.HoldUp))
	delivered := float64(c.Mean(v)-c.Steady) * float64(v)
	near(t, "excess delivered", delivered, float64(c.Extra()), 1e-8)
	near(t, "at the start", float64(c.After(0)), float64(c.First), 1e-12)
	near(t, "excess share", float64(c.Excess(c.HoldUp)), float64(c.Share)*math.Exp(-1), 1e-12)
}

// Salt only moves: what the permeate side gained, the feed side lost, so both end at the mixture.
func TestLongStandstillEndsAtOneStrength(t *testing.T) {
	e := tapElement(t)
	c := tapCreep(t, 1e5)
	vp, vf := float64(e.HoldUp()), float64(e.FeedHoldUp())
	near(t, "end", float64(c.First), (vp*8e-3+vf*600e-3)/(vp+vf), 1e-9)
	if none := tapCreep(t, 0); none.First != none.Steady || none.Extra() != 0 {
		t.Errorf("no standstill: %+v", none)
	}
}

func TestCreepGrowsWithTimeHeatAndOxidation(t *testing.T) {
	e := tapElement(t)
	at := func(minutes, celsius, b float64) float64 {
		w := New()
		w.SaltPermeability = b
		return float64(must[Creep](t)(e.Creep(quantity.Minutes(minutes), 0.6, 0.008, quantity.Celsius(celsius), w)).First)
	}
	base := at(10, 15, 1)
	for name, x := range map[string]float64{"longer": at(20, 15, 1), "warmer": at(10, 25, 1), "oxidised": at(10, 15, 2)} {
		if !(x > base) {
			t.Errorf("%s: %v, was %v", name, x, base)
		}
	}
	tiny := at(0.01, 25, 1) - 0.008
	b := float64(e.SaltPermeability) * float64(e.Sheet.Area) / float64(e.HoldUp())
	near(t, "first moment, by definition of B", tiny, b*0.6*(0.6-0.008), 1e-3)
}

func TestTrainsCreepIsItsElements(t *testing.T) {
	train := pair(t)
	train.Parallel = 2
	one := must[Creep](t)(train.Housings[0].Element.Creep(600, 0.6, 0.008, 290, New()))
	all := must[Creep](t)(train.Creep(600, 0.6, 0.008, 290))
	near(t, "strength", float64(all.First), float64(one.First), 1e-12)
	near(t, "hold-up", float64(all.HoldUp), 4*float64(one.HoldUp), 1e-12)
}

func TestCreepRefusesWhatIsNoNumber(t *testing.T) {
	bad := math.NaN()
	for name, err := range map[string]error{
		"idle":     second(tapElement(t).Creep(quantity.Time(bad), 0.6, 0.01, 290, New())),
		"feed":     second(tapElement(t).Creep(60, quantity.MassConc(math.Inf(1)), 0.01, 290, New())),
		"permeate": second(tapElement(t).Creep(60, 0.6, 0.7, 290, New())),
		"blank":    second(Element{}.Creep(60, 0.6, 0.01, 290, New())),
		"no train": second(Train{}.Creep(60, 0.6, 0.01, 290)),
	} {
		if !errors.Is(err, ErrRange) {
			t.Errorf("%s: error %v, want ErrRange", name, err)
		}
	}
}

func FuzzCreep(f *testing.F) {
	e := tapElement(f)
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1e9} {
		f.Add(x, 0.6, 0.01, 290.0, 1e-3)
		f.Add(600.0, x, 0.0, 290.0, x)
		f.Add(600.0, 0.6, x, x, x)
	}
	f.Fuzz(func(t *testing.T, idle, feed, permeate, temperature, v float64) {
		c, err := e.Creep(quantity.Time(idle), quantity.MassConc(feed), quantity.MassConc(permeate), quantity.Temperature(temperature), New())
		if err != nil {
			return
		}
		for _, x := range []float64{float64(c.First), float64(c.Extra()), float64(c.After(quantity.Volume(v))), float64(c.Mean(quantity.Volume(v))), float64(c.Excess(quantity.Volume(v)))} {
			if !finite(x) || x < 0 {
				t.Errorf("no error, yet %v of %+v", x, c)
			}
		}
	})
}
