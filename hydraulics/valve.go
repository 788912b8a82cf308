package hydraulics

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// FlowCoefficient is the flow through a valve, gun or opening at a pressure
// drop of 1 Pa with water at 15 to 16 °C, in m³/(s·√Pa). It is a [Resistance]:
//
//	Q = k √(Δp ρ₀/ρ)
//
// Make one with [Kv] or [Cv].
type FlowCoefficient float64

const (
	referenceDensity = 999.016                          // kg/m³, water at 60 °F, which Cv is stated for
	perKv            = 1 / (3600 * 316.227766016837933) // m³/(s·√Pa) in 1 m³/(h·√bar), with √1e5
	maxCoefficient   = 1.0                              // m³/(s·√Pa)
)

// perCv is 1 US gpm at 1 psi.
var perCv = float64(quantity.GallonsPerMinute(1)) / math.Sqrt(float64(quantity.PSI(1)))

// Kv makes a flow coefficient from m³/h at 1 bar.
//
// Source: [IEC60534], whose reference is 1000 kg/m³: 0.05 % in flow apart.
func Kv(x float64) FlowCoefficient { return FlowCoefficient(x * perKv) }

// Cv makes a flow coefficient from US gpm at 1 psi. Cv = 1.156 Kv.
//
// Source: [IEC60534].
func Cv(x float64) FlowCoefficient { return FlowCoefficient(x * perCv) }

// Kv returns k in m³/h at 1 bar.
func (k FlowCoefficient) Kv() float64 { return float64(k) / perKv }

// Cv returns k in US gpm at 1 psi.
func (k FlowCoefficient) Cv() float64 { return float64(k) / perCv }

// CoefficientOf returns the coefficient of a part that passes q at drop.
// The error wraps [ErrRange] unless 0 < Q ≤ 10 m³/s, 0 < Δp ≤ 1e9 Pa and the
// coefficient is from 1.2e-8 to 1.1e6 as a Kv.
func CoefficientOf(q quantity.Flow, drop quantity.Pressure, fluid Fluid) (FlowCoefficient, error) {
	err := first(fluid.check(), above("flow", q, 0, maxFlow, "m³/s"), above("drop", drop, 0, maxPressure, "Pa"))
	if err != nil {
		return 0, fmt.Errorf("flow coefficient: %w", err)
	}
	k := FlowCoefficient(float64(q) / math.Sqrt(float64(drop)*referenceDensity/float64(fluid.Density)))
	if err := k.check(); err != nil {
		return 0, fmt.Errorf("flow coefficient: %w", err)
	}
	return k, nil
}

// CoefficientFromK returns the coefficient of a part that loses K velocity
// heads of its bore:
//
//	k = A √(2/(K ρ₀))      in trade units Cv = 29.84 d²/√K, d in inches
//
// Source: [Crane410]. The error wraps [ErrRange] unless 0.01 mm ≤ d ≤ 10 m and
// 1e-3 ≤ K ≤ 1e6.
func CoefficientFromK(minorK float64, bore quantity.Length) (FlowCoefficient, error) {
	err := first(within("minor loss K", minorK, 1e-3, 1e6, ""), within("bore", bore, minBore, maxBore, "m"))
	if err != nil {
		return 0, fmt.Errorf("flow coefficient from K: %w", err)
	}
	area := math.Pi / 4 * float64(bore) * float64(bore) // m²
	return FlowCoefficient(area * math.Sqrt(2/(minorK*referenceDensity))), nil
}

// Flow returns the flow at a pressure drop; a negative drop gives a backward
// flow. Turbulent flow without cavitation. The error wraps [ErrRange] unless
// |Δp| ≤ 1e9 Pa and 0 < k.
func (k FlowCoefficient) Flow(drop quantity.Pressure, fluid Fluid) (quantity.Flow, error) {
	if err := first(k.check(), fluid.check(), within("drop", drop, -maxPressure, maxPressure, "Pa")); err != nil {
		return 0, fmt.Errorf("valve flow: %w", err)
	}
	q := float64(k) * math.Sqrt(math.Abs(float64(drop))*referenceDensity/float64(fluid.Density))
	return quantity.Flow(math.Copysign(q, float64(drop))), nil
}

