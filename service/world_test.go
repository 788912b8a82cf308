package service

import (
	"math"
	"math/rand/v2"
	"testing"

	"rinsewright/carbon"
	"rinsewright/hydraulics"
	"rinsewright/membrane"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/water"
)

// A small rig to watch. Every number of it is invented.

type rigged struct {
	lag, after, boosted bool
	elements            int
	perDay              float64 // gal
	bottle              float64 // ft³
}

func outset(t testing.TB, c rigged) Outset {
	t.Helper()
	e, _, err := membrane.FromSheet(membrane.Sheet{Name: "2540", Area: 2.6, PermeateFlow: quantity.GallonsPerDay(750), Rejection: 0.99, TestPressure: quantity.PSI(100), TestSalt: 0.5})
	if err != nil {
		t.Fatal(err)
	}
	p := plant.Plant{
		Supply:   hydraulics.CityCurve{Static: quantity.PSI(65)},
		FeedSide: []plant.Part{{Name: "filter", Resistance: hydraulics.Filter{CleanDrop: quantity.PSI(2), RatedFlow: quantity.GallonsPerMinute(2), ChangeDrop: quantity.PSI(15)}}},
		Train:    membrane.Train{Parallel: 1},
	}
	for range c.elements {
		p.Train.Housings = append(p.Train.Housings, membrane.Housing{Element: e, Wear: membrane.New()})
	}
	p.Restrictor = hydraulics.RatedRestrictor{Rated: quantity.LitresPerMinute(1.6 * float64(c.elements)), At: quantity.PSI(50)}
	if c.boosted {
		pump, err := hydraulics.DutyPump(quantity.PSI(90), hydraulics.PumpPoint{Flow: quantity.GallonsPerMinute(2), Pressure: quantity.PSI(65)})
		if err != nil {
			t.Fatal(err)
		}
		p.Booster = pump
	}
	var s water.Sample
	s.Strength.Conductivity = quantity.Told(quantity.MicrosiemensPerCm(480))
	raw, err := water.Complete(s, water.CityPrior())
	if err != nil {
		t.Fatal(err)
	}
	bed, err := carbon.NewBed(carbon.Block, quantity.Litres(4))
	if err != nil {
		t.Fatal(err)
	}
	v := Vessel{Volume: quantity.CubicFeet(c.bottle), Holds: resin.GrainsPerCubicFoot(9500).Equivalents()}
	o := Outset{
		Plant: p, Feed: raw.Water, Lead: &v, AfterTank: c.after, AirKept: 0.6, ActAt: quantity.MicrosiemensPerCm(4),
		Carbon: &bed, Chlorine: 1e-3, ChlorineUse: 1, PerDay: quantity.Gallons(c.perDay), PerRun: quantity.Gallons(90),
		Creep: 0.15, VendFlow: quantity.GallonsPerMinute(1.5), From: 19000, New: true,
	}
	if c.lag {
		l := v
		o.Lag = &l
	}
	return o
}

var plain = rigged{lag: true, elements: 1, perDay: 250, bottle: 1}

