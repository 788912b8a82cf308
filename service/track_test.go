package service

import (
	"errors"
	"math"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rinsewright/internal/check"
	"rinsewright/plant"
	"rinsewright/quantity"
)

// What one bottle is offered is what the water brought: rate times load, summed
// over the days, whatever the steps.
func TestTheBottlesClockIsTheSumOfWhatTheWaterBrought(t *testing.T) {
	o := outset(t, plain)
	w := watch(t, o)
	sum := 0.0
	for w.t.day < o.From+60 {
		days := 6.0
		middle := float64(w.t.day) + days/2
		before := *w.t
		before.levels(days)
		if before.rig.far(before.inputs(middle)) {
			if err := before.rig.linearise(before.inputs(middle)); err != nil {
				t.Fatal(err)
			}
		}
		rate, load := before.rate(middle), before.load(middle)
		sum += math.Exp(rate.at+load.at) * days
		if err := w.t.until(w.t.day + 6); err != nil {
			t.Fatal(err)
		}
	}
	check.Within(t, math.Exp(w.t.b.m[atLeadTook]), sum, 1e-9, "from memory, unverified: a sum over the steps, by hand")
}

// What passes the lead is what the lag takes: no charge is lost between them.
func TestChargeThatPassesTheLeadIsOnTheLag(t *testing.T) {
	o := outset(t, rigged{lag: true, elements: 1, perDay: 250, bottle: 0.25})
	w := watch(t, o)
	for i := range w.t.b.p { // as if everything were known
		for j := range w.t.b.p {
			w.t.b.p[i][j] = 0
		}
	}
	for _, offered := range []float64{1, 2, 2, 2, 2, 2, 2} { // eq, into a bottle of about 3
		f := form{at: math.Log(offered)}
		w.t.loadBottles(&f)
	}
	offered, holds := w.t.offered(), w.t.leadHolds()
	strength := w.t.inlet(float64(w.t.day))
	kept := math.Exp(offered.at) - w.t.front(strength.at).passed(math.Exp(offered.at))
	total := (kept + w.t.b.m[atLagUsed]) * math.Exp(holds.at)
	check.Within(t, total, 13, 1e-6, "from memory, unverified: what was offered")
}

func TestAChangeResetsItsPartAndNoOther(t *testing.T) {
	o := outset(t, plain)
	w := watch(t, o)
	for _, e := range draw(t, o, 3, 90).log {
		e.Changes = nil
		add(t, w, []Entry{e})
	}
	cases := []struct {
		part   Part
		resets []int
	}{
		{CarbonPart, []int{atCarbonTook}},
		{Filters, []int{atFilters}},
		{Seals, []int{atLeak}},
		{Restrictor, []int{atRestrictor}},
		{Membrane, []int{atA, atB, atDrop, atLeak}},
		{AllResin, []int{atLeadTook, atLeadHolds, atLagUsed}},
		{LeadResin, []int{atLeadTook, atLeadHolds, atLagUsed}},
	}
	for _, c := range cases {
		now := *w.t
		now.change(Change{Part: c.part})
		for i := range now.b.m {
			same := now.b.m[i] == w.t.b.m[i] && now.b.p[i][i] == w.t.b.p[i][i]
			if want := !slices.Contains(c.resets, i); same != want && i != atLagHolds { // a bottle nothing was learnt of looks like a fresh one
				t.Errorf("%s: number %d kept %v, want %v", c.part, i, same, want)
			}
		}
	}
}

// Writing one visit down as two on the same day must change nothing.
func TestSplittingAVisitChangesNothing(t *testing.T) {
	o := outset(t, plain)
	log := draw(t, o, 11, 120).log
	rapid.Check(t, func(rt *rapid.T) {
		whole, split := watch(t, o), watch(t, o)
		for _, e := range log {
			if err := whole.Add(e); err != nil {
				rt.Fatal(err)
			}
			at := rapid.IntRange(0, len(e.Readings)).Draw(rt, "split")
			first, second := e, e
			first.Readings, first.Changes, first.Over = e.Readings[:at], nil, ""
			second.Readings = e.Readings[at:]
			for _, part := range []Entry{first, second} {
				if err := split.Add(part); err != nil {
					rt.Fatal(err)
				}
			}
		}
		a, b := whole.t.b, split.t.b
		for i := range a.m {
			if sd := math.Sqrt(a.p[i][i]); !(math.Abs(a.m[i]-b.m[i]) < 0.25*sd+1e-6) {
				rt.Fatalf("number %d: %g in one visit, %g in two, sd %g", i, a.m[i], b.m[i], sd)
			}
		}
	})
}

// Rows after a day must not change what was foreseen on it.
func TestTheFutureDoesNotChangeAForecast(t *testing.T) {
	o := outset(t, plain)
	log := draw(t, o, 5, 200).log
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, len(log)-1).Draw(rt, "known")
		short, long := watch(t, o), watch(t, o)
		for _, e := range log[:n] {
			_, _ = short.Add(e), long.Add(e)
		}
		day := log[n-1].Day
		a, _, err := short.Exhaustion(day)
		b, _, second := long.Exhaustion(day)
		for _, e := range log[n:] {
			_ = long.Add(e)
		}
		if err != nil || second != nil || a != b {
			rt.Fatal(a, b, err, second)
		}
		again, _, err := short.Exhaustion(day)
		if err != nil || again != a {
			rt.Fatalf("asked twice: %v then %v, %v", a, again, err)
		}
	})
}

