package service

import (
	"fmt"
	"math"

	"rinsewright/plant"
)

// longestStep is how far clocks run at one rate.
const longestStep = 8 // days

// tracker carries a belief through a log.
type tracker struct {
	o    *Outset
	b    belief
	rig  rig
	day  Day
	pens [penSlots]string
	next int // pen slot to reuse

	free []Notice // weeks of free chlorine that were announced

	metered, hoursKnown, vended bool // the clock runs since a reading
	meteredAt, hoursAt          float64
	running                     [3]bool // clocks that have something on them: metered, hours, vended
	leadEmpty, carbonEmpty      bool
	// Changed in this log, so that somebody knows when.
	leadChanged, carbonChanged, filtersChanged bool
	carbonEnds                                 float64 // share of its capacity at which the carbon is due
	leadSince                                  Day
	surprises                                  []Surprise
	exposed                                    float64             // mg/L-hours of free chlorine that the membrane has met, about
	chlorine                                   []chlorinated       // tests that split free from total
	jumpedBy                                   [len(jumps)]float64 // how far the last reading of each was off, where it was
	moved                                      [nState]vector      // of the state by the state at the last record
	keep                                       bool
	record                                     []moment
}

// moment is what smoothing needs of one time.
type moment struct {
	day           Day
	before, after belief
	moved         [nState]vector // from the last moment's after to this one's before
	empty         emptied
	aOff, bOff    *float64 // by what A and B would move for flow and strength to be right
}

// emptied says which clocks had nothing on them yet.
type emptied struct{ lead, carbon bool }

func (t *tracker) empties() emptied { return emptied{t.leadEmpty, t.carbonEmpty} }

func identity() (f [nState]vector) {
	for i := range f {
		f[i][i] = 1
	}
	return f
}

func (o *Outset) tracker() (*tracker, error) {
	r, err := newRig(o.Plant, o.Feed, o.Back)
	if err != nil {
		return nil, fmt.Errorf("track: %w", err)
	}
	t := &tracker{o: o, rig: r, day: o.From, moved: identity()}
	t.b = o.believe(&t.rig)
	a, b := t.b.of(atA), t.b.of(atB)
	t.become(atFirstA, &a, 0)
	t.become(atFirstB, &b, 0)
	t.freshCarbon(o.New)
	if o.Lead != nil {
		t.startBottles()
	}
	if err := t.rig.linearise(t.inputs(float64(t.day))); err != nil {
		return nil, fmt.Errorf("track: %w", err)
	}
	return t, nil
}

// startBottles sets what the first bottles have taken.
func (t *tracker) startBottles() {
	t.leadEmpty, t.leadSince = t.o.New, t.day
	if !t.o.New {
		t.set(atLeadTook, math.Log(usedAtStart)+t.o.Lead.charge(), usedAtStartSD)
		if t.o.Lag != nil {
			t.set(atLagUsed, 0.1, 0.15)
		}
	}
}

func (t *tracker) become(i int, f *form, variance float64) {
	var row vector
	for j, w := range f.slope {
		if w != 0 {
			for k := range row {
				row[k] += w * t.moved[j][k]
			}
		}
	}
	t.moved[i] = row
	t.b.become(i, f, variance)
}

func (t *tracker) set(i int, mean, sd float64) {
	t.moved[i] = vector{}
	t.b.forget(i, mean, sd)
}

func (t *tracker) wander(i int, sd, months float64) { t.b.p[i][i] += sd * sd * months }

func (t *tracker) drift(i int, by float64) { t.b.m[i] += by }

// season is a yearly wave on a level.
func (t *tracker) season(level, c, s int, day float64) form {
	f := t.b.of(level)
	cos, sin := t.o.phase(day)
	wave, other := t.b.of(c), t.b.of(s)
	f.add(&wave, cos)
	f.add(&other, sin)
	return f
}

func (t *tracker) warmth(day float64) form {
	f := t.season(atWarmth, atWarmthC, atWarmthS, day)
	weather := t.b.of(atWeather)
	f.add(&weather, 1)
	return f
}

func (t *tracker) feed(day float64) form { return t.season(atStrength, atStrengthC, atStrengthS, day) }

var fromState = [nIn]int{inA: atA, inB: atB, inLeak: atLeak, inMain: atMain, inFilters: atFilters, inRestrictor: atRestrictor, inBooster: atBooster, inDrop: atDrop}

func (t *tracker) input(i int, day float64) form {
	switch i {
	case inWarmth:
		return t.warmth(day)
	case inStrength:
		return t.feed(day)
	}
	return t.b.of(fromState[i])
}

func (t *tracker) inputs(day float64) (u [nIn]float64) {
	for i := range u {
		f := t.input(i, day)
		u[i] = f.at
	}
	return u
}

// says is what the plant answers on a day.
func (t *tracker) says(out int, day float64) form {
	f := form{at: t.rig.out[out]}
	for i := range t.rig.at {
		if slope := t.rig.slope[out][i]; slope != 0 {
			in := t.input(i, day)
			in.at -= t.rig.at[i]
			f.add(&in, slope)
		}
	}
	return f
}

