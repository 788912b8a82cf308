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

	Groups []Group // further outlets on the same tank

	// DayToDay is how far days of one kind differ among themselves, beyond the
	// chance of single arrivals, as a share of their mean (one standard
	// deviation): weather, mostly. 0 is not at all.
	DayToDay quantity.Ratio

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

// Days returns the vehicles expected on each day of the year, those of all
// groups together:
//
//	n(d) = Σ weekday(d) · month(d) · Π surge(d), 0 if closed
//
// The error wraps [ErrRange] for a profile that is not usable, [ErrNoDemand] if
// nobody comes on any day.
func (p Profile) Days() ([]float64, error) {
	groups, err := p.groupDays()
	if err != nil {
		return nil, err
	}
	days := groups[0]
	for _, of := range groups[1:] {
		for d, n := range of {
			days[d] += n
		}
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
// [Profile.Days]. The busiest day is that of most water. TurnedAway is [ErlangB]
// at the peak hour's load of the profile's own bays, as if that hour lasted: an
// upper figure where vehicles wait.
func (p Profile) Demand() (Demand, error) {
	days, err := p.groupDays()
	if err != nil {
		return Demand{}, err
	}
	groups := p.groups()
	d := Demand{BusiestDay: busiest(days, groups)}
	for day := range DaysInYear {
		n, water := onDay(days, groups, day)
		d.Vends += n
		d.Year += quantity.Volume(water)
		if n > 0 {
			d.OpenDays++
		}
	}
	n, water := onDay(days, groups, d.BusiestDay)
	d.Busiest, d.BusyDay = n, quantity.Volume(water)
	d.PeakHour, d.Peak = peak(days, groups, d.BusiestDay)
	d.PerVend = d.Year / quantity.Volume(d.Vends)
	d.MeanDay = d.Year / DaysInYear
	d.OpenDay = quantity.Volume(float64(d.Year) / float64(d.OpenDays))
	ours := hourShares(p.Hours)[d.PeakHour] * days[0][d.BusiestDay]
	d.Offered = ours / 3600 * float64(p.meanLength()) // vends/s · s
	blocked, err := ErlangB(d.Offered, p.Bays)
	d.TurnedAway = blocked
	return d, err
}

// onDay returns the vehicles of all groups and their water in m³.
func onDay(days [][]float64, groups []Group, day int) (vehicles, water float64) {
	for i, g := range groups {
		vehicles += days[i][day]
		water += days[i][day] * float64(waterPerVend(g.Vends))
	}
	return vehicles, water
}

// peak returns the hour of a day in which most water is asked for, the first of
// equals, and its vends.
func peak(days [][]float64, groups []Group, day int) (hour int, vends float64) {
	each, most := weights(groups), -1.0
	for h := range 24 {
		n, water := 0.0, 0.0
		for i, g := range groups {
			of := days[i][day] * hourShares(g.Hours)[h]
			n += of
			water += of * each[i]
		}
		if water > most*(1+1e-12) {
			hour, vends, most = h, n, water
		}
	}
	return hour, vends
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
		within("groups", float64(len(p.Groups)), 0, mostGroups),
		within("swing from day to day", float64(p.DayToDay), 0, 2),
	)
	if err != nil {
		return err
	}
	for _, g := range p.groups()[1:] {
		if err := g.check(); err != nil {
			return err
		}
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
