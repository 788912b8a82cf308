package membrane

import (
	"math"
	"testing"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

func TestChlorineShowsBetweenTwoHundredAndAThousandHours(t *testing.T) {
	b := func(hours float64) float64 {
		return Oxidation(quantity.MilligramHoursPerLitre(hours)).SaltPermeability
	}
	const source = "from memory, unverified: 200 to 1000 mg/L-hours before noticeable loss; 5 to 10 % more salt passage is noticed"
	check.Near(t, b(24), 1, 0.05, source)
	check.Near(t, b(200), 1.125, 0.075, source)
	if !(b(1000) > 1.5) {
		t.Errorf("after 1000 mg/L-hours ×%.2f, want plainly worse", b(1000))
	}
}

func TestOxidationOnlyClimbs(t *testing.T) {
	was := New()
	for e := 1.0; e <= 1e6; e *= 1.5 {
		w := Oxidation(quantity.MilligramHoursPerLitre(e))
		if w.SaltPermeability < was.SaltPermeability || w.WaterPermeability < was.WaterPermeability {
			t.Errorf("at %v: %+v after %+v", e, w, was)
		}
		if !w.sound() {
			t.Errorf("at %v: %+v is no wear", e, w)
		}
		if w.SaltPermeability-1 < w.WaterPermeability-1 {
			t.Errorf("at %v water gains more than salt: %+v", e, w)
		}
		was = w
	}
	for _, e := range []float64{0, -1, math.NaN(), math.Inf(-1)} {
		if Oxidation(quantity.Exposure(e)) != New() {
			t.Errorf("exposure %v wears", e)
		}
	}
}

// The fast check and the one that explains must not disagree.
func TestWearsTwoChecksAgree(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), -1, 0, 1e-4, 0.05, 0.5, 1, 2, 200, 2e4} {
		for i := range 5 {
			w := New()
			switch i {
			case 0:
				w.WaterPermeability = x
			case 1:
				w.SaltPermeability = x
			case 2:
				w.Drop = x
			case 3:
				w.Bypass = quantity.Ratio(x)
			case 4:
				w.ScaledTail = quantity.Ratio(x)
			}
			if w.sound() != (w.check() == nil) {
				t.Errorf("%+v: sound %v, check %v", w, w.sound(), w.check())
			}
		}
	}
}

func TestHarmsAddUp(t *testing.T) {
	w := Fouled(0.2).With(Oxidation(quantity.MilligramHoursPerLitre(1000))).With(Scaled(0.3)).With(Leaking(0.01)).With(Leaking(0.02))
	for _, row := range []struct {
		what      string
		got, want float64
	}{
		{"water permeability", w.WaterPermeability, 0.8 * 1.3}, // from memory, unverified: the laws of the package
		{"salt permeability", w.SaltPermeability, 2},           // from memory, unverified: 1000 mg/L-hours double passage
		{"drop", w.Drop, 1.25 * 1.6},                           // from memory, unverified
		{"bypass", float64(w.Bypass), 0.03},
		{"scaled tail", float64(w.ScaledTail), 0.3},
	} {
		if math.Abs(row.got-row.want) > 1e-12 {
			t.Errorf("%s %g, want %g", row.what, row.got, row.want)
		}
	}
	nan := quantity.Ratio(math.NaN())
	if Fouled(nan) != New() || Scaled(nan) != New() || Leaking(-1) != New() {
		t.Error("no number is no wear")
	}
}
