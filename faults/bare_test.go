package faults

import (
	"slices"
	"testing"

	"rinsewright/membrane"
	"rinsewright/plant"
	"rinsewright/quantity"
)

// bottle is an invented rig without a membrane: carbon and one bottle of resin on the
// tap.
func bottle() Facts {
	f := wall()
	f.Bare, f.Housings, f.Sheet, f.Booster, f.Softener = true, 0, membrane.Sheet{}, false, false
	f.ResinPlace, f.Lag, f.Bays = AfterTank, 0, 1
	return f
}

// A rig without a membrane is judged by what it has: resin that lets the tap through
// is resin's, no membrane is named, and no gauge of a membrane is asked for.
func TestARigWithoutAMembraneIsJudged(t *testing.T) {
	found, err := Find(Case{Facts: bottle(), Now: []Evidence{
		read(plant.FeedStrength, 400*microsiemens), read(plant.FeedTemperature, 288), read(plant.PolishStrength, 90*microsiemens), read(plant.GunStrength, 90*microsiemens),
	}})
	if err != nil {
		t.Fatal(err)
	}
	if first := found.Ranked[0].Cause; first.Station != "resin" {
		t.Errorf("found %d %s, want one of the resin (common practice, no source)", first.Number, first.Name)
	}
	for _, s := range found.Ranked {
		if s.Probability > 0 && s.Cause.Station == "membrane" {
			t.Errorf("cause %d %s at %.3f without a membrane", s.Cause.Number, s.Cause.Name, s.Probability)
		}
	}
	for _, next := range found.Next {
		if slices.Contains(ofMembrane, next.Of) {
			t.Errorf("asks for %s", next.Of)
		}
	}
	if len(found.Next) == 0 {
		t.Error("nothing to test next")
	}
}

// Filters alone: a low pressure behind them against the pressure ahead is theirs.
func TestFiltersAloneAreJudged(t *testing.T) {
	f := bottle()
	f.ResinPlace, f.Lead = "", 0
	all := ranked(t, Case{Facts: f, Now: []Evidence{
		read(plant.StaticPressure, float64(quantity.PSI(60))), read(plant.TapPressure, float64(quantity.PSI(56))), read(plant.FeedPressure, float64(quantity.PSI(34))),
	}})
	if all[0].Cause.Number != 9 {
		t.Errorf("found %d %s, want 9 (common practice, no source: over 10 psi across the filters)", all[0].Cause.Number, all[0].Cause.Name)
	}
}

// A membrane that runs all day into a low tank, sound in all else, is too small for
// what is washed.
func TestADemandOutgrownIsNamed(t *testing.T) {
	f := wall()
	f.PerDay = quantity.Told(quantity.Gallons(200))
	c := Case{Facts: f, Words: []string{"we wash twice as many cars as when it was put in"}}
	n, err := nominalOf(&c.Facts)
	if err != nil {
		t.Fatal(err)
	}
	s := n.start
	s.demand *= 4
	s.level = 0.15
	v, err := n.see(&s)
	if err != nil {
		t.Fatal(err)
	}
	for _, of := range []plant.Gauge{
		plant.HoursPerDay, plant.TankLevel, plant.PermeateFlow, plant.FeedPressure, plant.FeedTemperature, plant.FeedStrength, plant.PermeateStrength, plant.TankDrop,
		plant.ConcentrateFlow, plant.TankStrength, plant.PolishStrength,
	} {
		e := read(of, 0)
		e.SI, _ = v.value(&e)
		c.Now = append(c.Now, e)
	}
	if first := ranked(t, c)[0].Cause; first.Number != 49 {
		t.Errorf("found %d %s, want 49 demand outgrown", first.Number, first.Name)
	}
}
