package water

import (
	"testing"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

func TestHardnessInEveryUnit(t *testing.T) {
	h := HardnessIn(quantity.MilligramsPerLitreCaCO3(178.48))
	source := "published: definitions of the units"
	check.Near(t, h.German, 10, 0.001, source)
	check.Near(t, h.French, 17.848, 0.001, source)
	check.Near(t, h.English, 12.52, 0.01, source)
	check.Near(t, h.AsCaCO3.GrainsPerGallon(), 10.43, 0.01, source)
	check.Near(t, float64(h.Charge), 3.566, 0.002, source)
	check.Near(t, float64(h.Molar), 1.783, 0.001, source)
}

func TestTroublesAreToldWithWhatToDo(t *testing.T) {
	s := Sample{
		Sulphide: milligrams(0.2), FreeChlorine: milligrams(0.05), Ions: map[Component]quantity.Entry[quantity.MassConc]{Iron: milligrams(0.3), Silica: milligrams(50)},
		Below: map[Component]quantity.MassConc{Manganese: quantity.MilligramsPerLitre(0.1)},
	}
	over := map[string]bool{}
	read, unread := Troubles(s, 0.5)
	for _, x := range read {
		over[x.Of] = x.Over
		if x.Do == "" || x.Harms == "" {
			t.Errorf("%s says neither harm nor help", x.Of)
		}
	}
	for of, want := range map[string]bool{"iron": true, "manganese": false, "hydrogen sulphide": true, "free chlorine": false, "silica in the concentrate": false} {
		if over[of] != want {
			t.Errorf("%s over its limit: %v", of, over[of])
		}
	}
	if len(unread) != 1 || unread[0] != "total chlorine" {
		t.Errorf("unread %q", unread)
	}
	if read, _ := Troubles(s, 0.7); !read[3].Over { // 50 mg/L in 30 % of the water
		t.Errorf("silica %v at 70 %% recovery", read[3])
	}
}

func TestSiltBands(t *testing.T) {
	for _, row := range []struct {
		index float64
		begin string
	}{{2, "good"}, {4, "marginal"}, {6, "poor"}} {
		if says, err := Silt(row.index); err != nil || says[:4] != row.begin[:4] {
			t.Errorf("%g: %q, %v (common practice, no source: below 3 good, above 5 poor)", row.index, says, err)
		}
	}
	if _, err := Silt(9); err == nil {
		t.Error("an index of 9 in 15 minutes cannot be")
	}
}
