package service

import (
	"fmt"

	"rinsewright/plant"
)

// Watch follows one site through its log.
type Watch struct {
	t *tracker
}

// Follow starts to watch a site. The error is that of the plant where even its
// nameplate state has no answer.
func Follow(o Outset) (*Watch, error) {
	t, err := o.tracker()
	if err != nil {
		return nil, err
	}
	return &Watch{t}, nil
}

// Tries at a visit whose readings move the state beyond the linear plant.
const visitTries = 3

// Add takes the next entry of the log. The error wraps [ErrOrder] for one that
// is earlier than what was added before.
func (w *Watch) Add(e Entry) error {
	t := w.t
	if err := t.until(e.Day); err != nil {
		return fmt.Errorf("log: %w", err)
	}
	for _, n := range e.Notices {
		t.notice(n)
	}
	t.meet(&e)
	t.jump(&e)
	before := *t
	if t.keep {
		t.moved = identity()
	}
	for try := 1; ; try++ {
		t.readings(&e)
		u := t.inputs(float64(t.day))
		if try == visitTries || len(e.Readings) == 0 || !t.rig.far(u) {
			break
		}
		again := before.rig
		if again.linearise(u) != nil {
			break
		}
		kept := before.surprises
		*t = before
		t.moved = identity()
		t.rig, t.surprises = again, kept
	}
	if t.keep {
		t.note(&before, &e)
	}
	t.restart(&e)
	t.noteChlorine(&e)
	for _, c := range e.Changes {
		t.change(c)
	}
	if t.keep && len(e.Changes) > 0 { // the same day once more, as it was left
		t.record = append(t.record, moment{day: t.day, before: t.b, after: t.b, moved: t.moved, empty: t.empties()})
		t.moved = identity()
	}
	return nil
}

// note records the state before and after a visit's readings.
func (t *tracker) note(before *tracker, e *Entry) {
	t.record = append(t.record, moment{
		day: t.day, before: before.b, after: t.b, moved: before.moved, empty: t.empties(),
		aOff: t.off(e, plant.PermeateFlow, outPermeate, atA), bOff: t.off(e, plant.PermeateStrength, outStrength, atB),
	})
}

// Surprises returns the readings that did not fit when they came.
func (w *Watch) Surprises() []Surprise { return w.t.surprises }