// rate is ln of m³ of permeate a day.
func (t *tracker) rate(day float64) form {
	f := t.season(atDemand, atDemandC, atDemandS, day)
	growth, busy := t.b.of(atGrowth), t.b.of(atBusy)
	f.add(&growth, (day-float64(t.o.From))/365.25)
	f.add(&busy, 1)
	if t.o.closed(day) {
		f.at += laidUp
	}
	return f
}

// carbonDioxide is ln of mol/m³ in feed and permeate alike.
func (t *tracker) carbonDioxide(day float64) form {
	f := t.feed(day)
	a, pH := t.b.of(atAlkalinity), t.b.of(atPH)
	f.add(&a, 1)
	f.add(&pH, -math.Ln10)
	f.at += t.rig.carbon
	return f
}

// withStarts is ln of (1 + what starts add).
func (t *tracker) withStarts() form { return logSum(form{}, t.b.of(atCreep)) }

// load is ln of what a volume of permeate brings to the resin, eq/m³: by
// charge, carbon dioxide and silica once per molecule.
//
// Source: [resin.Inlet.AnionLoad].
func (t *tracker) load(day float64) form {
	ions, starts := t.says(outIons, day), t.withStarts()
	ions.add(&starts, 1)
	gas, kept := t.carbonDioxide(day), t.b.of(atAir)
	gas.add(&kept, 1)
	silica, doubt := t.says(outSilica, day), t.b.of(atSilica)
	silica.add(&doubt, 1)
	return logSum(ions, gas, silica)
}

// feedPerPermeate is ln of feed over permeate.
func (t *tracker) feedPerPermeate(day float64) form {
	made, left := t.says(outPermeate, day), t.says(outConcentrate, day)
	f := logSum(made, left)
	f.add(&made, -1)
	return f
}

// until lets time pass.
func (t *tracker) until(day Day) error {
	if day < t.day {
		return fmt.Errorf("track: day %d after day %d: %w", day, t.day, ErrOrder)
	}
	for t.day < day {
		left := float64(day - t.day)
		days := math.Max(1, math.Round(left/math.Ceil(left/longestStep)))
		t.step(days)
		t.day += Day(days)
	}
	return nil
}

func (t *tracker) step(days float64) {
	middle := float64(t.day) + days/2
	t.levels(days)
	if t.rig.far(t.inputs(middle)) {
		_ = t.rig.linearise(t.inputs(middle)) // a state where the plant has no answer keeps the plant beside it
	}
	volume := t.rate(middle)
	volume.at += math.Log(days)
	t.run(0, atMetered, &volume)
	running := t.says(outPermeate, middle)
	hours := volume
	hours.add(&running, -1)
	t.run(1, atHours, &hours)
	t.run(2, atVended, &volume)
	if t.o.Lead != nil {
		load := t.load(middle)
		load.add(&volume, 1)
		t.loadBottles(&load)
	}
	if t.o.Carbon != nil {
		t.loadCarbon(middle, &volume)
	}
	t.oxidise(middle, math.Exp(hours.at))
}

// levels lets every level wander.
func (t *tracker) levels(days float64) {
	months := days / monthDays
	t.set(atBusy, 0, busySD*math.Sqrt(min(busyDays/days, 1)))
	keep := math.Exp(-days / weatherDays)
	weather := form{at: keep * t.b.m[atWeather]}
	weather.slope[atWeather] = keep
	t.become(atWeather, &weather, weatherSD*weatherSD*(1-keep*keep))
	t.drift(atA, fouling*months)
	t.drift(atB, ageing*months)
	filters, clogging := t.b.of(atFilters), t.b.of(atClogging)
	filters.add(&clogging, days)
	t.become(atFilters, &filters, loadingWalk*loadingWalk*months)
	for _, w := range [...]struct {
		at int
		sd float64
	}{
		{atDemand, demandWander},
		{atStrength, strengthWalk},
		{atA, foulingWalk},
		{atB, ageingWalk},
		{atLeak, leakWalk},
		{atMain, mainWalk},
		{atRestrictor, restrictWalk},
		{atBooster, boosterWalk},
		{atDrop, dropWalk},
		{atAlkalinity, alkalinityRun},
		{atPH, pHWalk},
	} {
		t.wander(w.at, w.sd, months)
	}
}

// run adds to one of the clocks that a reading starts anew.
func (t *tracker) run(which, at int, by *form) {
	empty := !t.running[which]
	t.clock(&empty, at, by)
	t.running[which] = true
}

// clock adds to a clock that may be empty.
func (t *tracker) clock(empty *bool, at int, by *form) {
	if *empty {
		t.become(at, by, 0)
		*empty = false
		return
	}
	sum := logSum(t.b.of(at), *by)
	t.become(at, &sum, 0)
}

func (t *tracker) freshCarbon(fresh bool) {
	if t.o.Carbon == nil {
		return
	}
	t.carbonEmpty = fresh
	if !fresh {
		t.set(atCarbonTook, math.Log(0.4*float64(t.o.Carbon.Capacity)), 0.8)
	}
}

// Surprise is a reading that does not fit what all others say.
type Surprise struct {
	Day      Day
	Gauge    plant.Gauge
	Of       string  // the reading's key
	Read     float64 // number in the gauge's SI unit
	Expected float64 // number in the gauge's SI unit
	Off      float64 // number of standard deviations
}
