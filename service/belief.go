package service

import (
	"math"
)

// The numbers of a state. Logarithms are natural, amounts in SI, rates per day.
const (
	atDemand   = iota // ln m³ of permeate a day
	atGrowth          // of it, per year
	atDemandC         // its season: high summer over the mean
	atDemandS         // autumn over the mean
	atBusy            // this step's days over their level
	atStrength        // ln S/m of the feed
	atStrengthC
	atStrengthS
	atWarmth // K, yearly mean of the feed's temperature
	atWarmthC
	atWarmthS
	atWeather  // K, these days over their season
	atA        // ln of water permeability over nameplate
	atB        // ln of salt permeability over nameplate
	atLeak     // ln of the seals' bypass
	atMain     // ln of the supply's pressure over what was told
	atFilters  // loading of the cartridges
	atClogging // its growth a day
	atRestrictor
	atBooster
	atDrop
	atAlkalinity // ln of eq/m³ over S/m
	atPH
	atSilica // ln of silica over what was taken
	atAir    // ln of the carbon dioxide that still meets the resin
	atCreep  // ln of what starts add to the salt, over the steady salt
	atBottles
	atLeadHolds // ln of this bottle's capacity over the bottles'
	atLeadTook  // ln eq offered to it
	atLagHolds
	atLagUsed    // share of its capacity
	atCarbonHold // ln of kg Cl2
	atCarbonTook // ln of kg Cl2
	atChlorine   // ln of its demand on carbon, kg/m³
	atMetered    // ln m³ since the meter was read
	atHours      // ln s of running since the hour meter was read
	atVended     // ln m³ since vends were counted
	atVend       // ln m³ per vended second
	atMeter      // ln of the meter's gain
	atFirstA     // A and B as they were when the log began
	atFirstB
	atPen  // ln of a pen's gain; penSlots of them
	nState = atPen + penSlots
)

const penSlots = 3

type vector [nState]float64

// belief is a joint normal distribution of the state.
type belief struct {
	m vector
	p [nState]vector
}

// form is a linear look at the state around its mean: its value there and its
// slopes.
type form struct {
	at    float64
	slope vector
}

func (f *form) add(g *form, times float64) {
	f.at += times * g.at
	for i := range f.slope {
		f.slope[i] += times * g.slope[i]
	}
}

// of is the form of one number.
func (b *belief) of(i int) form {
	f := form{at: b.m[i]}
	f.slope[i] = 1
	return f
}

// across returns the covariance of every number with f, and f's variance.
func (b *belief) across(f *form) (c vector, variance float64) {
	for j, w := range f.slope {
		if w == 0 {
			continue
		}
		row := &b.p[j]
		for i := range c {
			c[i] += w * row[i]
		}
	}
	for j, w := range f.slope {
		variance += w * c[j]
	}
	return c, max(variance, 0)
}

// become makes number i what f says, with more doubt of its own.
func (b *belief) become(i int, f *form, variance float64) {
	c, own := b.across(f)
	b.m[i] = f.at
	for j := range c {
		b.p[i][j], b.p[j][i] = c[j], c[j]
	}
	b.p[i][i] = own + variance
}

// forget makes number i independent of all others.
func (b *belief) forget(i int, mean, sd float64) {
	for j := range b.p {
		b.p[i][j], b.p[j][i] = 0, 0
	}
	b.m[i], b.p[i][i] = mean, sd*sd
}

// pin moves f's mean and variance to what was found and lets all others follow.
func (b *belief) pin(f *form, mean, variance float64) {
	c, v := b.across(f)
	if !(v > 1e-18) {
		return
	}
	shift, shrink := (mean-f.at)/v, (v-variance)/(v*v)
	for i, ci := range c {
		if ci == 0 {
			continue
		}
		b.m[i] += ci * shift
		row := &b.p[i]
		s := ci * shrink
		for j := range row {
			row[j] -= s * c[j]
		}
	}
}

// Quadrature of a reading's likelihood against the belief.
const (
	gridHalf   = 24  // points either side
	gridReach  = 6.0 // standard deviations
	gridPasses = 6
)

// take multiplies a likelihood of f, given as its logarithm, into the belief.
//
// Source: [Minka2001], moments matched.
func (b *belief) take(f *form, logLikelihood func(float64) float64) {
	_, v := b.across(f)
	if !(v > 1e-18) {
		return
	}
	sd := math.Sqrt(v)
	middle, reach := f.at, gridReach*sd
	for range gridPasses {
		mean, spread := moments(middle, reach, func(s float64) float64 {
			z := (s - f.at) / sd
			return logLikelihood(s) - z*z/2
		})
		if !(spread >= 0) {
			return
		}
		step := reach / gridHalf
		if spread > 1.5*step || reach < 1e-6*sd {
			b.pin(f, mean, min(spread*spread, 1.5*v))
			return
		}
		middle, reach = mean, max(gridReach*spread, 2*step)
	}
	mean, spread := moments(middle, reach, func(s float64) float64 {
		z := (s - f.at) / sd
		return logLikelihood(s) - z*z/2
	})
	if spread >= 0 {
		b.pin(f, mean, min(spread*spread, 1.5*v))
	}
}

// moments returns mean and standard deviation of a density given by its
// logarithm, on a grid; a spread below zero says there was none.
func moments(middle, reach float64, logDensity func(float64) float64) (mean, spread float64) {
	var ys [2*gridHalf + 1]float64
	top := math.Inf(-1)
	for i := range ys {
		ys[i] = logDensity(middle + reach*float64(i-gridHalf)/gridHalf)
		top = max(top, ys[i])
	}
	if math.IsInf(top, 0) || math.IsNaN(top) {
		return 0, -1
	}
	total, first, second := 0.0, 0.0, 0.0
	for i := range ys {
		w, s := math.Exp(ys[i]-top), reach*float64(i-gridHalf)/gridHalf
		total += w
		first += w * s
		second += w * s * s
	}
	first /= total
	return middle + first, math.Sqrt(max(second/total-first*first, 0))
}

// logSum is the form of ln Σ exp(terms).
func logSum(terms ...form) form {
	top := math.Inf(-1)
	for i := range terms {
		top = max(top, terms[i].at)
	}
	total := 0.0
	for i := range terms {
		total += math.Exp(terms[i].at - top)
	}
	out := form{}
	for i := range terms {
		out.add(&terms[i], math.Exp(terms[i].at-top)/total)
	}
	out.at = top + math.Log(total)
	return out
}
