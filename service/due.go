package service

import (
	"math"
	"slices"

	"rinsewright/quantity"
)

// Due is when one part is due, and what that hangs on.
type Due struct {
	Part    Part
	When    When
	Reached quantity.Ratio // share of the futures in which it is due within the horizon
	// Litres of permeate until then, with band.
	Low, Likely, High quantity.Volume
	Used              Band // number: share used today, 1 is due
	Drives            []Driver
	Eats              []Driver // for resin: what takes its places
	Narrows           []Worth  // readings that would narrow it, the best first
}

// Driver is a named share of something; the shares of one list add up to at most 1.
type Driver struct {
	Name  string
	Share quantity.Ratio
}

// Horizon is how many days ahead a forecast looks.
const Horizon = mostDays

// Due returns what comes due on a site, soonest first, as believed on a day.
// The error wraps [ErrOrder] for a day before the last entry.
func (w *Watch) Due(day Day) ([]Due, error) {
	t, err := w.on(day)
	if err != nil {
		return nil, err
	}
	parts := t.parts()
	a := t.ahead(parts)
	all := make([]Due, 0, len(parts))
	for p, part := range parts {
		d := Due{Part: part, When: a.when(p), Drives: a.drives(p), Narrows: a.narrows(p)}
		var volumes []float64
		for i, end := range a.ends[p] {
			if !math.IsInf(end, 1) {
				volumes = append(volumes, a.volumes[p][i])
			}
		}
		d.Reached = quantity.Ratio(float64(len(volumes)) / draws)
		if slices.Sort(volumes); len(volumes) > 0 {
			d.Low, d.Likely, d.High = quantity.Volume(quantile(volumes, 0.05)), quantity.Volume(quantile(volumes, 0.5)), quantity.Volume(quantile(volumes, 0.95))
		}
		d.Used = t.usedOf(part)
		if part == LeadResin {
			d.Eats = t.eats()
		}
		all = append(all, d)
	}
	slices.SortStableFunc(all, func(a, b Due) int { return int(a.When.Likely - b.When.Likely) })
	return all, nil
}

// parts are those of this site that wear out.
func (t *tracker) parts() (all []Part) {
	if t.o.Lead != nil {
		all = append(all, LeadResin)
		if t.o.Lag != nil {
			all = append(all, AllResin)
		}
	}
	if t.o.Carbon != nil && t.o.Chlorine > 0 {
		all = append(all, CarbonPart)
	}
	if len(t.o.Plant.FeedSide) > 0 || !t.o.membraneless() {
		all = append(all, Filters)
	}
	if !t.o.membraneless() {
		all = append(all, Cleaning, Membrane)
	}
	return all
}

func (t *tracker) usedOf(part Part) Band {
	switch part {
	case LeadResin, AllResin:
		if t.leadEmpty {
			return Band{}
		}
		if part == AllResin {
			return t.shareBand(t.b.of(atLagUsed))
		}
		return t.factorBand(t.offered())
	case CarbonPart:
		b := t.carbonUsed()
		return Band{b.Low / t.carbonEnds, b.Likely / t.carbonEnds, b.High / t.carbonEnds}
	case Filters:
		return t.shareBand(t.b.of(atFilters))
	}
	f, limit := t.since(atA, atFirstA), -cleanAt
	if part == Membrane {
		f, limit = t.since(atB, atFirstB), replaceAt
	}
	sd := t.spread(&f)
	low, high := (f.at-ninety*sd)/limit, (f.at+ninety*sd)/limit
	return Band{max(min(low, high), 0), max(f.at/limit, 0), max(low, high, 0)}
}

// eats is what takes a bottle's places, as shares of the load today.
func (t *tracker) eats() []Driver {
	day := float64(t.day)
	steady, starts, gas, kept, silica, doubt := t.says(outIons, day), t.withStarts(), t.carbonDioxide(day), t.b.of(atAir), t.says(outSilica, day), t.b.of(atSilica)
	ions := math.Exp(steady.at)
	all := []Driver{
		{"dissolved salts", quantity.Ratio(ions)},
		{"first minutes after each start", quantity.Ratio(ions * (math.Exp(starts.at) - 1))},
		{"carbon dioxide", quantity.Ratio(math.Exp(gas.at + kept.at))},
		{"silica", quantity.Ratio(math.Exp(silica.at + doubt.at))},
	}
	return shares(all)
}

