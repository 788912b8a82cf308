package demand

import (
	"fmt"
	"slices"
	"time"

	"rinsewright/quantity"
)

// Answers are what a person can say about a site's demand. Every answer may be
// left at its zero value but one: the vehicles on a normal or on a busiest day.
type Answers struct {
	Bays            int
	VehiclesPerDay  float64 // on a normal day
	VehiclesBusiest float64 // on the busiest weekday
	// BusiestWeekdays are as busy as VehiclesBusiest; none means Saturday.
	BusiestWeekdays []time.Weekday
	ClosedWeekdays  []time.Weekday

	VendLength       quantity.Time   // of the whole vend
	SpotFreeTime     quantity.Time   // of it with spot-free water
	SpotFreeShare    quantity.Ratio  // the same as a share
	GunFlow          quantity.Flow   // of spot-free water
	LitresPerVehicle quantity.Volume // of spot-free water
	Waiting          int             // vehicles that wait for a bay

	Opens, Closes    quantity.Time  // after midnight; both 0 is not said; closing before opening is past midnight
	BusiestHour      quantity.Time  // the hour that begins then; 0 is not said
	BusiestHourShare quantity.Ratio // of the day's vehicles

	FirstMonth, LastMonth time.Month // of the season; both 0 is all year
	MonthFactor           [12]float64
	ClosedDays            []int // of the year
	Surge                 []Surge
}

// Defaults for what nobody said.
//
// Source: [TradeTable]: a base vend of 3 to 5 minutes, spot-free chosen last
// for 45 to 90 s at 0.5 to 2 gpm (from memory, unverified). The ratio of a busy
// Saturday to a normal day is common practice, no source.
const (
	assumedBays         = 2
	assumedBusyRatio    = 1.6
	assumedVend         = 4 * 60.0 // s
	assumedSpotFree     = 75.0     // s
	assumedGallons      = 1.5      // per minute at the gun
	assumedOpens        = 8        // o'clock
	assumedCloses       = 20       // o'clock
	assumedWaitPerBay   = 1
	edgeToPeak          = 0.4 // of arrivals at the ends of the day to the busiest hour
	leastAnswer         = 1e-9
	mostVehiclesAnswers = 1e5
)

// FromAnswers makes a profile from what was said, and lists in plain words what
// it assumed for the rest.
//
// The error wraps [ErrNoDemand] if no number of vehicles is given or every day
// is closed, [ErrRange] for an answer that cannot be.
func FromAnswers(a Answers) (p Profile, assumed []string, err error) {
	if err := a.check(); err != nil {
		return Profile{}, nil, fmt.Errorf("demand from answers: %w", err)
	}
	s := supposer{}
	p.Bays = a.Bays
	if p.Bays == 0 {
		p.Bays = assumedBays
		s.suppose("bays: %d (common practice, no source)", p.Bays)
	}
	p.Waiting = a.Waiting
	if p.Waiting == 0 {
		p.Waiting = assumedWaitPerBay * p.Bays
		s.suppose("vehicles that wait: one per bay (common practice, no source)")
	}
	p.Vends = []Vend{s.vend(a)}
	p.Weekday = s.weekdays(a)
	p.Month = s.months(a)
	p.Hours = s.hours(a)
	p.Closed = slices.Clone(a.ClosedDays)
	p.Surge = slices.Clone(a.Surge)
	if _, err := p.Days(); err != nil {
		return Profile{}, nil, fmt.Errorf("demand from answers: %w", err)
	}
	return p, s.assumed, nil
}

// check looks at the answers one by one; the profile checks how they go
// together.
func (a Answers) check() error {
	if a.VehiclesPerDay == 0 && a.VehiclesBusiest == 0 {
		return fmt.Errorf("no number of vehicles given: %w", ErrNoDemand)
	}
	return firstError(
		within("bays", float64(a.Bays), 0, maxBays),
		within("vehicles on a normal day", a.VehiclesPerDay, 0, mostVehiclesAnswers),
		within("vehicles on the busiest weekday", a.VehiclesBusiest, 0, mostVehiclesAnswers),
		zeroOr("vend length in s", float64(a.VendLength), 1, 86400),
		zeroOr("spot-free time in s", float64(a.SpotFreeTime), leastAnswer, 86400),
		zeroOr("spot-free share", float64(a.SpotFreeShare), leastAnswer, 1),
		zeroOr("gun flow in m³/s", float64(a.GunFlow), leastAnswer, maxGunFlow),
		zeroOr("litres per vehicle in m³", float64(a.LitresPerVehicle), leastAnswer, 1000),
		within("opening in s after midnight", float64(a.Opens), 0, 86400),
		within("closing in s after midnight", float64(a.Closes), 0, 86400),
		within("busiest hour in s after midnight", float64(a.BusiestHour), 0, 86400),
		within("share of the busiest hour", float64(a.BusiestHourShare), 0, 1),
		within("first month", float64(a.FirstMonth), 0, 12),
		within("last month", float64(a.LastMonth), 0, 12),
		checkWeekdays(a.BusiestWeekdays),
		checkWeekdays(a.ClosedWeekdays),
	)
}

