package quantity

import (
	"math"
	"slices"
	"testing"
)

func TestAKindKnownAtRunTimeReadsAsItsType(t *testing.T) {
	for _, row := range []struct {
		kind     Kind
		text     string
		si, step float64
	}{
		// Worked by hand from the definitions: 1 psi = 6894.757 Pa, 1 gal = 3.785411784 L.
		{KindPressure, "60 psi", 60 * 6894.757293168361, 6894.757293168361},
		{KindFlow, "1.5 gpm", 1.5 * 3.785411784e-3 / 60, 0.1 * 3.785411784e-3 / 60},
		{KindConductivity, "0.5 uS/cm", 0.5e-4, 0.1e-4},
		{KindTemperature, "14 C", 287.15, 1},
		{KindRatio, "60 %", 0.6, 0.01},
		{KindPH, "7.4", 7.4, 0.1},
		{KindVolume, "1/2 gal", 0.5 * 3.785411784e-3, 0},
		{KindVolume, "41,250 gal", 41250 * 3.785411784e-3, 3.785411784e-3},
	} {
		si, step, err := ParseKind(row.kind, row.text, Locale{})
		if err != nil {
			t.Errorf("%s: %v", row.text, err)
			continue
		}
		if math.Abs(si-row.si) > 1e-9*math.Abs(row.si) || math.Abs(step-row.step) > 1e-6*math.Abs(row.step)+1e-15 {
			t.Errorf("%s read as %v, step %v; want %v, %v", row.text, si, step, row.si, row.step)
		}
	}
	if _, _, err := ParseKind("colour", "3 psi", Locale{}); err == nil {
		t.Error("a kind that does not exist was read")
	}
	if _, _, err := ParseKind(KindFlow, "3 psi", Locale{}); err == nil {
		t.Error("a pressure was read as a flow")
	}
}

func TestAKindKnownAtRunTimePrintsAsItsType(t *testing.T) {
	if got, want := FormatKind(KindFlow, float64(GallonsPerMinute(1.25)), US, Locale{}), Format(GallonsPerMinute(1.25), US); got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if x, unit := PlainKind(KindPressure, 1e5, SI); x != 1 || unit != "bar" {
		t.Errorf("1e5 Pa is %v %s", x, unit)
	}
	if got := FormatKind("", 4, SI, Locale{}); got != "4" {
		t.Errorf("a bare number prints as %q", got)
	}
	if got := FormatKind(KindFlow, math.NaN(), SI, Locale{}); got != "no value" {
		t.Errorf("NaN prints as %q", got)
	}
}

func TestTheUnitTellsWhichKindsItFits(t *testing.T) {
	if kinds := KindsOf("60 psi"); !slices.Equal(kinds, []Kind{KindPressure}) {
		t.Errorf("60 psi fits %v", kinds)
	}
	if kinds := KindsOf("9 ppm"); !slices.Contains(kinds, KindMassConc) {
		t.Errorf("9 ppm fits %v", kinds)
	}
	if kinds := KindsOf("psi"); kinds != nil {
		t.Errorf("no number fits %v", kinds)
	}
}
