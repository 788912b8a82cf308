package service

import (
	"math"

	"rinsewright/carbon"
	"rinsewright/membrane"
	"rinsewright/quantity"
)

const (
	// chloramineHarm is chloramine's share of the harm of free chlorine, as package
	// carbon counts it.
	chloramineHarm = 1.0 / 300
	// oxidationDoubt is how far the law may be off, over what it says: a factor of 2
	// in exposure, and what a carbon lets through is no better known.
	oxidationDoubt = 1.0
)

// oxidise lets the chlorine that passes the carbon age the membrane: A and B
// rise as [membrane.Oxidation] says, with a doubt as large.
func (t *tracker) oxidise(day, seconds float64) {
	if t.o.Chlorine <= 0 || t.o.membraneless() {
		return
	}
	harm := 1.0
	if t.isChloramine(day) {
		harm = chloramineHarm
	}
	before := membrane.Oxidation(quantity.Exposure(t.exposed * exposureUnit))
	t.exposed += harm * t.carbonPasses(day) * 1e3 * seconds / 3600 // mg/L, h
	after := membrane.Oxidation(quantity.Exposure(t.exposed * exposureUnit))
	for _, w := range [...]struct {
		at      int
		was, is float64
	}{
		{atA, before.WaterPermeability, after.WaterPermeability},
		{atB, before.SaltPermeability, after.SaltPermeability},
	} {
		more := math.Log(w.is / w.was)
		t.drift(w.at, more)
		t.b.p[w.at][w.at] += oxidationDoubt * oxidationDoubt * more * more
	}
}

// exposureUnit is 1 mg/L-hour in SI.
const exposureUnit = 1e-3 * 3600 // kg/m3 s

// carbonPasses is the mean total chlorine behind the carbon, kg/m³, over what
// is believed of how used it is; all of the raw water's where there is no carbon.
func (t *tracker) carbonPasses(day float64) (mean float64) {
	raw := math.Exp(t.b.m[atChlorine]) / max(t.o.ChlorineUse, 1)
	if t.o.Carbon == nil {
		return raw
	}
	if t.carbonEmpty {
		return 0
	}
	share := t.carbonShare()
	sd := t.spread(&share)
	halvings := t.halvings(day)
	for _, n := range nodes {
		mean += n[1] * raw * math.Exp2(-halvings*max(1-math.Exp(share.at+sd*n[0]), 0))
	}
	return mean
}

// halvings is how often fresh carbon halves what it meets, in the contact it has
// at the day's warmth and pH.
//
// Source: [carbon.Bed.Leak].
func (t *tracker) halvings(day float64) float64 {
	made, per := t.says(outPermeate, day), t.feedPerPermeate(day)
	flow, warmth := quantity.Flow(math.Exp(made.at+per.at)), t.warmth(day)
	met := carbon.Challenge{Temperature: quantity.Temperature(warmth.at), PH: quantity.PH(t.b.m[atPH])}
	if t.isChloramine(day) {
		met.Chloramine = leakOf
	} else {
		met.FreeChlorine = leakOf
	}
	leak, err := t.o.Carbon.Leak(met, flow, 0)
	if passed := float64(leak.Total() / leakOf); err == nil && passed > 0 {
		return -math.Log2(passed)
	}
	return float64(t.o.Carbon.Volume) / float64(flow) / t.o.halfTime() // past the range of the law
}

// leakOf is any strength: what passes is a share of it.
const leakOf = 1e-3 // kg/m³

// loadCarbon lets the carbon take up what does not pass it.
//
// What it keeps bends towards its end, so that is taken to the straight line
// that fits it best over the belief.
// Source: mass balance, as [carbon.Series.Weekly].
func (t *tracker) loadCarbon(day float64, volume *form) {
	taken, chlorine := t.feedPerPermeate(day), t.b.of(atChlorine)
	taken.add(volume, 1)
	taken.add(&chlorine, 1)
	taken.at += math.Log(t.chlorineUse(day) / max(t.o.ChlorineUse, 1))
	halvings := t.halvings(day)
	if t.carbonEmpty {
		taken.at += math.Log(kept(halvings, 0))
	} else {
		share := t.carbonShare()
		sd := t.spread(&share)
		mean, tilt := 0.0, 0.0
		for _, n := range nodes {
			k := kept(halvings, math.Exp(share.at+sd*n[0]))
			mean += n[1] * k
			tilt += n[1] * k * n[0]
		}
		taken.at += math.Log(mean)
		if share.at = 0; sd > 1e-6 {
			taken.add(&share, tilt/sd/mean)
		}
	}
	t.clock(&t.carbonEmpty, atCarbonTook, &taken)
}

// kept is the share of the chlorine that carbon of a used share takes up; a
// little is taken up for ever.
func kept(halvings, used float64) float64 {
	return max(-math.Expm1(-math.Ln2*halvings*max(1-used, 0)), 1e-3)
}
