package hydraulics

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// Suction is a pump's inlet side.
type Suction struct {
	Atmosphere     quantity.Pressure // absolute, on the water's surface; 0 means sea level
	Level          quantity.Length   // of the surface above the pump; negative is a lift
	VapourPressure quantity.Pressure // absolute, of the water at its temperature
	LineLoss       quantity.Pressure // of pipe, fittings and strainer at the flow
	InletLoss      quantity.Pressure // inside the pump's inlet, and any margin kept
}

// NPSHAvailable returns the head at the inlet above the vapour pressure:
//
//	NPSHa = (p_a − p_v − Δp_line − Δp_inlet)/(ρ g) + z
//
// It must exceed the pump's required head, commonly by 0.6 m (2 ft) or more, or
// the pump cavitates. Below zero means that the water would boil.
//
// Source: [Bachus2003] ch. 2. The error wraps [ErrRange] unless the pressures are
// from 0 to 10 MPa, the atmosphere from 10 kPa and |z| ≤ 1 km.
func (s Suction) NPSHAvailable(fluid Fluid) (quantity.Length, error) {
	pa := s.Atmosphere
	if pa == 0 {
		pa = SeaLevel
	}
	err := first(
		fluid.check(), within("atmosphere", pa, 1e4, 1e7, "Pa"), within("level", s.Level, -1e3, 1e3, "m"),
		within("vapour pressure", s.VapourPressure, 0, 1e7, "Pa"), within("line loss", s.LineLoss, 0, 1e7, "Pa"),
		within("inlet loss", s.InletLoss, 0, 1e7, "Pa"),
	)
	if err != nil {
		return 0, fmt.Errorf("suction head available: %w", err)
	}
	p := float64(pa - s.VapourPressure - s.LineLoss - s.InletLoss) // Pa
	return quantity.Length(p/(float64(fluid.Density)*gravity)) + s.Level, nil
}

// AtmosphericPressure returns the standard atmosphere at an altitude:
//
//	p = 101325 (1 − 0.0065 z/288.15)^5.25588
//
// Source: [ISA1976]. Weather moves it by 3 %. The error wraps [ErrRange] unless
// −500 m ≤ z ≤ 11 km.
func AtmosphericPressure(altitude quantity.Length) (quantity.Pressure, error) {
	if err := within("altitude", altitude, -500, 11e3, "m"); err != nil {
		return 0, fmt.Errorf("atmospheric pressure: %w", err)
	}
	return quantity.Pressure(float64(SeaLevel) * math.Pow(1-0.0065*float64(altitude)/288.15, 5.25588)), nil
}
