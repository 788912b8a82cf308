package hydraulics

import (
	"fmt"

	"rinsewright/quantity"
)

// Tube is a generic size of tube or pipe with its true bore.
type Tube struct {
	Name      string
	Bore      quantity.Length
	Roughness quantity.Length
	Flexible  bool // told by its outside diameter, pushed into fittings
}

// Pipe returns a length of the tube without fittings.
func (t Tube) Pipe(length quantity.Length) Pipe {
	return Pipe{Length: length, Bore: t.Bore, Roughness: t.Roughness}
}

const plasticRoughness = 1.5e-6 // m, drawn tube and plastic, [Moody1944]

// Tubes returns the generic sizes, smallest first: LLDPE tube by outside
// diameter and schedule 40 pipe. Tube walls differ between makes, by some 10 % of
// the bore and so 50 % of the loss: measure the one at hand.
//
// Source: [TradeHydraulics] for the tube; schedule 40 bores by its standard, from
// memory, as in the pipe-network table.
func Tubes() []Tube {
	return []Tube{
		{Name: "1/4 in tube", Bore: quantity.Inches(0.170), Roughness: plasticRoughness, Flexible: true},
		{Name: "3/8 in tube", Bore: quantity.Inches(0.250), Roughness: plasticRoughness, Flexible: true},
		{Name: "1/2 in tube", Bore: quantity.Inches(0.375), Roughness: plasticRoughness, Flexible: true},
		{Name: "1/2 in pipe", Bore: quantity.Millimetres(15.80), Roughness: plasticRoughness},
		{Name: "3/4 in pipe", Bore: quantity.Millimetres(20.93), Roughness: plasticRoughness},
		{Name: "1 in pipe", Bore: quantity.Millimetres(26.64), Roughness: plasticRoughness},
	}
}

// TubeLoss is what one tube costs at a flow.
type TubeLoss struct {
	Tube     Tube
	Loss     quantity.Pressure
	Velocity quantity.Speed
}

// CompareTubes returns what every tube of [Tubes] loses over a length at a
// flow: the answer to "what does 3/8 instead of 1/2 cost me here". The error
// wraps [ErrRange] as for [Pipe.Loss].
func CompareTubes(q quantity.Flow, length quantity.Length, fluid Fluid) ([]TubeLoss, error) {
	var all []TubeLoss
	for _, tube := range Tubes() {
		pipe := tube.Pipe(length)
		loss, err := pipe.Loss(q, fluid)
		if err != nil {
			return nil, fmt.Errorf("compare tubes: %s: %w", tube.Name, err)
		}
		all = append(all, TubeLoss{Tube: tube, Loss: loss, Velocity: quantity.Speed(pipe.velocity(float64(q)))})
	}
	return all, nil
}

// SizeLine returns the smallest tube of [Tubes] that loses no more than
// mostLoss and runs no faster than mostVelocity. Usual limits for water lines:
// 1.5 m/s (5 ft/s) on the delivery side, 0.9 m/s (3 ft/s) for suction.
//
// Source: [TradeHydraulics]. The error wraps [ErrNoFit] when the largest is too
// small, [ErrRange] as for [Pipe.Loss].
func SizeLine(q quantity.Flow, length quantity.Length, mostLoss quantity.Pressure, mostVelocity quantity.Speed, fluid Fluid) (TubeLoss, error) {
	all, err := CompareTubes(q, length, fluid)
	if err = first(err, within("flow", q, 0, maxFlow, "m³/s")); err != nil {
		return TubeLoss{}, fmt.Errorf("size line: %w", err)
	}
	for _, t := range all {
		if t.Loss <= mostLoss && t.Velocity <= mostVelocity {
			return t, nil
		}
	}
	return TubeLoss{}, fmt.Errorf("size line: %w: split the line or allow more loss", ErrNoFit)
}
