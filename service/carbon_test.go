package service

import (
	"math"
	"testing"

	"rinsewright/carbon"
	"rinsewright/internal/check"
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
