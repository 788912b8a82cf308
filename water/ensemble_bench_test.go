package water

import (
	"testing"

	"rinsewright/quantity"
)

// meterAndKits is what a technician reads in a quarter of an hour; invented.
func meterAndKits() Sample {
	return Sample{
		Place: "raw", Instrument: "pen, ±2 %", Strength: Strength{PPM: quantity.Told(quantity.MilligramsPerLitre(290)), Scale: "NaCl"},
		Hardness: quantity.Told(quantity.GrainsPerGallon(14)), Alkalinity: quantity.Told(quantity.MilligramsPerLitreCaCO3(180)),
		PH: quantity.Told(quantity.PH(7.4)), Temperature: quantity.Told(quantity.Celsius(14)),
	}
}

func BenchmarkComplete(b *testing.B) {
	for b.Loop() {
		if _, err := Complete(meterAndKits(), CityPrior()); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkEnsemble(b *testing.B) {
	for b.Loop() {
		if _, err := Ensemble(meterAndKits(), CityPrior(), 1, 64); err != nil {
			b.Fatal(err)
		}
	}
}
