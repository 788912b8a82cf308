package water

import (
	"math"
	"math/rand/v2"
	"testing"

	"rinsewright/quantity"
)

// The sampling itself: waters drawn from the prior and read within the kits'
// doubts must lie inside the bands made of those readings nine times in ten,
// whatever natural waters are like.
func TestBandsHoldWatersDrawnFromThePriorItself(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 14))
	inside, tried := map[string]int{}, map[string]int{}
	p := CityPrior()
	const tries = 100
	for tried["calcium"] < tries {
		h, ok := drawnFromPrior(p, rng)
		if !ok {
			continue
		}
		ensemble, err := Ensemble(h.readingsOf(rng), p, rng.Uint64(), 64)
		if err != nil {
			t.Errorf("%+v: %v", h.truth, err)
			continue
		}
		for _, a := range asked {
			low, high := Band(ensemble, func(c Completion) float64 { return a.of(c.Water, c.Solution, true) })
			tried[a.name]++
			if truth := a.of(h.truth, h.solution, true); low <= truth && truth <= high {
				inside[a.name]++
			}
		}
	}
	for _, a := range asked {
		share := float64(inside[a.name]) / float64(tried[a.name])
		t.Logf("%-18s %5.1f %%", a.name, 100*share)
		if !(share >= 0.90-4*math.Sqrt(0.09/tries)) {
			t.Errorf("%s: the 90 %% band holds %.1f %%", a.name, 100*share)
		}
	}
}

// drawnFromPrior draws a water and how a pen reads it, the conductivity
// model's own doubt included. The strength is kept where pens are used.
func drawnFromPrior(p Prior, rng *rand.Rand) (hidden, bool) {
	x := p.middle()
	for i := range x {
		up, down := widths[i][0], widths[i][1]
		if side := rng.Float64() * (up + down); side < up {
			x[i] += up * math.Abs(rng.NormFloat64())
		} else {
			x[i] -= down * math.Abs(rng.NormFloat64())
		}
		if i == atSulphate {
			x[i] += sulphateOfHardness * (x[atHardness] - p.middle()[atHardness])
		}
	}
	x[atCharge] = math.Log(1.5) + 2.5*rng.Float64()
	off := (log10CO2(&x) - middleCO2) / widthCO2
	if rng.Float64() > math.Exp(-off*off/2) { // the prior's last factor, by rejection
		return hidden{}, false
	}
	f := fit{needsConductivity: true}
	m, ok := f.make(&x)
	if !ok {
		return hidden{}, false
	}
	w, s, err := WithPH(m.water, x[atPH])
	if err != nil {
		return hidden{}, false
	}
	at25, err := w.Conductivity25()
	if err != nil {
		return hidden{}, false
	}
	at25 = quantity.Conductivity(float64(at25) * math.Exp(conductivityModelSD*rng.NormFloat64()))
	return hidden{id: "drawn", truth: w, solution: s, pH: x[atPH], pen: at25, silica: true}, true
}
