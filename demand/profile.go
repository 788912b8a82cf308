package demand

import (
	"fmt"
	"time"

	"rinsewright/quantity"
)

// DaysInYear is the length of the year of this package: 29 February is left out.
const DaysInYear = 365

// Limits of a profile: far above any site, low enough that a year is simulated
// in seconds.
const (
	maxBays    = 1000
	maxWaiting = 10000
	maxVends   = 2e7  // vends a year
	maxGunFlow = 1000 // m³/s; a lump of water may be modelled as a very fast draw
)

// Profile is what a site asks of its spot-free water through a year.
type Profile struct {
	Bays    int    // that share the tank
	Waiting int    // vehicles that wait when all bays are taken; more drive on
	Vends   []Vend // kinds of vend, one or more

	// Weekday is the vehicles expected on each weekday (by time.Weekday, Sunday
	// first) in a month of factor 1.
	Weekday [7]float64
	// Month is the factor on Weekday, January first; 0 is a closed month.
	Month [12]float64
	// Hours is the weight of each clock hour within a day; only ratios count.
	Hours [24]float64

	Closed       []int        // days of the year without demand
	Surge        []Surge      // days that are busier or quieter than their weekday
	FirstWeekday time.Weekday // of 1 January
}

// Surge is one day that differs from its weekday, such as the day before a
// holiday.
type Surge struct {
	Day    int     // of the year, 0 is 1 January
	Factor float64 // times that weekday's vehicles
}

// DayOf returns the day of the year of a date; 1 January is 0. The error wraps
// [ErrRange] for a date that a year of 365 days does not have.
func DayOf(month time.Month, day int) (int, error) {
	t := time.Date(commonYear, month, day, 0, 0, 0, 0, time.UTC)
	if month < time.January || month > time.December || t.Month() != month || t.Day() != day {
		return 0, fmt.Errorf("day of year: month %d has no day %d: %w", int(month), day, ErrRange)
	}
	return t.YearDay() - 1, nil
}

// DateOf returns the month and day of the month of a day of the year. Days
// beyond the year are brought back into it.
func DateOf(day int) (time.Month, int) {
	day = ((day % DaysInYear) + DaysInYear) % DaysInYear
	t := time.Date(commonYear, time.January, 1+day, 0, 0, 0, 0, time.UTC)
	return t.Month(), t.Day()
}

// commonYear is any year without a 29 February.
const commonYear = 2001

// WeekdayOf returns the weekday of a day of the year.
func (p Profile) WeekdayOf(day int) time.Weekday {
	return time.Weekday((int(p.FirstWeekday) + day) % 7)
}

// Days returns the vehicles expected on each day of the year:
//
//	n(d) = weekday(d) · month(d) · Π surge(d), 0 if closed
//
// The error wraps [ErrRange] for a profile that is not usable, [ErrNoDemand] if
// nobody comes on any day.
func (p Profile) Days() ([]float64, error) {
	if err := p.check(); err != nil {
		return nil, fmt.Errorf("demand of the year: %w", err)
	}
	days := make([]float64, DaysInYear)
	for d := range days {
		month, _ := DateOf(d)
		days[d] = p.Weekday[p.WeekdayOf(d)] * p.Month[month-1]
	}
	for _, s := range p.Surge {
		days[s.Day] *= s.Factor
	}
	for _, d := range p.Closed {
		days[d] = 0
	}
	total := 0.0
	for _, n := range days {
		total += n
	}
	if err := within("vehicles a year", total, 0, maxVends); err != nil {
		return nil, fmt.Errorf("demand of the year: %w", err)
	}
	if total == 0 {
		return nil, fmt.Errorf("demand of the year: %w", ErrNoDemand)
	}
	return days, nil
}

// Demand is what a profile amounts to, as expected values.
type Demand struct {
	Vends      float64 // in the year
	OpenDays   int     // with any demand
	BusiestDay int     // of the year, 0 is 1 January; the first of equals
	Busiest    float64 // vends on that day
	PeakHour   int     // of the day, 0 to 23; the first of equals
	Peak       float64 // vends in that hour of the busiest day
	PerVend    quantity.Volume
	MeanDay    quantity.Volume // over all days of the year
	OpenDay    quantity.Volume // over open days
	BusyDay    quantity.Volume // on the busiest day
	Year       quantity.Volume
	Offered    float64        // erlangs of bay time in the peak hour
	TurnedAway quantity.Ratio // of that hour's vehicles, if nobody waits
}

// Demand returns the expected vends and litres of the year. Errors are those of
// [Profile.Days]. TurnedAway is [ErlangB] at the peak hour's load, as if that
// hour lasted: an upper figure where vehicles wait.
func (p Profile) Demand() (Demand, error) {
	days, err := p.Days()
	if err != nil {
		return Demand{}, err
	}
	d := Demand{PerVend: p.waterPerVend()}
	for day, n := range days {
		d.Vends += n
		if n > 0 {
			d.OpenDays++
		}
		if n > d.Busiest {
			d.Busiest, d.BusiestDay = n, day
		}
	}
	share := p.hourShares()
	for h, s := range share {
		if s > share[d.PeakHour] {
			d.PeakHour = h
		}
	}
	d.Peak = d.Busiest * share[d.PeakHour]
	litres := float64(d.PerVend)
	d.Year = quantity.Volume(litres * d.Vends)
	d.MeanDay = d.Year / DaysInYear
	d.OpenDay = quantity.Volume(float64(d.Year) / float64(d.OpenDays))
	d.BusyDay = quantity.Volume(litres * d.Busiest)
	d.Offered = d.Peak / 3600 * float64(p.meanLength()) // vends/s · s
	blocked, err := ErlangB(d.Offered, p.Bays)
	d.TurnedAway = blocked
	return d, err
}

// hourShares returns Hours scaled to add up to 1.
func (p Profile) hourShares() [24]float64 {
	sum := 0.0
	for _, w := range p.Hours {
		sum += w
	}
	var share [24]float64
	for h, w := range p.Hours {
		share[h] = w / sum
	}
	return share
}

// check returns an error unless every field is usable.
func (p Profile) check() error {
	err := firstError(
		within("bays", float64(p.Bays), 1, maxBays),
		within("vehicles waiting", float64(p.Waiting), 0, maxWaiting),
		within("kinds of vend", float64(len(p.Vends)), 1, 100),
		within("first weekday", float64(p.FirstWeekday), 0, 6),
		checkWeights("vehicles on a weekday", p.Weekday[:], 1e6),
		checkWeights("month factor", p.Month[:], 100),
		checkWeights("hour weight", p.Hours[:], 1e6),
		checkVends(p.Vends),
	)
	if err != nil {
		return err
	}
	for _, s := range p.Surge {
		err = firstError(err, within("surge day", float64(s.Day), 0, DaysInYear-1),
			within("surge factor", s.Factor, 0, 100))
	}
	for _, d := range p.Closed {
		err = firstError(err, within("closed day", float64(d), 0, DaysInYear-1))
	}
	return err
}

// checkWeights wants every weight from 0 to top, and one above nothing.
func checkWeights(what string, w []float64, top float64) error {
	sum := 0.0
	for i, x := range w {
		if err := within(what, x, 0, top); err != nil {
			return fmt.Errorf("entry %d: %w", i, err)
		}
		sum += x
	}
	if sum < tiniest {
		return fmt.Errorf("every %s is 0: %w", what, ErrNoDemand)
	}
	return nil
}

// tiniest is the least sum of weights that can be divided by without overflow.
const tiniest = 1e-200
