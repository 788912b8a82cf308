package service

import (
	"math"
	"slices"

	"rinsewright/plant"
)

// Drift is how far one number of a site went of late, told so that sites can
// be compared: as if measured, with what a site alone may do in that time.
type Drift struct {
	Of       string  // "feed strength"
	Shift    float64 // number: of a logarithm, or of kelvin for the feed's temperature
	Variance float64 // number: of the measurement
	Own      float64 // number: variance of what one site does by itself
}

// The numbers whose drift may have one cause at several sites.
const (
	StrengthDrift = "feed strength"
	WarmthDrift   = "feed temperature"
	FreeDrift     = "free chlorine's share"
	LotDrift      = "what the last bottle holds"
	DemandDrift   = "water drawn"
)

const (
	freeOwn      = 0.15 // of the share of total chlorine that is free, by itself
	freeMeasured = 0.08
)

// Drifts returns what moved on a site within some days up to its last entry. It
// needs [Watch.Keep] from the start.
func (w *Watch) Drifts(days int) []Drift {
	beliefs := w.t.smoothed()
	last := len(beliefs) - 1
	if last < 1 {
		return nil
	}
	first := last
	for first > 0 && w.t.record[first].day > w.t.record[last].day-Day(days) {
		first--
	}
	then, now := &beliefs[first], &beliefs[last]
	months := math.Max(float64(w.t.record[last].day-w.t.record[first].day)/monthDays, 0.1)
	var all []Drift
	level := func(of string, walk float64, at func(*tracker, float64) form) {
		a, b := *w.t, *w.t
		a.b, b.b = *then, *now
		was, is := at(&a, float64(w.t.record[first].day)), at(&b, float64(w.t.record[last].day))
		// The two ends hang together by their common past; taking them for apart
		// overstates the doubt.
		_, v := a.b.across(&was)
		_, more := b.b.across(&is)
		all = append(all, Drift{of, is.at - was.at, v + more, walk * walk * months})
	}
	level(StrengthDrift, strengthWalk, (*tracker).feed)
	level(DemandDrift, demandWander, (*tracker).rate)
	about := func(of string, at int, sd float64) {
		prior, v := sd*sd, now.p[at][at]
		if v < 0.9*prior { // else nothing was learnt
			all = append(all, Drift{of, now.m[at] * prior / (prior - v), v * prior / (prior - v), prior})
		}
	}
	about(WarmthDrift, atWeather, weatherSD)
	if w.t.o.Lead != nil && !w.t.leadEmpty {
		about(LotDrift, atLeadHolds, bottleSD)
	}
	if shift, ok := w.t.freeShift(w.t.record[last].day - Day(days)); ok {
		all = append(all, Drift{FreeDrift, shift, 2 * freeMeasured * freeMeasured, freeOwn * freeOwn})
	}
	return all
}

// chlorinated is what one visit's tests said of the raw water.
type chlorinated struct {
	day  Day
	free float64 // share of total
}

// noteChlorine keeps the free share where a visit tested both.
func (t *tracker) noteChlorine(e *Entry) {
	free, total := -1.0, 0.0
	for i := range e.Readings {
		switch r := &e.Readings[i]; r.Of {
		case plant.FeedFreeChlorine:
			free = r.SI
		case plant.FeedChlorine:
			total = r.SI
		}
	}
	if free >= 0 && total > 2e-4 { // kg/m³: less than a kit can split
		t.chlorine = append(slices.Clip(t.chlorine), chlorinated{e.Day, min(free/total, 1)})
	}
}

// freeShift is the last free share over what was usual before a day.
func (t *tracker) freeShift(since Day) (shift float64, ok bool) {
	n := len(t.chlorine)
	if n < 2 || t.chlorine[n-1].day < since {
		return 0, false
	}
	before, count := 0.0, 0.0
	for _, c := range t.chlorine[:n-1] {
		if c.day < since {
			before += c.free
			count++
		}
	}
	if count == 0 {
		return 0, false
	}
	return t.chlorine[n-1].free - before/count, true
}

// Common is one cause at several sites.
type Common struct {
	Of      string
	Low     float64 // number, 5 % end of the common shift, as [Drift.Shift]
	Likely  float64 // number
	High    float64 // number
	Odds    float64 // number: for one cause over each site by itself, before any opinion
	Members []int   // which of the sites it explains
}

const (
	commonSpread = 3.0  // standard deviations of a common shift, over a site's own
	commonOdds   = 10.0 // that it takes to speak of one cause
	memberWithin = 2.0  // standard deviations from the common shift
)

// CommonCauses returns the drifts that several sites share, likeliest first:
// each told once, with the sites it explains. sites holds the drifts of each.
//
// For every number it weighs two stories by their evidence: each site moved by
// itself, or one shift moved all and each wandered about it,
//
//	d_i ~ N(0, o_i + v_i)   or   d_i ~ N(c, o_i + v_i),  c ~ N(0, (3 o)²)
//
// Source: [BoxTiao1968] for comparing by evidence; odds of ten to speak of it are
// [Memory]. At least two sites must agree.
func CommonCauses(sites [][]Drift) (all []Common) {
	for _, of := range []string{StrengthDrift, WarmthDrift, FreeDrift, LotDrift, DemandDrift} {
		var who []int
		var drifts []Drift
		for i, site := range sites {
			for _, d := range site {
				if d.Of == of && d.Variance+d.Own > 0 && !math.IsNaN(d.Shift) {
					who, drifts = append(who, i), append(drifts, d)
				}
			}
		}
		if c, ok := commonOf(of, who, drifts); ok {
			all = append(all, c)
		}
	}
	slices.SortStableFunc(all, func(a, b Common) int {
		if a.Odds > b.Odds {
			return -1
		}
		return 1
	})
	return all
}

func commonOf(of string, who []int, drifts []Drift) (Common, bool) {
	if len(drifts) < 2 {
		return Common{}, false
	}
	precision, weighed, own := 0.0, 0.0, 0.0
	for _, d := range drifts {
		v := d.Variance + d.Own
		precision += 1 / v
		weighed += d.Shift / v
		own = max(own, d.Own)
	}
	wide := commonSpread * commonSpread * own
	posterior := 1 / (precision + 1/wide)
	mean := posterior * weighed
	odds := math.Exp(0.5*mean*mean/posterior) * math.Sqrt(posterior/wide)
	c := Common{Of: of, Low: mean - ninety*math.Sqrt(posterior), Likely: mean, High: mean + ninety*math.Sqrt(posterior), Odds: min(odds, 1e9)}
	for i, d := range drifts {
		v := math.Sqrt(d.Variance + d.Own)
		if math.Abs(d.Shift-mean) <= memberWithin*v && d.Shift*mean > 0 && math.Abs(d.Shift) > 0.5*math.Abs(mean) {
			c.Members = append(c.Members, who[i])
		}
	}
	return c, odds >= commonOdds && len(c.Members) >= 2
}