func zeroOr(what string, x, lo, hi float64) error {
	if x == 0 {
		return nil
	}
	return within(what, x, lo, hi)
}

func checkWeekdays(days []time.Weekday) error {
	for _, d := range days {
		if err := within("weekday", float64(d), 0, 6); err != nil {
			return err
		}
	}
	return nil
}

// supposer fills gaps and keeps what it supposed.
type supposer struct{ assumed []string }

func (s *supposer) suppose(format string, args ...any) {
	s.assumed = append(s.assumed, fmt.Sprintf(format, args...))
}

// or returns an answer, or what is supposed without one.
func (s *supposer) or(answer, supposed float64, format string, args ...any) float64 {
	if answer != 0 {
		return answer
	}
	s.suppose(format, args...)
	return supposed
}

// vend works out length, flow and spot-free share from any of: litres, flow,
// time, share. Litres rule over the share, since a person has measured them.
func (s *supposer) vend(a Answers) Vend {
	length := s.or(float64(a.VendLength), max(assumedVend, float64(a.SpotFreeTime)),
		"vend: 4 minutes in all (from memory, unverified)")
	litres, flow, draws := float64(a.LitresPerVehicle), float64(a.GunFlow), float64(a.SpotFreeTime)
	if draws == 0 {
		draws = float64(a.SpotFreeShare) * length
	}
	switch {
	case litres == 0:
		draws = s.or(draws, assumedSpotFree, "spot-free rinse: 75 s of each vend (from memory, unverified)")
		flow = s.or(flow, float64(quantity.GallonsPerMinute(assumedGallons)), "gun: 1.5 gpm of spot-free water (from memory, unverified)")
	case flow == 0 && draws == 0:
		flow = s.or(0, float64(quantity.GallonsPerMinute(assumedGallons)), "gun: 1.5 gpm of spot-free water (from memory, unverified)")
		draws = litres / flow
	case flow == 0:
		flow = litres / draws
	default:
		draws = litres / flow
	}
	if draws > length {
		s.suppose("vend: as long as its spot-free water runs")
		length = draws
	}
	return Vend{
		Name: "vend", Share: 1, Length: quantity.Time(length), Flow: quantity.Flow(flow),
		SpotFree: quantity.Ratio(min(draws/length, 1)),
	}
}

func (s *supposer) weekdays(a Answers) [7]float64 {
	normal, busy := a.VehiclesPerDay, a.VehiclesBusiest
	if busy == 0 {
		busy = s.or(0, assumedBusyRatio*normal, "busiest weekday: 1.6 times a normal day (common practice, no source)")
	}
	if normal == 0 {
		normal = s.or(0, busy/assumedBusyRatio, "normal day: the busiest weekday over 1.6 (common practice, no source)")
	}
	busiest := a.BusiestWeekdays
	if len(busiest) == 0 {
		s.suppose("busiest weekday: Saturday (common practice, no source)")
		busiest = []time.Weekday{time.Saturday}
	}
	var week [7]float64
	for d := range week {
		week[d] = normal
	}
	for _, d := range busiest {
		week[d] = busy
	}
	for _, d := range a.ClosedWeekdays {
		week[d] = 0
	}
	return week
}

func (s *supposer) months(a Answers) [12]float64 {
	factor := a.MonthFactor
	if factor == [12]float64{} {
		for m := range factor {
			factor[m] = 1
		}
		if a.FirstMonth == 0 && a.LastMonth == 0 {
			s.suppose("months: open all year, all alike")
			return factor
		}
	}
	first, last := int(a.FirstMonth), int(a.LastMonth)
	if first == 0 {
		first = 1
	}
	if last == 0 {
		last = 12
	}
	for m := 1; m <= 12; m++ {
		open := first <= m && m <= last
		if first > last { // a winter season
			open = m >= first || m <= last
		}
		if !open {
			factor[m-1] = 0
		}
	}
	return factor
}
