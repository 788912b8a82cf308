package demand

import (
	"fmt"
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"rinsewright/quantity"
)

// Effect is a factor read from a log with its 95 % interval. Known is false
// where the log says nothing of it: Factor is then what is supposed.
type Effect struct {
	Factor, Low, High float64 // a ratio, or vehicles where it says so
	Known             bool
}

// LogGap is a stretch of days on which the log is silent though customers were
// to be expected: a recorder that stood still, or days shut that nobody noted.
type LogGap struct {
	First, Last time.Time
	Missed      float64 // vends expected in it
}

// Holiday is a day on which people come in other numbers, with its date in every
// year the log may cover.
type Holiday struct {
	Name  string
	Dates []time.Time
}

// LogSurge is one day of the year that stands out of a log.
type LogSurge struct {
	Name   string // of the holiday; empty for a day that nobody named
	Day    int    // of the year, 0 is 1 January
	Seen   int    // times in the log
	Factor Effect // times what weekday, month and trend give
}

// LogFit is what a vend log tells of a site's demand.
type LogFit struct {
	Profile Profile // at the level of the log's end
	Assumed []string

	Vends   int // used
	Doubles int // lines left out as entered twice
	Days    int // used
	First   time.Time
	Last    time.Time
	Gaps    []LogGap

	Trend   Effect     // factor a year
	Weekday [7]Effect  // vehicles expected in a month of factor 1, Sunday first
	Month   [12]Effect // factor, January first
	Hour    [24]Effect // share of a day's vehicles
	Surges  []LogSurge

	Dispersion float64 // variance of a day's number over that of arrivals at random, a ratio
}

// Rules of reading a log, from memory, unverified.
const (
	doubleWithin = 2 * time.Second // same bay, same minutes, this close: one vend entered twice
	gapOdds      = 1e-4            // chance of a silence, below which it is a gap
	surgeScore   = 5.0             // standard deviations above expectation, for days nobody named
	surgePrior   = 2.0             // days' worth of "as usual" that a surge has to outweigh, in vends
	fitRounds    = 4
)

// FitLog fits a profile to a vend log and says how surely. Answers fill what a
// log can't tell (gun, bays if the log names none); holidays are looked at by
// name, other days only if they stand out by five standard deviations.
//
// The day's number n(d) of vends is modelled as
//
//	E n(d) = exp(a[weekday] + b[month] + g t), var n(d) = φ E n(d)
//
// t being years before the log's end, fitted by penalised maximum likelihood
// [McCullaghNelder1989]: months are drawn to their mean by a standard deviation
// of 1 in the logarithm, the trend to none by 0.3 a year, which matters only
// where a log is too short to tell one from the other. φ is Pearson's χ² over
// its degrees of freedom, at least 1, and widens all intervals. Days of the
// first and last date, gaps and surges are left out of the fit. Hours are shares
// with [Wilson1927]'s interval, φ included.
//
// The part of φ that arrivals at random do not explain goes into the profile's
// DayToDay. Double entries can be told only where the log names bays.
//
// The error wraps [ErrNoDemand] for fewer than 20 vends or 14 days, [ErrRange]
// for a log longer than ten years or litres that cannot be, or is that of
// [FromAnswers].
func FitLog(log []LoggedVend, a Answers, holidays []Holiday) (LogFit, error) {
	kept, doubles := withoutDoubles(log)
	if len(kept) < leastLogged {
		return LogFit{}, fmt.Errorf("fit log: %d vends, wanted %d or more: %w", len(kept), leastLogged, ErrNoDemand)
	}
	days, err := datedDays(kept)
	if err != nil {
		return LogFit{}, fmt.Errorf("fit log: %w", err)
	}
	profile, assumed, err := FromLog(kept, a.fromLog(kept))
	if err != nil {
		return LogFit{}, fmt.Errorf("fit log: %w", err)
	}
	f := LogFit{Profile: profile, Assumed: assumed, Doubles: doubles, First: days[0].date, Last: days[len(days)-1].date}
	m, err := f.settle(days, holidays)
	if err != nil {
		return LogFit{}, fmt.Errorf("fit log: %w", err)
	}
	f.tell(m, days)
	f.hours(kept)
	if kept[0].Bay == "" {
		f.Assumed = append(f.Assumed, "double entries: not looked for, as the log names no bays")
	}
	if _, err := f.Profile.Days(); err != nil {
		return LogFit{}, fmt.Errorf("fit log: %w", err)
	}
	return f, nil
}

// fromLog adds to the answers what single lines of the log tell.
func (a Answers) fromLog(log []LoggedVend) Answers {
	bays := map[string]bool{}
	length, n := 0.0, 0.0
	for _, v := range log {
		if v.Bay != "" && len(bays) < maxBays {
			bays[v.Bay] = true
		}
		if v.Length > 0 {
			length, n = length+float64(v.Length), n+1
		}
	}
	if a.Bays == 0 {
		a.Bays = len(bays)
	}
	if a.VendLength == 0 && n > 0 {
		a.VendLength = quantity.Time(min(max(length/n, 1), 86400))
	}
	return a
}

// withoutDoubles sorts a log by time and leaves out lines entered twice.
func withoutDoubles(log []LoggedVend) (kept []LoggedVend, doubles int) {
	sorted := slices.Clone(log)
	slices.SortStableFunc(sorted, func(a, b LoggedVend) int { return a.At.Compare(b.At) })
	last := map[string]LoggedVend{}
	for _, v := range sorted {
		before, ok := last[v.Bay]
		if v.Bay != "" && ok && v.At.Sub(before.At) <= doubleWithin && v.Length == before.Length && v.Litres == before.Litres {
			doubles++
			continue
		}
		last[v.Bay] = v
		kept = append(kept, v)
	}
	return kept, doubles
}

