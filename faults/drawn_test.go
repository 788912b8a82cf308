package faults

import (
	"math"
	"math/rand/v2"
	"testing"

	"rinsewright/plant"
)

// kits are what three kinds of visitor read. Common practice, no source.
var kits = [][]plant.Gauge{
	{plant.FeedStrength, plant.PermeateStrength, plant.TankStrength, plant.FeedTemperature, plant.PolishStrength},
	{
		plant.FeedStrength, plant.PermeateStrength, plant.TankStrength, plant.FeedTemperature, plant.PolishStrength, plant.PermeateFlow, plant.ConcentrateFlow,
		plant.FeedPressure, plant.MembraneChlorine, plant.TankLevel,
	},
	{
		plant.FeedStrength, plant.PermeateStrength, plant.PermeateFirst, plant.ConcentrateStrength, plant.TankStrength, plant.FeedTemperature, plant.PolishStrength,
		plant.PolishFirst, plant.LeadStrength, plant.PermeateFlow, plant.ConcentrateFlow, plant.ConcentrateFlowFull, plant.FeedPressure, plant.TapPressure,
		plant.StaticPressure, plant.ConcentratePressure, plant.MembraneChlorine, plant.FeedHardness, plant.MembraneHardness, plant.TankDrop, plant.GunFlow,
		plant.GunFlowAll, plant.GunPressure, plant.GunFirst, plant.DripStrength, plant.StartsPerHour, plant.HoursPerDay, plant.TankLevel,
	},
}

// drawCase draws a cause, its severity, all doubts and the readings of a visit
// from the finder's own model, the model's full bend included.
func drawCase(t *testing.T, rng *rand.Rand, base *Case, shown []int) (Case, int) {
	t.Helper()
	for {
		c := *base
		n, err := nominalOf(&c.Facts)
		if err != nil {
			t.Fatal(err)
		}
		ch := chainOf(n)
		x := make([]float64, len(ch.doubts))
		for i := range x {
			x[i] = ch.doubts[i].before * rng.NormFloat64()
		}
		k := shown[rng.IntN(len(shown))]
		forms := causes[k].forms(&c)
		f, severity := forms[rng.IntN(len(forms))], rng.Float64()
		s := ch.stateAt(x)
		f.change(&s, severity)
		v, err := n.see(&s)
		if err != nil {
			continue
		}
		for _, of := range kits[rng.IntN(len(kits))] {
			e := read(of, 0)
			value, ok := v.value(&e)
			if !ok {
				continue
			}
			in := e.instrument()
			y := in.onScale(e.shown(value, &s.meters)) + in.spread(value)*rng.NormFloat64()
			if e.SI = unscaled(&e, y); e.Of != plant.FeedTemperature {
				e.SI = max(e.SI, 0)
			}
			c.Now = append(c.Now, e)
		}
		if credible(c.Now) == nil {
			return c, causes[k].Number
		}
	}
}

// On cases drawn from its own model, bent as that is, stated probabilities are
// what comes true: the error of the straight lines, the four severities, the
// heavy tails and the exponent together.
func TestStatedProbabilitiesComeTrueOnItsOwnCases(t *testing.T) {
	const cases = 90
	rng := rand.New(rand.NewPCG(7, 11))
	base := Case{Facts: wall()}
	var shown []int
	for k := range causes {
		if causes[k].shows && base.weigh(k) > 0.2 {
			shown = append(shown, k)
		}
	}
	var bins [5][3]float64
	first, three, stated := 0, 0, 0.0
	for range cases {
		c, truth := drawCase(t, rng, &base, shown)
		all, err := Rank(c)
		if err != nil {
			t.Fatal(err)
		}
		b := &bins[min(int(5*all[0].Probability), 4)]
		b[0]++
		b[1] += all[0].Probability
		stated += all[0].Probability
		for i := range 3 {
			if all[i].Cause.Number != truth {
				continue
			}
			three++
			if i == 0 {
				first++
				b[2]++
			}
		}
	}
	off := 0.0
	for _, b := range bins {
		off += math.Abs(b[1]-b[2]) / cases
	}
	t.Logf("first %d, first three %d of %d; stated %.2f, came true %.2f; calibration error of the first %.3f", first, three, cases, stated/cases, float64(first)/cases, off)
	// By chance alone 90 cases put five bins off by about 0.08.
	if off > 0.16 || math.Abs(stated-float64(first))/cases > 0.1 {
		t.Errorf("stated %.2f on average, %.2f came true, off by %.3f", stated/cases, float64(first)/cases, off)
	}
}

func BenchmarkFind(b *testing.B) {
	c := Case{Facts: wall(), Baseline: visit()[:5], Now: visit(), Words: []string{"spots in bay 2"}}
	for b.Loop() {
		if _, err := Find(c); err != nil {
			b.Fatal(err)
		}
	}
}
