package resin

import (
	"math"

	"rinsewright/quantity"
)

// Film resistance of a bed of beads.
const (
	beadDiameter   = 0.6e-3 // m, mean of common gel beads [Memory]
	bedVoid        = 0.38   // share of the bed between the beads [Memory]
	ionDiffusivity = 1.5e-9 // m²/s at 25 °C, a salt in dilute water [Memory]
	filmCellsMost  = 200
)

// FilmCells returns how many cells at equilibrium spread a front as the film of
// water round the beads does, at a flow through a bed of a depth and volume:
//
//	Sh = k d / D = (1.09 / ε) (u d / D)^(1/3)
//	N  = ½ k a depth / u,  a = 6 (1 - ε) share / d
//
// where share is the part of the bed that is the anion resin, 0.6, u the flow
// per area and D grows with temperature over viscosity, about 2.4 % per °C.
// Source: film [WilsonGeankoplis1966], valid at Reynolds numbers of 0.0016 to 55;
// half a cell per transfer unit [Glueckauf1955]. Resistance inside the beads is
// left out, so fronts are somewhat sharp at high flow; a [Duty] on the polisher
// counts both and needs no such stand-in. The answer is 1 to 200.
// The error wraps [ErrRange].
func FilmCells(depth quantity.Length, v quantity.Volume, f quantity.Flow, t quantity.Temperature) (int, error) {
	const operation = "film cells"
	if err := firstError(
		within(operation, "bed depth", float64(depth), 0.01, 5, "m"),
		within(operation, "bed volume", float64(v), 1e-6, mostBedVolume, "m³"),
		within(operation, "flow", float64(f), 1e-9, 10, "m³/s"),
		within(operation, "temperature", t.Celsius(), 0, 60, "°C"),
	); err != nil {
		return 0, err
	}
	speed := float64(f) * float64(depth) / float64(v)                      // m/s
	diffusivity := ionDiffusivity * math.Pow(1.024, t.Celsius()-25)        // m²/s
	sherwood := 1.09 / bedVoid * math.Cbrt(speed*beadDiameter/diffusivity) // dimensionless
	transfer := sherwood * diffusivity / beadDiameter                      // m/s
	surface := 6 * (1 - bedVoid) * anionShare / beadDiameter               // m²/m³
	cells := 0.5 * transfer * surface * float64(depth) / speed
	return int(min(max(cells, 1), filmCellsMost)), nil
}
