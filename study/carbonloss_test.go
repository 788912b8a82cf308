package study

import (
	"math"
	"testing"

	"rinsewright/carbon"
	"rinsewright/quantity"
	"rinsewright/site"
)

// TestCarbonTakesWhatItsPlateSays holds a stage of carbon to the pressure that
// somebody read across it, at the flow he read it at. By definition; and four
// psi is what the trade expects of a fresh block (common practice, no source).
func TestCarbonTakesWhatItsPlateSays(t *testing.T) {
	fluid, err := fluidAt(quantity.Celsius(20))
	if err != nil {
		t.Fatal(err)
	}
	for _, kind := range []carbon.Kind{carbon.Block, carbon.Granular} {
		bed, err := carbon.NewBed(kind, quantity.Litres(28))
		if err != nil {
			t.Fatal(err)
		}
		told := &site.Carbon{Drop: quantity.Told(quantity.PSI(7)), Flow: quantity.Told(quantity.GallonsPerMinute(3))}
		got, err := carbonLoss(bed, told).Loss(quantity.GallonsPerMinute(3), fluid)
		if want := quantity.PSI(7); err != nil || !(math.Abs(float64(got-want)) <= 1e-9*float64(want)) {
			t.Errorf("%v: takes %.2f psi at 3 gpm, its plate says 7 (%v)", kind, got.PSI(), err)
		}
	}
}
