package hydraulics

import (
	"errors"
	"fmt"
)

var (
	// ErrRange says that an input is outside the range a formula holds in.
	ErrRange = errors.New("outside the valid range")
	// ErrNotLaminar says that a laminar formula was asked about a turbulent flow.
	ErrNotLaminar = errors.New("flow is not laminar")
	// ErrNoResistance says that nothing limits the flow.
	ErrNoResistance = errors.New("nothing resists the flow")
	// ErrNoFlow says that the supply cannot push any water through.
	ErrNoFlow = errors.New("supply gives no flow")
	// ErrCurve says that measured points do not make a curve that falls with flow.
	ErrCurve = errors.New("points do not make a falling curve")
	// ErrNotConnected says that a junction has no way to a reservoir.
	ErrNotConnected = errors.New("not connected to a reservoir")
	// ErrNoConvergence says that a network did not settle.
	ErrNoConvergence = errors.New("no convergence")
	// ErrNoFit says that none of the parts offered does what is wanted.
	ErrNoFit = errors.New("no part fits")
)

// RangeError is an input outside its range, in SI. It wraps [ErrRange].
type RangeError struct {
	Name           string
	Value          float64
	Low, High      float64
	Unit           string
	lowIsExclusive bool
}

// Error says which quantity was out of which range.
func (e *RangeError) Error() string {
	word := "from"
	if e.lowIsExclusive {
		word = "above"
	}
	return fmt.Sprintf("%s %g %s: %v (%s %g to %g %s)", e.Name, e.Value, e.Unit, ErrRange, word, e.Low, e.High, e.Unit)
}

// Unwrap makes errors.Is(err, ErrRange) hold.
func (e *RangeError) Unwrap() error { return ErrRange }

// within returns nil when low ≤ x ≤ high; NaN fails.
func within[T ~float64](name string, x, low, high T, unit string) error {
	if low <= x && x <= high {
		return nil
	}
	return &RangeError{Name: name, Value: float64(x), Low: float64(low), High: float64(high), Unit: unit}
}

// above returns nil when low < x ≤ high; NaN fails.
func above[T ~float64](name string, x, low, high T, unit string) error {
	if low < x && x <= high {
		return nil
	}
	return &RangeError{Name: name, Value: float64(x), Low: float64(low), High: float64(high), Unit: unit, lowIsExclusive: true}
}

// first returns the first error that is not nil.
func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
