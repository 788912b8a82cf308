package service

import "math"

// frontHalf is half the width of a bottle's front, share of its capacity. A
// capacity is told to an endpoint, so the share of its inlet that passes a
// bottle is
//
//	φ(x) = Φ((x − c)/w)   with c such that φ(1) E = the limit acted on
//
// for an inlet of strength E. Source: [Memory]; the polisher of package resin,
// without the uneven flow of a real bottle, is steeper.
const frontHalf = 0.06

// front is where a bottle's outlet is half its inlet.
type front float64

func (c front) passes(x float64) float64 {
	return 0.5 * math.Erfc(-(x-float64(c))/frontHalf/math.Sqrt2)
}

// passed is the integral of passes: what got past, in capacities.
func (c front) passed(x float64) float64 {
	z := (x - float64(c)) / frontHalf
	return frontHalf * (z*c.passes(x) + math.Exp(-z*z/2)/math.Sqrt(2*math.Pi))
}

// front is that of this site's bottles in an inlet of ln strength.
func (t *tracker) front(inlet float64) front {
	share := min(max(float64(t.o.ActAt)/math.Exp(inlet), 0.02), 0.9)
	return front(1 + frontHalf*math.Sqrt2*math.Erfcinv(2*share))
}

// leadHolds is ln of the lead bottle's capacity, eq.
func (t *tracker) leadHolds() form {
	f, own := t.b.of(atBottles), t.b.of(atLeadHolds)
	f.add(&own, 1)
	f.at += t.o.Lead.charge()
	return f
}

// offered is ln x of the lead bottle.
func (t *tracker) offered() form {
	f, holds := t.b.of(atLeadTook), t.leadHolds()
	f.add(&holds, -1)
	return f
}

// Nodes and weights of the standard normal, nine points.
var nodes = [...][2]float64{
	{-4.512745863399783, 2.23458440077465e-05},
	{-3.205429002856470, 2.78914132123176e-03},
	{-2.076847978677830, 4.99164067652178e-02},
	{-1.023255663789133, 2.44097502894939e-01},
	{0, 4.06349206349206e-01},
	{1.023255663789133, 2.44097502894939e-01},
	{2.076847978677830, 4.99164067652178e-02},
	{3.205429002856470, 2.78914132123176e-03},
	{4.512745863399783, 2.23458440077465e-05},
}

// loadBottles offers a load to the lead; what passes it goes to the lag.
//
// What passes bends sharply at the lead's end, so it is taken to the straight
// line that fits it best over the belief, with the rest as doubt.
func (t *tracker) loadBottles(load *form) {
	var before form
	if !t.leadEmpty {
		before = t.offered()
	}
	wasEmpty := t.leadEmpty
	t.clock(&t.leadEmpty, atLeadTook, load)
	if t.o.Lag == nil || wasEmpty {
		return
	}
	after := t.offered()
	_, variance := t.b.across(&after)
	sd, ratio := math.Sqrt(variance), math.Exp(before.at-after.at)
	mean, tilt, square := 0.0, 0.0, 0.0
	strength := t.inlet(float64(t.day))
	c := t.front(strength.at)
	for _, n := range nodes {
		x := math.Exp(after.at + sd*n[0])
		y := c.passed(x) - c.passed(x*ratio)
		mean += n[1] * y
		tilt += n[1] * y * n[0]
		square += n[1] * y * y
	}
	if mean < 1e-9 {
		return
	}
	share := math.Exp(t.o.Lead.charge() - t.o.Lag.charge())
	lag := t.b.of(atLagUsed)
	after.at = 0
	if sd > 1e-6 {
		lag.add(&after, share*tilt/sd)
	}
	lag.at += share * mean
	t.become(atLagUsed, &lag, share*share*max(square-mean*mean-tilt*tilt, 0))
}

// swap moves the lag to lead and puts a fresh bottle behind it; with one
// bottle it is a fresh one.
func (t *tracker) swap() {
	if t.o.Lag == nil {
		t.freshLead()
		return
	}
	// The lag's share becomes the lead's clock: a logarithm with the same mean
	// and variance.
	mean := max(t.b.m[atLagUsed], 0.01)
	variance := t.b.p[atLagUsed][atLagUsed]
	ratio := math.Log1p(variance / (mean * mean))
	used := t.b.of(atLagUsed)
	f := form{at: math.Log(mean) - ratio/2}
	slope := min(1/mean, math.Sqrt(ratio/max(variance, 1e-12)))
	used.at = 0
	f.add(&used, slope)
	holds, common := t.b.of(atLagHolds), t.b.of(atBottles)
	f.add(&holds, 1)
	f.add(&common, 1)
	f.at += t.o.Lag.charge()
	rest := max(ratio-slope*slope*variance, 0)
	t.become(atLeadTook, &f, rest)
	t.become(atLeadHolds, &holds, 0)
	t.leadEmpty = false
	t.leadSince = t.day
	t.freshLag()
}

func (t *tracker) freshLead() {
	t.leadSince = t.day
	t.set(atLeadTook, -20, 1e-3)
	t.set(atLeadHolds, 0, bottleSD)
	t.leadEmpty = true
}

func (t *tracker) freshLag() {
	t.set(atLagUsed, 0, 1e-3)
	t.set(atLagHolds, 0, bottleSD)
}
