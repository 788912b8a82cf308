package service

import (
	"math"
	"slices"

	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/water"
)

// Entry is one visit, or a day on which something was changed or counted.
type Entry struct {
	Day      Day
	Readings []plant.Reading
	Vended   quantity.Time // that guns ran for vends since the last entry that counted them
	Counted  bool          // Vended is known
	Over     plant.Gauge   // found past its limit when nobody wrote down by how much; empty otherwise
	Changes  []Change      // at the end of the visit
	Notices  []Notice      // what the utility announced
}

func (e *Entry) reads(g plant.Gauge) bool {
	return slices.ContainsFunc(e.Readings, func(r plant.Reading) bool { return r.Of == g })
}

// How well things are read, one standard deviation. Source: [Practice]: pens
// ±2 % of the reading and a digit, a bucket 1 to 3 %, gauges 1 to 3 % of the
// span, a thermometer half a degree, drop kits one drop.
const (
	penShare       = 0.02
	penDigits      = 0.55 // of the last digit shown
	penGain        = 0.02
	penScaleGain   = 0.045 // a named scale in another water than its own
	penUnknownGain = 0.16
	bucketShare    = 0.03
	gaugeShare     = 0.025
	gaugeFloor     = 1.2e4 // Pa
	meterShare     = 0.01
	hoursShare     = 0.02
	vendShare      = 0.05
	thermometer    = 0.6 // K
	pHPen          = 0.15
	kitShare       = 0.06
	alkalinityKit  = 0.15 // eq/m³
	silicaKit      = 0.15
	chlorineKit    = 7e-5 // kg/m³
	halfTimeSD     = 0.3  // of ln of a carbon's half-value time: good to a factor of 1.6
	rawModel       = 0.02
	permeateModel  = 0.10
	outletModel    = 0.35   // of the outlet of a bottle near its end
	slip           = 0.5e-4 // S/m that passes any bottle
	slipSD         = 0.5e-4 // S/m
	standingSlip   = 3e-4   // S/m more in the first minutes after standing
	firstMinutes   = 0.6    // of a reading at the start, falling off in two minutes

	slipShare = 0.04 // of readings that are slips of pen or hand
	slipWidth = 7.0  // of their spread over a good one's
	surprised = 3.5  // standard deviations
)

// measured is a normal reading of which a few are slips, as a logarithm.
//
// Source: [BoxTiao1968].
func measured(off, sd float64) float64 {
	z := off / sd
	good := (1 - slipShare) * math.Exp(-z*z/2)
	z /= slipWidth
	slip := slipShare / slipWidth * math.Exp(-z*z/2)
	// A floor under both, so that no reading however wild has no story at all.
	return math.Log((good + slip + 1e-12) / sd)
}

// factor takes a reading of a positive amount, whose logarithm f is.
func (t *tracker) factor(r *plant.Reading, f form, share, floor float64) {
	t.take(r, &f, func(s float64) (float64, float64) {
		x := math.Exp(s)
		return x, math.Hypot(share*x, floor)
	})
}

// plainly takes a reading of f itself.
func (t *tracker) plainly(r *plant.Reading, f form, sd float64) {
	t.take(r, &f, func(s float64) (float64, float64) { return s, sd })
}

// take takes a reading that says gives the middle and the spread of.
func (t *tracker) take(r *plant.Reading, f *form, says func(float64) (middle, spread float64)) {
	t.doubt(r, f, says)
	t.b.take(f, func(s float64) float64 {
		middle, spread := says(s)
		return measured(r.SI-middle, spread)
	})
}

// doubt notes a reading that the belief did not see coming.
func (t *tracker) doubt(r *plant.Reading, f *form, says func(float64) (middle, spread float64)) {
	_, v := t.b.across(f)
	sd := math.Sqrt(v)
	middle, spread := says(f.at)
	high, _ := says(f.at + sd)
	low, _ := says(f.at - sd)
	off := (r.SI - middle) / math.Hypot(spread, (high-low)/2)
	if math.Abs(off) > surprised {
		t.surprises = append(t.surprises, Surprise{Day: t.day, Of: r.Key(), Gauge: r.Of, Read: r.SI, Expected: middle, Off: off})
	}
}

// pen returns the slot of a pen's gain, made when the pen is first seen.
func (t *tracker) pen(r *plant.Reading) int {
	name := r.Instrument + "\x00" + r.Scale.String()
	for i, p := range t.pens {
		if p == name {
			return atPen + i
		}
	}
	sd := penGain
	switch {
	case r.Instrument == UnknownScale:
		sd = penUnknownGain
	case r.Scale != (water.Scale{}):
		sd = penScaleGain
	}
	i := t.next
	t.next = (t.next + 1) % penSlots
	t.pens[i] = name
	t.set(atPen+i, 0, sd)
	return atPen + i
}

