package hydraulics

import (
	"fmt"
	"math"

	"rinsewright/internal/num"
	"rinsewright/quantity"
)

const mostLoss = 1e24 // Pa, beyond any loss that Pipe.Loss returns within its ranges

// Pipe is a round pipe, tube or hose with its fittings.
type Pipe struct {
	Length    quantity.Length
	Bore      quantity.Length // true inside diameter, not the nominal size
	Roughness quantity.Length // ε; not used by Hazen-Williams
	MinorK    float64         // sum of the fittings' K, in velocity heads
	Law       FrictionLaw
	C         float64 // Hazen-Williams coefficient; only that law uses it
}

// Loss returns the pressure that flow q loses in the pipe and its fittings:
//
//	Δp = (f L/d + K) ρ v²/2      v = Q/(π d²/4)
//
// or, by Hazen-Williams, h = 10.67 L Q^1.852 / (C^1.852 d^4.871) + K v²/2g.
//
// Source: [Moody1944] with [FrictionFactor]; [HazenWilliams1905]. Within 0.15 %
// of the general pipe-network engine by the same formula. The error wraps
// [ErrRange] unless 0 ≤ L ≤ 100 km, 0.01 mm ≤ d ≤ 10 m, ε ≤ 0.05 d,
// 0 ≤ K ≤ 1e6, |Q| ≤ 10 m³/s, Re ≤ 1e9, and 10 ≤ C ≤ 200 where it is used.
func (p Pipe) Loss(q quantity.Flow, fluid Fluid) (quantity.Pressure, error) {
	if err := first(p.check(), fluid.check(), p.checkFlow(q, fluid.kinematic())); err != nil {
		return 0, fmt.Errorf("pipe loss: %w", err)
	}
	return quantity.Pressure(float64(fluid.Density) * gravity * p.head(float64(q), fluid.kinematic())), nil
}

// HeadLoss returns the velocity and the head that flow q loses, for a liquid of
// kinematic viscosity ν (in m²/s). It is [Pipe.Loss] without the density.
func (p Pipe) HeadLoss(q quantity.Flow, kinematic quantity.Diffusivity) (quantity.Speed, quantity.Length, error) {
	err := first(p.check(), within("kinematic viscosity", kinematic, 1e-9, 1e-2, "m²/s"), p.checkFlow(q, float64(kinematic)))
	if err != nil {
		return 0, 0, fmt.Errorf("pipe head loss: %w", err)
	}
	return quantity.Speed(p.velocity(float64(q))), quantity.Length(p.head(float64(q), float64(kinematic))), nil
}

// Velocity returns the mean velocity v = Q/A. The error wraps [ErrRange] as for
// [Pipe.Loss].
func (p Pipe) Velocity(q quantity.Flow) (quantity.Speed, error) {
	if err := first(p.check(), within("flow", q, -maxFlow, maxFlow, "m³/s")); err != nil {
		return 0, fmt.Errorf("pipe velocity: %w", err)
	}
	return quantity.Speed(p.velocity(float64(q))), nil
}

// Reynolds returns Re = |v| d/ν. The error wraps [ErrRange] as for [Pipe.Loss].
func (p Pipe) Reynolds(q quantity.Flow, fluid Fluid) (float64, error) {
	if err := first(p.check(), fluid.check(), p.checkFlow(q, fluid.kinematic())); err != nil {
		return 0, fmt.Errorf("pipe reynolds number: %w", err)
	}
	return p.reynolds(float64(q), fluid.kinematic()), nil
}

// Volume returns what the pipe holds, A L: the water that must be pushed out
// before the next one arrives. The error wraps [ErrRange] as for [Pipe.Loss].
func (p Pipe) Volume() (quantity.Volume, error) {
	if err := p.check(); err != nil {
		return 0, fmt.Errorf("pipe volume: %w", err)
	}
	return quantity.Volume(p.area() * float64(p.Length)), nil
}

