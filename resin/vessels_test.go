package resin_test

import (
	"errors"
	"math"
	"testing"

	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/water"
)

// glassSeries is lead and lag whose product must keep 0.3 mg/L of silica and
// whose lead may show 10 µS/cm.
func glassSeries(t testing.TB) resin.Series {
	return resin.Series{
		Vessel: rated(t, 3, 15), Policy: resin.AtMiddlePort,
		Product: resin.Endpoint{Silica: quantity.MilligramsPerLitre(0.3)},
		Action:  resin.Endpoint{Conductivity: quantity.MicrosiemensPerCm(10)},
	}
}

func TestALagLetsTheLeadRunOn(t *testing.T) {
	feed := permeateWater(0.3, 0.05, 0.02, 0.05)
	got, err := glassSeries(t).Run(feed)
	if err != nil {
		t.Fatal(err)
	}
	if !(got.Gain > 0 && got.GainOnEarly > got.Gain) || !(got.WorstProduct < 1.1) || !(got.WorstMiddle > 2) {
		t.Errorf("%+v", got)
	}
	// Whatever its fronts do, a charge takes up no more than its sites.
	most := float64(glassSeries(t).Vessel.Bed.AnionCapacity) / (0.3 + 0.05 + 0.02 + 0.05)
	if v := float64(got.Lead) / float64(quantity.CubicFeet(1)); v > most*1.35 {
		t.Errorf("%v bed volumes a charge, where the sites hold %v: only what the product may carry can add to that", v, most)
	}
}

// An action level as strict as the product's endpoint swaps as early as a lone
// vessel would stop: the lag is then insurance and no gain.
func TestALagThatMayCatchNothingGainsNothing(t *testing.T) {
	s := glassSeries(t)
	s.Action = s.Product
	got, err := s.Run(permeateWater(0.3, 0.05, 0.02, 0.05))
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(float64(got.Gain)) > 0.02 || got.WorstProduct > 1e-3 {
		t.Errorf("gain %v, product at %v of its endpoint", got.Gain, got.WorstProduct)
	}
	near(t, "gain on a vessel stopped at three quarters", float64(got.GainOnEarly), 1/0.75-1, 0.08, "common practice, no source: a lone vessel stopped at 70 to 80 %")
}

func TestSeriesRefusesWhatNeedsNoBed(t *testing.T) {
	s := glassSeries(t)
	if _, err := s.Run(permeateWater(0.3, 0.05, 0.02, 0.001)); !errors.Is(err, resin.ErrNoLoad) {
		t.Errorf("silica within the endpoint: %v", err)
	}
	s.Policy = "when someone remembers"
	if _, err := s.Run(permeateWater(0.3, 0.05, 0.02, 0.05)); !errors.Is(err, resin.ErrRange) {
		t.Errorf("no policy: %v", err)
	}
}

func TestPlaceAfterTheTankIsFasterAndSeesLessGas(t *testing.T) {
	bed := mixed(t)
	permeate, stood := permeateWater(0.2, 0.1, 1.5, 0.05), permeateWater(0.25, 0.1, 0.02, 0.05)
	slug := permeateWater(2, 1, 1.5, 0.1)
	got, err := bed.ComparePlaces([]resin.Place{
		{Name: "before tank", Water: permeate, Flow: quantity.GallonsPerMinute(0.4), Creep: 0.05, Slug: slug},
		{Name: "after tank", Water: stood, Flow: quantity.GallonsPerMinute(4)},
	}, resin.Duty{}, resin.Endpoint{Conductivity: quantity.MicrosiemensPerCm(2)})
	if err != nil {
		t.Fatal(err)
	}
	before, after := got[0], got[1]
	if !(after.Reach.Volume > 3*before.Reach.Volume) {
		t.Errorf("before %v, after %v: carbon dioxide took most of the first", before.Reach.Volume, after.Reach.Volume)
	}
	if before.Verdict != resin.FlowTooSlow || after.Verdict != resin.FlowHolds {
		t.Errorf("%q before, %q after", before.Verdict, after.Verdict)
	}
	near(t, "contact after the tank, s", float64(after.Contact), 7.48/4*60, 1e-3, "definition: 7.48 gallons over 4 gpm")
	near(t, "bed volumes an hour", after.FlowPerVolume, 4*60/7.48, 1e-3, "definition")
	if !(before.SlugPast > 0) || after.SlugPast != 0 {
		t.Errorf("slug %v before, %v after", before.SlugPast, after.SlugPast)
	}
}