// UnknownScale is the instrument of a pen that nobody noted the scale of.
const UnknownScale = "pen, scale not noted"

// digit is half of what a pen's last digit may hide, in S/m.
func digit(r *plant.Reading) float64 {
	if r.Digit > 0 {
		return penDigits * max(r.Digit, 0.5e-4)
	}
	if r.Scale == (water.Scale{}) {
		return penDigits * 1e-4 // S/m: 1 µS/cm
	}
	return penDigits * 2e-4 // S/m: 1 ppm of any scale, about
}

// strength takes a pen's reading of ln strength f.
func (t *tracker) strength(r *plant.Reading, f form, model float64) {
	gain := t.b.of(t.pen(r))
	f.add(&gain, 1)
	t.factor(r, f, math.Hypot(penShare, model), digit(r))
}

// early is how much less a reading is worth in the first minutes.
func early(r *plant.Reading) float64 {
	if !r.Timed {
		return 0.1
	}
	return firstMinutes * math.Exp(-float64(r.Running)/120)
}

// readings takes all of a visit's.
func (t *tracker) readings(e *Entry) {
	day := float64(t.day)
	for i := range e.Readings {
		r := &e.Readings[i]
		if !(math.Abs(r.SI) <= 1e12) {
			continue
		}
		t.one(r, day)
	}
	if e.Counted {
		t.countVends(e)
	}
	if e.Over != "" && t.o.Lead != nil && !e.reads(e.Over) {
		t.found()
	}
}

// stored takes a reading in the tank or at a gun. Behind the resin, or where there
// is none, it is that of the water there; of water that the resin polished days
// ago and the air has been at it says little, but a high one says something.
func (t *tracker) stored(r *plant.Reading, day float64) {
	behind := t.o.AfterTank && r.Of == plant.GunStrength
	switch {
	case t.o.Lead == nil, t.o.AfterTank && !behind:
		t.strength(r, t.inlet(day), 0.12)
	case behind:
		t.lastOutlet(r, day)
	case !t.leadEmpty:
		t.mixed(r, day)
	}
}

// mixed takes a reading of water that the resin polished over the last days.
func (t *tracker) mixed(r *plant.Reading, day float64) {
	f := t.offered()
	if t.o.Lag != nil {
		f = t.b.of(atLagUsed)
	}
	inlet := t.inlet(day)
	c := t.front(inlet.at)
	t.take(r, &f, func(s float64) (float64, float64) {
		x := s
		if t.o.Lag == nil {
			x = math.Exp(s)
		}
		y := slip + airUptake + math.Exp(inlet.at)*c.passes(x)
		return y, math.Hypot(y*mixedModel, math.Hypot(digit(r), airUptake))
	})
}

// leadSilica takes a test of silica behind the lead. Silica leaves a bottle ahead
// of the ions that a meter sees.
//
// Source: [Memory] for how far ahead; the order is that of package resin.
func (t *tracker) leadSilica(r *plant.Reading, day float64) {
	if t.o.Lead == nil || t.leadEmpty {
		return
	}
	f, in, doubt := t.offered(), t.says(outSilica, day), t.b.of(atSilica)
	fed := math.Exp(in.at+doubt.at) * float64(silicaMass) // kg/m³
	t.take(r, &f, func(s float64) (float64, float64) {
		x := fed * front(silicaLeaves).passes(frontHalf/silicaFront*(math.Exp(s)-silicaLeaves)+silicaLeaves)
		return x, math.Hypot(x*2*silicaKit, 5e-5)
	})
}

const (
	housingModel = 0.25 // of one housing's permeate about the train's
	airUptake    = 1e-4 // S/m that polished water takes up from air
	mixedModel   = 0.8  // of what a tank has mixed over days
	silicaLeaves = 0.87 // of a bottle's capacity, where half its silica passes
	silicaFront  = 0.10 // half the width of that front
)

