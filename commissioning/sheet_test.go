package commissioning

import (
	"strings"
	"testing"

	"rinsewright/plant"
)

func whole() Has {
	return Has{Filters: 1, Carbon: true, Softener: true, Membrane: true, Housings: 2, Needle: true, Resin: 2, Vented: true, Bays: 3, Chlorine: true}
}

// The order of the trade: nothing is read before it is steady, no chlorine meets
// the membrane, nothing is signed unread.
func TestTheSheetFollowsTheValves(t *testing.T) {
	place := map[string]int{}
	for i, s := range Sheet(whole()) {
		place[s.Name] = i
	}
	order := []string{"before", "flush", "softener", "sanitise", "leaks", "wet", "restrictor", "floats", "steady", "path", "guns", "sign"}
	for i := 1; i < len(order); i++ {
		if place[order[i-1]] >= place[order[i]] {
			t.Errorf("%s stands at %d, %s at %d", order[i-1], place[order[i-1]], order[i], place[order[i]])
		}
	}
}

func TestACautionStandsAtTheStepWhereItHurts(t *testing.T) {
	wants := map[string][]string{
		"before":   {"licensed plumber", "licensed electrician"},
		"sanitise": {"never meets acid", "confined space", "storm drain"},
		"leaks":    {"Pressure"},
		"floats":   {"never enter"},
		"wet":      {"30 kg", "back pressure"},
		"guns":     {"not for drinking"},
	}
	for _, s := range Sheet(whole()) {
		text := strings.Join(s.Cautions, " ")
		for _, w := range wants[s.Name] {
			if !strings.Contains(text, w) {
				t.Errorf("step %s: no caution of %q in %q", s.Name, w, text)
			}
		}
	}
}

func TestWhatIsNotThereIsNotOnTheSheet(t *testing.T) {
	for _, s := range Sheet(Has{Resin: 1, Bays: 1}) {
		for _, r := range s.Read {
			switch r.Of {
			case plant.PermeateFlow, plant.ConcentrateFlow, plant.MembraneHardness, plant.FloatStop, plant.PermeateStrength:
				t.Errorf("step %s asks a rig of one bottle for %s", s.Name, r.Of)
			}
		}
	}
}

func TestEveryReadingThatASheetAsksForIsAGauge(t *testing.T) {
	for _, s := range Sheet(whole()) {
		for _, r := range s.Read {
			if !r.Of.Known() || r.Number > 0 && !r.Of.Numbered() {
				t.Errorf("step %s asks for %q %d", s.Name, r.Of, r.Number)
			}
		}
	}
}

// Chlorine must be surely below: 0.0 by drops, whose last step is 0.1, is; a
// reading of 0.1 is not.
func TestChlorineIsGoneOnlyWhenItSurelyIs(t *testing.T) {
	stop := Stop{Kind: Below, Limit: float64(ChlorineBound)}
	photometer := Instrument{Method: Photometer}
	for _, row := range []struct {
		mgL  float64
		done bool
	}{{0, true}, {0.03, true}, {0.08, false}, {0.1, false}, {0.5, false}} {
		r := plant.Reading{Of: plant.MembraneChlorine, SI: row.mgL * 1e-3, Digit: 0.01e-3}
		if got := stop.Done(r.SI, photometer.Doubt(r, false)); got != row.done {
			t.Errorf("%g mg/L by photometer: done is %v", row.mgL, got)
		}
	}
}

func TestAnInstrumentsNameTellsItsMethod(t *testing.T) {
	for name, want := range map[string]Method{
		"pen B": Pen, "Pen, NaCl": Pen, "conductivity meter 2": Conductivity, "bucket": Bucket, "test gauge": TestGauge, "panel gauge": PressureGauge, "drop kit": DropKit, "meter": "",
	} {
		if got := MethodMeant(name); got != want {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
}

func TestBetterMetersAreNamedOnlyWhereTheyAreBetter(t *testing.T) {
	r := plant.Reading{Of: plant.PolishStrength, SI: 2e-4, Digit: 2e-4}
	pen := Instrument{Method: Pen}.Doubt(r, false)
	methods, _ := Better(r, pen/2)
	if len(methods) == 0 || methods[0] != Conductivity {
		t.Errorf("2 µS/cm: better than a pen is %v", methods)
	}
	if methods, _ := Better(r, pen/1e6); len(methods) != 0 {
		t.Errorf("nothing is a million times better: %v", methods)
	}
}