// Creep is charge on both sides: half as much again of sodium ends a bed of few
// cation sites at two thirds of its volume.
func TestCreepLoadsTheBedAheadOfTheTank(t *testing.T) {
	bed := mixed(t)
	bed.CationCapacity, bed.AnionCapacity = 300, 3000
	w := permeateWater(0.4, 0, 0, 0)
	got, err := bed.ComparePlaces([]resin.Place{
		{Name: "steady", Water: w, Flow: 1e-5}, {Name: "starting", Water: w, Flow: 1e-5, Creep: 0.2},
	}, resin.Duty{Bead: 1e-4}, resin.Endpoint{Conductivity: quantity.MicrosiemensPerCm(5)})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "volume with creep over without", float64(got[1].Reach.Volume/got[0].Reach.Volume), 2.0/3, 0.01, "stoichiometry")
}

func TestAYearOfCharges(t *testing.T) {
	bed := mixed(t)
	u, err := bed.Upkeep(resin.Exchange, quantity.Volume(20), quantity.Volume(100), 2)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "charges", u.Changes, 5, 1e-12, "definition")
	near(t, "trips", u.Trips, 2.5, 1e-12, "definition")
	old, err := bed.Upkeep(resin.Refill, quantity.Volume(1000), quantity.Volume(100), 1)
	if err != nil || !old.ByAge || old.Changes != 0.5 {
		t.Errorf("%+v, %v: age ends a bed that nothing loads (common practice, no source: two years)", old, err)
	}
	if _, err := bed.Upkeep(resin.Refill, 0, 1, 1); !errors.Is(err, resin.ErrRange) {
		t.Errorf("no life: %v", err)
	}
}

// A bottle in good order makes 5 to 10 MΩ·cm of 20 µS/cm. from memory,
// unverified.
func TestABottleInGoodOrderMakesMegohms(t *testing.T) {
	feed := permeateWater(0.1, 0.06, 0.05, 0.02)
	for _, gpm := range []float64{1, 5} {
		got, err := mixed(t).InService(feed, resin.Duty{Flow: quantity.GallonsPerMinute(gpm)})
		if err != nil {
			t.Fatal(err)
		}
		k := conductivity(t, got)
		if !(0.095 < k && k < 0.25) {
			t.Errorf("%v gpm: %.3f µS/cm", gpm, k)
		}
		plain, err := resin.InService(feed)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "sodium against the plain rule", float64(got.Total[water.Sodium]), float64(plain.Total[water.Sodium]), 0.01, "the film passes nothing that counts at these flows")
	}
	rush, err := mixed(t).InService(feed, resin.Duty{Flow: quantity.GallonsPerMinute(60)})
	if err != nil {
		t.Fatal(err)
	}
	if k := conductivity(t, rush); !(k > 0.4) {
		t.Errorf("60 gpm through a cubic foot gives %.3f µS/cm: ions slip through", k)
	}
	if w, err := resin.InService(permeateWater(math.NaN(), 0, 0, 0)); err == nil || w != (water.Water{}) {
		t.Errorf("no water comes beside an error: %v %v", w, err)
	}
}

func conductivity(t testing.TB, w water.Water) float64 {
	t.Helper()
	w.Temperature = quantity.Celsius(25)
	s, err := water.Equilibrate(w)
	if err != nil {
		t.Fatal(err)
	}
	return float64(s.Conductivity()) * 1e4
}
