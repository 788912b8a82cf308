package carbon

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

const (
	daysPerWeek = 7
	mostWeeks   = 1600
)

// Series is carbon watched week by week: one bed, or two alike in series with a
// sample port between them, where the lag moves up when the port shows too much.
type Series struct {
	Bed       Bed
	Lag       bool // a second bed of the same kind and size behind the first
	Calendar  Calendar
	Flow      quantity.Flow // of feed, while running
	RunPerDay quantity.Time
	Used      quantity.Ratio // of the first bed's capacity, at the start
	// SwapAt is the total chlorine at which the lead is renewed: at the middle port
	// with a lag, at the outlet without; 0 for [LeakLimit]. It is looked at once a
	// week, as a person does.
	SwapAt quantity.MassConc
	Weeks  int // 1 to 1600
}

// Week is what happens in one week, at its worst day.
type Week struct {
	Event   string // of the calendar, empty for the usual
	Feed    quantity.MassConc
	Middle  Leak // after the first bed
	Outlet  Leak // to the membrane
	Used    quantity.Ratio
	Swapped bool // at the end of the week
}

// Log is a series' weeks and what they come to.
type Log struct {
	Weeks []Week
	// PerCharge is the feed a charge of carbon treated before it was renewed, mean
	// over the charges that were; 0 when none was.
	PerCharge quantity.Volume
	Charges   int               // renewed
	Exposure  quantity.Exposure // of the membrane, as free chlorine
	Worst     Leak              // of the outlet
}

// Weekly runs the beds through the calendar day by day and tells week by week
// what passes. Each bed leaks as [Bed.Leak] and is used by what it takes up:
//
//	du = (free + 3 chloramine taken up) Q t / capacity
//
// With a lag the first bed runs past its limit and the second catches what
// passes, so each charge treats more and a missed look does no harm. Source: mass
// balance on [Bed.Leak]; swap at the middle port [SalePages]. The error wraps
// [ErrRange].
func (s Series) Weekly() (Log, error) {
	if err := s.check("carbon in series"); err != nil {
		return Log{}, err
	}
	var log Log
	used := [2]float64{float64(s.Used), 0}
	contact := quantity.Time(float64(s.Bed.Volume) / float64(s.Flow))
	since := 0.0 // m³ of feed since the last swap
	total := 0.0 // m³ of feed over charges that were renewed
	for week := range s.Weeks {
		w := Week{}
		for day := range daysPerWeek {
			now := quantity.Days(float64(week*daysPerWeek + day))
			log.Exposure += quantity.Exposure(s.day(now, contact, &used, &w))
		}
		since += float64(s.Flow) * float64(s.RunPerDay) * daysPerWeek
		if s.at(w) > s.swapAt() {
			w.Swapped = true
			total, since = total+since, 0
			log.Charges++
			used = [2]float64{used[1], 0}
		}
		log.Worst = worse(log.Worst, w.Outlet)
		log.Weeks = append(log.Weeks, w)
	}
	if log.Charges > 0 {
		log.PerCharge = quantity.Volume(total / float64(log.Charges))
	}
	return log, nil
}

// day takes the beds through a day and returns the harm that passes, kg·s/m³.
func (s Series) day(now, contact quantity.Time, used *[2]float64, w *Week) float64 {
	challenge, event := s.Calendar.On(now)
	fed := float64(s.Flow) * float64(s.RunPerDay) // m³
	middle := s.Bed.leak(challenge, contact, used[0])
	used[0] = s.takenUp(used[0], challenge, middle, fed)
	out := middle
	if s.Lag {
		second := challenge
		second.FreeChlorine, second.Chloramine = middle.FreeChlorine, middle.Chloramine
		out = s.Bed.leak(second, contact, used[1])
		used[1] = s.takenUp(used[1], second, out, fed)
	}
	if feed := challenge.FreeChlorine + challenge.Chloramine; feed > w.Feed {
		w.Feed = feed
	}
	if event != "" {
		w.Event = event
	}
	w.Middle, w.Outlet, w.Used = worse(w.Middle, middle), worse(w.Outlet, out), quantity.Ratio(used[0])
	return harm(out) * float64(s.RunPerDay)
}

// takenUp is the share used after a day on which what does not pass is taken up.
func (s Series) takenUp(used float64, c Challenge, passed Leak, fed float64) float64 {
	c.FreeChlorine -= passed.FreeChlorine
	c.Chloramine -= passed.Chloramine
	return math.Min(1, used+c.use()*fed/float64(s.Bed.Capacity))
}

// at is the total chlorine that decides on a swap.
func (s Series) at(w Week) quantity.MassConc {
	if s.Lag {
		return w.Middle.Total()
	}
	return w.Outlet.Total()
}

func (s Series) swapAt() quantity.MassConc {
	if s.SwapAt == 0 {
		return LeakLimit
	}
	return s.SwapAt
}

// worse is the leak with more chlorine in all.
func worse(a, b Leak) Leak {
	if b.Total() > a.Total() {
		return b
	}
	return a
}

func (s Series) check(operation string) error {
	if err := firstError(
		s.Bed.check(operation),
		s.Calendar.check(operation),
		within(operation, "feed flow", float64(s.Flow), 1e-9, mostFlow, "m³/s"),
		within(operation, "running time per day", s.RunPerDay.Hours(), 0, 24, "h"),
		within(operation, "used share", float64(s.Used), 0, 1, ""),
		within(operation, "swap level", float64(s.SwapAt), 0, 0.1, "kg/m³"),
	); err != nil {
		return err
	}
	if s.Weeks < 1 || s.Weeks > mostWeeks {
		return fmt.Errorf("%s: %d weeks, want 1 to %d: %w", operation, s.Weeks, mostWeeks, ErrRange)
	}
	return nil
}
