package hydraulics

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// Fitting is a fitting whose loss is told as a length of its own pipe.
type Fitting uint8

// The fittings. A gate valve is 8 in newer tables and 13 in older ones; the
// older, larger one is kept.
const (
	StandardElbow90 Fitting = iota
	StandardElbow45
	LongElbow90
	StreetElbow90
	TeeRun
	TeeBranch
	GateValve
	BallValve
	GlobeValve
	AngleValve
	SwingCheck
	ClearwaySwingCheck
	InlineBallCheck
	FootValve
	fittingCount
)

// Loss coefficients in velocity heads that do not depend on the size.
//
// Source: [Crane410].
const (
	SharpEntranceK = 0.5
	PipeExitK      = 1.0
)

type fittingRow struct {
	name      string
	diameters float64 // L/D
}

// Source: [Crane410], as told in two trade pages; see testdata/ref.
var fittings = [fittingCount]fittingRow{
	StandardElbow90:    {"90 deg standard elbow", 30},
	StandardElbow45:    {"45 deg standard elbow", 16},
	LongElbow90:        {"90 deg long-radius elbow", 20},
	StreetElbow90:      {"90 deg street elbow", 50},
	TeeRun:             {"tee, flow through run", 20},
	TeeBranch:          {"tee, flow through branch", 60},
	GateValve:          {"gate valve fully open", 13},
	BallValve:          {"ball valve fully open", 3},
	GlobeValve:         {"globe valve fully open", 340},
	AngleValve:         {"angle valve fully open", 145},
	SwingCheck:         {"swing check conventional", 135},
	ClearwaySwingCheck: {"swing check clearway", 50},
	InlineBallCheck:    {"in-line ball check", 150},
	FootValve:          {"foot valve + strainer, hinged disk", 75},
}

// Fittings returns every fitting of the table.
func Fittings() []Fitting {
	all := make([]Fitting, fittingCount)
	for i := range all {
		all[i] = Fitting(i)
	}
	return all
}

// String names the fitting.
func (f Fitting) String() string {
	if f >= fittingCount {
		return fmt.Sprintf("fitting %d", uint8(f))
	}
	return fittings[f].name
}

// Diameters returns the length of pipe, in its own diameters, that loses as
// much as the fitting: dimensionless. The error wraps [ErrRange] for an unknown
// fitting.
//
// Source: [Crane410].
func (f Fitting) Diameters() (float64, error) {
	if f >= fittingCount {
		return 0, fmt.Errorf("%v: %w", f, ErrRange)
	}
	return fittings[f].diameters, nil
}

const steelRoughness = 4.5e-5 // m, clean commercial steel

// FittingK returns the fitting's loss in velocity heads in a pipe of that bore:
//
//	K = f_T L/D      f_T = 0.25/log10(ε/(3.7 d))², ε = 0.045 mm
//
// f_T is the friction of clean steel pipe in full turbulence, whatever the pipe
// is made of: that is how the L/D were measured.
//
// Source: [Crane410]. Valid for bores from 3 mm; within 30 % or so. The error
// wraps [ErrRange] for a bore outside 3 mm to 10 m or an unknown fitting.
func FittingK(f Fitting, bore quantity.Length) (float64, error) {
	diameters, err := f.Diameters()
	if err = first(err, within("bore", bore, 3e-3, maxBore, "m")); err != nil {
		return 0, fmt.Errorf("fitting K: %w", err)
	}
	y := math.Log10(steelRoughness / (3.7 * float64(bore)))
	return 0.25 / (y * y) * diameters, nil
}

// SumK returns the K of all the fittings named, dimensionless, for [Pipe.MinorK].
// The error is that of [FittingK].
func SumK(bore quantity.Length, all ...Fitting) (float64, error) {
	sum := 0.0
	for _, f := range all {
		k, err := FittingK(f, bore)
		if err != nil {
			return 0, err
		}
		sum += k
	}
	return sum, nil
}
