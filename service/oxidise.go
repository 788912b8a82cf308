package service

import (
	"math"

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
	if t.o.Chlorine <= 0 {
		return
	}
	harm := 1.0
	if t.o.ChlorineUse > 1.5 {
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

// halvings is how often fresh carbon halves what it meets, in the contact it has.
func (t *tracker) halvings(day float64) float64 {
	made, per := t.says(outPermeate, day), t.feedPerPermeate(day)
	return float64(t.o.Carbon.Volume) / math.Exp(made.at+per.at) / t.o.halfTime()
}
