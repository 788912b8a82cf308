package service

import (
	"cmp"
	"math"
	"slices"

	"rinsewright/plant"
	"rinsewright/quantity"
)

// Worth is a reading that nobody has taken yet and the share of a date's doubt
// that it would be expected to take away.
type Worth struct {
	// Of is what to read; [plant.TapPressure] stands for the pressures on both sides
	// of the filter, and empty for the day of the last change, where nobody logged it.
	Of    plant.Gauge
	Share quantity.Ratio // of the date's variance
}

// worthTelling is the share of a date's doubt below which a reading is not asked
// for. Source: [Memory].
const worthTelling = 0.08

// prospect is a reading that could be taken: what it would show in each drawn
// state, and how well it would be read.
type prospect struct {
	of    plant.Gauge
	shows func(x *[nState]float64) (value, spread float64)
}

// narrows ranks the readings that would narrow a part's date, by the share of
// its variance that goes with what each would show:
//
//	cov(T, y)² / (var T (var y + r²))
//
// over the drawn states, r being how well y is read.
// Source: linear regression of the date on the reading; what bends is counted by
// its best straight line.
func (a *ahead) narrows(part int) (all []Worth) {
	ends := a.centred(part)
	total := 0.0
	for _, e := range ends {
		total += e * e
	}
	if !(total > 0) {
		return nil
	}
	for _, p := range a.t.prospects(a.parts[part]) {
		ys, noise, mean := make([]float64, draws), 0.0, 0.0
		for i := range ys {
			y, spread := p.shows(&a.x[i])
			ys[i] = y
			mean += y / draws
			noise += spread * spread
		}
		xy, yy := 0.0, 0.0
		for i, y := range ys {
			xy += (y - mean) * ends[i]
			yy += (y - mean) * (y - mean)
		}
		if share := xy * xy / (total * (yy + noise)); share > worthTelling {
			all = append(all, Worth{p.of, quantity.Ratio(min(share, 1))})
		}
	}
	slices.SortStableFunc(all, func(a, b Worth) int { return cmp.Compare(b.Share, a.Share) })
	return all
}

// centred are a part's days over their mean, as far as the horizon.
func (a *ahead) centred(part int) []float64 {
	ends := make([]float64, draws)
	mean := 0.0
	for i, e := range a.ends[part] {
		ends[i] = min(e, mostDays)
		mean += ends[i] / draws
	}
	for i := range ends {
		ends[i] -= mean
	}
	return ends
}

// twoWeeks of a totaliser tell the draw within this. Source: busy days alone.
var twoWeeks = busySD * math.Sqrt(busyDays/14)

// prospects are the readings that bear on a part.
func (t *tracker) prospects(part Part) (all []prospect) {
	day := float64(t.day)
	look := func(of plant.Gauge, f form, spread float64) {
		all = append(all, prospect{of, func(x *[nState]float64) (float64, float64) { return f.value(x), spread }})
	}
	look(plant.PermeateVolume, t.rate(day), twoWeeks)
	look(plant.FeedStrength, t.feed(day), math.Hypot(penShare, rawModel))
	if !t.o.membraneless() {
		look(plant.PermeateStrength, t.says(outStrength, day), math.Hypot(penShare, permeateModel))
	}
	switch part {
	case Cleaning:
		look(plant.PermeateFlow, t.says(outPermeate, day), bucketShare)
	case LeadResin, AllResin:
		alkalinity, share := t.feed(day), t.b.of(atAlkalinity)
		alkalinity.add(&share, 1)
		look(plant.FeedPH, t.b.of(atPH), math.Hypot(pHPen, 0.1))
		look(plant.FeedAlkalinity, alkalinity, kitShare)
		look(plant.FeedSilica, t.b.of(atSilica), silicaKit)
		all = append(all, t.leadProspect(day))
		if !t.leadChanged && !t.o.New {
			look("", t.b.of(atLeadTook), changeKnown)
		}
	case CarbonPart:
		look(plant.FeedChlorine, t.b.of(atChlorine), 0.15)
		all = append(all, t.carbonProspect(day))
		if !t.carbonChanged && !t.o.New {
			look("", t.b.of(atCarbonTook), changeKnown)
		}
	case Filters:
		look(plant.TapPressure, t.b.of(atFilters), filterGauges)
		if !t.filtersChanged && !t.o.New {
			look("", t.b.of(atFilters), 0.1)
		}
	}
	return all
}

// changeKnown is how well the day of a change tells what a part has taken since,
// a logarithm. Source: [Memory].
const changeKnown = 0.2

// filterGauges is how well two gauges tell a cartridge's loading, where 0.7 bar
// across it means due: both their faults over that drop.
const filterGauges = math.Sqrt2 * gaugeFloor / 0.7e5

func (t *tracker) leadProspect(day float64) prospect {
	inlet, f := t.inlet(day), t.offered()
	c := t.front(inlet.at)
	floor := math.Hypot(penDigits*2e-4, slipSD)
	return prospect{plant.LeadStrength, func(x *[nState]float64) (float64, float64) {
		y := slip + math.Exp(inlet.at)*c.passes(math.Exp(f.value(x)))
		return y, math.Hypot(outletModel*y, floor)
	}}
}

func (t *tracker) carbonProspect(day float64) prospect {
	share, halvings := t.carbonShare(), t.halvings(day)
	raw := math.Exp(t.b.m[atChlorine]) / max(t.o.ChlorineUse, 1)
	return prospect{plant.MembraneChlorine, func(x *[nState]float64) (float64, float64) {
		h := halvings * max(1-math.Exp(share.value(x)), 0)
		y := raw * math.Exp2(-h)
		return y, math.Hypot(y*math.Hypot(0.3, halfTimeSD*math.Ln2*h), chlorineKit)
	}}
}