// Loss returns the drop at a flow, the inverse of [FlowCoefficient.Flow]. The
// error wraps [ErrRange] unless |Q| ≤ 10 m³/s and 0 < k.
func (k FlowCoefficient) Loss(q quantity.Flow, fluid Fluid) (quantity.Pressure, error) {
	err := first(k.check(), fluid.check(), within("flow", q, -maxFlow, maxFlow, "m³/s"))
	if err != nil {
		return 0, fmt.Errorf("valve loss: %w", err)
	}
	x := float64(q) / float64(k) // √Pa
	return quantity.Pressure(x * math.Abs(x) * float64(fluid.Density) / referenceDensity), nil
}

func (k FlowCoefficient) check() error {
	return within("flow coefficient", k, 1e-14, maxCoefficient, "m³/(s·√Pa)")
}

// CheckValve passes water one way once the pressure exceeds its cracking
// pressure. It is a [Resistance] for forward flow.
type CheckValve struct {
	Cracking quantity.Pressure
	Open     FlowCoefficient // of the open valve
}

// Loss returns cracking pressure plus the open valve's drop. With no flow it
// returns the cracking pressure, the most that the closed valve holds back.
// The error wraps [ErrRange] for a backward flow, which a sound valve stops.
func (c CheckValve) Loss(q quantity.Flow, fluid Fluid) (quantity.Pressure, error) {
	err := first(within("cracking pressure", c.Cracking, 0, maxPressure, "Pa"), within("flow", q, 0, maxFlow, "m³/s"))
	if err != nil {
		return 0, fmt.Errorf("check valve loss: %w", err)
	}
	open, err := c.Open.Loss(q, fluid)
	if err != nil {
		return 0, fmt.Errorf("check valve loss: %w", err)
	}
	return c.Cracking + open, nil
}

// Flow returns the flow at a drop: none up to the cracking pressure, and none
// backwards. Errors are those of [FlowCoefficient.Flow].
func (c CheckValve) Flow(drop quantity.Pressure, fluid Fluid) (quantity.Flow, error) {
	if err := within("cracking pressure", c.Cracking, 0, maxPressure, "Pa"); err != nil {
		return 0, fmt.Errorf("check valve flow: %w", err)
	}
	over := drop - c.Cracking
	if drop <= c.Cracking {
		over = 0
	}
	q, err := c.Open.Flow(over, fluid)
	if err != nil {
		return 0, fmt.Errorf("check valve flow: %w", err)
	}
	return q, nil
}

// FloatValve throttles as the level rises: full open at OpenLevel and below,
// shut at ShutLevel and above, linear between.
type FloatValve struct {
	Full      FlowCoefficient
	OpenLevel quantity.Length
	ShutLevel quantity.Length
}

// Opening returns the share of the full opening at a level. A rule of thumb:
// the real valve's lift is nearly linear, its flow a little less so.
//
// Source: [TradeHydraulics]. The error wraps [ErrRange] unless
// OpenLevel < ShutLevel, all within 1 km.
func (v FloatValve) Opening(level quantity.Length) (quantity.Ratio, error) {
	err := first(
		within("level", level, -1e3, 1e3, "m"), within("open level", v.OpenLevel, -1e3, 1e3, "m"),
		above("shut level", v.ShutLevel, v.OpenLevel, 1e3, "m"),
	)
	if err != nil {
		return 0, fmt.Errorf("float valve opening: %w", err)
	}
	share := float64(v.ShutLevel-level) / float64(v.ShutLevel-v.OpenLevel)
	return quantity.Ratio(math.Max(0, math.Min(1, share))), nil
}

// Flow returns the flow at a drop and a level. Errors are those of
// [FloatValve.Opening] and [FlowCoefficient.Flow].
func (v FloatValve) Flow(drop quantity.Pressure, level quantity.Length, fluid Fluid) (quantity.Flow, error) {
	open, err := v.Opening(level)
	if err != nil {
		return 0, err
	}
	full, err := v.Full.Flow(drop, fluid)
	if err != nil {
		return 0, fmt.Errorf("float valve flow: %w", err)
	}
	return quantity.Flow(float64(full) * float64(open)), nil
}
