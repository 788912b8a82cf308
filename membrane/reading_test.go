package membrane

import (
	"errors"
	"math"
	"testing"

	"rinsewright/quantity"
)

// reading is what gauges on the running train would say.
func reading(r Result, s Feed) Reading {
	feed := r.Elements[0].Feed
	return Reading{
		PermeateFlow: r.Permeate.Flow, ConcentrateFlow: r.Concentrate.Flow, FeedPressure: feed.Pressure, Drop: r.Drop,
		PermeatePressure: s.PermeatePressure, Feed: feed.Water, Permeate: r.Permeate.Water,
	}
}

func run(t *testing.T, train Train, celsius, psi, back, gpm float64) Reading {
	t.Helper()
	s := tapStream(celsius)
	s.Pressure, s.Flow = quantity.PSI(psi), quantity.GallonsPerMinute(gpm)
	r := must[Result](t)(train.Run(s, quantity.PSI(back), 0))
	return reading(r, Feed{PermeatePressure: quantity.PSI(back)})
}

// Where both hold, a sound membrane normalises to itself and a worn one to its
// wear: the model is run, the standard's arithmetic looks at it from outside.
func TestNormalisingFindsTheWearAndNothingElse(t *testing.T) {
	standard := run(t, pair(t), 18, 60, 0, 4)
	fouled := pair(t)
	for i := range fouled.Housings {
		fouled.Housings[i].Wear.WaterPermeability = 0.8
	}
	for _, row := range []struct {
		about                   string
		train                   Train
		celsius, psi, back, gpm float64
		flow                    float64
	}{
		{"the same", pair(t), 18, 60, 0, 4, 1},
		{"colder", pair(t), 8, 60, 0, 4, 1},
		{"less pressure", pair(t), 18, 45, 0, 4, 1},
		{"back-pressure", pair(t), 18, 60, 12, 4, 1},
		{"fouled by a fifth, cold", fouled, 8, 60, 0, 4, 0.8},
	} {
		n := must[Normalised](t)(Normalise(run(t, row.train, row.celsius, row.psi, row.back, row.gpm), standard, WaterEnergies(), SaltEnergies()))
		near(t, row.about+": flow", float64(n.FlowShare), row.flow, 0.04)
		if len(n.Doubts) != 0 {
			t.Errorf("%s: doubts %q", row.about, n.Doubts)
		}
	}
}

// And where it misleads, it says so: the same sound membrane, normalised wrongly.
func TestNormalisingSaysWhereItMisleads(t *testing.T) {
	standard := run(t, pair(t), 25, 60, 0, 8)
	hard := run(t, pair(t), 6, 150, 0, 3.2)
	n := must[Normalised](t)(Normalise(hard, standard, WaterEnergies(), SaltEnergies()))
	if off := math.Abs(float64(n.FlowShare) - 1); !(off > 0.05) || len(n.Doubts) == 0 {
		t.Errorf("a hard-driven cold rig: %.3f of the standard's flow, doubts %q", float64(n.FlowShare), n.Doubts)
	}
	wrong := must[Normalised](t)(Normalise(run(t, pair(t), 8, 60, 0, 4), standard, Energies{2000, 2000}, SaltEnergies()))
	if !(float64(wrong.FlowShare) < 0.9) {
		t.Errorf("the wrong temperature constant costs %.3f of the flow, want over a tenth", float64(wrong.FlowShare))
	}
	if _, err := Normalise(Reading{}, standard, WaterEnergies(), SaltEnergies()); !errors.Is(err, ErrRange) {
		t.Errorf("an empty reading: %v", err)
	}
}