func watch(t testing.TB, o Outset) *Watch {
	t.Helper()
	w, err := Follow(o)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func add(t testing.TB, w *Watch, log []Entry) {
	t.Helper()
	for _, e := range log {
		if err := w.Add(e); err != nil {
			t.Fatal(err)
		}
	}
}

// world is a site drawn from the model's own doubts: its true state day by day
// and the log that a person would have kept of it.
type world struct {
	o       Outset
	truth   *tracker
	rng     *rand.Rand
	log     []Entry
	gone    []float64 // eq that the resin was offered until the end of each day since the start
	holds   []holding
	metered float64 // m³
	harsh   float64 // what chlorine does, over the law
}

// holding is one bottle in the lead: from when, with what on it, and how much it holds.
type holding struct {
	from     int // days since the start, at their end
	had, has float64
}

// draw lives through some days of a site and keeps its log.
func draw(t testing.TB, o Outset, seed uint64, days int) *world {
	t.Helper()
	truth, err := o.tracker()
	if err != nil {
		t.Fatal(err)
	}
	w := &world{o: o, truth: truth, rng: rand.New(rand.NewPCG(seed, 7))}
	x := truth.b.draw(2, w.rng)[0]
	for i := range x {
		truth.b.m[i] += x[i]
	}
	truth.b.m[atPen] = penGain * w.rng.NormFloat64()
	w.harsh = math.Exp(0.5 * w.rng.NormFloat64())
	w.fresh(0, 0)
	lag := 0.0
	next := 0
	for day := 0; day < days; day++ {
		offered := w.live(day)
		lead := &w.holds[len(w.holds)-1]
		if o.Lag != nil {
			u := lead.had + (w.gone[len(w.gone)-1]-w.at(lead.from))/lead.has
			c := truth.front(w.inlet())
			lag += c.passed(u) - c.passed(u-offered/lead.has)
		}
		if day < next {
			continue
		}
		next = day + 8 + w.rng.IntN(20)
		e := w.visit(day, lag)
		if w.spent(day) > 0 && w.rng.Float64() < 0.9 {
			e.Changes = []Change{{Part: LeadResin}}
			if o.Lag == nil {
				lag = 0
			}
			w.fresh(day+1, lag)
			lag = 0
		}
		w.log = append(w.log, e)
	}
	for day := days; day < days+mostDays; day++ { // what nobody could have logged
		w.live(day)
	}
	return w
}

func (w *world) at(day int) float64 {
	if day == 0 {
		return 0
	}
	return w.gone[day-1]
}

func (w *world) fresh(from int, had float64) {
	has := math.Exp(w.o.Lead.charge() + w.truth.b.m[atBottles] + bottleSD*w.rng.NormFloat64())
	w.holds = append(w.holds, holding{from, had, has * (1 + limitShape*w.rng.NormFloat64())})
}

func (w *world) inlet() float64 {
	f := w.truth.inlet(float64(w.truth.day))
	return f.at
}

// live lets one day pass and returns what the resin was offered, eq.
func (w *world) live(day int) float64 {
	t := w.truth
	walk := math.Sqrt(1 / monthDays)
	before := t.b
	t.levels(1)
	for i := range t.b.m {
		if more := t.b.p[i][i] - before.p[i][i]; more > 0 && i != atBusy && i != atWeather && i != atFilters {
			t.b.m[i] += math.Sqrt(more) * w.rng.NormFloat64()
		}
	}
	t.b.p = before.p
	t.b.m[atWeather] += weatherSD * math.Sqrt(1-math.Exp(-2/weatherDays)) * w.rng.NormFloat64()
	t.b.m[atFilters] += loadingWalk * walk * w.rng.NormFloat64()
	t.b.m[atBusy] = before.m[atBusy]
	if day%2 == 0 {
		t.b.m[atBusy] = busySD * w.rng.NormFloat64()
	}
	t.day = w.o.From + Day(day) + 1
	middle := float64(t.day) - 0.5
	if t.rig.far(t.inputs(middle)) {
		_ = t.rig.linearise(t.inputs(middle))
	}
	rate, load := t.rate(middle), t.load(middle)
	volume := math.Exp(rate.at)
	w.metered += volume
	offered := volume * math.Exp(load.at)
	w.oxidise(middle, volume)
	w.gone = append(w.gone, w.at(day)+offered)
	return offered
}

// oxidise loads the carbon and lets what passes it age the membrane, within the
// doubt of how much.
func (w *world) oxidise(middle, volume float64) {
	t := w.truth
	doubts := t.b.p
	taken, chlorine, made := t.feedPerPermeate(middle), t.b.of(atChlorine), t.says(outPermeate, middle)
	share := 0.0
	if !t.carbonEmpty {
		share = math.Exp(t.b.m[atCarbonTook] - t.b.m[atCarbonHold])
	}
	taken.at += math.Log(volume) + chlorine.at + math.Log(kept(t.halvings(middle), share))
	if t.carbonEmpty {
		t.b.m[atCarbonTook], t.carbonEmpty = taken.at, false
	} else {
		t.b.m[atCarbonTook] = math.Log(math.Exp(t.b.m[atCarbonTook]) + math.Exp(taken.at))
	}
	for i := range t.b.p {
		t.b.p[i] = vector{}
	}
	was := t.b.m
	t.oxidise(middle, volume/math.Exp(made.at))
	for _, at := range []int{atA, atB} { // one doubt for the whole life, not one a day
		t.b.m[at] = was[at] + (t.b.m[at]-was[at])*w.harsh
	}
	t.b.p = doubts
}

// spent is the day of the log's life after which the lead was past its limit,
// 0 when it was not by the end of a day.
func (w *world) spent(day int) int {
	h := w.holds[len(w.holds)-1]
	for d := h.from; d <= day; d++ {
		if h.had+(w.gone[d]-w.at(h.from))/h.has > 1 {
			return d + 1
		}
	}
	return 0
}

func (w *world) visit(day int, lag float64) Entry {
	t := w.truth
	e := Entry{Day: t.day}
	read := func(g plant.Gauge, si float64) {
		e.Readings = append(e.Readings, plant.Reading{Of: g, SI: si, Instrument: "P1", Running: 900, Timed: true})
	}
	n := w.rng.NormFloat64
	pen := func(g plant.Gauge, ln, model float64) {
		if w.rng.Float64() < slipShare {
			model *= slipWidth
		}
		k := math.Exp(ln+t.b.m[atPen]+model*n()+penShare*n()) + penDigits*1e-4*n()
		read(g, max(math.Round(k*1e4), 0)*1e-4)
	}
	at := float64(t.day)
	say := func(out int) float64 { f := t.says(out, at); return f.at }
	feed := t.feed(at)
	warm := t.warmth(at)
	read(plant.FeedTemperature, warm.at+thermometer*n())
	pen(plant.FeedStrength, feed.at, rawModel)
	pen(plant.PermeateStrength, say(outStrength), permeateModel)
	if w.rng.Float64() < 0.7 {
		read(plant.FeedPressure, math.Exp(say(outFeed)+gaugeShare*n())+gaugeFloor*n())
		read(plant.PermeateFlow, math.Exp(say(outPermeate)+bucketShare*n()))
	}
	if w.rng.Float64() < 0.5 {
		read(plant.ConcentrateFlow, math.Exp(say(outConcentrate)+bucketShare*n()))
	}
	if w.rng.Float64() < 0.6 {
		read(plant.PermeateVolume, w.metered*math.Exp(t.b.m[atMeter]))
	}
	h := w.holds[len(w.holds)-1]
	c := t.front(w.inlet())
	u := h.had + (w.gone[day]-w.at(h.from))/h.has
	out := slip + math.Exp(w.inlet())*c.passes(u)
	pen(plant.LeadStrength, math.Log(out)+outletModel*n(), 0.02)
	if w.o.Lag != nil {
		behind := slip + out*t.front(math.Log(out)).passes(lag)
		pen(plant.PolishStrength, math.Log(behind), 0.1)
	}
	return e
}
