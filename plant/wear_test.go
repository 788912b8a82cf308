package plant

import (
	"errors"
	"math"
	"testing"

	"rinsewright/hydraulics"
	"rinsewright/membrane"
	"rinsewright/quantity"
)

// Each kind of wear moves the gauges as the trade knows it. Directions only:
// common practice, no source.
func TestWearMovesTheGaugesItShould(t *testing.T) {
	p, c := rig(t, 2), Conditions{Feed: tap(t, 15)}
	p.Booster = mustDuty(t, quantity.Bar(4), hydraulics.PumpPoint{Flow: quantity.LitresPerMinute(5), Pressure: quantity.Bar(3)})
	hung := operate(t, p, c)
	for _, row := range []struct {
		what          string
		wear          func(*Wear)
		flow, passage float64 // sign of the change; 0 not asked
	}{
		{"fouling: less water, saltier", func(w *Wear) { w.Membrane = membrane.Fouled(0.3) }, -1, 1},
		{"scale in the tail: less water, saltier", func(w *Wear) { w.Membrane = membrane.Scaled(0.8) }, -1, 1},
		{"oxidation: more water, much saltier", func(w *Wear) { w.Membrane = membrane.Oxidation(quantity.MilligramHoursPerLitre(2000)) }, 1, 1},
		{"a seal leaks: saltier", func(w *Wear) { w.Membrane, w.LeaksAt = membrane.Leaking(0.02), 2 }, 0, 1},
		{"filters load: less water", func(w *Wear) { w.Filters = 1 }, -1, 1},
		{"restrictor scales shut: more water", func(w *Wear) { w.Restrictor = 0.5 }, 1, 0},
		{"booster wears: less water", func(w *Wear) { w.Booster = 0.5 }, -1, 1},
	} {
		w := Unworn()
		row.wear(&w)
		worn, err := p.Worn(w)
		if err != nil {
			t.Fatal(err)
		}
		got := operate(t, worn, c)
		if d := float64(got.Product().Flow - hung.Product().Flow); row.flow != 0 && !(d*row.flow > 0) {
			t.Errorf("%s: flow went from %g to %g", row.what, hung.Product().Flow, got.Product().Flow)
		}
		if d := float64(got.Membrane.Passage - hung.Membrane.Passage); row.passage != 0 && !(d*row.passage > 0) {
			t.Errorf("%s: passage went from %g to %g", row.what, hung.Membrane.Passage, got.Membrane.Passage)
		}
	}
}

func mustDuty(t testing.TB, shut quantity.Pressure, at hydraulics.PumpPoint) hydraulics.PumpCurve {
	t.Helper()
	pump, err := hydraulics.DutyPump(shut, at)
	if err != nil {
		t.Fatal(err)
	}
	return pump
}

func TestScaleSitsInTheLastElementAndALeakWhereItIs(t *testing.T) {
	p := rig(t, 3)
	p.Tail = []membrane.Stage{{rig(t, 2).Train}}
	w := Unworn()
	w.Membrane = membrane.Scaled(0.5).With(membrane.Leaking(0.01))
	w.LeaksAt = 4
	worn, err := p.Worn(w)
	if err != nil {
		t.Fatal(err)
	}
	all := append(append([]membrane.Housing{}, worn.Train.Housings...), worn.Tail[0][0].Housings...)
	for i, h := range all {
		if scaled := h.Wear.ScaledTail > 0; scaled != (i == 4) {
			t.Errorf("element %d: scale %g", i+1, h.Wear.ScaledTail)
		}
		if leaks := h.Wear.Bypass > 0; leaks != (i == 3) {
			t.Errorf("element %d: leak %g", i+1, h.Wear.Bypass)
		}
	}
	if p.Train.Housings[0].Wear != membrane.New() {
		t.Error("the plant that was asked of changed")
	}
}

func TestNoWearIsTheSamePlant(t *testing.T) {
	p, c := rig(t, 2), Conditions{Feed: tap(t, 15)}
	worn, err := p.Worn(Unworn())
	if err != nil {
		t.Fatal(err)
	}
	if a, b := operate(t, p, c), operate(t, worn, c); a.Product().Flow != b.Product().Flow {
		t.Errorf("flow %g, was %g", b.Product().Flow, a.Product().Flow)
	}
}

func TestWearBeyondItsRangeIsRefused(t *testing.T) {
	for what, spoil := range map[string]func(*Wear){
		"filters":    func(w *Wear) { w.Filters = 4 },
		"restrictor": func(w *Wear) { w.Restrictor = math.NaN() },
		"booster":    func(w *Wear) { w.Booster = 0 },
		"housing":    func(w *Wear) { w.LeaksAt = 3 },
	} {
		w := Unworn()
		spoil(&w)
		if _, err := rig(t, 2).Worn(w); !errors.Is(err, membrane.ErrRange) {
			t.Errorf("%s: %v", what, err)
		}
	}
}