func (t *tracker) one(r *plant.Reading, day float64) {
	switch r.Of {
	case plant.FeedTemperature:
		t.plainly(r, t.warmth(day), thermometer)
	case plant.FeedStrength:
		t.strength(r, t.feed(day), rawModel)
	case plant.PermeateStrength:
		if r.Timed {
			t.permeate(r, day, float64(r.Running), permeateModel)
		} else {
			t.strength(r, t.says(outStrength, day), math.Hypot(permeateModel, early(r)))
		}
	case plant.ConcentrateStrength:
		t.strength(r, t.says(outBrine, day), permeateModel)
	case plant.PermeateFlow:
		t.factor(r, t.says(outPermeate, day), bucketShare, 3e-7)
	case plant.ConcentrateFlow:
		t.factor(r, t.says(outConcentrate, day), bucketShare, 3e-7)
	case plant.FeedPressure:
		t.factor(r, t.says(outFeed, day), gaugeShare, gaugeFloor)
	case plant.ConcentratePressure:
		t.factor(r, t.says(outEnd, day), gaugeShare, gaugeFloor)
	case plant.TapPressure:
		t.factor(r, t.says(outTap, day), gaugeShare, gaugeFloor)
	case plant.StaticPressure:
		t.factor(r, t.static(), 0.04, gaugeFloor)
	case plant.FeedPH:
		t.plainly(r, t.b.of(atPH), math.Hypot(pHPen, 0.1))
	case plant.FeedAlkalinity:
		f, share := t.feed(day), t.b.of(atAlkalinity)
		f.add(&share, 1)
		read := *r
		read.SI = float64(quantity.CaCO3Conc(r.SI).Equivalents())
		t.factor(&read, f, kitShare, alkalinityKit)
	case plant.FeedSilica:
		f := t.b.of(atSilica)
		f.at += math.Log(max(float64(t.o.Feed.Total[water.Silica])*float64(silicaMass), 1e-9))
		t.factor(r, f, silicaKit, 1e-3)
	case plant.TankStrength, plant.GunStrength:
		t.stored(r, day)
	case plant.FeedFlow:
		made, left := t.says(outPermeate, day), t.says(outConcentrate, day)
		t.factor(r, logSum(made, left), bucketShare, 3e-7)
	case plant.HousingStrength:
		t.strength(r, t.says(outStrength, day), housingModel)
	case plant.LeadSilica:
		t.leadSilica(r, day)
	case plant.PermeateFirst:
		seconds := firstReading
		if r.Timed {
			seconds = float64(r.Running)
		}
		t.permeate(r, day, seconds, permeateModel)
	case plant.LeadStrength:
		t.leadOutlet(r, day)
	case plant.PolishStrength:
		t.lastOutlet(r, day)
	case plant.HoursPerDay:
		f, made := t.rate(day), t.says(outPermeate, day)
		f.add(&made, -1)
		f.at -= math.Log(86400)
		t.factor(r, f, 0.2, 0.01)
	case plant.PermeateVolume:
		t.totaliser(r)
	case plant.RunTime:
		t.hourMeter(r)
	case plant.FeedChlorine:
		t.rawChlorine(r)
	case plant.MembraneChlorine:
		t.carbonLeak(r, day)
	}
}

const silicaMass = 0.0600843 // kg/mol of SiO2

// static is ln of the supply's pressure with nothing running.
func (t *tracker) static() form {
	f := t.b.of(atMain)
	if p, err := t.o.Plant.Supply.Pressure(0); err == nil {
		f.at += math.Log(max(float64(p), 1e3))
	}
	return f
}

// inlet is ln of the strength that meets the resin: the permeate with what
// starts add.
func (t *tracker) inlet(day float64) form {
	f, starts := t.says(outStrength, day), t.withStarts()
	f.add(&starts, 1)
	return f
}

// sinceStart is ln of the permeate's strength some seconds after a start, over
// the steady one: what starts add to a run's salt stands in its first litres.
func (t *tracker) sinceStart(seconds, day float64) form {
	if t.o.PerRun <= 0 || len(t.o.Plant.Train.Housings) == 0 {
		return form{}
	}
	hold := float64(t.o.Plant.Train.Housings[0].Element.HoldUp()) * float64(len(t.o.Plant.Train.Housings)*max(t.o.Plant.Train.Parallel, 1))
	made := t.says(outPermeate, day)
	excess := t.b.of(atCreep)
	excess.at += math.Log(float64(t.o.PerRun)/hold) - math.Exp(made.at)*seconds/hold
	return logSum(form{}, excess)
}

const (
	firstReading = 25.0 // s after the start, where "the first minute" is all that is said
	startsModel  = 0.6  // of what starts add, in a reading
)

// permeate takes a reading of the permeate's strength so long after a start.
func (t *tracker) permeate(r *plant.Reading, day, seconds, model float64) {
	steady, over := t.says(outStrength, day), t.sinceStart(seconds, day)
	rest := startsModel * -math.Expm1(-over.at) // share of the reading that starts added
	steady.add(&over, 1)
	t.strength(r, steady, math.Hypot(model, rest))
}

// leadOutlet takes a reading behind the lead bottle.
func (t *tracker) leadOutlet(r *plant.Reading, day float64) {
	if t.o.Lead == nil || t.leadEmpty {
		return
	}
	inlet := t.inlet(day)
	c, f := t.front(inlet.at), t.offered()
	t.outlet(r, &f, math.Exp(inlet.at), func(s float64) float64 { return c.passes(math.Exp(s)) })
}

