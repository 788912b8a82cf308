package faults

import (
	"math"

	"rinsewright/plant"
	"rinsewright/quantity"
)

// doubt is one thing that nobody knows exactly: how it moves a state, how wide
// it is before any reading, and how far it drifts from a baseline to today
// without anything being wrong.
type doubt struct {
	name   string
	before float64 // one standard deviation, of x
	drift  float64
	move   func(s *state, x float64)
	direct plant.Gauge // the reading that tells it alone, "" without one
}

func times(p *float64, x float64) { *p *= math.Exp(x) }

// doubtsOf lists the doubts of a rig. Widths are one standard deviation of a
// logarithm unless a unit stands beside. Source: [TradeFaults] for elements
// (±15 % in flow), gauges and pens; the rest common practice, no source.
func doubtsOf(f *Facts) []doubt {
	known := func(yes bool, sharp, wide float64) float64 {
		if yes {
			return sharp
		}
		return wide
	}
	gauge := 0.012 * float64(f.GaugeScale.Or(quantity.PSI(200))) // Pa
	years := min(float64(f.BaselineAge.Or(quantity.Time(yearLong)))/yearLong, 4)
	all := []doubt{
		{"water permeability", known(f.ElementAge.Known, 0.09, 0.11), 0.025 + 0.015*years, func(s *state, x float64) { times(&s.rig.Membrane.WaterPermeability, x) }, ""},
		{"salt permeability", 0.25, 0.08 + 0.03*years, func(s *state, x float64) { times(&s.rig.Membrane.SaltPermeability, x) }, ""},
		{"channel drop", 0.35, 0.08, func(s *state, x float64) { times(&s.rig.Membrane.Drop, x) }, ""},
		{"restrictor", known(f.Recovery.Known, 0.22, 0.4), 0.05, func(s *state, x float64) { times(&s.rig.Restrictor, x) }, ""},
		{"tap pressure at rest", 0.2, 0.08, func(s *state, x float64) { times(&s.rig.static, x) }, plant.StaticPressure},
		{"loss of the main", 0.7, 0.15, func(s *state, x float64) { times(&s.rig.running, x) }, ""},
		{"filter load", 0.35, 0.3, func(s *state, x float64) { s.rig.Filters = min(max(s.rig.Filters+quantity.Ratio(x), -1), 3) }, ""},
		{"back-pressure", 0.9, 0.2, func(s *state, x float64) { times(&s.rig.back, x) }, plant.PermeatePressure},
		{"temperature, K", 6, 5, func(s *state, x float64) { s.rig.temperature = min(max(s.rig.temperature+x, 273.3), 315) }, plant.FeedTemperature},
		{"strength of the tap", known(f.Source == Well, 0.9, 0.5), 0.12, func(s *state, x float64) { times(&s.rig.strength, x) }, plant.FeedStrength},
		{"hardness share", known(f.Source == Well, 0.8, 0.5), 0.1, func(s *state, x float64) { s.rig.hard = shifted(s.rig.hard, x) }, plant.FeedHardness},
		{"alkalinity share", known(f.Source == Well, 0.8, 0.6), 0.15, func(s *state, x float64) { s.rig.alkaline = shifted(s.rig.alkaline, x) }, plant.FeedAlkalinity},
		{"pH", 0.35, 0.12, func(s *state, x float64) { s.rig.pH = min(max(s.rig.pH+x, 6), 8.8) }, plant.FeedPH},
		{"silica", known(f.Source == Well, 0.7, 0.5), 0.1, func(s *state, x float64) { times(&s.rig.silica, x) }, plant.FeedSilica},
		{"creep", 0.6, 0.25, func(s *state, x float64) { times(&s.creep, x) }, ""},
		{"wash-out of a start", 0.6, 0.2, func(s *state, x float64) { times(&s.washout, x) }, ""},
		{"slip of sound resin", 0.8, 0.5, func(s *state, x float64) { times(&s.slip, x) }, ""},
		{"resin's first minute", 0.9, 0.6, func(s *state, x float64) { times(&s.firstResin, x) }, ""},
		{"resin used", 0.7, 0.7, moveUsed, ""},
		{"standing in the tank", 0.4, 0.3, func(s *state, x float64) { times(&s.tankAir, x) }, ""},
		{"standing water in the line", 1, 0.5, func(s *state, x float64) { times(&s.stale, x) }, ""},
		{"film on the panel", 1, 0.5, func(s *state, x float64) { times(&s.film, x) }, ""},
		{"pressure that the guns are for", 0.45, 0, func(s *state, x float64) { times(&s.aim, x) }, ""},
		{"delivery pump", 0.1, 0.04, func(s *state, x float64) { times(&s.pump, x) }, ""},
		{"nozzle", known(f.Gun.Known, 0.08, 0.4), 0.03, func(s *state, x float64) { times(&s.nozzle, x) }, ""},
		{"line to the guns", 0.8, 0.15, func(s *state, x float64) { times(&s.line, x) }, ""},
		{"free chlorine of the tap", 0.7, 0.4, func(s *state, x float64) { times(&s.tap.free, x) }, plant.FeedFreeChlorine},
		{"chloramine of the tap", known(f.Source == ChloramineCity, 0.5, 1.2), 0.3, func(s *state, x float64) { times(&s.tap.combined, x) }, plant.FeedChlorine},
		{"carbon used", 0.8, 0.6, func(s *state, x float64) { s.carbonUsed = shifted(s.carbonUsed, x) }, ""},
		{"iron", 0.8, 0.4, func(s *state, x float64) { times(&s.tap.iron, x) }, plant.FeedIron},
		{"softener's leak", 0.8, 0.5, moveSoftener, ""},
		{"float gap", known(f.FloatGap.Known, 0.12, 0.8), 0.08, func(s *state, x float64) { times(&s.gap, x) }, ""},
		{"use of water", known(f.PerDay.Known, 0.25, 0.7), 0.2, func(s *state, x float64) { times(&s.demand, x) }, ""},
		{"tank's memory", 0, 1.2, func(s *state, x float64) { s.tankNew = shifted(s.tankNew, x) }, ""},
		{"level, share", 0.35, 0.35, func(s *state, x float64) { s.level += x }, ""},
		{"minutes before a reading", 0.9, 0, func(s *state, x float64) { times(&s.wait, x) }, ""},
		{"pen's gain", 0.02, 0, func(s *state, x float64) { s.penGain += x }, ""},
		{"pen's zero, S/m", 0.8 * microsiemens, 0, func(s *state, x float64) { s.penOffset += x }, ""},
	}
	for i, of := range gaugePlaces {
		all = append(all, doubt{"gauge of " + string(of) + ", Pa", gauge, 0.25 * gauge, func(s *state, x float64) { s.gauges[i] += x }, ""})
	}
	if f.Booster {
		all = append(all, doubt{"booster", 0.33, 0.03, func(s *state, x float64) { times(&s.rig.pump, x) }, ""})
	}
	return all
}

func moveUsed(s *state, x float64) {
	if s.usedSD > 0 {
		x *= s.usedSD / 0.7
	}
	times(&s.used, x)
}

func moveSoftener(s *state, x float64) {
	if s.rig.hardnessLeft >= 1 {
		return
	}
	s.softLeak = shifted(s.softLeak, x)
	s.rig.hardnessLeft = s.softLeak
}

// Where the pen's own doubts stand in the list. Another pen starts anew.
func penDoubts(all []doubt) (gain, zero int) {
	for i := range all {
		switch all[i].name {
		case "pen's gain":
			gain = i
		case "pen's zero, S/m":
			zero = i
		}
	}
	return gain, zero
}

// scaleSD is how far a pen of unknown scale may be off: between factors 0.45
// and 0.7, read as 0.5.
const scaleSD = 0.14

func chainOf(n *nominal) chain {
	c := chain{n: n, doubts: doubtsOf(n.facts), wait: -1}
	for i := range c.doubts {
		switch c.doubts[i].name {
		case "minutes before a reading":
			c.wait = i
		case "water permeability":
			c.water = i
		case "salt permeability":
			c.salt = i
		}
	}
	return c
}
