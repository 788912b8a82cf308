package hydraulics

import (
	"fmt"
	"math"

	"rinsewright/internal/num"
	"rinsewright/quantity"
)

// What a main is taken to do when only its static pressure was read: lose
// 10 psi at 8 gpm through its meter, service line and backflow assembly.
//
// Source: [TradeHydraulics]. Read a running pressure instead: it is the reading
// that most often surprises.
const (
	AssumedDropPSI = 10.0
	AssumedFlowGPM = 8.0
)

const cityExponent = 1.85 // of the flow in a main's drop, from Hazen-Williams

// CityCurve is the city main at the tap: the static pressure with nothing
// running and one pressure with a measured flow running. It is a [Supply].
// With RunningFlow zero the drop is assumed; see [CityCurve.Assumed].
type CityCurve struct {
	Static          quantity.Pressure
	RunningPressure quantity.Pressure
	RunningFlow     quantity.Flow
}

// Assumed says whether the drop was assumed instead of measured.
func (c CityCurve) Assumed() bool { return c.RunningFlow == 0 }

// Pressure returns the pressure at the tap while q flows:
//
//	P = Ps − (Ps − Pr) (Q/Qr)^1.85
//
// Below zero means that the main cannot give q.
//
// Source: [TradeHydraulics], the hydrant-test form of [HazenWilliams1905]; within
// 5 % up to twice the flow measured. The error wraps [ErrRange] unless
// 0 < Ps ≤ 10 MPa, 0 ≤ Pr ≤ Ps, 0 ≤ Q ≤ 10 m³/s and a measured Qr is at least
// 0.06 mL/min.
func (c CityCurve) Pressure(q quantity.Flow) (quantity.Pressure, error) {
	drop, at := c.measured()
	err := first(
		above("static pressure", c.Static, 0, 1e7, "Pa"), within("drop from static to running", drop, 0, 1e7, "Pa"),
		within("running flow", at, 1e-9, maxFlow, "m³/s"), within("flow", q, 0, maxFlow, "m³/s"),
	)
	if err != nil {
		return 0, fmt.Errorf("city pressure: %w", err)
	}
	return c.Static - quantity.Pressure(float64(drop)*math.Pow(float64(q/at), cityExponent)), nil
}

func (c CityCurve) measured() (quantity.Pressure, quantity.Flow) {
	if c.Assumed() {
		return quantity.PSI(AssumedDropPSI), quantity.GallonsPerMinute(AssumedFlowGPM)
	}
	drop := c.Static - c.RunningPressure
	if !(c.RunningPressure >= 0) {
		drop = quantity.Pressure(math.NaN()) // a running pressure below zero is a misreading
	}
	return drop, c.RunningFlow
}

// WellPump is a pump with a pressure switch and a pressure vessel. It is a
// [Supply].
type WellPump struct {
	Curve  PumpCurve         // at the ground: less the lift, see [PumpCurve.Less]
	CutIn  quantity.Pressure // the switch starts the pump
	CutOut quantity.Pressure // the switch stops it
}

// Pressure returns the mean of the switch's band while the pump cycles, or the
// pump's own pressure where that is less, because it then runs on without
// reaching the middle of the band. [WellPump.Band] tells the swing.
//
// Source: [TradeHydraulics]. The error wraps [ErrRange] unless
// 0 ≤ cut-in < cut-out ≤ 10 MPa, or as for [PumpCurve.Pressure].
func (w WellPump) Pressure(q quantity.Flow) (quantity.Pressure, error) {
	low, high, err := w.Band(q)
	return (low + high) / 2, err
}

// Band returns the lowest and highest pressure of a cycle at a steady flow.
// Both are the pump's own pressure when it runs on below the band's middle. A
// pump that settles between middle and cut-out is told by the whole band: its
// mean is then up to half the band low, and nothing jumps. Errors are those of
// [WellPump.Pressure].
func (w WellPump) Band(q quantity.Flow) (low, high quantity.Pressure, err error) {
	err = first(within("cut-in", w.CutIn, 0, 1e7, "Pa"), above("cut-out", w.CutOut, w.CutIn, 1e7, "Pa"))
	if err != nil {
		return 0, 0, fmt.Errorf("well pressure: %w", err)
	}
	running, err := w.Curve.Pressure(q)
	if err != nil {
		return 0, 0, fmt.Errorf("well pressure: %w", err)
	}
	if middle := (w.CutIn + w.CutOut) / 2; running <= middle {
		return running, running, nil
	}
	return w.CutIn, w.CutOut, nil
}

