package membrane

import (
	"errors"
	"math"
	"strings"
	"testing"

	"rinsewright/internal/check"
	"rinsewright/quantity"
	"rinsewright/water"
)

// The sheet's own numbers are the outside values: the model run forward at the test must repeat them.
func TestElementRepeatsItsDataSheet(t *testing.T) {
	brackish := Sheet{Area: 7.2, PermeateFlow: quantity.GallonsPerDay(2400), Rejection: 0.995, TestPressure: quantity.PSI(225)}
	small := Sheet{Area: 2.6, PermeateFlow: quantity.GallonsPerDay(800), Rejection: 0.985, TestPressure: quantity.PSI(60), TestSalt: 0.25}
	cold := tapSheet()
	cold.TestTemperature = quantity.Celsius(15)
	for _, s := range []Sheet{tapSheet(), brackish, small, cold} {
		e, _, err := FromSheet(s)
		if err != nil {
			t.Fatal(err)
		}
		s = e.Sheet
		feed := water.Stream{
			Water:    saltWater(s.TestSalt.MilligramsPerLitre(), s.TestTemperature.Celsius()),
			Flow:     quantity.Flow(float64(s.PermeateFlow) / float64(s.TestRecovery)),
			Pressure: s.TestPressure,
		}
		r := must[Result](t)(Train{Housings: []Housing{{e, New()}}}.Run(feed, 0, 0))
		near(t, "permeate flow", float64(r.Permeate.Flow), float64(s.PermeateFlow), 1e-6)
		passage := float64(r.Permeate.Water.Total[water.Sodium] / feed.Water.Total[water.Sodium])
		near(t, "passage of sodium", passage, 1-float64(s.Rejection), 1e-4)
		near(t, "recovery", float64(r.Recovery), float64(s.TestRecovery), 1e-6)
	}
}

func TestPermeabilitiesOfCommonElements(t *testing.T) {
	for _, c := range []struct {
		name     string
		sheet    Sheet
		low, top float64 // L/(m2·h·bar)
	}{
		{"brackish", Sheet{Area: 7.9, PermeateFlow: quantity.GallonsPerDay(2400), Rejection: 0.995, TestPressure: quantity.PSI(225)}, 2.5, 5},
		{"low energy", Sheet{Area: 7.9, PermeateFlow: quantity.GallonsPerDay(2400), Rejection: 0.99, TestPressure: quantity.PSI(100)}, 5.5, 10},
	} {
		e, _, err := FromSheet(c.sheet)
		if err != nil {
			t.Fatal(err)
		}
		a := float64(e.WaterPermeability) / lmh * 1e5
		check.Near(t, a, (c.low+c.top)/2, (c.top-c.low)/2, "from memory, unverified: range of water permeability of common elements, L/(m2 h bar)")
		film := float64(e.SaltPermeability) * float64(c.sheet.Area) / float64(c.sheet.PermeateFlow)
		if bare := 1 - float64(c.sheet.Rejection); !(film < bare) {
			t.Errorf("%s: B/J = %.5f, want below 1-R = %.5f, since the film is stronger than the feed", c.name, film, bare)
		}
	}
}

func TestSheetSaysWhatItLacks(t *testing.T) {
	_, _, err := FromSheet(Sheet{Area: 7.9, TestPressure: 7e5})
	var missing *MissingError
	if !errors.As(err, &missing) || !errors.Is(err, ErrMissing) {
		t.Fatalf("error %v, want MissingError", err)
	}
	if got := strings.Join(missing.Fields, ","); got != "permeate flow,rejection" {
		t.Errorf("missing %q", got)
	}
}

func TestSheetTellsWhatItAssumed(t *testing.T) {
	_, told, err := FromSheet(tapSheet())
	if err != nil {
		t.Fatal(err)
	}
	all := strings.Join(told, "\n")
	for _, want := range []string{"500 mg/L NaCl", "25 °C", "recovery 15 %", "pH 7.5", "0.965 m", "0.71 mm", "± 15 %", "3020 K", "41.4 bar"} {
		if !strings.Contains(all, want) {
			t.Errorf("assumptions do not tell %q:\n%s", want, all)
		}
	}
	e, _, _ := FromSheet(tapSheet())
	if _, again, err := FromSheet(e.Sheet); err != nil || len(again) != 0 {
		t.Errorf("a full sheet assumes %v, error %v", again, err)
	}
}

func TestSheetThatContradictsItselfIsRefused(t *testing.T) {
	for name, change := range map[string]func(*Sheet){
		"rejection of 1":          func(s *Sheet) { s.Rejection = 1 },
		"negative area":           func(s *Sheet) { s.Area = -1 },
		"not a number":            func(s *Sheet) { s.PermeateFlow = quantity.Flow(math.NaN()) },
		"infinite pressure":       func(s *Sheet) { s.TestPressure = quantity.Pressure(math.Inf(1)) },
		"test below osmotic":      func(s *Sheet) { s.TestSalt = 40 },
		"more drop than pressure": func(s *Sheet) { s.PermeateFlow = 4e-3; s.TestRecovery = 0.01 },
	} {
		s := tapSheet()
		change(&s)
		_, _, err := FromSheet(s)
		if !errors.Is(err, ErrRange) && !errors.Is(err, ErrSheet) && !errors.Is(err, ErrNoFlow) {
			t.Errorf("%s: error %v, want ErrRange, ErrSheet or ErrNoFlow", name, err)
		}
	}
}

func FuzzFromSheet(f *testing.F) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1e-300} {
		f.Add(x, 1e-4, 0.99, 7e5, 0.5, 298.0, 0.15)
		f.Add(7.9, x, 0.99, 7e5, 0.5, 298.0, 0.15)
		f.Add(7.9, 1e-4, x, 7e5, 0.5, 298.0, 0.15)
		f.Add(7.9, 1e-4, 0.99, x, x, x, x)
	}
	f.Fuzz(func(t *testing.T, area, flow, rejection, pressure, salt, temperature, recovery float64) {
		e, _, err := FromSheet(Sheet{
			Area: quantity.Area(area), PermeateFlow: quantity.Flow(flow), Rejection: quantity.Ratio(rejection),
			TestPressure: quantity.Pressure(pressure), TestSalt: quantity.MassConc(salt),
			TestTemperature: quantity.Temperature(temperature), TestRecovery: quantity.Ratio(recovery),
		})
		if err != nil {
			return
		}
		if a, b := float64(e.WaterPermeability), float64(e.SaltPermeability); !finite(a) || !finite(b) || !(a > 0 && b > 0) {
			t.Errorf("no error, yet A = %v, B = %v", a, b)
		}
	})
}
