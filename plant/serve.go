package plant

import (
	"errors"
	"fmt"
	"strings"
)

// ErrStopped is wrapped when a control keeps water from a plant that is called
// for; see [StoppedError].
var ErrStopped = errors.New("a control keeps the rig from running")

// StoppedError says which control keeps a plant from running although its tank
// wants water. It wraps [ErrStopped].
type StoppedError struct{ Because []string }

func (e *StoppedError) Error() string {
	return fmt.Sprintf("%v: %s", ErrStopped, strings.Join(e.Because, "; "))
}

// Unwrap returns [ErrStopped].
func (e *StoppedError) Unwrap() error { return ErrStopped }

// Hint says what the user could change.
func (e *StoppedError) Hint() string { return "free or replace the control that is stuck" }

// Serve returns where p settles while its tank wants water, its controls as they
// are: with the booster off where a control keeps it off, with a flush valve that
// does not shut. Without controls it is [Plant.Operate].
//
// Source: [Plant.At]. The error wraps [ErrStopped], or is that of
// [Plant.Operate].
func (p Plant) Serve(c Conditions) (Point, error) {
	if p.Controls == (Controls{}) {
		return p.Operate(c)
	}
	doing, err := p.At(c, Moment{Level: 0.5, Start: 0.9, Stop: 1, Calling: true})
	switch {
	case err != nil:
		return Point{}, err
	case !doing.Runs || !doing.Calls:
		return Point{}, &StoppedError{Because: doing.Because}
	case doing.NoPermeate != nil:
		return Point{}, doing.NoPermeate
	}
	return doing.Point, nil
}
