package study_test

import (
	"errors"
	"math"
	"testing"

	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

func expected(t testing.TB, name string, u study.Under) *study.Expected {
	t.Helper()
	e, err := study.Expect(example(t, name), u)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

func should(t testing.TB, e *study.Expected, of plant.Gauge, after quantity.Time) float64 {
	t.Helper()
	r, ok := e.Reading(of, 0, after)
	if !ok {
		t.Fatalf("no prediction of %s", of)
	}
	return r.SI
}

func TestEveryPredictedGaugeIsANumberOfTheVocabulary(t *testing.T) {
	for _, name := range exampleSites {
		seen := map[string]bool{}
		for _, r := range expected(t, name, study.Under{}).Readings(quantity.Minutes(20)) {
			if !r.Of.Known() || math.IsNaN(r.SI) || math.IsInf(r.SI, 0) || seen[r.Key()] {
				t.Errorf("%s: %s = %v, or it stands twice", name, r.Key(), r.SI)
			}
			seen[r.Key()] = true
		}
		if !seen["feed_strength"] || !seen["polished_strength"] && !seen["permeate_strength"] {
			t.Errorf("%s: the path's strengths are not all there", name)
		}
	}
}

// What the predicted gauges say is held to what any plant must keep.
func TestPredictedGaugesKeepWaterAndSalt(t *testing.T) {
	e := expected(t, "fennel-lane", study.Under{})
	at := quantity.Minutes(30)
	made, drained := should(t, e, plant.PermeateFlow, at), should(t, e, plant.ConcentrateFlow, at)
	feed, weak, strong := should(t, e, plant.FeedStrength, at), should(t, e, plant.PermeateStrength, at), should(t, e, plant.ConcentrateStrength, at)
	// Salt told as conductivity: what conducts less per salt at strength costs a
	// tenth at most. Source: conservation of salt.
	if in, out := feed*(made+drained), weak*made+strong*drained; math.Abs(out/in-1) > 0.1 {
		t.Errorf("salt in %v, out %v", in, out)
	}
	if p, c, b := should(t, e, plant.FeedPressure, at), should(t, e, plant.ConcentratePressure, at), should(t, e, plant.PermeatePressure, at); !(p > c && c > b) {
		t.Errorf("pressures do not fall along the path: feed %v, concentrate %v, permeate %v", p, c, b)
	}
}

func TestTheFirstMinuteReadsHigherThanTheTwentieth(t *testing.T) {
	e := expected(t, "cormorant-reach", study.Under{Idle: quantity.Told(quantity.Hours(12))})
	first, later := should(t, e, plant.PermeateFirst, 0), should(t, e, plant.PermeateStrength, quantity.Minutes(20))
	if !(first > 1.5*later) {
		t.Errorf("in the first minute %v S/m, after 20 min %v", first, later)
	}
	before := math.Inf(1)
	for m := range 30 {
		now := should(t, e, plant.PermeateStrength, quantity.Minutes(float64(m)))
		if now > before {
			t.Fatalf("creep rises at minute %d", m)
		}
		before = now
	}
}

func TestThePredictionIsForTheWaterOfThatDay(t *testing.T) {
	base := expected(t, "harrow-field", study.Under{})
	cold := expected(t, "harrow-field", study.Under{Temperature: quantity.Told(quantity.Celsius(5))})
	at := quantity.Minutes(20)
	if !(should(t, cold, plant.PermeateFlow, at) < 0.95*should(t, base, plant.PermeateFlow, at)) {
		t.Error("water at 5 °C makes as much as at 9 °C")
	}
	strong := expected(t, "harrow-field", study.Under{Strength: quantity.Told(quantity.MicrosiemensPerCm(600))})
	if got := should(t, strong, plant.FeedStrength, at); math.Abs(got/600e-4-1) > 1e-3 {
		t.Errorf("a feed read as 600 µS/cm is predicted as %v S/m", got)
	}
	if !(should(t, strong, plant.PermeateStrength, at) > should(t, base, plant.PermeateStrength, at)) {
		t.Error("a stronger feed does not come through stronger")
	}
}

func TestWearGoesThroughTheSamePlant(t *testing.T) {
	wear := plant.Unworn()
	wear.Membrane.WaterPermeability = 0.7
	worn := expected(t, "fennel-lane", study.Under{Wear: &wear})
	at := quantity.Minutes(20)
	if !(should(t, worn, plant.PermeateFlow, at) < 0.95*should(t, expected(t, "fennel-lane", study.Under{}), plant.PermeateFlow, at)) {
		t.Error("a membrane with 70 % of its permeability makes as much")
	}
}

func TestASiteWithoutARigOrAReadingHasNoPrediction(t *testing.T) {
	s := example(t, "fennel-lane")
	s.Rig = site.Rig{}
	if _, err := study.Expect(s, study.Under{}); !errors.Is(err, study.ErrNoRig) {
		t.Errorf("got %v", err)
	}
	s = example(t, "fennel-lane")
	s.Samples = nil
	if _, err := study.Expect(s, study.Under{}); !errors.Is(err, study.ErrNoSample) {
		t.Errorf("got %v", err)
	}
	s = example(t, "fennel-lane")
	s.Demand = site.Demand{}
	if _, err := study.Expect(s, study.Under{}); err != nil {
		t.Errorf("a site whose demand nobody told has no prediction: %v", err)
	}
}

func BenchmarkExpect(b *testing.B) {
	s := example(b, "fennel-lane")
	for b.Loop() {
		e, err := study.Expect(s, study.Under{})
		if err != nil {
			b.Fatal(err)
		}
		e.Readings(quantity.Minutes(20))
	}
}
