package rinse_test

import (
	"fmt"

	"rinsewright/quantity"
	"rinsewright/rinse"
)

// Rinse of 10 mg/L on a wash film of 400 mg/L and 0.1 L/m².
func ExampleDisplacement_After() {
	d := rinse.Displacement{
		Film: quantity.Millimetres(0.1),
		Wash: quantity.MilligramsPerLitre(400), Rinse: quantity.MilligramsPerLitre(10),
	}
	for _, litres := range []float64{0.1, 0.2, 0.3, 0.5} {
		left, err := d.After(quantity.Millimetres(litres))
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.1f L/m² leaves %.0f mg/L\n", litres, left.MilligramsPerLitre())
	}
	// Output:
	// 0.1 L/m² leaves 153 mg/L
	// 0.2 L/m² leaves 63 mg/L
	// 0.3 L/m² leaves 29 mg/L
	// 0.5 L/m² leaves 13 mg/L
}
