package service

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

const (
	draws       = 600
	mostDays    = 1200
	limitShape  = 0.03 // of capacity, doubt of where on its front a bottle is told spent
	forecastKey = 0x51d7
	weekly      = 180 // days ahead from which steps are two weeks
)

// When is a day with its band, 5 to 95 %.
type When struct {
	Low, Likely, High Day
}

// draw returns deviations of n states from the mean, in mirrored pairs.
func (b *belief) draw(n int, noise *rand.Rand) [][nState]float64 {
	l := b.root()
	out := make([][nState]float64, n)
	var z vector
	for i := range out {
		if i%2 == 1 { // the mirror of the one before
			for k := range z {
				out[i][k] = -out[i-1][k]
			}
			continue
		}
		for k := range z {
			z[k] = noise.NormFloat64()
		}
		for r := range l {
			for k := 0; k <= r; k++ {
				out[i][r] += l[r][k] * z[k]
			}
		}
	}
	return out
}

// root is the lower Cholesky factor of the covariance; a number that follows
// from others exactly has no part of its own.
func (b *belief) root() (l [nState]vector) {
	for i := range l {
		for j := 0; j <= i; j++ {
			s := b.p[i][j]
			for k := range j {
				s -= l[i][k] * l[j][k]
			}
			switch {
			case i == j:
				l[i][i] = math.Sqrt(max(s, 0))
			case l[j][j] > 1e-9:
				l[i][j] = s / l[j][j]
			}
		}
	}
	return l
}

func (f *form) value(x *[nState]float64) float64 {
	y := f.at
	for i, s := range f.slope {
		if s != 0 {
			y += s * x[i]
		}
	}
	return y
}

// Exhaustion returns when the lead bottle's outlet passes its limit if nobody
// changes it, as believed on a day. ok is false without resin. The error wraps
// [ErrOrder] for a day before the last entry.
func (w *Watch) Exhaustion(day Day) (When, bool, error) {
	t, err := w.on(day)
	if err != nil || t.o.Lead == nil {
		return When{}, false, err
	}
	a := t.ahead([]Part{LeadResin})
	return a.when(0), true, nil
}

// on is the tracker as it stands on a day without further entries.
func (w *Watch) on(day Day) (*tracker, error) {
	t := *w.t
	t.keep, t.record = false, nil
	t.surprises = slices.Clip(t.surprises)
	if err := t.until(day); err != nil {
		return nil, fmt.Errorf("forecast: %w", err)
	}
	t.carbonEnds = t.carbonLimit()
	return &t, nil
}

// clocks of one future.
type clocks struct {
	demand, strength, a, b float64 // what they wandered from what was drawn
	lead, carbon, filters  float64 // shares used
	volume                 float64 // m³ since now
}

// ahead is many futures, and when and after how much water each of some parts
// is due in each of them.
type ahead struct {
	t       *tracker
	parts   []Part
	x       [][nState]float64
	now     []clocks
	noise   *rand.Rand
	limit   []float64   // of the lead, with the doubt of its front
	ends    [][]float64 // by part and future, days; +Inf when not reached
	volumes [][]float64 // m³
	open    int
}

func (t *tracker) ahead(parts []Part) *ahead {
	a := &ahead{t: t, parts: parts, noise: rand.New(rand.NewPCG(forecastKey, uint64(t.day)))}
	a.x = t.b.draw(draws, a.noise)
	a.now, a.limit = make([]clocks, draws), make([]float64, draws)
	for range parts {
		a.ends, a.volumes = append(a.ends, slices.Repeat([]float64{math.Inf(1)}, draws)), append(a.volumes, make([]float64, draws))
	}
	a.open = len(parts) * draws
	a.begin()
	for since := 0.0; since < mostDays && a.open > 0; {
		days := 7.0
		if since >= weekly {
			days = 14
		}
		a.onward(since, days)
		since += days
	}
	return a
}

// begin stands every future at what is used today; a lead already past its
// limit ended some days ago.
func (a *ahead) begin() {
	t := a.t
	took, rate, load := t.b.of(atLeadTook), t.rate(float64(t.day)), form{}
	var holds form
	if t.o.Lead != nil {
		holds, load = t.leadHolds(), t.load(float64(t.day))
	}
	rate.add(&load, 1)
	carbon := t.carbonShare()
	for i := range a.x {
		x, c := &a.x[i], &a.now[i]
		a.limit[i] = 1 + limitShape*a.noise.NormFloat64()
		c.filters = t.b.m[atFilters] + x[atFilters]
		if t.o.Carbon != nil && !t.carbonEmpty {
			c.carbon = math.Exp(carbon.value(x))
		}
		if t.o.Lead != nil && !t.leadEmpty {
			c.lead = math.Exp(took.value(x) - holds.value(x))
		}
		for p, part := range a.parts {
			if part == LeadResin && c.lead >= a.limit[i] {
				back := (c.lead - a.limit[i]) / math.Exp(rate.value(x)-holds.value(x))
				a.close(p, i, -min(back, float64(t.day-t.leadSince)), 0)
			}
		}
	}
}

func (a *ahead) close(part, i int, days, volume float64) {
	a.ends[part][i], a.volumes[part][i] = days, volume
	a.open--
}

// rates are the forms that one step of all futures needs.
type rates struct {
	days                              float64
	volume, ions, gas, silica, carbon form
	holds                             form
	halvings                          float64 // of fresh carbon
}

