package hydraulics

import (
	"fmt"

	"rinsewright/quantity"
)

// LineRow is one line to be calculated, as a person or a program states it.
type LineRow struct {
	HeadLossForm       string          // "D-W" (or empty) or "H-W"
	Length             quantity.Length //
	InsideDiameter     quantity.Length //
	Roughness          quantity.Length // for D-W
	C                  float64         // for H-W
	MinorK             float64         // in velocity heads, dimensionless
	Flow               quantity.Flow   //
	KinematicViscosity quantity.Diffusivity
	Friction           string // for D-W: "colebrook" (or empty) or "explicit"
}

// LineResult is what a line does at its flow.
type LineResult struct {
	Velocity quantity.Speed
	HeadLoss quantity.Length
}

// Solve returns velocity and head loss of the row. Formulas, ranges and errors
// are those of [Pipe.HeadLoss]; an unknown form or friction wraps [ErrRange].
func (r LineRow) Solve() (LineResult, error) {
	law, err := ParseLaw(r.HeadLossForm, r.Friction)
	if err != nil {
		return LineResult{}, fmt.Errorf("line: %w", err)
	}
	p := Pipe{Length: r.Length, Bore: r.InsideDiameter, Roughness: r.Roughness, MinorK: r.MinorK, Law: law, C: r.C}
	v, h, err := p.HeadLoss(r.Flow, r.KinematicViscosity)
	if err != nil {
		return LineResult{}, fmt.Errorf("line: %w", err)
	}
	return LineResult{Velocity: v, HeadLoss: h}, nil
}

// ParseLaw reads a head-loss form ("D-W" or "H-W") and a friction formula
// ("colebrook" or "explicit"; only D-W heeds it). Empty means D-W and
// colebrook. Anything else wraps [ErrRange].
func ParseLaw(form, friction string) (FrictionLaw, error) {
	switch friction {
	case "", "colebrook", "explicit":
	default:
		return 0, fmt.Errorf("friction %q, wanted colebrook or explicit: %w", friction, ErrRange)
	}
	switch form {
	case "H-W":
		return HazenWilliams, nil
	case "D-W", "":
		if friction == "explicit" {
			return SwameeJain, nil
		}
		return Colebrook, nil
	}
	return 0, fmt.Errorf("head-loss form %q, wanted D-W or H-W: %w", form, ErrRange)
}
