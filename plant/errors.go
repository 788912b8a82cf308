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

// IncompleteError says which parts a plant lacks. It wraps [ErrIncomplete].
type IncompleteError struct{ Wanted string }

func (e *IncompleteError) Error() string {
	return fmt.Sprintf("%v: wanted %s", ErrIncomplete, e.Wanted)
}

// Unwrap returns [ErrIncomplete].
func (e *IncompleteError) Unwrap() error { return ErrIncomplete }

// Hint says what the user could change.
func (e *IncompleteError) Hint() string { return "add " + e.Wanted }

// RecycleError says that concentrate is to come back without a pump. It wraps
// [ErrRecycle].
type RecycleError struct{}

func (e *RecycleError) Error() string {
	return ErrRecycle.Error() + "; wanted a booster pump ahead of the membrane"
}

// Unwrap returns [ErrRecycle].
func (e *RecycleError) Unwrap() error { return ErrRecycle }

// Hint says what the user could change.
func (e *RecycleError) Hint() string {
	return "a booster pump that the recycle returns to, or no recycle"
}

// PressureError says that a membrane would stand under more pressure than the
// element model, or any element, holds for. It wraps [membrane.ErrRange].
type PressureError struct{ Pressure, Most quantity.Pressure }

func (e *PressureError) Error() string {
	return fmt.Sprintf("%.0f bar at a membrane, more than %.0f bar: %v", e.Pressure.Bar(), e.Most.Bar(), membrane.ErrRange)
}

// Unwrap returns [membrane.ErrRange].
func (e *PressureError) Unwrap() error { return membrane.ErrRange }

// Hint says what the user could change.
func (e *PressureError) Hint() string {
	return "a smaller pump, a more open restrictor, and a relief valve that keeps every part within its maker's limit"
}

// UnsettledError says that a search ended without a steady state. It wraps
// [ErrUnsettled].
type UnsettledError struct {
	After    int  // marches of a membrane
	Rows     bool // unlike rows did not come to the same drop
	Strength bool // of the recycled water did not
}

func (e *UnsettledError) Error() string {
	switch {
	case e.Rows:
		return "unlike rows share the feed in no steady way: " + ErrUnsettled.Error()
	case e.Strength:
		return "strength of the recycled water: " + ErrUnsettled.Error()
	}
	return fmt.Sprintf("%v after %d trials", ErrUnsettled, e.After)
}

// Unwrap returns [ErrUnsettled].
func (e *UnsettledError) Unwrap() error { return ErrUnsettled }

// Hint says what the user could change.
func (e *UnsettledError) Hint() string {
	if e.Rows {
		return "rows of the same elements, or a restrictor of its own on each row's concentrate"
	}
	return "a more open restrictor, or less recycle"
}

// NoDrainError says that a rig leaves its concentrate no pressure to reach the
// drain with, since recycle and membrane take all of the feed. It wraps
// [membrane.ErrStarved].
type NoDrainError struct {
	Pressure quantity.Pressure // of the concentrate
	Recycled quantity.Flow
}

func (e *NoDrainError) Error() string {
	return fmt.Sprintf("nothing reaches the drain: with %.3g L/min recycled the concentrate has %.2f bar: %v",
		e.Recycled.LitresPerMinute(), e.Pressure.Bar(), membrane.ErrStarved)
}

// Unwrap returns [membrane.ErrStarved].
func (e *NoDrainError) Unwrap() error { return membrane.ErrStarved }

// Hint says what the user could change.
func (e *NoDrainError) Hint() string {
	return "less recycle, a more open restrictor, or a stronger supply"
}
