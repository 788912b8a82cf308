package membrane

import (
	"math"

	"rinsewright/quantity"
)

// Constants of a net spacer. Source: [Memory], typical diamond net.
const (
	spacerPorosity = 0.9 // open share of the channel's volume
	netSurface     = 8.0 // surface over volume of the strands, times channel height (strand = half the height)
)

// laminarSherwood is that of fully developed laminar flow between plates at one
// wall strength. Source: [ShahLondon1978], from memory.
const laminarSherwood = 7.54

// Channel is the flow in a spacer-filled channel at one place.
type Channel struct {
	Speed       quantity.Speed  // through the open section
	Diameter    quantity.Length // hydraulic
	Viscosity   quantity.Viscosity
	Density     quantity.Density
	Diffusivity quantity.Diffusivity
}

// HydraulicDiameter returns the hydraulic diameter of a channel of height h
// filled with a net spacer of porosity ε:
//
//	d_h = 4 ε / (2/h + (1 − ε) 8/h)
//
// Source: [Schock1987], form; ε = 0.9 and strands of half the height are
// [Memory]. Linear in h, so any finite h is accepted.
func HydraulicDiameter(h quantity.Length) quantity.Length {
	return quantity.Length(4 * spacerPorosity / (2 + (1-spacerPorosity)*netSurface) * float64(h))
}

// Reynolds returns the Reynolds number:
//
//	Re = ρ v d_h / µ
//
// Source: definition. Zero viscosity has no Reynolds number: it returns 0.
func (c Channel) Reynolds() float64 {
	if !(c.Viscosity > 0) {
		return 0
	}
	return float64(c.Density) * float64(c.Speed) * float64(c.Diameter) / float64(c.Viscosity)
}

// Transfer returns the film transfer coefficient:
//
//	Sh = max(0.065 Re^0.875 Sc^0.25, 7.54)      k = Sh D / d_h
//
// Source: [Schock1987]; constants from memory, fitted for Re about 50 to 1000.
// Below that, where a small rig's last element often runs, a net cannot mix
// less than smooth laminar flow between plates does: 7.54, [ShahLondon1978].
// The error wraps [ErrRange] unless every field is positive and ordinary.
func (c Channel) Transfer() (quantity.Speed, error) {
	if err := c.check("membrane: film transfer"); err != nil {
		return 0, err
	}
	return quantity.Speed(max(c.transferCoefficient()*math.Pow(float64(c.Speed), 0.875), c.laminarTransfer())), nil
}

// Friction returns the Darcy friction factor:
//
//	f = 6.23 Re^−0.3
//
// Source: [Schock1987]; constants from memory. The error wraps [ErrRange]
// unless every field is positive and ordinary.
func (c Channel) Friction() (float64, error) {
	if err := c.check("membrane: friction"); err != nil {
		return 0, err
	}
	return 6.23 * math.Pow(c.Reynolds(), -0.3), nil
}

// Drop returns the pressure lost over a length:
//
//	Δp = f (ρ v²/2) L/d_h
//
// Source: [Schock1987] friction in the Darcy form. Errors as [Channel.Friction].
func (c Channel) Drop(length quantity.Length) (quantity.Pressure, error) {
	if err := c.check("membrane: channel drop"); err != nil {
		return 0, err
	}
	if err := within("membrane: channel drop", bound{"length", float64(length), 0, 100, "m"}); err != nil {
		return 0, err
	}
	return quantity.Pressure(c.frictionCoefficient() * math.Pow(float64(c.Speed), 1.7) * float64(length)), nil
}

func (c Channel) check(operation string) error {
	return within(operation,
		bound{"speed", float64(c.Speed), 1e-9, 10, "m/s"},
		bound{"hydraulic diameter", float64(c.Diameter), 1e-5, 1, "m"},
		bound{"viscosity", float64(c.Viscosity), 1e-5, 1, "Pa·s"},
		bound{"density", float64(c.Density), 500, 2000, "kg/m3"},
		bound{"diffusivity", float64(c.Diffusivity), 1e-12, 1e-7, "m2/s"})
}

// transferCoefficient is k/v^0.875, free of speed so that a march computes it once.
func (c Channel) transferCoefficient() float64 {
	mu, rho, d, dh := float64(c.Viscosity), float64(c.Density), float64(c.Diffusivity), float64(c.Diameter)
	return 0.065 * math.Pow(rho*dh/mu, 0.875) * math.Pow(mu/(rho*d), 0.25) * d / dh
}

// laminarTransfer is the least k, whatever the speed.
func (c Channel) laminarTransfer() float64 {
	return laminarSherwood * float64(c.Diffusivity) / float64(c.Diameter)
}

// frictionCoefficient is (Δp/L)/v^1.7, free of speed.
func (c Channel) frictionCoefficient() float64 {
	mu, rho, dh := float64(c.Viscosity), float64(c.Density), float64(c.Diameter)
	return 6.23 * math.Pow(rho*dh/mu, -0.3) * rho / 2 / dh
}
