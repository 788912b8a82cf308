package hydraulics_test

import (
	"fmt"

	"rinsewright/hydraulics"
	"rinsewright/quantity"
)

// What a tube costs here: 1 gpm over 50 ft of water at 20 °C (invented). The
// trade's table, by Hazen-Williams with C 150, says 118, 18 and 2.5 psi: it
// knows no viscosity, and fine tube is where that shows.
func ExampleCompareTubes() {
	water := hydraulics.Fluid{Density: 998.2, Viscosity: 1.0016e-3}
	all, err := hydraulics.CompareTubes(quantity.GallonsPerMinute(1), quantity.Feet(50), water)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, t := range all[:3] {
		fmt.Printf("%s: %.1f psi\n", t.Tube.Name, t.Loss.PSI())
	}
	// Output:
	// 1/4 in tube: 128.5 psi
	// 3/8 in tube: 20.3 psi
	// 1/2 in tube: 3.0 psi
}

// The worked pump of the checks: 10 gpm at 150 psi, half of it lost in the pump.
func ExampleShaftPower() {
	w, err := hydraulics.ShaftPower(quantity.GallonsPerMinute(10), quantity.PSI(150), 0.5)
	fmt.Printf("%.0f W %v\n", float64(w), err)
	// Output: 1305 W <nil>
}

// The worked example of a pump book: 33.9 + 6.0 − 0.839 − 2.0 − 2.0 ft.
func ExampleSuction_NPSHAvailable() {
	water := hydraulics.Fluid{Density: 998.2, Viscosity: 1.0016e-3}
	feet := func(x float64) quantity.Pressure {
		p, _ := hydraulics.ElevationLoss(quantity.Feet(x), water)
		return p
	}
	h, err := hydraulics.Suction{
		Atmosphere: feet(33.9), Level: quantity.Feet(6), VapourPressure: feet(0.839), LineLoss: feet(2), InletLoss: feet(2),
	}.NPSHAvailable(water)
	fmt.Printf("%.3f ft %v\n", float64(h)/0.3048, err)
	// Output: 35.061 ft <nil>
}
