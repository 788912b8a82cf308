package service

import (
	"math"
	"testing"

	"rinsewright/carbon"
	"rinsewright/internal/check"
	"rinsewright/plant"
	"rinsewright/quantity"
)

// With every number known, the carbon's clock is that of a bed followed day by
// day by package carbon: what passes is not taken up, and nearly spent carbon
// takes up less and less.
func TestCarbonTakesUpWhatDoesNotPass(t *testing.T) {
	o := outset(t, plain)
	bed, err := carbon.NewBed(carbon.Granular, quantity.Litres(4))
	if err != nil {
		t.Fatal(err)
	}
	o.Carbon, o.Chlorine, o.ChlorineUse, o.New = &bed, 2e-3, 1, true
	w := watch(t, o)
	for i := range w.t.b.p {
		w.t.b.p[i] = vector{}
	}
	const steps = 400
	used, last := 0.0, 0.0
	for range steps {
		middle := float64(w.t.day) + 0.5
		volume := w.t.rate(middle)
		per, made := w.t.feedPerPermeate(middle), w.t.says(outPermeate, middle)
		met := carbon.Challenge{FreeChlorine: 2e-3, Temperature: quantity.Temperature(w.t.warmth(middle).at), PH: quantity.PH(w.t.b.m[atPH])}
		leak, err := bed.Leak(met, quantity.Flow(math.Exp(per.at+made.at)), quantity.Ratio(min(used, 1)))
		if err != nil {
			t.Fatal(err)
		}
		used += float64(met.FreeChlorine-leak.FreeChlorine) * math.Exp(volume.at+per.at) / float64(bed.Capacity)
		w.t.loadCarbon(middle, &volume)
		w.t.day++
		f := w.t.carbonShare()
		if now := math.Exp(f.at); now < last {
			t.Fatalf("used %.3f after %.3f", now, last)
		} else {
			last = now
		}
	}
	if used < 0.8 {
		t.Fatalf("after %d days only %.2f used: the end is not reached", steps, used)
	}
	check.Within(t, last, used, 0.02, "from memory, unverified: what came less what passes, added up by hand")
}

// Announced weeks of free chlorine spend carbon slower by the mass and are felt
// by the membrane behind tired carbon; before and after nothing differs.
func TestAnnouncedFreeChlorineAgesTheMembraneBehindTiredCarbon(t *testing.T) {
	o := outset(t, plain)
	bed, err := carbon.NewBed(carbon.Granular, quantity.Litres(4))
	if err != nil {
		t.Fatal(err)
	}
	o.Carbon, o.Chlorine, o.ChlorineUse, o.New = &bed, 3*2e-3, 3, true
	plainly, told := watch(t, o), watch(t, o)
	for _, w := range []*Watch{plainly, told} {
		w.t.carbonEmpty = false
		w.t.set(atCarbonTook, math.Log(0.9*float64(bed.Capacity)), 0.1)
	}
	add(t, told, []Entry{{Day: o.From, Notices: []Notice{{FreeWeeks, o.From + 30, o.From + 50}}}})
	exposed := func(day Day) (a, b float64) {
		add(t, plainly, []Entry{{Day: day}})
		add(t, told, []Entry{{Day: day}})
		return plainly.t.exposed, told.t.exposed
	}
	if a, b := exposed(o.From + 24); a != b {
		t.Errorf("before the weeks: exposure %g without the notice, %g with it", a, b)
	}
	if a, b := exposed(o.From + 60); b < 5*a {
		t.Errorf("after the weeks: exposure %g without the notice, %g with it, wanted many times", a, b)
	}
}

func TestSilicaBehindTheLeadTellsHowFarItIsUsed(t *testing.T) {
	o := outset(t, plain)
	w := watch(t, o)
	if err := w.t.until(o.From + 30); err != nil {
		t.Fatal(err)
	}
	f := w.t.offered()
	before, high := f.at, *w.t
	made := w.t.says(outSilica, float64(w.t.day))
	fed := math.Exp(made.at) * float64(silicaMass)
	high.leadSilica(&plant.Reading{Of: plant.LeadSilica, SI: 0.6 * fed}, float64(w.t.day))
	low := *w.t
	low.leadSilica(&plant.Reading{Of: plant.LeadSilica, SI: 0}, float64(w.t.day))
	if up, down := high.offered(), low.offered(); !(up.at > before && down.at <= before) {
		t.Errorf("used %.2f; with silica behind it %.2f, without %.2f", math.Exp(before), math.Exp(up.at), math.Exp(down.at))
	}
}
