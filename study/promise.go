package study

import (
	"math"

	"rinsewright/demand"
	"rinsewright/quantity"
)

// promised is one promise: how to take it from a look, and how to show it.
type promised struct {
	name, says string
	of         func(c *checking, l *look) float64 // NaN where a look has no answer
	as         func(c *checking, x float64) Figure
	step       string // symbol of the step in the working
	membrane   bool   // only a membrane has it
}

func asFigure[Q quantity.Quantity]() func(*checking, float64) Figure {
	return func(_ *checking, x float64) Figure { return figure(Q(x)) }
}

// promisedTable lists the promises in the order they are told; the names are
// those of the contract.
var promisedTable = []promised{
	{"permeate_flow", "permeate flow today", func(_ *checking, l *look) float64 { return float64(l.today.Product().Flow) }, asFigure[quantity.Flow](), "Q_p", true},
	{"permeate_flow_coldest", "permeate flow in the coldest month", coldestFlow, asFigure[quantity.Flow](), "Q_cold", true},
	{"recovery", "recovery", func(_ *checking, l *look) float64 { return float64(l.today.Recovery()) }, asFigure[quantity.Ratio](), "Y", true},
	{"strength_after_membrane", "strength after the membrane", func(_ *checking, l *look) float64 { return float64(l.permeate.at25) }, asFigure[quantity.Conductivity](), "k_p", true},
	{"strength_after_resin", "strength after the resin", polishedStrength, asFigure[quantity.Conductivity](), "k_r", false},
	{"resin_volume", "water through one bottle of resin", resinVolume, asFigure[quantity.Volume](), "V_r", false},
	{"resin_days", "one bottle of resin lasts", resinDays, asLife, "t_r", false},
	{"refill_time", "time to refill from empty", refill, func(_ *checking, x float64) Figure { return life{quantity.Time(x)} }, "t_f", false},
	{"starts_per_day", "membrane starts a day", startsPerOpenDay, func(_ *checking, x float64) Figure { return count{x, "per day"} }, "n_s", false},
	{"run_dry_risk", "rinses that run short of water", func(_ *checking, l *look) float64 { return float64(l.year.ShortShare()) }, asFigure[quantity.Ratio](), "s_short", false},
	{"cost_per_rinse", "cost of a rinse", costPerRinse, func(c *checking, x float64) Figure { return amount{x, c.cost.Currency} }, "c_rinse", false},
	{"drain_per_rinse", "to drain for each rinse", func(_ *checking, l *look) float64 {
		return float64(l.demand.PerVend) * (1/float64(l.today.Recovery()) - 1)
	}, asFigure[quantity.Volume](), "V_drain", true},
}

func asLife(_ *checking, x float64) Figure { return life{quantity.Time(x)} }

func coldestFlow(_ *checking, l *look) float64 {
	if l.cold != nil {
		return 0
	}
	return float64(l.coldest.Product().Flow)
}

func polishedStrength(_ *checking, l *look) float64 {
	if len(l.rig.beds) == 0 {
		return math.NaN()
	}
	return float64(l.polished.at25)
}

func resinVolume(_ *checking, l *look) float64 {
	if l.unused {
		return math.NaN()
	}
	return float64(l.life.Volume)
}

// resinDays counts open days at the mean demand of an open day.
func resinDays(_ *checking, l *look) float64 {
	if l.unused || !(l.demand.OpenDay > 0) {
		return math.NaN()
	}
	return float64(l.life.Volume) / float64(l.demand.OpenDay) * 86400
}

func refill(_ *checking, l *look) float64 {
	t, err := demand.FillTime(l.store.tank.Usable(), l.today.Product().Flow)
	if err != nil {
		return math.NaN()
	}
	return float64(t)
}

func startsPerOpenDay(_ *checking, l *look) float64 {
	if l.demand.OpenDays == 0 {
		return math.NaN()
	}
	return float64(l.year.Starts) / float64(l.demand.OpenDays)
}

func costPerRinse(c *checking, l *look) float64 {
	year, err := c.costOf(l)
	if err != nil {
		return math.NaN()
	}
	return year.PerRinseExact
}

// promises takes every promise from the base look and its band from the looks
// under doubt.
func (c *checking) promises() (all []Promise) {
	for _, p := range promisedTable {
		value := p.of(c, c.base)
		if p.name == "run_dry_risk" {
			value = float64(c.years.ShortShare.Mean) // of several years
		}
		if math.IsNaN(value) || p.membrane && c.site.Rig.Membrane == nil {
			continue
		}
		low, high := c.band(p, value)
		all = append(all, Promise{
			Name: p.name, Says: p.says, Working: c.book.of(p.step),
			Band: Band{p.as(c, value), p.as(c, low), p.as(c, high)}, Doubts: c.doubtsOf(p),
		})
	}
	c.readings(all)
	return all
}

// band is the 5 to 95 % range over the looks. It always holds the value told.
func (c *checking) band(p promised, value float64) (low, high float64) {
	return spread(c.looks, func(l *look) float64 { return p.of(c, l) }, value)
}

// quantile interpolates in sorted xs so that one more draw falls below it with
// probability p, however few draws there are:
//
//	x at place p(n+1), counted from 1
//
// Source: [HyndmanFan1996], their definition 6.
func quantile(xs []float64, p float64) float64 {
	at := min(max(p*float64(len(xs)+1)-1, 0), float64(len(xs)-1))
	i := int(at)
	if i >= len(xs)-1 {
		return xs[len(xs)-1]
	}
	return xs[i] + (at-float64(i))*(xs[i+1]-xs[i])
}

// readings puts what was read on site beside what the model promises.
func (c *checking) readings(all []Promise) {
	for place, name := range map[string]string{"permeate": "strength_after_membrane", "polished": "strength_after_resin"} {
		sample, ok := sampleAt(c.site, place)
		if !ok || !sample.Strength.Known() {
			continue
		}
		for i := range all {
			if all[i].Name == name {
				all[i].Read = readStrength(sample.Strength)
			}
		}
	}
}

func (b *book) of(symbol string) string {
	for _, s := range b.steps {
		if s.Symbol == symbol {
			return s.ID
		}
	}
	return ""
}
