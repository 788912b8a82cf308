package demand

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/stat/distuv"

	"rinsewright/quantity"
)

// Estimate is a mean over simulated years with its 95 % confidence interval.
type Estimate[T ~float64] struct{ Mean, Low, High T }

// Replication is what many simulated years agree on. Every entry is per year
// unless it says otherwise.
type Replication struct {
	Years      int
	Wanted     Estimate[float64]        // vehicles
	Short      Estimate[float64]        // vends cut or refused for want of water
	Cut        Estimate[float64]        // vends
	Refused    Estimate[float64]        // vends
	ShortShare Estimate[quantity.Ratio] // of the vehicles
	TurnedAway Estimate[float64]        // vehicles that found no bay
	RunDry     Estimate[quantity.Ratio] // chance that a year has a short vend
	WorstDay   Estimate[float64]        // short vends on the year's worst day

	MostGuns         Estimate[float64] // a number of guns open together, most of a year
	StartsPerDay     Estimate[float64]
	StartsBusiestDay Estimate[float64]       // most starts on a day
	RunPerStart      Estimate[quantity.Time] // of make-up
	AtFull           Estimate[quantity.Ratio]
	MeanRecovery     Estimate[quantity.Time] // from empty to full, over years that had one
	LongestRecovery  Estimate[quantity.Time]

	Delivered   Estimate[quantity.Volume]
	Made        Estimate[quantity.Volume]
	Undelivered Estimate[quantity.Volume] // wanted by vends that ended, and not delivered
	Lowest      Estimate[quantity.Volume] // level of the year

	Hours [24]HourLevels // of days with demand

	RunDryBusiest Estimate[quantity.Ratio] // chance that the busiest day has a short vend
	ShortBusiest  Estimate[float64]        // short vends on that day
	BusiestDay    int                      // of the year, by expected water
	BusyDay       []LevelBand              // through that day, every quarter of an hour from midnight
	Week          [7][24]WeekHour          // means over the years, and the lowest level of all
	Months        [12]MonthShort
	DryHour       int     // clock hour in which most vends lose their water; 0 if none ever does
	DryHourShare  float64 // of all short vends, that hour's share

	WorstYearShort int             // most short vends in any of the years
	WorstDayShort  int             // most short vends on a day of any of the years
	LowestLevel    quantity.Volume // of all the years
}

// HourLevels are the levels of a clock hour: all but 5 %, half, and all but 95 %
// of the time the level stood above Low, Median and High.
type HourLevels struct {
	Low, Median, High Estimate[quantity.Volume]
}

// LevelBand is where a level stands at one time of one day over many years: 5 to
// 95 % of the years between Low and High.
type LevelBand struct{ Low, Median, High quantity.Volume }

// MonthShort is one month of the year over many years.
type MonthShort struct {
	Short  Estimate[float64]        // vends a year
	RunDry Estimate[quantity.Ratio] // chance that the month has a short vend
	Lowest quantity.Volume          // level in any of the years
}

// Replicate is [Repeat] for a tank that nothing interrupts. Errors are those of
// Repeat.
func Replicate(ctx context.Context, p Profile, t Tank, makeUp MakeUp, years int, seed uint64) (Replication, error) {
	return Repeat(ctx, Case{Profile: p, Tank: t, MakeUp: makeUp}, years, seed)
}

// Repeat simulates a number of years and returns means with 95 % confidence
// intervals: Student's for means, Poisson's for a count that never happened
// (at most 3.7 over the years), [Wilson1927] for RunDry. Year i has its own
// seed made from seed and i; years run on all cores and are added up in order,
// so the answer depends on seed and years alone. No goroutine outlives the call.
//
// The error is that of [SimulateYear], or wraps [ErrRange] unless 2 ≤ years ≤ 100,000.
func Repeat(ctx context.Context, c Case, years int, seed uint64) (Replication, error) {
	if err := within("years", float64(years), 2, mostYears); err != nil {
		return Replication{}, fmt.Errorf("replicate: %w", err)
	}
	digests, err := c.years(ctx, 0, years, seed)
	if err != nil {
		return Replication{}, fmt.Errorf("replicate: %w", err)
	}
	return gather(digests), nil
}

