package service

import (
	"math"

	"rinsewright/plant"
	"rinsewright/quantity"
)

// Band is a number with its 5 to 95 % range.
type Band struct {
	Low, Likely, High float64 // number, in the unit of what it is a band of
}

// State is what is believed of the parts that wear on one day. Factors are
// numbers over nameplate; used is a share of capacity.
type State struct {
	Day                           Day
	A, B                          Band // factors of permeability over nameplate
	AShare, BShare                Band // factors over what they were when the log began
	DropShare                     Band // factor of the channel's friction over new
	LeadUsed, LagUsed, CarbonUsed Band // shares
	// Points are readings of this day on the same scales, 0 where there is none.
	AReads, BReads float64 // factors, as AShare and BShare
}

const ninety = 1.6449 // standard deviations to either end of a band

// Story returns the state on every recorded day, in the light of the whole log.
func (w *Watch) Story() []State {
	beliefs := w.t.smoothed()
	out := make([]State, len(beliefs))
	for i := range beliefs {
		at := *w.t
		at.b = beliefs[i]
		out[i] = at.state()
		out[i].Day = w.t.record[i].day
		out[i].AReads, out[i].BReads = w.t.record[i].reads(&at)
		if w.t.record[i].empty.lead {
			out[i].LeadUsed = Band{}
		}
		if w.t.record[i].empty.carbon {
			out[i].CarbonUsed = Band{}
		}
	}
	return out
}

func (t *tracker) state() State {
	return State{
		Day: t.day,
		A:   t.factorBand(t.b.of(atA)), B: t.factorBand(t.b.of(atB)),
		AShare: t.factorBand(t.since(atA, atFirstA)), BShare: t.factorBand(t.since(atB, atFirstB)),
		DropShare: t.factorBand(t.b.of(atDrop)),
		LeadUsed:  t.leadUsed(), LagUsed: t.shareBand(t.b.of(atLagUsed)), CarbonUsed: t.carbonUsed(),
	}
}

func (t *tracker) spread(f *form) float64 {
	_, v := t.b.across(f)
	return math.Sqrt(v)
}

func (t *tracker) factorBand(f form) Band {
	sd := t.spread(&f)
	return Band{math.Exp(f.at - ninety*sd), math.Exp(f.at), math.Exp(f.at + ninety*sd)}
}

func (t *tracker) shareBand(f form) Band {
	sd := t.spread(&f)
	return Band{max(f.at-ninety*sd, 0), max(f.at, 0), max(f.at+ninety*sd, 0)}
}

// How far a used share may be off what was counted. Source: [Memory].
const (
	// placesDoubt is of a bottle's capacity: a label tells what it takes up to an
	// endpoint, and a mixed bed holds 5 to 15 % more in all.
	placesDoubt = 0.05
	// frontDoubt is of a front's width, a share: even flow and uneven.
	frontDoubt = 0.5
	// hourDoubt is of a day: nobody notes whether a bottle was changed before or after
	// the day's draw.
	hourDoubt = 0.29
	// spentDoubt is of a carbon's capacity: it fades out, and no mark says spent.
	spentDoubt = 0.10
)

// leadUsed is what the lead took over what it holds: what was offered less what
// passed.
func (t *tracker) leadUsed() Band {
	if t.o.Lead == nil {
		return Band{}
	}
	b := t.factorBand(t.offered())
	inlet := t.inlet(float64(t.day))
	c := t.front(inlet.at)
	kept := func(x float64) float64 { return x - c.passed(x) }
	likely := kept(b.Likely)
	// A wider front lets more pass early and leaves the same places in all, so near
	// the end its doubt is that of where the end is.
	front := frontDoubt * frontHalf * min(b.Likely, 1)
	load, holds := t.load(float64(t.day)), t.leadHolds()
	rate := t.rate(float64(t.day))
	hour := hourDoubt * math.Exp(rate.at+load.at-holds.at)
	return wider(Band{kept(b.Low), likely, kept(b.High)}, math.Hypot(math.Hypot(placesDoubt*likely, front), hour))
}

// wider is a band with one more doubt, a standard deviation, on either side.
func wider(b Band, sd float64) Band {
	return Band{max(b.Likely-math.Hypot(b.Likely-b.Low, ninety*sd), 0), b.Likely, b.Likely + math.Hypot(b.High-b.Likely, ninety*sd)}
}

func (t *tracker) carbonUsed() Band {
	if t.o.Carbon == nil || t.o.Chlorine <= 0 {
		return Band{}
	}
	f, holds := t.b.of(atCarbonTook), t.b.of(atCarbonHold)
	f.add(&holds, -1)
	b := t.factorBand(f)
	b = Band{min(b.Low, 1.2), min(b.Likely, 1.2), min(b.High, 1.2)}
	return wider(b, spentDoubt*b.Likely)
}

func (t *tracker) since(now, first int) form {
	f, then := t.b.of(now), t.b.of(first)
	f.add(&then, -1)
	return f
}

// reads puts a visit's flow and strength on the scales of A and B: where either
// would have to be for the reading to be right.
func (m *moment) reads(t *tracker) (a, b float64) {
	on := func(off *float64, now, first int) float64 {
		if off == nil {
			return 0
		}
		return math.Exp(m.after.m[now] + *off - t.b.m[first])
	}
	return on(m.aOff, atA, atFirstA), on(m.bOff, atB, atFirstB)
}

// off is how far one number would have to move for a reading to be right.
func (t *tracker) off(e *Entry, g plant.Gauge, out, number int) *float64 {
	for i := range e.Readings {
		r := &e.Readings[i]
		says := t.says(out, float64(t.day))
		slope := says.slope[number]
		if r.Of != g || !(r.SI > 0) || math.Abs(slope) < 0.1 {
			continue
		}
		x := math.Log(r.SI) - says.at
		if g.Kind() == quantity.KindConductivity {
			x -= t.b.m[t.pen(r)]
		}
		if x /= slope; math.Abs(x) < 1.5 {
			return &x
		}
	}
	return nil
}