func TestAnEarlierEntryIsRefused(t *testing.T) {
	o := outset(t, plain)
	w := watch(t, o)
	add(t, w, []Entry{{Day: o.From + 10}})
	if err := w.Add(Entry{Day: o.From + 9}); !errors.Is(err, ErrOrder) {
		t.Errorf("got %v, want an error about order", err)
	}
}

func TestAPenMisreadIsNamed(t *testing.T) {
	o := outset(t, plain)
	w := watch(t, o)
	log := draw(t, o, 17, 150).log
	add(t, w, log)
	before := len(w.Surprises())
	if err := w.Add(Entry{Day: log[len(log)-1].Day + 7, Readings: []plant.Reading{
		{Of: plant.FeedStrength, SI: 0.5, Instrument: "P1", Running: 900, Timed: true}, // ten times what it was
	}}); err != nil {
		t.Fatal(err)
	}
	all := w.Surprises()
	if len(all) != before+1 || all[len(all)-1].Of != string(plant.FeedStrength) {
		t.Errorf("surprises %v", all)
	}
	if moved := math.Abs(w.t.b.m[atStrength] - math.Log(0.048)); moved > 0.8 {
		t.Errorf("a slip moved the feed by %.2f in logarithm", moved)
	}
}

// The smoothed past may not be less sure than the filtered one, and the last
// state is the same in both.
func TestTheSmoothedPastIsSurer(t *testing.T) {
	o := outset(t, plain)
	w := watch(t, o)
	w.Keep()
	add(t, w, draw(t, o, 23, 300).log)
	smooth := w.t.smoothed()
	for k, r := range w.t.record {
		for _, i := range []int{atA, atB, atDemand, atBottles} {
			if s, f := smooth[k].p[i][i], r.after.p[i][i]; !(s <= f*1.02+1e-9) {
				t.Errorf("entry %d, number %d: variance %g smoothed, %g filtered", k, i, s, f)
			}
		}
	}
	last := len(smooth) - 1
	if !reflect.DeepEqual(smooth[last].m, w.t.record[last].after.m) {
		t.Error("the last state differs")
	}
}

// A membrane that fouls to 70 % within a year is seen to do so.
func TestFoulingIsTracked(t *testing.T) {
	o := outset(t, plain)
	w := watch(t, o)
	w.Keep()
	truth, err := o.tracker()
	if err != nil {
		t.Fatal(err)
	}
	for week := range 52 {
		u := truth.inputs(float64(o.From) + float64(week*7))
		u[inA] = math.Log(1 - 0.3*float64(week)/51)
		y, err := truth.rig.run(u)
		if err != nil {
			t.Fatal(err)
		}
		read := func(g plant.Gauge, x float64) plant.Reading { return plant.Reading{Of: g, SI: x} }
		if err := w.Add(Entry{Day: o.From + Day(7*week), Readings: []plant.Reading{
			read(plant.FeedTemperature, u[inWarmth]), read(plant.PermeateFlow, math.Exp(y[outPermeate])), read(plant.FeedPressure, math.Exp(y[outFeed])),
			read(plant.ConcentrateFlow, math.Exp(y[outConcentrate])), read(plant.FeedStrength, math.Exp(u[inStrength])),
		}}); err != nil {
			t.Fatal(err)
		}
	}
	story := w.Story()
	last := story[len(story)-1]
	// It follows a fall of 30 % in a year with a lag of some weeks.
	check.Near(t, last.AShare.Likely, 0.70, 0.07, "from memory, unverified: what the readings were made with (invented)")
	if !(last.AShare.Low < 0.72) {
		t.Errorf("band %v", last.AShare)
	}
}

func TestReadingsThatAreNoNumbersAreLeftOut(t *testing.T) {
	o := outset(t, plain)
	w := watch(t, o)
	var all []plant.Reading
	for _, g := range plant.Gauges() {
		for _, x := range []float64{math.NaN(), math.Inf(1), -1, 0, 1e300, 1e-300} {
			all = append(all, plant.Reading{Of: g, SI: x, Running: quantity.Time(x), Timed: true})
		}
	}
	add(t, w, []Entry{{Day: o.From + 3, Readings: all}, {Day: o.From + 20, Readings: all}})
	for i, m := range w.t.b.m {
		if math.IsNaN(m) || math.IsInf(m, 0) {
			t.Errorf("number %d is %g", i, m)
		}
	}
	if _, _, err := w.Exhaustion(o.From + 30); err != nil {
		t.Error(err)
	}
}

func BenchmarkSiteYearOfWeeks(b *testing.B) {
	o := outset(b, plain)
	full := draw(b, o, 41, 600).log
	var log []Entry
	for i := range 52 {
		e := full[i%len(full)]
		e.Day, e.Changes = o.From+Day(7*i), nil
		log = append(log, e)
	}
	for b.Loop() {
		w := watch(b, o)
		w.Keep()
		add(b, w, log)
		w.Story()
	}
}
