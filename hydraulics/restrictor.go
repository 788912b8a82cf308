package hydraulics

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// Restrictor sets the concentrate's flow. Flow and Loss are inverse.
//
// A [FlowCoefficient] is one (a needle valve at its setting), so are
// [Capillary], [RatedRestrictor] and [Orifice].
type Restrictor interface {
	Resistance
	Flow(drop quantity.Pressure, fluid Fluid) (quantity.Flow, error)
}

// HagenPoiseuille returns the laminar flow through a long fine bore:
//
//	Q = π d⁴ Δp/(128 μ L)
//
// Source: [Poiseuille1846]. Exact for developed flow; entrance and exit are left
// out, which [Capillary] counts (6 % at Re 1500 in 0.5 m of 0.5 mm). The error
// wraps [ErrNotLaminar] where Re comes out above 2000, and [ErrRange] unless
// 0.01 mm ≤ d ≤ 10 m, 0 < L ≤ 100 km and |Δp| ≤ 1e9 Pa.
func HagenPoiseuille(bore, length quantity.Length, drop quantity.Pressure, fluid Fluid) (quantity.Flow, error) {
	err := first(
		fluid.check(), within("bore", bore, minBore, maxBore, "m"),
		within("length", length, 1e-6, maxLength, "m"), within("drop", drop, -maxPressure, maxPressure, "Pa"),
	)
	if err != nil {
		return 0, fmt.Errorf("laminar flow: %w", err)
	}
	d, mu := float64(bore), float64(fluid.Viscosity)
	q := math.Pi * d * d * d * d * float64(drop) / (128 * mu * float64(length)) // m³/s
	re := 4 * math.Abs(q) / (math.Pi * d * fluid.kinematic())
	if !(re <= laminarEnd) {
		return 0, fmt.Errorf("laminar flow at Reynolds number %.4g, over %g: %w", re, laminarEnd, ErrNotLaminar)
	}
	return quantity.Flow(q), nil
}

// Capillary is a length of fine tube as a restrictor, in any regime of flow.
// Its flow follows viscosity: cold water passes less.
type Capillary struct {
	Bore   quantity.Length
	Length quantity.Length
}

// capillaryK is entrance, development of the profile and the jet lost at the
// exit, in velocity heads: 2 m with m = 1.12 of laminar viscometry.
const capillaryK = 2.24

// Loss returns the pressure that flow q loses: friction of a smooth tube plus
// 2.24 velocity heads for the ends.
//
// Source: [Poiseuille1846] when laminar, [Colebrook1939] beyond; the ends from
// [TradeHydraulics]. Errors are those of [Pipe.Loss].
func (c Capillary) Loss(q quantity.Flow, fluid Fluid) (quantity.Pressure, error) {
	return c.pipe().Loss(q, fluid)
}

// Flow returns the flow at a drop, the inverse of [Capillary.Loss].
func (c Capillary) Flow(drop quantity.Pressure, fluid Fluid) (quantity.Flow, error) {
	return c.pipe().FlowAt(drop, fluid)
}

func (c Capillary) pipe() Pipe { return Pipe{Length: c.Length, Bore: c.Bore, MinorK: capillaryK} }

// RatedRestrictor is a fixed restrictor told by its flow at a pressure drop.
type RatedRestrictor struct {
	Rated quantity.Flow
	At    quantity.Pressure
}

// Flow returns the flow at a drop:
//
//	Q = Q_rated √(Δp/Δp_rated · ρ₀/ρ)
//
// Source: [TradeHydraulics]; real ones are within 10 % new, then scale shut or
// erode, so measure on each visit. The error wraps [ErrRange] unless rating and
// its pressure are above zero and |Δp| ≤ 1e9 Pa.
func (r RatedRestrictor) Flow(drop quantity.Pressure, fluid Fluid) (quantity.Flow, error) {
	k, err := r.Coefficient()
	if err != nil {
		return 0, fmt.Errorf("restrictor flow: %w", err)
	}
	return k.Flow(drop, fluid)
}