func shares(all []Driver) []Driver {
	total := quantity.Ratio(0)
	for _, d := range all {
		total += d.Share
	}
	for i := range all {
		all[i].Share /= max(total, 1e-300)
	}
	slices.SortStableFunc(all, func(a, b Driver) int {
		if a.Share > b.Share {
			return -1
		}
		return 1
	})
	return slices.DeleteFunc(all, func(d Driver) bool { return d.Share < 0.02 })
}

// membraneLets names what reaches the resin.
const membraneLets = "what the membrane lets through"

// groups name the doubts that a date hangs on.
var groups = []struct {
	name string
	of   []int
}{
	{"how much is drawn", []int{atDemand, atGrowth, atDemandC, atDemandS, atBusy}},
	{membraneLets, []int{atStrength, atStrengthC, atStrengthS, atA, atB, atLeak, atMain, atRestrictor, atBooster, atSilica}},
	{"carbon dioxide, which no pen sees", []int{atAlkalinity, atPH, atAir}},
	{"what starts bring", []int{atCreep}},
	{"what a bottle holds", []int{atBottles, atLeadHolds, atLagHolds}},
	{"how far it is used", []int{atLeadTook, atLagUsed, atCarbonTook, atFilters}},
	{"what the carbon holds", []int{atCarbonHold}},
	{"chlorine in the raw water", []int{atChlorine}},
	{"how fast it clogs", []int{atClogging}},
	{"where the membrane began", []int{atFirstA, atFirstB}},
}

// drives ranks the doubts that a part's date hangs on: how much of the date's
// spread goes with each, by least squares on the drawn states; what is left is
// what the future brings.
func (a *ahead) drives(part int) []Driver {
	ends := a.centred(part)
	total := 0.0
	for i := range ends {
		total += ends[i] * ends[i]
	}
	if !(total > 0) {
		return nil
	}
	left := 1.0
	var all []Driver
	for _, g := range groups {
		share := 0.0
		for _, k := range g.of {
			xy, xx := 0.0, 0.0
			for i := range a.x {
				xy += a.x[i][k] * ends[i]
				xx += a.x[i][k] * a.x[i][k]
			}
			if xx > 1e-12 {
				share = max(share, xy*xy/(xx*total))
			}
		}
		name := g.name
		if name == membraneLets && a.t.o.membraneless() {
			name = "how strong the feed is"
		}
		all = append(all, Driver{name, quantity.Ratio(share)})
		left -= share
	}
	all = append(all, Driver{"what the weeks ahead bring", quantity.Ratio(max(left, 0))})
	return shares(all)
}

// carbonShare is ln of the carbon's used share.
func (t *tracker) carbonShare() form {
	f, holds := t.b.of(atCarbonTook), t.b.of(atCarbonHold)
	f.add(&holds, -1)
	return f
}

// carbonLimit is the used share at which the carbon lets 0.1 mg/L through.
//
// Source: [carbon.Bed.Leak] solved for the share.
func (t *tracker) carbonLimit() float64 {
	if t.o.Carbon == nil || t.o.Chlorine <= 0 {
		return 1
	}
	raw := math.Exp(t.b.m[atChlorine]) / max(t.o.ChlorineUse, 1)
	return min(max(1-math.Log2(max(raw/1e-4, 1))/t.halvings(float64(t.day)), 0.05), 1)
}

// Has says whether a site has a part that wears out.
func (w *Watch) Has(part Part) bool { return slices.Contains(w.t.parts(), part) }

// PerDay returns the permeate drawn on an open day about now, with its band.
func (w *Watch) PerDay(day Day) (low, likely, high quantity.Volume) {
	t := w.t
	f := t.season(atDemand, atDemandC, atDemandS, float64(day))
	growth := t.b.of(atGrowth)
	f.add(&growth, float64(day-t.o.From)/365.25)
	b := t.factorBand(f)
	return quantity.Volume(b.Low), quantity.Volume(b.Likely), quantity.Volume(b.High)
}
