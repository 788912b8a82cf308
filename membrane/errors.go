package membrane

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"rinsewright/quantity"
)

// Sentinels that callers test for with errors.Is.
var (
	// ErrRange marks an input that is not a number the model holds for.
	ErrRange = errors.New("out of range")
	// ErrNoFlow marks conditions under which no permeate can flow; see [NoFlowError].
	ErrNoFlow = errors.New("no permeate can flow")
	// ErrStarved marks a feed that the membrane would take almost whole; see [StarvedError].
	ErrStarved = errors.New("too little feed for the membrane")
	// ErrMissing marks a data sheet that does not state enough; see [MissingError].
	ErrMissing = errors.New("data sheet incomplete")
	// ErrSheet marks a data sheet no element can satisfy.
	ErrSheet = errors.New("data sheet contradicts itself")
)

// NoFlowError says which pressures stop the permeate. It wraps [ErrNoFlow].
type NoFlowError struct {
	Feed     quantity.Pressure // at the feed end
	Permeate quantity.Pressure // back-pressure
	Osmotic  quantity.Pressure // of the feed
}

func (e *NoFlowError) Error() string {
	return fmt.Sprintf("membrane: feed pressure %.2f bar does not exceed permeate pressure %.2f bar plus osmotic pressure %.2f bar: %v",
		e.Feed.Bar(), e.Permeate.Bar(), e.Osmotic.Bar(), ErrNoFlow)
}

// Unwrap returns [ErrNoFlow].
func (e *NoFlowError) Unwrap() error { return ErrNoFlow }

// Hint says what the user could change.
func (e *NoFlowError) Hint() string {
	if e.Permeate > e.Osmotic {
		return "lower the permeate back-pressure (tank height, closed valve, bladder tank) or raise the feed pressure"
	}
	return "raise the feed pressure (booster) or soften the demand on it: the feed is too salty for it"
}

// StarvedError says where the channel runs dry. It wraps [ErrStarved].
type StarvedError struct {
	Feed    quantity.Flow // into one housing
	Element int           // position in series, feed end is 0
}

func (e *StarvedError) Error() string {
	return fmt.Sprintf("membrane: feed flow %.3g L/min is all taken by element %d: %v",
		e.Feed.LitresPerMinute(), e.Element+1, ErrStarved)
}

// Unwrap returns [ErrStarved].
func (e *StarvedError) Unwrap() error { return ErrStarved }

// Hint says what the user could change.
func (e *StarvedError) Hint() string {
	return "open the concentrate restrictor, use fewer elements in parallel, or lower the feed pressure"
}

// MissingError lists what a data sheet must state and does not. It wraps [ErrMissing].
type MissingError struct{ Fields []string }

func (e *MissingError) Error() string {
	return "membrane: " + ErrMissing.Error() + ": missing " + strings.Join(e.Fields, ", ")
}

// Unwrap returns [ErrMissing].
func (e *MissingError) Unwrap() error { return ErrMissing }

// bound is one quantity that must lie between lo and hi.
type bound struct {
	name      string
	x, lo, hi float64
	unit      string // SI, for the message
}

// within returns an error wrapping [ErrRange] for the first bound broken, NaN included.
func within(operation string, bounds ...bound) error {
	for _, b := range bounds {
		if !(b.lo <= b.x && b.x <= b.hi) {
			return fmt.Errorf("%s: %s %.4g %s not within %.4g to %.4g: %w", operation, b.name, b.x, b.unit, b.lo, b.hi, ErrRange)
		}
	}
	return nil
}

// finite reports whether x is a number.
func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