// Loss returns the drop at a flow, the inverse of [RatedRestrictor.Flow].
func (r RatedRestrictor) Loss(q quantity.Flow, fluid Fluid) (quantity.Pressure, error) {
	k, err := r.Coefficient()
	if err != nil {
		return 0, fmt.Errorf("restrictor loss: %w", err)
	}
	return k.Loss(q, fluid)
}

// Coefficient returns the restrictor as a flow coefficient.
func (r RatedRestrictor) Coefficient() (FlowCoefficient, error) {
	return CoefficientOf(r.Rated, r.At, Fluid{Density: referenceDensity, Viscosity: 1e-3})
}

// RatedRestrictors returns the usual ratings, at 60 psi.
//
// Source: [TradeHydraulics], generic sizes.
func RatedRestrictors() []RatedRestrictor {
	ratings := []float64{300, 420, 550, 800, 1000, 1200, 1500, 2000, 2500, 3000, 4000} // mL/min
	all := make([]RatedRestrictor, len(ratings))
	for i, r := range ratings {
		all[i] = RatedRestrictor{Rated: quantity.LitresPerMinute(r / 1000), At: quantity.PSI(60)}
	}
	return all
}

// PickRated returns the restrictor whose flow at the drop is nearest to the one
// wanted, and that flow. Of two as near, the larger: more concentrate scales
// less. The error wraps [ErrNoFit] when none is offered, [ErrRange] for a drop or
// flow not above zero.
func PickRated(offered []RatedRestrictor, want quantity.Flow, drop quantity.Pressure, fluid Fluid) (RatedRestrictor, quantity.Flow, error) {
	err := first(above("wanted flow", want, 0, maxFlow, "m³/s"), above("drop", drop, 0, maxPressure, "Pa"))
	if err != nil {
		return RatedRestrictor{}, 0, fmt.Errorf("pick restrictor: %w", err)
	}
	var best RatedRestrictor
	var bestFlow quantity.Flow
	for _, r := range offered {
		q, err := r.Flow(drop, fluid)
		if err != nil {
			return RatedRestrictor{}, 0, fmt.Errorf("pick restrictor: %w", err)
		}
		if bestFlow == 0 || nearer(want, q, bestFlow) {
			best, bestFlow = r, q
		}
	}
	if bestFlow == 0 {
		return RatedRestrictor{}, 0, fmt.Errorf("pick restrictor: %w", ErrNoFit)
	}
	return best, bestFlow, nil
}

func nearer(want, q, best quantity.Flow) bool {
	a, b := math.Abs(float64(q-want)), math.Abs(float64(best-want))
	return a < b || a == b && q > best
}

// CapillaryFor returns the capillary of that bore that passes the flow wanted
// at the drop. The error wraps [ErrNoFit] when the ends alone lose more, or when
// it would be longer than 100 km; [ErrRange] as for [Pipe.Loss].
func CapillaryFor(bore quantity.Length, want quantity.Flow, drop quantity.Pressure, fluid Fluid) (Capillary, error) {
	err := first(above("wanted flow", want, 0, maxFlow, "m³/s"), above("drop", drop, 0, maxPressure, "Pa"))
	if err != nil {
		return Capillary{}, fmt.Errorf("capillary for a flow: %w", err)
	}
	ends, err := Capillary{Bore: bore}.Loss(want, fluid)
	if err != nil {
		return Capillary{}, fmt.Errorf("capillary for a flow: %w", err)
	}
	metre, err := Capillary{Bore: bore, Length: 1}.Loss(want, fluid)
	if err != nil {
		return Capillary{}, fmt.Errorf("capillary for a flow: %w", err)
	}
	c := Capillary{Bore: bore, Length: quantity.Length(float64(drop-ends) / float64(metre-ends))}
	if !(0 < c.Length && c.Length <= maxLength) {
		return Capillary{}, fmt.Errorf("capillary for a flow: %g m of this bore: %w", float64(c.Length), ErrNoFit)
	}
	return c, nil
}