func (a *ahead) rates(since, days float64) rates {
	t := a.t
	middle := float64(t.day) + since + days/2
	if t.rig.far(t.inputs(middle)) {
		_ = t.rig.linearise(t.inputs(middle)) // a state where the plant has no answer keeps the plant beside it
	}
	r := rates{days: days, volume: t.rate(middle), ions: t.says(outIons, middle), gas: t.carbonDioxide(middle), silica: t.says(outSilica, middle)}
	busy, starts, kept, doubt := t.b.of(atBusy), t.withStarts(), t.b.of(atAir), t.b.of(atSilica)
	r.volume.add(&busy, -1)
	r.ions.add(&starts, 1)
	r.gas.add(&kept, 1)
	r.silica.add(&doubt, 1)
	if t.o.Lead != nil {
		r.holds = t.leadHolds()
	}
	if t.o.Carbon != nil {
		chlorine, holds := t.b.of(atChlorine), t.b.of(atCarbonHold)
		r.carbon = t.feedPerPermeate(middle)
		r.carbon.add(&chlorine, 1)
		r.carbon.add(&holds, -1)
		r.carbon.at += math.Log(t.chlorineUse(middle) / max(t.o.ChlorineUse, 1))
		r.halvings = t.halvings(middle)
	}
	return r
}

// onward lets every future live through some days.
func (a *ahead) onward(since, days float64) {
	r := a.rates(since, days)
	walk := math.Sqrt(days / monthDays)
	busySpread := busySD * math.Sqrt(min(busyDays/days, 1))
	n := a.noise.NormFloat64
	for i := range a.x {
		if !a.waits(i) {
			continue
		}
		x, c := &a.x[i], &a.now[i]
		before := *c
		c.demand += demandWander * walk * n()
		c.strength += strengthWalk * walk * n()
		c.a += fouling*days/monthDays + foulingWalk*walk*n()
		c.b += ageing*days/monthDays + ageingWalk*walk*n()
		passes := c.strength + c.b
		volume := math.Exp(r.volume.value(x)+c.demand+busySpread*n()) * days
		c.volume += volume
		if a.t.o.Lead != nil {
			load := math.Exp(r.ions.value(x)+passes) + math.Exp(r.gas.value(x)) + math.Exp(r.silica.value(x)+passes)
			c.lead += volume * load / math.Exp(r.holds.value(x))
		}
		if a.t.o.Carbon != nil {
			c.carbon += volume * math.Exp(r.carbon.value(x)) * kept(r.halvings, c.carbon)
		}
		c.filters += max(a.t.b.m[atClogging]+x[atClogging], 0.0005) * days
		a.look(i, since, days, &before)
	}
}

// waits says whether any part of a future is still to come.
func (a *ahead) waits(i int) bool {
	return slices.ContainsFunc(a.ends, func(e []float64) bool { return math.IsInf(e[i], 1) })
}

// look closes the parts that came due within a step.
func (a *ahead) look(i int, since, days float64, before *clocks) {
	for p, part := range a.parts {
		if !math.IsInf(a.ends[p][i], 1) {
			continue
		}
		was, is, limit := a.gauge(part, i, before), a.gauge(part, i, &a.now[i]), a.limitOf(part, i)
		if is < limit {
			continue
		}
		share := 1.0
		if is > was {
			share = min(max((limit-was)/(is-was), 0), 1)
		}
		a.close(p, i, since+share*days, before.volume+share*(a.now[i].volume-before.volume))
	}
}

// gauge is the number that brings a part due when it passes its limit.
func (a *ahead) gauge(part Part, i int, c *clocks) float64 {
	t, x := a.t, &a.x[i]
	switch part {
	case LeadResin, AllResin:
		return c.lead
	case CarbonPart:
		return c.carbon
	case Filters:
		return c.filters
	case Cleaning:
		return -(t.b.m[atA] + x[atA] - t.b.m[atFirstA] - x[atFirstA] + c.a)
	case Membrane:
		return t.b.m[atB] + x[atB] - t.b.m[atFirstB] - x[atFirstB] + c.b
	}
	return 0
}

// How far a membrane may go from where it began. Source: [Practice]: clean at
// 10 to 15 % less flow, replace when the salt that passes has doubled.
var (
	cleanAt   = -math.Log(0.85)
	replaceAt = math.Log(2)
)

func (a *ahead) limitOf(part Part, i int) float64 {
	t := a.t
	switch part {
	case LeadResin:
		return a.limit[i]
	case AllResin: // what the lead lets through has filled the lag as well
		share := math.Exp(t.o.Lag.charge() - t.o.Lead.charge())
		return a.limit[i] + share*max(1-t.b.m[atLagUsed]-a.x[i][atLagUsed], 0)
	case CarbonPart:
		return t.carbonEnds
	case Filters:
		return 1
	case Cleaning:
		return cleanAt
	case Membrane:
		return replaceAt
	}
	return math.Inf(1)
}

// when is the band of a part's days; what was not reached stands at the horizon.
func (a *ahead) when(part int) When {
	ends := slices.Clone(a.ends[part])
	for i := range ends {
		ends[i] = min(ends[i], mostDays)
	}
	slices.Sort(ends)
	at := func(q float64) Day { return a.t.day + Day(math.Round(quantile(ends, q))) }
	return When{at(0.05), at(0.5), at(0.95)}
}

// quantile is on a straight line between neighbours: the seventh of Hyndman and Fan's
// definitions. With as many draws as a forecast takes it is within a draw of the sixth,
// which package study's bands take since they may have few.
func quantile(sorted []float64, q float64) float64 {
	at := q * float64(len(sorted)-1)
	i := int(at)
	if i+1 >= len(sorted) {
		return sorted[len(sorted)-1]
	}
	return sorted[i] + (at-float64(i))*(sorted[i+1]-sorted[i])
}
