package membrane

import (
	"math"
	"testing"

	"rinsewright/quantity"
	"rinsewright/water"
)

// near fails unless got is want within a relative tolerance. It is for laws
// that one answer must keep; values from outside go through package check.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)) {
		t.Errorf("%s: got %.9g, want %.9g within %g", what, got, want, tolerance)
	}
}

func must[T any](t testing.TB) func(T, error) T {
	return func(x T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
}

// tapSheet is an invented low-energy element, within common ranges of its kind.
func tapSheet() Sheet {
	return Sheet{
		Name:         "tap 40x40",
		Area:         7.9,
		PermeateFlow: quantity.GallonsPerDay(2300),
		Rejection:    0.993,
		TestPressure: quantity.PSI(100),
	}
}

func tapElement(t testing.TB) Element {
	t.Helper()
	e, _, err := FromSheet(tapSheet())
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// pair is two new tap elements in series.
func pair(t testing.TB) Train {
	e := tapElement(t)
	return Train{Housings: []Housing{{e, New()}, {e, New()}}}
}

// tapWater is an invented hard city water that a pen of factor 0.5 reads as
// about 428 ppm, at pH about 7.4.
func tapWater(celsius float64) water.Water {
	w := water.Water{Temperature: quantity.Celsius(celsius)}
	for c, mol := range map[water.Component]float64{
		water.Calcium: 1.65, water.Magnesium: 0.57, water.Sodium: 1.3, water.Potassium: 0.07,
		water.Strontium: 0.003, water.Ammonia: 0.01, water.Chloride: 1.3, water.Sulphate: 0.66,
		water.Nitrate: 0.2, water.Fluoride: 0.03, water.Silica: 0.2, water.Boron: 0.005, water.Phosphate: 0.002,
	} {
		w.Total[c] = quantity.MolarConc(1.5 * mol)
	}
	w.Alkalinity = water.ElectroneutralAlkalinity(w)
	w.Total[water.Carbon] = quantity.MolarConc(1.07 * float64(w.Alkalinity))
	return w
}

// saltWater is NaCl alone.
func saltWater(mg, celsius float64) water.Water {
	w := water.Water{Temperature: quantity.Celsius(celsius)}
	w.Total[water.Sodium] = quantity.MolarConc(mg / 1e3 / saltMass)
	w.Total[water.Chloride] = w.Total[water.Sodium]
	return w
}

// tapStream is tapWater at 60 psi, 4 gpm.
func tapStream(celsius float64) water.Stream {
	return water.Stream{Water: tapWater(celsius), Flow: quantity.GallonsPerMinute(4), Pressure: quantity.PSI(60)}
}

// pen is what a pen of factor 0.5 shows of w, in ppm.
func pen(t testing.TB, w water.Water) float64 {
	t.Helper()
	return 0.5 * must[quantity.Conductivity](t)(w.Conductivity25()).MicrosiemensPerCm()
}
