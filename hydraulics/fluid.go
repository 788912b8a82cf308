package hydraulics

import (
	"rinsewright/quantity"
)

const (
	gravity = 9.80665 // m/s², standard

	maxFlow     = 10.0 // m³/s, far above any rinse line
	maxPressure = 1e9  // Pa
	maxLength   = 1e5  // m
	minBore     = 1e-5 // m
	maxBore     = 10.0 // m
)

// Fluid is what a liquid's flow depends on.
type Fluid struct {
	Density   quantity.Density
	Viscosity quantity.Viscosity // dynamic
}

func (f Fluid) check() error {
	if 100 <= f.Density && f.Density <= 3000 && 1e-5 <= f.Viscosity && f.Viscosity <= 10 {
		return nil
	}
	return first(
		within("density", f.Density, 100, 3000, "kg/m³"),
		within("viscosity", f.Viscosity, 1e-5, 10, "Pa·s"),
	)
}

// kinematic returns ν = μ/ρ; callers have checked that the density is a liquid's.
func (f Fluid) kinematic() float64 { return float64(f.Viscosity) / float64(f.Density) } // m²/s

// Resistance is any part that takes pressure from a flow. The loss is odd in
// the flow (a backward flow gives a negative loss) and grows with it.
type Resistance interface {
	Loss(q quantity.Flow, fluid Fluid) (quantity.Pressure, error)
}

// Supply is any part that gives water: the pressure at its outlet at a flow.
// Below zero means that it cannot give that flow.
type Supply interface {
	Pressure(q quantity.Flow) (quantity.Pressure, error)
}

// ElevationLoss returns the pressure lost by lifting water:
//
//	Δp = ρ g z
//
// A negative rise gains pressure. Water loses 0.433 psi a foot. The error wraps
// [ErrRange] unless the rise is within 10 km and the fluid is a liquid.
func ElevationLoss(rise quantity.Length, fluid Fluid) (quantity.Pressure, error) {
	if err := first(fluid.check(), within("rise", rise, -1e4, 1e4, "m")); err != nil {
		return 0, err
	}
	return quantity.Pressure(float64(fluid.Density) * gravity * float64(rise)), nil
}

// Head returns the height of fluid that presses with p: h = p/(ρ g).
// The error wraps [ErrRange] unless |p| ≤ 1e9 Pa and the fluid is a liquid.
func Head(p quantity.Pressure, fluid Fluid) (quantity.Length, error) {
	if err := first(fluid.check(), within("pressure", p, -maxPressure, maxPressure, "Pa")); err != nil {
		return 0, err
	}
	return quantity.Length(float64(p) / (float64(fluid.Density) * gravity)), nil
}
