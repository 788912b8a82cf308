package membrane

import (
	"testing"

	"rinsewright/quantity"
)

// In every slice the flux is what the pressures there drive.
func TestEverySliceObeysItsOwnPressures(t *testing.T) {
	train, s := pair(t), tapStream(25)
	back := quantity.PSI(8)
	r := must[Result](t)(train.Run(s, back, 0))
	a := float64(train.Housings[0].Element.WaterPermeability)
	for i, x := range r.Profile {
		near(t, "flux", float64(x.Flux), a*float64(x.Pressure-back-x.Osmotic), 1e-5)
		if i > 0 && !(x.Osmotic > r.Profile[i-1].Osmotic*0.98) {
			t.Errorf("slice %d: osmotic %v after %v", i, x.Osmotic, r.Profile[i-1].Osmotic)
		}
	}
	near(t, "mean", float64(r.MeanFlux), a*float64(r.NetDriving), 1e-5)
}

func TestScaleSitsAtTheConcentrateEnd(t *testing.T) {
	e, w := tapElement(t), New()
	w.ScaledTail = 0.3
	scaled := must[Result](t)(Train{Housings: []Housing{{e, w}}}.Run(tapStream(20), 0, 20))
	fresh := must[Result](t)(Train{Housings: []Housing{{e, New()}}}.Run(tapStream(20), 0, 20))
	for i := range scaled.Profile {
		ratio := float64(scaled.Profile[i].Flux / fresh.Profile[i].Flux)
		if tail := i >= 14; tail != (ratio < 0.5) {
			t.Errorf("slice %d: ×%.2f of new", i, ratio)
		}
	}
	// A tail that ends inside a slice moves flow smoothly.
	at := func(share float64) float64 {
		w.ScaledTail = quantity.Ratio(share)
		return float64(must[Result](t)(Train{Housings: []Housing{{e, w}}}.Run(tapStream(20), 0, 20)).Permeate.Flow)
	}
	near(t, "halfway", at(0.325), (at(0.3)+at(0.35))/2, 2e-3)
}

// The leak is driven by all of the pressure across the seal, and brings the feed with it.
func TestLeakFollowsPressureAcrossTheSeal(t *testing.T) {
	e, w := tapElement(t), New()
	w.Bypass = 0.01
	train := Train{Housings: []Housing{{e, w}}}
	back := quantity.PSI(20)
	s := tapStream(20)
	r := must[Result](t)(train.Run(s, back, 0))
	want := 0.01 * float64(e.WaterPermeability) * float64(e.Sheet.Area) * float64(s.Pressure-back)
	near(t, "leak", float64(r.Elements[0].Leak), want, 1e-12)
	tight := must[Result](t)(Train{Housings: []Housing{{e, New()}}}.Run(s, back, 0))
	near(t, "lumped salt through the leak", float64(r.Passage-tight.Passage), want/float64(r.Permeate.Flow), 0.05)
}
