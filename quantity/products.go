package quantity

import (
	"errors"
	"fmt"
)

// ErrZero marks a division by a quantity that is zero, or too near it.
var ErrZero = errors.New("is zero or too small to divide by")

// Products and quotients that equations need at their edges. A named method
// keeps the dimension right where Go's operators would not.

// Resistivity returns the reciprocal of c. The error wraps [ErrZero] if c is
// too small for a finite answer.
func (c Conductivity) Resistivity() (Resistivity, error) {
	return divide(Resistivity(1), float64(c), "resistivity from a conductivity that")
}

// Conductivity returns the reciprocal of r. The error wraps [ErrZero] if r is
// too small for a finite answer.
func (r Resistivity) Conductivity() (Conductivity, error) {
	return divide(Conductivity(1), float64(r), "conductivity from a resistivity that")
}

// Filling returns the flow that carries v in t. The error wraps [ErrZero] if t
// is too small for a finite answer.
func (v Volume) Filling(t Time) (Flow, error) {
	return divide(Flow(v), float64(t), "flow from a time that")
}

// FillTime returns how long flow f takes to carry v. The error wraps [ErrZero]
// if f is too small for a finite answer.
func (v Volume) FillTime(f Flow) (Time, error) {
	return divide(Time(v), float64(f), "time from a flow that")
}

// Through returns the speed of flow f over a cross-section a. The error wraps
// [ErrZero] if a is too small for a finite answer.
func (f Flow) Through(a Area) (Speed, error) {
	return divide(Speed(f), float64(a), "speed from an area that")
}

// Per returns the flux of flow f over membrane area a. The error wraps
// [ErrZero] if a is too small for a finite answer.
func (f Flow) Per(a Area) (Flux, error) {
	return divide(Flux(f), float64(a), "flux from an area that")
}

// Times returns the exposure to concentration c for time t, as chlorine on a
// membrane is counted.
func (c MassConc) Times(t Time) Exposure { return Exposure(float64(c) * float64(t)) }

// In returns the mass dissolved in volume v.
func (c MassConc) In(v Volume) Mass { return Mass(float64(c) * float64(v)) }

// In returns the mass, counted as CaCO3, that volume v carries or that a volume
// of resin holds.
func (c CaCO3Conc) In(v Volume) Mass { return Mass(float64(c) * float64(v)) }

// Over returns the flow that flux f drives through area a.
func (f Flux) Over(a Area) Flow { return Flow(float64(f) * float64(a)) }

// Over returns the flow at speed s over a cross-section a.
func (s Speed) Over(a Area) Flow { return Flow(float64(s) * float64(a)) }

// During returns the distance covered at speed s in time t.
func (s Speed) During(t Time) Length { return Length(float64(s) * float64(t)) }

// During returns the energy that power p spends in time t.
func (p Power) During(t Time) Energy { return Energy(float64(p) * float64(t)) }

// Work returns the energy that moves volume v against pressure p:
//
//	W = p V
//
// One bar is 1/36 kWh per m³.
func (p Pressure) Work(v Volume) Energy { return Energy(float64(p) * float64(v)) }

// Against returns the hydraulic power of flow f against pressure p:
//
//	P = Q p
func (f Flow) Against(p Pressure) Power { return Power(float64(f) * float64(p)) }

// Times returns the rectangle of l and w.
func (l Length) Times(w Length) Area { return Area(float64(l) * float64(w)) }

// Times returns the prism of base a and height h.
func (a Area) Times(h Length) Volume { return Volume(float64(a) * float64(h)) }

// Minus returns how much warmer t is than u.
func (t Temperature) Minus(u Temperature) TemperatureDifference {
	return TemperatureDifference(float64(t) - float64(u))
}

// Plus returns the temperature that is d above t.
func (t Temperature) Plus(d TemperatureDifference) Temperature {
	return Temperature(float64(t) + float64(d))
}

// divide returns top over bottom, or an error that starts with what was sought.
func divide[Q Quantity](top Q, bottom float64, sought string) (Q, error) {
	q := float64(top) / bottom
	if !finite(q) {
		return 0, fmt.Errorf("%s %w", sought, ErrZero)
	}
	return Q(q), nil
}
