package study_test

import (
	"context"
	"math"
	"reflect"
	"testing"

	"rinsewright/quantity"
	"rinsewright/study"
	"rinsewright/water"
)

func sheetOf(t testing.TB, name string, change func(*sample)) *study.WaterSheet {
	t.Helper()
	s := example(t, name)
	if change != nil {
		change(&s.Samples[0])
	}
	w, err := study.Water(context.Background(), s, study.Options{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func TestScalingRisesWithRecoveryAndItsBandHoldsIt(t *testing.T) {
	for _, name := range []string{"cormorant-reach", "brightmere", "long-barrow"} {
		w := sheetOf(t, name, nil)
		last := math.Inf(-1)
		for _, r := range w.Scaling {
			if !(r.Low <= r.Index && r.Index <= r.High) || r.Index < last {
				t.Errorf("%s at %v: %+v after %.2f", name, r.Recovery, r, last)
			}
			if last = r.Index; r.Recovery <= w.Holds.Surely && r.High > 0.02 || r.Recovery <= w.Holds.Likely && r.Index > 0.02 {
				t.Errorf("%s holds to %+v, and at %v the index is %.2f (%.2f to %.2f)", name, w.Holds, r.Recovery, r.Index, r.Low, r.High)
			}
		}
	}
}

// However sure the readings are, the databases differ.
func TestScalingCarriesTheSpreadOfTheDatabases(t *testing.T) {
	mg := func(x float64) quantity.Entry[quantity.MassConc] {
		return quantity.Told(quantity.MilligramsPerLitre(x))
	}
	sure := func(s *sample) {
		s.Instrument, s.PH, s.Alkalinity = "laboratory", quantity.Told(quantity.PH(7.4)), quantity.Told(quantity.MilligramsPerLitreCaCO3(150))
		s.Hardness = quantity.Entry[quantity.CaCO3Conc]{}
		s.Accuracy = water.Accuracy{Strength: 1e-3, Hardness: 1e-5, Alkalinity: 1e-5, PH: 1e-3, Temperature: 0.01, Ion: 1e-3, Share: 1e-3}
		s.Ions = map[water.Component]quantity.Entry[quantity.MassConc]{water.Calcium: mg(60), water.Magnesium: mg(12), water.Sodium: mg(30), water.Chloride: mg(55), water.Sulphate: mg(33), water.Silica: mg(8)}
	}
	w := sheetOf(t, "cormorant-reach", sure)
	if !w.Full {
		t.Fatal("a full analysis was not seen as one")
	}
	for _, r := range w.Scaling {
		if r.First == "calcite" && !(r.High-r.Low >= 2*water.Calcite.DatabaseSpread()) {
			t.Errorf("at %v the band is %.3f wide", r.Recovery, r.High-r.Low)
		}
	}
}

func TestSharesOfTheLoadMakeTheWhole(t *testing.T) {
	w := sheetOf(t, "cormorant-reach", nil)
	for _, shares := range [][]study.Share{w.Eats, w.Behind} {
		sum := 0.0
		for _, s := range shares {
			sum += float64(s.Share)
		}
		if math.Abs(sum-1) > 1e-9 {
			t.Errorf("%v sum to %g", shares, sum)
		}
	}
	// The demo's story: a membrane leaves the carbon dioxide, and it is most of what loads the resin.
	if w.Behind[2].Name != "carbon dioxide" || !(w.Behind[2].Share > 0.8) {
		t.Errorf("behind a membrane: %v", w.Behind)
	}
}

func TestNextReadingIsOneThatNobodyTook(t *testing.T) {
	w := sheetOf(t, "cormorant-reach", nil)
	if len(w.Next) == 0 || w.Next[0].Name != "silica" {
		t.Fatalf("next: %+v", w.Next)
	}
	taken := sheetOf(t, "cormorant-reach", func(s *sample) {
		s.Ions[water.Silica] = quantity.Told(quantity.MilligramsPerLitre(14))
	})
	for _, n := range taken.Next {
		if n.Name == "silica" {
			t.Error("silica was read, and is asked for again")
		}
	}
	if wide, narrow := w.Scaling[3], taken.Scaling[3]; !(narrow.High-narrow.Low < wide.High-wide.Low) {
		t.Errorf("silica read, the band at half recovery went from %.2f to %.2f", wide.High-wide.Low, narrow.High-narrow.Low)
	}
}

func TestSheetNamesContradictionsAndWhatNobodyLookedFor(t *testing.T) {
	w := sheetOf(t, "cormorant-reach", func(s *sample) { s.Hardness = quantity.Told(quantity.GrainsPerGallon(60)) })
	if len(w.Contradictions) != 1 || len(w.NotLooked) == 0 || len(w.Unjudged) == 0 {
		t.Errorf("contradictions %q, not looked for %q, unjudged %q", w.Contradictions, w.NotLooked, w.Unjudged)
	}
}

func TestSameSeedGivesTheSameSheet(t *testing.T) {
	if a, b := sheetOf(t, "long-barrow", nil), sheetOf(t, "long-barrow", nil); !reflect.DeepEqual(a, b) {
		t.Error("a seed does not stand for its sheet")
	}
}

func BenchmarkWaterSheet(b *testing.B) {
	s := example(b, "cormorant-reach")
	for b.Loop() {
		if _, err := study.Water(context.Background(), s, study.Options{Seed: 1}); err != nil {
			b.Fatal(err)
		}
	}
}
