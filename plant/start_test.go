package plant

import (
	"math"
	"testing"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

func started(t *testing.T, s Standstill) Start {
	t.Helper()
	out, err := rig(t, 2).Start(Conditions{Feed: tap(t, 18)}, s)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestTheFirstMinutesAreTheWorst(t *testing.T) {
	s := started(t, Standstill{Idle: quantity.Hours(1)})
	for i := 1; i < len(s.Minutes); i++ {
		if !(s.Minutes[i].Strength < s.Minutes[i-1].Strength) {
			t.Errorf("minute %d is no better than the one before", i)
		}
	}
	check.Near(t, s.SteadyIn.Minutes(), 4, 2.5, "common practice, no source: creep makes the first 2 to 6 minutes high")
	last := s.Minutes[len(s.Minutes)-1].Strength
	if !(float64(last) <= 1.1*float64(s.Creep.Steady)) {
		t.Errorf("ends at %v, steady is %v", last, s.Creep.Steady)
	}
}

func TestADivertKeepsTheStartFromTheResin(t *testing.T) {
	plain, diverted := started(t, Standstill{Idle: quantity.Hours(1)}), started(t, Standstill{Idle: quantity.Hours(1), Divert: quantity.Minutes(3)})
	if !(float64(diverted.Extra) < 0.3*float64(plain.Extra)) || diverted.Diverted <= 0 {
		t.Errorf("three minutes of divert leave %v of %v kg", diverted.Extra, plain.Extra)
	}
	flushed := started(t, Standstill{Idle: quantity.Hours(1), Flushed: true})
	if !(flushed.Extra < plain.Extra) {
		t.Errorf("a swept channel leaves %v of %v kg", flushed.Extra, plain.Extra)
	}
}

// Short runs make creep most of the load: TRADE section 0 fact 9.
func TestShortCyclingIsMostOfTheLoad(t *testing.T) {
	s := started(t, Standstill{Idle: quantity.Minutes(30)})
	day := quantity.GallonsPerMinute(0.35).Over(quantity.Hours(6))
	few, many := float64(s.PerDay(6, day)), float64(s.PerDay(60, day))
	if !(many > 0.5 && few < 0.3 && few > 0.02) {
		t.Errorf("6 starts a day: %.2f of the load; 60 starts: %.2f", few, many)
	}
	if x := s.PerDay(math.NaN(), day); x != 0 {
		t.Errorf("no number of starts: %v", x)
	}
}
