package demand

import (
	"errors"
	"fmt"
)

// ErrRange marks an input that is not a number or lies outside the range the
// function states.
var ErrRange = errors.New("out of range")

// ErrNoDemand marks a site where no vehicle comes on any day of the year.
var ErrNoDemand = errors.New("no vehicles on any day of the year")

// ErrTank marks float and cut-off levels that cannot work together.
var ErrTank = errors.New("tank levels cannot work together")

// within reports an ErrRange unless lo <= x <= hi; NaN fails.
func within(what string, x, lo, hi float64) error {
	if !(lo <= x && x <= hi) {
		return fmt.Errorf("%s is %g, wanted %g to %g: %w", what, x, lo, hi, ErrRange)
	}
	return nil
}

// firstError returns the first that is not nil.
func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
