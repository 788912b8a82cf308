package hydraulics

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// PumpPoint is a point of a pump's curve.
type PumpPoint struct {
	Flow     quantity.Flow
	Pressure quantity.Pressure // gained from inlet to outlet
}

// PumpCurve is the pressure that a pump adds, falling with flow:
//
//	P = P₀ − a Q − b Q^n
//
// It is a [Supply]. Make one by [QuadraticPump], [PowerPump] or [DutyPump].
//
// Caution: a pump must not run against a closed valve for long (it boils its
// water), nor dry (it burns its seal); one that cannot slip needs a relief valve.
type PumpCurve struct {
	shutOff  float64 // P₀, Pa
	linear   float64 // a, Pa/(m³/s)
	power    float64 // b
	exponent float64 // n
}

// QuadraticPump returns the parabola through three points of rising flow.
// The error wraps [ErrCurve] unless it falls ever more steeply from no flow on.
func QuadraticPump(points [3]PumpPoint) (PumpCurve, error) {
	if err := checkPoints(points[:]); err != nil {
		return PumpCurve{}, fmt.Errorf("quadratic pump: %w", err)
	}
	q0, p0 := point(points[0])
	q1, p1 := point(points[1])
	q2, p2 := point(points[2])
	s1, s2 := (p1-p0)/(q1-q0), (p2-p1)/(q2-q1) // Pa/(m³/s)
	c := (s2 - s1) / (q2 - q0)
	b := s1 - c*(q0+q1)
	curve := PumpCurve{shutOff: p0 - b*q0 - c*q0*q0, linear: -b, power: -c, exponent: 2}
	if !(curve.linear >= 0 && curve.power >= 0) {
		return PumpCurve{}, fmt.Errorf("quadratic pump: %w: it must fall ever more steeply", ErrCurve)
	}
	return curve, nil
}

// PowerPump returns P = P₀ − b Q^n through the shut-off pressure and two points
// of rising flow, the form that pipe-network programs use.
//
// Source: [TodiniPilati1988]. The error wraps [ErrCurve] unless pressures fall
// and 0.2 ≤ n ≤ 10.
func PowerPump(shutOff quantity.Pressure, near, far PumpPoint) (PumpCurve, error) {
	if err := checkPoints([]PumpPoint{{Pressure: shutOff}, near, far}); err != nil {
		return PumpCurve{}, fmt.Errorf("power pump: %w", err)
	}
	d1, d2 := float64(shutOff-near.Pressure), float64(shutOff-far.Pressure) // Pa
	n := math.Log(d2/d1) / math.Log(float64(far.Flow/near.Flow))
	if !(0.2 <= n && n <= 10) {
		return PumpCurve{}, fmt.Errorf("power pump: exponent %g: %w", n, ErrCurve)
	}
	curve := PumpCurve{shutOff: float64(shutOff), power: d2 / math.Pow(float64(far.Flow), n), exponent: n}
	if !(curve.power <= math.MaxFloat64) {
		return PumpCurve{}, fmt.Errorf("power pump: exponent %g: %w", n, ErrCurve)
	}
	return curve, nil
}

// DutyPump returns P = P₀ − b Q² through the shut-off pressure and the duty
// point. A rule of thumb for a centrifugal pump of which no more is known.
//
// Source: [TradeHydraulics]. The error wraps [ErrCurve].
func DutyPump(shutOff quantity.Pressure, duty PumpPoint) (PumpCurve, error) {
	if err := checkPoints([]PumpPoint{{Pressure: shutOff}, duty}); err != nil {
		return PumpCurve{}, fmt.Errorf("duty pump: %w", err)
	}
	q := float64(duty.Flow)
	return PumpCurve{shutOff: float64(shutOff), power: float64(shutOff-duty.Pressure) / (q * q), exponent: 2}, nil
}

// Pressure returns what the pump adds at a flow. Below zero means beyond its
// run-out. The error wraps [ErrRange] unless 0 ≤ Q ≤ 10 m³/s, [ErrCurve] for the
// zero PumpCurve or where the curve has left every measure (under −1e15 Pa).
func (c PumpCurve) Pressure(q quantity.Flow) (quantity.Pressure, error) {
	if !(c.shutOff > 0) {
		return 0, fmt.Errorf("pump pressure: no curve: %w", ErrCurve)
	}
	if err := within("flow", q, 0, maxFlow, "m³/s"); err != nil {
		return 0, fmt.Errorf("pump pressure: %w", err)
	}
	p := c.at(float64(q))
	if !(p >= -1e15) {
		return 0, fmt.Errorf("pump pressure at %g m³/s: %w", float64(q), ErrCurve)
	}
	return quantity.Pressure(p), nil
}

// ShutOff returns the pressure with the outlet closed.
func (c PumpCurve) ShutOff() quantity.Pressure { return quantity.Pressure(c.shutOff) }