// FlowAt returns the flow whose [Pipe.Loss] is the one given, to 1e-12 of it.
// The error wraps [ErrRange] as there, or where the flow would be above
// 10 m³/s or Re 1e9; [ErrNoResistance] when neither length nor K resists.
func (p Pipe) FlowAt(loss quantity.Pressure, fluid Fluid) (quantity.Flow, error) {
	err := first(p.check(), fluid.check(), within("loss", loss, -mostLoss, mostLoss, "Pa"))
	if err != nil {
		return 0, fmt.Errorf("pipe flow at a loss: %w", err)
	}
	if p.Length == 0 && p.MinorK == 0 {
		return 0, fmt.Errorf("pipe flow at a loss: %w", ErrNoResistance)
	}
	want, nu := math.Abs(float64(loss))/(float64(fluid.Density)*gravity), fluid.kinematic()
	top := p.mostFlow(nu)
	if p.head(top, nu) < want {
		return 0, fmt.Errorf("pipe flow at a loss of %g Pa: %w: more than %g m³/s", float64(loss), ErrRange, top)
	}
	q, err := num.Root(func(q float64) float64 { return p.head(q, nu) - want }, 0, p.closeAbove(want, nu, top), 0)
	if err != nil {
		return 0, fmt.Errorf("pipe flow at a loss of %g Pa: %w", float64(loss), err)
	}
	return quantity.Flow(math.Copysign(q, float64(loss))), nil
}

// closeAbove brings the upper bound to within a factor of 8 of the answer.
func (p Pipe) closeAbove(want, nu, top float64) float64 {
	for q := top / 8; q > 0 && p.head(q, nu) > want; q /= 8 {
		top = q
	}
	return top
}

// mostFlow is where Re or the flow reaches its limit.
func (p Pipe) mostFlow(nu float64) float64 {
	return math.Min(maxFlow, maxReynolds*nu*p.area()/float64(p.Bore))
}

func (p Pipe) check() error {
	ok := 0 <= p.Length && p.Length <= maxLength && minBore <= p.Bore && p.Bore <= maxBore &&
		0 <= p.MinorK && p.MinorK <= 1e6
	if ok && p.Law != HazenWilliams && 0 <= p.Roughness && p.Roughness <= maxRelRough*p.Bore && p.Law <= HazenWilliams {
		return nil
	}
	if ok && p.Law == HazenWilliams && 10 <= p.C && p.C <= 200 {
		return nil
	}
	return p.explain()
}

// explain finds what check refused.
func (p Pipe) explain() error {
	err := first(
		within("length", p.Length, 0, maxLength, "m"),
		within("bore", p.Bore, minBore, maxBore, "m"),
		within("minor loss K", p.MinorK, 0, 1e6, ""),
	)
	switch {
	case err != nil:
		return err
	case p.Law == HazenWilliams:
		return within("hazen-williams coefficient", p.C, 10, 200, "")
	case p.Law > HazenWilliams:
		return fmt.Errorf("%v: %w", p.Law, ErrRange)
	}
	return within("roughness", p.Roughness, 0, maxRelRough*p.Bore, "m")
}

func (p Pipe) checkFlow(q quantity.Flow, nu float64) error {
	if math.Abs(float64(q)) <= maxFlow && p.reynolds(float64(q), nu) <= maxReynolds {
		return nil
	}
	return first(
		within("flow", q, -maxFlow, maxFlow, "m³/s"),
		within("reynolds number", p.reynolds(float64(q), nu), 0, maxReynolds, ""),
	)
}

func (p Pipe) area() float64 { return math.Pi / 4 * float64(p.Bore) * float64(p.Bore) } // m²

func (p Pipe) velocity(q float64) float64 { return q / p.area() } // m/s

func (p Pipe) reynolds(q, nu float64) float64 {
	return math.Abs(p.velocity(q)) * float64(p.Bore) / nu
}

// head is the head loss in m of flow q in m³/s; it has the sign of q.
func (p Pipe) head(q, nu float64) float64 {
	v := p.velocity(q) // m/s
	minor := p.MinorK * v * math.Abs(v) / (2 * gravity)
	if p.Law == HazenWilliams {
		return minor + math.Copysign(hazenWilliams(math.Abs(q), float64(p.Length), float64(p.Bore), p.C), q)
	}
	d, l := float64(p.Bore), float64(p.Length)
	re := math.Abs(v) * d / nu
	if re <= laminarEnd { // without dividing by Re, so that no flow loses nothing
		return minor + 32*nu*v*l/(gravity*d*d)
	}
	f := factor(p.Law, re, float64(p.Roughness)/d)
	return minor + f*l/d*v*math.Abs(v)/(2*gravity)
}

func hazenWilliams(q, l, d, c float64) float64 {
	return 10.67 * l * math.Pow(q/c, 1.852) / math.Pow(d, 4.871) // m
}