// datedDay is one calendar day of a log.
type datedDay struct {
	date  time.Time
	vends float64
	years float64 // before the log's end, negative
	out   bool    // of the fit
}

func datedDays(log []LoggedVend) ([]datedDay, error) {
	counted, err := countDays(log)
	if err != nil {
		return nil, err
	}
	y, month, d := log[0].At.Date()
	first := time.Date(y, month, d, 0, 0, 0, 0, time.UTC)
	days := make([]datedDay, len(counted))
	for i, c := range counted {
		days[i] = datedDay{date: first.AddDate(0, 0, i), vends: c.vends, years: float64(i+1-len(counted)) / 365.25}
	}
	days[0].out, days[len(days)-1].out = true, true // seen in part
	return days, nil
}

// settle fits, sets gaps and surges aside, and fits again until the same days
// are left out.
func (f *LogFit) settle(days []datedDay, holidays []Holiday) (m model, err error) {
	for range fitRounds {
		if m, err = fitModel(days); err != nil {
			return m, err
		}
		before := left(days)
		for i := range days {
			days[i].out = i == 0 || i == len(days)-1
		}
		f.Gaps = findGaps(days, m)
		f.Surges = findSurges(days, m, holidays)
		if left(days) == before {
			break
		}
	}
	return m, nil
}

// left counts the days in the fit.
func left(days []datedDay) (n int) {
	for _, d := range days {
		if !d.out {
			n++
		}
	}
	return n
}

// findGaps finds silences too long for chance and takes them out of the fit,
// with a half-silent day at either end.
func findGaps(days []datedDay, m model) (gaps []LogGap) {
	for i := 0; i < len(days); {
		if days[i].vends > 0 {
			i++
			continue
		}
		from, missed := i, 0.0
		for i < len(days) && days[i].vends == 0 {
			missed += m.mean(days[i])
			i++
		}
		if missed/m.robust < -math.Log(gapOdds) {
			continue
		}
		gaps = append(gaps, LogGap{days[from].date, days[i-1].date, missed})
		for d := max(from-1, 0); d <= min(i, len(days)-1); d++ {
			if days[d].vends < m.mean(days[d])/2 {
				days[d].out = true
			}
		}
	}
	return gaps
}

// findSurges looks at named holidays and at days of the year that stand out,
// and takes them out of the fit.
func findSurges(days []datedDay, m model, holidays []Holiday) (surges []LogSurge) {
	named := map[string]bool{}
	for _, h := range holidays {
		var at []int
		day := -1
		for _, date := range h.Dates {
			key := date.Format(time.DateOnly)
			named[key] = true
			if of, err := DayOf(date.Month(), date.Day()); err == nil {
				day = of
			}
			for i := range days {
				if days[i].date.Format(time.DateOnly) == key && !days[i].out {
					at = append(at, i)
				}
			}
		}
		if day >= 0 && len(at) > 0 {
			surges = append(surges, surgeOf(h.Name, day, at, days, m))
		}
	}
	byDay := make([][]int, DaysInYear)
	for i, d := range days {
		if of, err := DayOf(d.date.Month(), d.date.Day()); err == nil && !d.out && !named[d.date.Format(time.DateOnly)] {
			byDay[of] = append(byDay[of], i)
		}
	}
	for day, at := range byDay {
		seen, expected := sums(at, days, m)
		if expected > 0 && seen-expected > surgeScore*math.Sqrt(m.variance(at, days)) && seen-expected > surgeScore {
			surges = append(surges, surgeOf("", day, at, days, m))
		}
	}
	for _, s := range surges {
		for i := range days {
			if of, err := DayOf(days[i].date.Month(), days[i].date.Day()); err == nil && of == s.Day && s.Name == "" || named[days[i].date.Format(time.DateOnly)] {
				days[i].out = true
			}
		}
	}
	return surges
}

func sums(at []int, days []datedDay, m model) (seen, expected float64) {
	for _, i := range at {
		seen += days[i].vends
		expected += m.mean(days[i])
	}
	return seen, expected
}

// variance returns that of the sum of some days: arrivals at random, and days
// that swing in proportion to their mean.
func (m *model) variance(at []int, days []datedDay) (v float64) {
	swing := (m.robust - 1) * float64(m.used) / m.vends
	for _, i := range at {
		mu := m.mean(days[i])
		v += mu + swing*mu*mu
	}
	return v
}

// surgeOf returns the factor of a day, drawn to 1 as by a gamma prior of a few
// vends, with the interval of its posterior.
func surgeOf(name string, day int, at []int, days []datedDay, m model) LogSurge {
	seen, expected := sums(at, days, m)
	g := distuv.Gamma{Alpha: surgePrior + seen/m.robust, Beta: surgePrior + expected/m.robust}
	return LogSurge{name, day, len(at), Effect{g.Alpha / g.Beta, g.Quantile(0.025), g.Quantile(0.975), true}}
}

// hours sets the shares of the hours with their intervals.
func (f *LogFit) hours(log []LoggedVend) {
	f.Profile.Hours = hoursOf(log)
	n := float64(len(log))
	for h, k := range f.Profile.Hours {
		// fewer independent vends, where days swing together
		w := wilson(int(k/f.Dispersion+0.5), max(int(n/f.Dispersion), 1))
		share := k / n
		f.Hour[h] = Effect{share, min(float64(w.Low), share), max(float64(w.High), share), true}
	}
}