// Less returns the curve with a pressure taken off at every flow, such as the
// lift from a well. The error wraps [ErrCurve] when nothing is left.
func (c PumpCurve) Less(p quantity.Pressure) (PumpCurve, error) {
	c.shutOff -= float64(p)
	if !(0 < c.shutOff && c.shutOff <= maxPressure) {
		return PumpCurve{}, fmt.Errorf("pump less %g Pa: %w", float64(p), ErrCurve)
	}
	return c, nil
}

// Worn returns the curve of a worn pump: share of new, at the same speed, of
// pressure at every flow. The error wraps [ErrRange] unless 0 < share ≤ 1.5.
func (c PumpCurve) Worn(share quantity.Ratio) (PumpCurve, error) {
	if err := above("share of new", share, 0, 1.5, ""); err != nil {
		return PumpCurve{}, fmt.Errorf("worn pump: %w", err)
	}
	s := float64(share)
	return PumpCurve{shutOff: c.shutOff * s, linear: c.linear * s, power: c.power * s, exponent: c.exponent}, nil
}

func (c PumpCurve) at(q float64) float64 {
	if c.exponent == 2 {
		return c.shutOff - q*(c.linear+c.power*q)
	}
	return c.shutOff - c.linear*q - c.power*math.Pow(q, c.exponent)
}

func point(p PumpPoint) (q, pressure float64) { return float64(p.Flow), float64(p.Pressure) }

// checkPoints holds flows rising, pressures falling.
func checkPoints(points []PumpPoint) error {
	for i, p := range points {
		err := first(within("flow", p.Flow, 0, maxFlow, "m³/s"), within("pressure", p.Pressure, 0, maxPressure, "Pa"))
		if err != nil {
			return err
		}
		if i == 0 {
			continue
		}
		if before := points[i-1]; !(p.Flow-before.Flow >= 1e-9 && before.Pressure-p.Pressure >= 1e-3) {
			return fmt.Errorf("point %d: flow must rise and pressure fall: %w", i+1, ErrCurve)
		}
	}
	return nil
}

// Pump is a curve with an efficiency. It is a [Supply].
type Pump struct {
	Curve          PumpCurve
	BestFlow       quantity.Flow  // where it is most efficient
	BestEfficiency quantity.Ratio // shaft to water
}

// Pressure returns the curve's pressure; see [PumpCurve.Pressure].
func (p Pump) Pressure(q quantity.Flow) (quantity.Pressure, error) { return p.Curve.Pressure(q) }

// Efficiency returns the efficiency at a flow:
//
//	η = η_b (2 x − x²)      x = Q/Q_b
//
// A rule of thumb, good to 0.05 from half to one and a half times Q_b.
//
// Source: [TradeHydraulics]. The error wraps [ErrRange] unless 0 < Q < 2 Q_b and
// 0 < η_b ≤ 1.
func (p Pump) Efficiency(q quantity.Flow) (quantity.Ratio, error) {
	err := first(
		above("best flow", p.BestFlow, 0, maxFlow, "m³/s"), above("best efficiency", p.BestEfficiency, 0, 1, ""),
		within("flow", q, 1e-6*p.BestFlow, 1.999*p.BestFlow, "m³/s"),
	)
	if err != nil {
		return 0, fmt.Errorf("pump efficiency: %w", err)
	}
	x := float64(q / p.BestFlow)
	return quantity.Ratio(float64(p.BestEfficiency) * x * (2 - x)), nil
}

// Power returns the shaft power at a flow. Errors are those of
// [PumpCurve.Pressure], [Pump.Efficiency] and [ShaftPower].
func (p Pump) Power(q quantity.Flow) (quantity.Power, error) {
	gain, err := p.Pressure(q)
	if err != nil {
		return 0, err
	}
	share, err := p.Efficiency(q)
	if err != nil {
		return 0, err
	}
	return ShaftPower(q, gain, share)
}

// ShaftPower returns the power that lifts a flow by a pressure:
//
//	W = Q Δp/η      in trade units hp = gpm × psi/(1714 η)
//
// Source: definition of work. The error wraps [ErrRange] unless
// 0 ≤ Q ≤ 10 m³/s, 0 ≤ Δp ≤ 1e9 Pa and 0.01 ≤ η ≤ 1.
func ShaftPower(q quantity.Flow, gain quantity.Pressure, efficiency quantity.Ratio) (quantity.Power, error) {
	err := first(
		within("flow", q, 0, maxFlow, "m³/s"), within("pressure", gain, 0, maxPressure, "Pa"),
		within("efficiency", efficiency, 0.01, 1, ""),
	)
	if err != nil {
		return 0, fmt.Errorf("shaft power: %w", err)
	}
	return quantity.Power(float64(q) * float64(gain) / float64(efficiency)), nil
}