// outlet takes a reading behind a bottle of which f tells how used it is.
func (t *tracker) outlet(r *plant.Reading, f *form, inlet float64, passes func(float64) float64) {
	standing := math.Hypot(slipSD, standingSlip*early(r)/firstMinutes)
	floor := math.Hypot(digit(r), standing)
	t.take(r, f, func(s float64) (float64, float64) {
		x := slip + inlet*passes(s)
		return x, math.Hypot(outletModel*x, floor)
	})
}

// lastOutlet takes a reading behind the last bottle. With two, it says
// something of the lag only where the lead lets enough through to show.
func (t *tracker) lastOutlet(r *plant.Reading, day float64) {
	if t.o.Lag == nil {
		t.leadOutlet(r, day)
		return
	}
	if t.o.Lead == nil || t.leadEmpty {
		return
	}
	inlet, lead := t.inlet(day), t.offered()
	through := math.Exp(inlet.at) * t.expected(&lead, t.front(inlet.at))
	if through < 1.5e-4 { // S/m: no pen would see it
		return
	}
	f := t.b.of(atLagUsed)
	t.outlet(r, &f, through, t.front(math.Log(through)).passes)
}

// expected is the mean share that passes a bottle.
func (t *tracker) expected(offered *form, c front) (mean float64) {
	_, v := t.b.across(offered)
	for _, n := range nodes {
		mean += n[1] * c.passes(math.Exp(offered.at+math.Sqrt(v)*n[0]))
	}
	return mean
}

// found takes "past its limit" without a number.
func (t *tracker) found() {
	if t.leadEmpty {
		return
	}
	f := t.offered()
	t.b.take(&f, func(s float64) float64 {
		return math.Log(0.03 + 0.97*front(1).passes(math.Exp(s)))
	})
}

func (t *tracker) totaliser(r *plant.Reading) {
	if t.metered && t.running[0] {
		f, gain := t.b.of(atMetered), t.b.of(atMeter)
		f.add(&gain, 1)
		read := *r
		read.SI = r.SI - t.meteredAt
		if read.SI > 0 {
			t.factor(&read, f, meterShare, 2e-3)
		}
	}
}

func (t *tracker) hourMeter(r *plant.Reading) {
	if t.hoursKnown && t.running[1] {
		f := t.b.of(atHours)
		read := *r
		read.SI = r.SI - t.hoursAt
		if read.SI > 0 {
			t.factor(&read, f, hoursShare, 1800)
		}
	}
}

func (t *tracker) countVends(e *Entry) {
	if t.vended && t.running[2] && e.Vended > 0 {
		f, per := t.b.of(atVended), t.b.of(atVend)
		f.add(&per, -1)
		read := plant.Reading{Of: "vends", SI: float64(e.Vended)}
		t.factor(&read, f, vendShare, 60)
	}
}

// restart starts the clocks anew that a visit has read.
func (t *tracker) restart(e *Entry) {
	zero := func(which, at int) {
		t.running[which] = false
		t.set(at, -20, 1e-3)
	}
	for i := range e.Readings {
		switch r := &e.Readings[i]; r.Of {
		case plant.PermeateVolume:
			t.metered, t.meteredAt = true, r.SI
			zero(0, atMetered)
		case plant.RunTime:
			t.hoursKnown, t.hoursAt = true, r.SI
			zero(1, atHours)
		}
	}
	if e.Counted {
		t.vended = true
		zero(2, atVended)
	}
}

// meet makes room for pens that were not seen before.
func (t *tracker) meet(e *Entry) {
	for i := range e.Readings {
		if r := &e.Readings[i]; r.Of.Kind() == quantity.KindConductivity {
			t.pen(r)
		}
	}
}

// rawChlorine takes a test of the raw water, chloramine counting as [carbon] counts it.
func (t *tracker) rawChlorine(r *plant.Reading) {
	if t.o.Chlorine <= 0 || t.o.ChlorineUse <= 0 {
		return
	}
	f := t.b.of(atChlorine)
	f.at -= math.Log(float64(t.o.ChlorineUse))
	t.factor(r, f, 0.15, chlorineKit)
}

// carbonLeak takes a test behind the carbon: what passes says how used it is.
func (t *tracker) carbonLeak(r *plant.Reading, day float64) {
	if t.o.Carbon == nil || t.o.Chlorine <= 0 || t.carbonEmpty {
		return
	}
	raw := math.Exp(t.b.m[atChlorine]) / max(float64(t.o.ChlorineUse), 1)
	fresh := t.halvings(day)
	f, holds := t.b.of(atCarbonTook), t.b.of(atCarbonHold)
	f.add(&holds, -1)
	t.take(r, &f, func(s float64) (float64, float64) {
		halvings := fresh * max(1-math.Exp(s), 0)
		x := raw * math.Exp2(-halvings)
		return x, math.Hypot(x*math.Hypot(0.3, halfTimeSD*math.Ln2*halvings), chlorineKit)
	})
}