// Boosted is a pump fed from another supply: pressures add. It is a [Supply].
type Boosted struct {
	From Supply
	Pump Supply
}

// Pressure returns the sum of both pressures. Errors are theirs, or wrap
// [ErrNoFlow] when one is missing.
func (b Boosted) Pressure(q quantity.Flow) (quantity.Pressure, error) {
	if b.From == nil || b.Pump == nil {
		return 0, fmt.Errorf("boosted pressure: no supply: %w", ErrNoFlow)
	}
	from, err := b.From.Pressure(q)
	if err != nil {
		return 0, fmt.Errorf("boosted pressure: %w", err)
	}
	gain, err := b.Pump.Pressure(q)
	if err != nil {
		return 0, fmt.Errorf("boosted pressure: %w", err)
	}
	return from + gain, nil
}

// Level is a tank whose surface stands above the outlet. It is a [Supply].
type Level struct {
	Height quantity.Length
	Fluid  Fluid
}

// Pressure returns ρ g z whatever the flow. Errors are those of
// [ElevationLoss].
func (l Level) Pressure(quantity.Flow) (quantity.Pressure, error) {
	return ElevationLoss(l.Height, l.Fluid)
}

// Series is resistances one after the other; the same flow passes all. A nil
// part resists nothing.
type Series []Resistance

// Loss returns the sum of the losses. Errors are those of the parts.
func (s Series) Loss(q quantity.Flow, fluid Fluid) (quantity.Pressure, error) {
	var sum quantity.Pressure
	for _, part := range s {
		if part == nil {
			continue
		}
		loss, err := part.Loss(q, fluid)
		if err != nil {
			return 0, err
		}
		sum += loss
	}
	return sum, nil
}

// Equal is a count of equal resistances side by side; the flow divides evenly.
type Equal struct {
	Count int
	Each  Resistance
}

// Loss returns the loss of one of them at its share of the flow. The error
// wraps [ErrRange] unless 1 ≤ Count ≤ 1000; else it is the part's.
func (e Equal) Loss(q quantity.Flow, fluid Fluid) (quantity.Pressure, error) {
	if err := within("count side by side", float64(e.Count), 1, 1000, ""); err != nil {
		return 0, err
	}
	return Series{e.Each}.Loss(q/quantity.Flow(e.Count), fluid)
}

// FlowThrough returns the flow at which a supply's pressure is what the
// resistance takes and the pressure behind it, back. The error wraps
// [ErrNoFlow] when there is no supply or its standing pressure does not exceed back,
// [ErrNoResistance] when 10 m³/s would not use the pressure up; else it is that
// of the supply or the resistance.
func FlowThrough(s Supply, r Resistance, back quantity.Pressure, fluid Fluid) (quantity.Flow, error) {
	if err := within("back-pressure", back, -maxPressure, maxPressure, "Pa"); err != nil {
		return 0, fmt.Errorf("flow through: %w", err)
	}
	if s == nil {
		return 0, fmt.Errorf("flow through: no supply: %w", ErrNoFlow)
	}
	var failed error
	left := func(q float64) float64 {
		left, err := pressureLeft(s, r, quantity.Flow(q), fluid)
		failed = first(failed, err)
		return float64(left - back)
	}
	if standing := left(0); failed != nil || !(standing > 0) {
		return 0, fmt.Errorf("flow through: %w", first(failed, ErrNoFlow))
	}
	high := 1e-7
	for failed == nil && high < maxFlow && left(high) > 0 {
		high = math.Min(4*high, maxFlow)
	}
	if failed == nil && left(high) > 0 {
		failed = ErrNoResistance
	}
	if failed != nil {
		return 0, fmt.Errorf("flow through: %w", failed)
	}
	q, err := num.Root(left, 0, high, 0)
	if err = first(failed, err); err != nil {
		return 0, fmt.Errorf("flow through: %w", err)
	}
	return quantity.Flow(q), nil
}

func pressureLeft(s Supply, r Resistance, q quantity.Flow, fluid Fluid) (quantity.Pressure, error) {
	p, err := s.Pressure(q)
	if err != nil {
		return 0, err
	}
	loss, err := Series{r}.Loss(q, fluid)
	return p - loss, err
}