// mostYears that are simulated for one answer.
const mostYears = 1e5

// years simulates the years from to to on all cores, in any order.
func (c Case) years(ctx context.Context, from, to int, seed uint64) ([]digest, error) {
	flows, err := c.MakeUp.flows()
	if err != nil {
		return nil, err
	}
	c.MakeUp = func(day int) quantity.Flow { return quantity.Flow(flows[day]) }
	digests := make([]digest, to-from)
	err = onAllCores(to-from, func(i int) error {
		y, err := Simulate(ctx, c, yearSeed(seed, from+i))
		digests[i] = y.digest()
		return err
	})
	return digests, err
}

// onAllCores does each of n pieces of work once and returns the first error by
// their order.
func onAllCores(n int, do func(i int) error) error {
	errs := make([]error, n)
	var next atomic.Int64
	var workers sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		workers.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				errs[i] = do(i)
			}
		})
	}
	workers.Wait()
	return firstError(errs...)
}

// yearSeed spreads seed and year over all bits (the finaliser of SplitMix64).
func yearSeed(seed uint64, year int) uint64 {
	z := seed + (uint64(year)+1)*0x9e3779b97f4a7c15
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// digest is what is kept of a year.
type digest struct {
	wanted, short, cut, refused, turnedAway  float64
	shortShare, worstDay, starts, mostStarts float64
	runPerStart, atFull, made, delivered     float64
	recovery, longest, lowest, shortfall     float64
	recovered                                bool
	levels                                   [24][3]float64 // m³, low, median and high by hour
	monthShort, monthLowest                  [12]float64
	busiestDay                               int
	busiestShort, mostGuns                   float64
	busyDay                                  []quantity.Volume
	week                                     *[7][24]WeekHour
}

func (y *Year) digest() digest {
	if len(y.Days) == 0 {
		return digest{}
	}
	d := digest{
		wanted: float64(y.Wanted), short: float64(y.Short()), cut: float64(y.Cut), refused: float64(y.Refused),
		turnedAway: float64(y.TurnedAway), shortShare: float64(y.ShortShare()),
		runPerStart: float64(y.RunPerStart()), atFull: y.AtFull.Days() / DaysInYear,
		made: float64(y.Made), delivered: float64(y.Delivered),
		recovery: float64(y.MeanRecovery), longest: float64(y.LongestRecovery), recovered: y.Recovered > 0,
		lowest:    float64(y.Days[0].Lowest),
		shortfall: max(float64(y.LitresWanted-y.Delivered), 0),
		busyDay:   y.BusyDay, busiestDay: y.BusiestDay, busiestShort: float64(y.Days[y.BusiestDay].Short),
		week: &y.Week, mostGuns: float64(y.MostGuns),
	}
	for at, day := range y.Days {
		month, _ := DateOf(at)
		d.monthShort[month-1] += float64(day.Short)
		if _, of := DateOf(at); of == 1 || float64(day.Lowest) < d.monthLowest[month-1] {
			d.monthLowest[month-1] = float64(day.Lowest)
		}
		d.worstDay = max(d.worstDay, float64(day.Short))
		d.lowest = min(d.lowest, float64(day.Lowest))
	}
	mean, most := y.StartsPerDay()
	d.starts, d.mostStarts = mean, float64(most)
	for h := range d.levels {
		for i, share := range [3]quantity.Ratio{0.05, 0.5, 0.95} {
			d.levels[h][i] = float64(y.LevelAt(h, share))
		}
	}
	return d
}

// gather adds up the years in order.
func gather(ds []digest) Replication {
	r := Replication{
		Years:            len(ds),
		Wanted:           estimate[float64](ds, func(d digest) float64 { return d.wanted }),
		Short:            count(ds, func(d digest) float64 { return d.short }),
		Cut:              count(ds, func(d digest) float64 { return d.cut }),
		Refused:          count(ds, func(d digest) float64 { return d.refused }),
		MostGuns:         estimate[float64](ds, func(d digest) float64 { return d.mostGuns }),
		TurnedAway:       count(ds, func(d digest) float64 { return d.turnedAway }),
		ShortShare:       estimate[quantity.Ratio](ds, func(d digest) float64 { return d.shortShare }),
		WorstDay:         estimate[float64](ds, func(d digest) float64 { return d.worstDay }),
		StartsPerDay:     estimate[float64](ds, func(d digest) float64 { return d.starts }),
		StartsBusiestDay: estimate[float64](ds, func(d digest) float64 { return d.mostStarts }),
		RunPerStart:      estimate[quantity.Time](ds, func(d digest) float64 { return d.runPerStart }),
		AtFull:           estimate[quantity.Ratio](ds, func(d digest) float64 { return d.atFull }),
		Delivered:        estimate[quantity.Volume](ds, func(d digest) float64 { return d.delivered }),
		Made:             estimate[quantity.Volume](ds, func(d digest) float64 { return d.made }),
		Undelivered:      estimate[quantity.Volume](ds, func(d digest) float64 { return d.shortfall }),
		Lowest:           estimate[quantity.Volume](ds, func(d digest) float64 { return d.lowest }),
	}
	if r.Short.Mean == 0 && r.Wanted.Mean > 0 {
		r.ShortShare.High = quantity.Ratio(min(1, r.Short.High/r.Wanted.Mean))
	}
	for h := range r.Hours {
		at := func(i int) Estimate[quantity.Volume] {
			return estimate[quantity.Volume](ds, func(d digest) float64 { return d.levels[h][i] })
		}
		r.Hours[h] = HourLevels{Low: at(0), Median: at(1), High: at(2)}
	}
	r.extremes(ds)
	r.busiest(ds)
	r.weeks(ds)
	return r
}

// extremes adds what is not a mean over all years.
func (r *Replication) extremes(ds []digest) {
	r.LowestLevel = quantity.Volume(ds[0].lowest)
	short := 0
	var emptied []digest
	for _, d := range ds {
		if d.short > 0 {
			short++
		}
		if d.recovered {
			emptied = append(emptied, d)
		}
		r.WorstYearShort = max(r.WorstYearShort, int(d.short))
		r.WorstDayShort = max(r.WorstDayShort, int(d.worstDay))
		r.LowestLevel = min(r.LowestLevel, quantity.Volume(d.lowest))
	}
	r.RunDry = wilson(short, len(ds))
	r.MeanRecovery = estimate[quantity.Time](emptied, func(d digest) float64 { return d.recovery })
	r.LongestRecovery = estimate[quantity.Time](emptied, func(d digest) float64 { return d.longest })
}

// estimate returns the mean and Student's 95 % interval, which is kept at or
// above 0: nothing here can be negative. A single year says nothing of the
// spread; its interval is the mean alone.
func estimate[T ~float64](ds []digest, of func(digest) float64) Estimate[T] {
	mean, square := 0.0, 0.0
	for i, d := range ds {
		x := of(d)
		step := x - mean
		mean += step / float64(i+1)
		square += step * (x - mean)
	}
	half, n := 0.0, float64(len(ds))
	if n > 1 {
		t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - 1}.Quantile(0.975)
		half = t * math.Sqrt(square/(n-1)/n)
	}
	return Estimate[T]{Mean: T(mean), Low: T(max(0, mean-half)), High: T(mean + half)}
}

// count is an estimate of a number of events. If none was seen in any year it
// is at most the Poisson limit: a mean of 3.689 over all years has a chance of
// 2.5 % to show nothing.
func count(ds []digest, of func(digest) float64) Estimate[float64] {
	e := estimate[float64](ds, of)
	if e.Mean == 0 {
		e.High = -math.Log(0.025) / float64(len(ds))
	}
	return e
}

// wilson returns the share k of n with Wilson's 95 % interval.
func wilson(k, n int) Estimate[quantity.Ratio] {
	const z = 1.959964 // 97.5 % of the normal distribution
	p, m := float64(k)/float64(n), float64(n)
	mid := (p + z*z/(2*m)) / (1 + z*z/m)
	half := z / (1 + z*z/m) * math.Sqrt(p*(1-p)/m+z*z/(4*m*m))
	return Estimate[quantity.Ratio]{
		Mean: quantity.Ratio(p),
		Low:  quantity.Ratio(max(0, min(p, mid-half))),
		High: quantity.Ratio(min(1, max(p, mid+half))),
	}
}
