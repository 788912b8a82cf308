package plant

import (
	"errors"
	"fmt"

	"rinsewright/membrane"
	"rinsewright/quantity"
)

// Sentinels that callers test for with errors.Is.
var (
	// ErrIncomplete is wrapped when a plant lacks a part that it cannot work without.
	ErrIncomplete = errors.New("plant incomplete")
	// ErrRecycle is wrapped when concentrate has no pressure to come back with.
	ErrRecycle = errors.New("concentrate cannot come back: its pressure is below that of the place it should return to")
	// ErrSuction is wrapped when a pump would draw its suction below a vacuum; see [SuctionError].
	ErrSuction = errors.New("pump has too little water")
	// ErrUnsettled is wrapped when flows and strengths do not settle on one another.
	ErrUnsettled = errors.New("plant does not settle")
)

// NoFeedError says that the supply's pressure is used up before the membrane
// has enough to make any permeate, even with nothing flowing. It wraps
// [membrane.ErrNoFlow].
type NoFeedError struct {
	Static       quantity.Pressure // of supply and booster, nothing running
	BackPressure quantity.Pressure // on the permeate side, nothing running
	Osmotic      quantity.Pressure // of the feed
}

func (e *NoFeedError) Error() string {
	return fmt.Sprintf("no permeate: %.2f bar at the tap does not exceed %.2f bar on the permeate side and %.2f bar osmotic",
		e.Static.Bar(), e.BackPressure.Bar(), e.Osmotic.Bar())
}

// Unwrap returns [membrane.ErrNoFlow].
func (e *NoFeedError) Unwrap() error { return membrane.ErrNoFlow }

// Hint says what the user could change.
func (e *NoFeedError) Hint() string {
	return "a vented tank with a delivery pump instead of back-pressure, a lower tank, or a booster pump ahead of the membrane"
}

// NoPermeateError says that a running plant leaves its membrane too little
// pressure: what would be permeate goes to the drain. It wraps
// [membrane.ErrNoFlow].
type NoPermeateError struct {
	Pass         int // 1 or 2
	Feed         quantity.Flow
	Pressure     quantity.Pressure // at the membrane's feed end, running
	BackPressure quantity.Pressure
	Osmotic      quantity.Pressure
}

func (e *NoPermeateError) Error() string {
	return fmt.Sprintf("no permeate from pass %d: with %.3g L/min running, %.2f bar at the membrane does not exceed %.2f bar on its permeate side and %.2f bar osmotic",
		e.Pass, e.Feed.LitresPerMinute(), e.Pressure.Bar(), e.BackPressure.Bar(), e.Osmotic.Bar())
}

// Unwrap returns [membrane.ErrNoFlow].
func (e *NoPermeateError) Unwrap() error { return membrane.ErrNoFlow }

// Hint says what the user could change.
func (e *NoPermeateError) Hint() string {
	return "a tighter restrictor or a flush valve that shuts, clean filters, a stronger pump, or less back-pressure"
}

// SuctionError says which pump would draw below a vacuum. It wraps [ErrSuction].
type SuctionError struct {
	Pump    string
	Suction quantity.Pressure // gauge, what it would draw down to
	Flow    quantity.Flow
}

func (e *SuctionError) Error() string {
	return fmt.Sprintf("%s: %.3g L/min would draw its suction down to %.2f bar: %v", e.Pump, e.Flow.LitresPerMinute(), e.Suction.Bar(), ErrSuction)
}

// Unwrap returns [ErrSuction].
func (e *SuctionError) Unwrap() error { return ErrSuction }

// Hint says what the user could change.
func (e *SuctionError) Hint() string {
	return "clean the filters, open the supply, fit a smaller pump or a tank ahead of it; a low-pressure cut-out saves the pump"
}
