package carbon

import (
	"math"

	"rinsewright/quantity"
)

const daysPerYear = 365

// Event is a stretch of the year in which the utility sends something else, such
// as the weeks of free chlorine of a chloramine town.
type Event struct {
	Name      string
	Start     quantity.Time // from the start of the year
	Length    quantity.Time
	Challenge Challenge
}

// Calendar is what the utility sends through a year of 365 days, every year
// alike. Where events overlap the later entry holds. An event may run over the
// end of the year.
type Calendar struct {
	Usual  Challenge
	Events []Event
}

// On returns what the utility sends at a time since the calendar began, and the
// event's name, empty for the usual. A time that is not a number gets the usual.
func (c Calendar) On(t quantity.Time) (Challenge, string) {
	day := math.Mod(t.Days(), daysPerYear)
	for i := len(c.Events) - 1; i >= 0; i-- {
		e := c.Events[i]
		since := math.Mod(day-e.Start.Days()+2*daysPerYear, daysPerYear)
		if since < e.Length.Days() {
			return e.Challenge, e.Name
		}
	}
	return c.Usual, ""
}

func (c Calendar) check(operation string) error {
	if err := c.Usual.check(operation); err != nil {
		return err
	}
	for _, e := range c.Events {
		if err := firstError(
			within(operation, "start of "+e.Name, e.Start.Days(), 0, daysPerYear, "d"),
			within(operation, "length of "+e.Name, e.Length.Days(), 0, daysPerYear, "d"),
			e.Challenge.check(operation+": "+e.Name),
		); err != nil {
			return err
		}
	}
	return nil
}

// Next returns the event that begins next after t, and how long until then, so
// that a warning can come before the switch. ok is false without events.
func (c Calendar) Next(t quantity.Time) (e Event, wait quantity.Time, ok bool) {
	day := math.Mod(t.Days(), daysPerYear)
	for _, candidate := range c.Events {
		until := quantity.Days(math.Mod(candidate.Start.Days()-day+2*daysPerYear, daysPerYear))
		if !ok || until < wait {
			e, wait, ok = candidate, until, true
		}
	}
	return e, wait, ok
}

// Passage is how a bed comes through an event.
type Passage struct {
	AtStart, AtEnd Leak
	Used           quantity.Ratio // of the capacity, at the end
	// Holds says that the leak stays within [LeakLimit] to the end; when it does
	// not, renew the carbon before the event.
	Holds bool
}

// Through returns how a bed with a share used comes through an event, at a flow
// and hours of running a day:
//
//	u_end = u + (free + 3 chloramine) Q t / capacity
//
// Source: mass balance on [Bed.Leak]. Errors as there.
func (b Bed) Through(e Event, f quantity.Flow, runPerDay quantity.Time, used quantity.Ratio) (Passage, error) {
	const operation = "carbon through event"
	start, err := b.Leak(e.Challenge, f, used)
	if err := firstError(err,
		within(operation, "length", e.Length.Days(), 0, daysPerYear, "d"),
		within(operation, "running time per day", runPerDay.Hours(), 0, 24, "h"),
	); err != nil {
		return Passage{}, err
	}
	fed := float64(f) * float64(runPerDay) * e.Length.Days() // m³
	after := quantity.Ratio(min(1, float64(used)+e.Challenge.use()*fed/float64(b.Capacity)))
	end, err := b.Leak(e.Challenge, f, after)
	if err != nil {
		return Passage{}, err
	}
	return Passage{AtStart: start, AtEnd: end, Used: after, Holds: end.Total() <= LeakLimit}, nil
}
