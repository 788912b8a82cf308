package service

import (
	"math"
	"testing"

	"rinsewright/plant"
)

// A reading takes away the share of a date's doubt that was told before it was
// taken: by conditioning the whole belief on it and drawing the futures again.
func TestAReadingNarrowsADateByWhatWasTold(t *testing.T) {
	o := outset(t, plain)
	o.New = false
	w := watch(t, o)
	if err := w.t.until(o.From + 30); err != nil {
		t.Fatal(err)
	}
	for _, part := range []Part{LeadResin, Filters} {
		before := w.t.ahead([]Part{part})
		told := before.narrows(0)
		if len(told) == 0 {
			t.Errorf("%s: nothing narrows a date between %v", part, before.when(0))
			continue
		}
		for _, worth := range told {
			f, sd := w.t.soleForm(part, worth.Of)
			if sd == 0 {
				continue // one that bends is told by its best line only
			}
			_, v := w.t.b.across(&f)
			left := 0.0
			for _, n := range nodes { // over what it may show
				after, shown := *w.t, f.at+math.Sqrt(v+sd*sd)*n[0]
				after.b.take(&f, func(s float64) float64 { return -0.5 * (s - shown) * (s - shown) / (sd * sd) })
				then := after.ahead([]Part{part})
				left += n[1] * variance(then.centred(0)) / variance(before.centred(0))
			}
			// The days' distribution is skewed and cut at the horizon, so the straight line
			// tells the share to about a tenth.
			if got := 1 - left; math.Abs(got-float64(worth.Share)) > 0.1 {
				t.Errorf("%s: %q was to take %.2f of the doubt and took %.2f", part, worth.Of, worth.Share, got)
			}
		}
	}
}

// soleForm is the form and spread of a prospect that is straight in the state.
func (t *tracker) soleForm(part Part, of plant.Gauge) (form, float64) {
	day := float64(t.day)
	switch of {
	case plant.FeedPH:
		return t.b.of(atPH), math.Hypot(pHPen, 0.1)
	case plant.PermeateVolume:
		return t.rate(day), twoWeeks
	case plant.FeedStrength:
		return t.feed(day), math.Hypot(penShare, rawModel)
	case plant.TapPressure:
		return t.b.of(atFilters), filterGauges
	case "":
		if part == LeadResin {
			return t.b.of(atLeadTook), changeKnown
		}
		return t.b.of(atFilters), 0.1
	}
	return form{}, 0
}

func variance(x []float64) (v float64) {
	for _, e := range x {
		v += e * e
	}
	return v / float64(len(x))
}

func TestAChangeThatWasLoggedIsNotAskedFor(t *testing.T) {
	o := outset(t, plain)
	o.New = false
	w := watch(t, o)
	asks := func(part Part) bool {
		for _, x := range w.t.ahead([]Part{part}).narrows(0) {
			if x.Of == "" {
				return true
			}
		}
		return false
	}
	if !asks(LeadResin) || !asks(Filters) {
		t.Error("nobody logged when bottle and cartridge were changed, and it is not asked for")
	}
	add(t, w, []Entry{{Day: o.From, Changes: []Change{{Part: LeadResin}, {Part: Filters}}}})
	if asks(LeadResin) || asks(Filters) {
		t.Error("what was logged is asked for")
	}
}
