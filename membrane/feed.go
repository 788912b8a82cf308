package membrane

import (
	"fmt"

	"rinsewright/quantity"
	"rinsewright/water"
)

const gasConstant = 8.314462618 // J/(mol·K), exact by the SI of 2019

// FeedOf makes a feed of a stream for [Train.Flows], so that a root finder
// equilibrates the water once and then changes only Flow and Pressure.
//
// OsmoticPressure is what the membrane can hold back: the water's own less its
// CO2's. Passage and Diffusivity are those of its mixed salts. Errors wrap
// [ErrRange] or the water package's.
func FeedOf(s water.Stream, permeate quantity.Pressure) (Feed, error) {
	f, _, err := feedOf(s, permeate)
	return f, err
}

func feedOf(s water.Stream, permeate quantity.Pressure) (Feed, speciated, error) {
	sp, err := speciate(&s.Water)
	if err != nil {
		return Feed{}, sp, err
	}
	f := Feed{
		Flow:             s.Flow,
		Pressure:         s.Pressure,
		PermeatePressure: permeate,
		Temperature:      s.Water.Temperature,
		OsmoticPressure:  quantity.Pressure(sp.osmotic),
		Passage:          sp.n.saltPassage(),
	}
	if err := f.fill(); err != nil {
		return Feed{}, sp, err
	}
	f.Diffusivity = quantity.Diffusivity(float64(f.Diffusivity) * sp.n.saltDiffusivity() / nacl)
	return f, sp, nil
}

// fill puts the defaults of a dilute NaCl feed where f is silent, then checks.
func (f *Feed) fill() error {
	if f.Viscosity == 0 || f.Density == 0 {
		if err := f.fillWater(); err != nil {
			return err
		}
	}
	if f.Passage == 0 {
		f.Passage = 1
	}
	if f.Diffusivity == 0 {
		f.Diffusivity = quantity.Diffusivity(warm(nacl, float64(f.Temperature), float64(f.Viscosity)))
	}
	return f.check()
}

func (f *Feed) fillWater() error {
	mu, err := water.Viscosity(f.Temperature)
	if err != nil {
		return fmt.Errorf("membrane: viscosity of feed: %w", err)
	}
	rho, err := water.Density(f.Temperature)
	if err != nil {
		return fmt.Errorf("membrane: density of feed: %w", err)
	}
	f.Viscosity, f.Density = mu, rho
	return nil
}

// warm carries a diffusivity from 25 °C to t by D µ / T = constant.
// Source: Stokes and Einstein's relation; 0.890 mPa·s is water at 25 °C [Practice].
func warm(d, t, mu float64) float64 { return d * t / reference * 0.890e-3 / mu }

func (f *Feed) check() error {
	for _, b := range [...]bound{
		{"feed flow", float64(f.Flow), 1e-9, 1, "m3/s"},
		{"feed pressure", float64(f.Pressure), -1e5, 1.2e7, "Pa"},
		{"permeate pressure", float64(f.PermeatePressure), -1e5, 1.2e7, "Pa"},
		{"temperature", float64(f.Temperature), 273.15, 333.15, "K"},
		{"osmotic pressure", float64(f.OsmoticPressure), 0, 1e7, "Pa"},
		{"viscosity", float64(f.Viscosity), 1e-4, 5e-3, "Pa·s"},
		{"density", float64(f.Density), 900, 1200, "kg/m3"},
		{"diffusivity", float64(f.Diffusivity), 1e-11, 1e-8, "m2/s"},
		{"passage", f.Passage, 1e-3, 1e3, ""},
	} {
		if !(b.lo <= b.x && b.x <= b.hi) {
			return within("membrane: feed", b)
		}
	}
	return nil
}
