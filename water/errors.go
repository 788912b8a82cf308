package water

import (
	"errors"
	"fmt"
)

// The reasons a computation can refuse; test with errors.Is.
var (
	// ErrRange: an input is outside what the equations hold for.
	ErrRange = errors.New("out of range")
	// ErrNoConvergence: the equilibrium was not found within the allowed steps.
	ErrNoConvergence = errors.New("no equilibrium found")
	// ErrImpossible: no water has this combination of readings.
	ErrImpossible = errors.New("impossible combination")
)

// RangeError says which quantity was outside which bounds.
type RangeError struct {
	Operation string
	Quantity  string // with its unit
	Value     float64
	Low, High float64
}

func (e *RangeError) Error() string {
	return fmt.Sprintf("%s: %s is %g, wanted %g to %g", e.Operation, e.Quantity, e.Value, e.Low, e.High)
}

// Unwrap makes errors.Is(err, ErrRange) hold.
func (e *RangeError) Unwrap() error { return ErrRange }

// inRange is written so that NaN fails.
func inRange(operation, name string, x, low, high float64) error {
	if !(low <= x && x <= high) {
		return &RangeError{operation, name, x, low, high}
	}
	return nil
}
