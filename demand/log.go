package demand

import (
	"fmt"
	"slices"
	"time"

	"rinsewright/quantity"
)

// LoggedVend is one line of a site's vend log. Its clock is the site's own.
type LoggedVend struct {
	At     time.Time
	Litres quantity.Volume // of spot-free water; 0 is not metered
	Bay    string          // empty is not said
	Length quantity.Time   // that was bought; 0 is not said
}

// Least and most of a log that a profile is fitted to.
const (
	leastLogged    = 20   // vends
	leastLoggedFor = 14   // days, so that each weekday is seen twice
	mostLoggedFor  = 3660 // days
)

// FromLog makes a profile from a log of vends, with answers for what a log
// can't tell (bays, vend length, gun). Weekdays and months come from the
// multiplicative model of [Profile.Days], fitted by proportional scaling, which
// is maximum likelihood for Poisson counts:
//
//	w_i = Σ n(d) / Σ m(month d) over days d of weekday i, and m_j in turn
//
// Months outside the log count as the mean of those in it, and are listed as
// assumed; so are the same gaps as in [FromAnswers]. Days without a vend between
// the first and the last count as open. The first and last day count as whole.
//
// The error wraps [ErrNoDemand] for a log of fewer than 20 vends or 14 days,
// [ErrRange] for one longer than ten years or litres that cannot be, or is that
// of FromAnswers.
func FromLog(log []LoggedVend, a Answers) (Profile, []string, error) {
	if len(log) < leastLogged {
		return Profile{}, nil, fmt.Errorf("demand from log: %d vends, wanted %d or more: %w", len(log), leastLogged, ErrNoDemand)
	}
	days, err := countDays(log)
	if err != nil {
		return Profile{}, nil, fmt.Errorf("demand from log: %w", err)
	}
	if a.LitresPerVehicle == 0 {
		a.LitresPerVehicle = meanLitres(log)
	}
	a.VehiclesPerDay = max(float64(len(log))/float64(len(days)), leastAnswer)
	p, assumed, err := FromAnswers(a)
	if err != nil {
		return Profile{}, nil, fmt.Errorf("demand from log: %w", err)
	}
	unseen := fitWeek(&p, days)
	p.Hours = hoursOf(log)
	assumed = slices.DeleteFunc(assumed, toldByLog)
	if len(unseen) > 0 {
		assumed = append(assumed, fmt.Sprintf("months not in the log, as the mean of those in it: %v", unseen))
	}
	if _, err := p.Days(); err != nil {
		return Profile{}, nil, fmt.Errorf("demand from log: %w", err)
	}
	return p, assumed, nil
}

// loggedDay is one calendar day of a log.
type loggedDay struct {
	weekday time.Weekday
	month   time.Month
	vends   float64
}

// countDays counts the vends of each day from the first to the last.
func countDays(log []LoggedVend) ([]loggedDay, error) {
	dayOf := func(t time.Time) int { // days since 1 January 1970 on the site's calendar
		y, m, d := t.Date()
		return int(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / 86400)
	}
	first, last := dayOf(log[0].At), dayOf(log[0].At)
	for _, v := range log {
		if err := within("litres of a vend in m³", float64(v.Litres), 0, 1000); err != nil {
			return nil, err
		}
		first, last = min(first, dayOf(v.At)), max(last, dayOf(v.At))
	}
	span := last - first + 1
	if span < leastLoggedFor {
		return nil, fmt.Errorf("%d days, wanted %d or more: %w", span, leastLoggedFor, ErrNoDemand)
	}
	if err := within("days of the log", float64(span), leastLoggedFor, mostLoggedFor); err != nil {
		return nil, err
	}
	days := make([]loggedDay, span)
	for i := range days {
		t := time.Unix(int64(first+i)*86400, 0).UTC()
		days[i] = loggedDay{weekday: t.Weekday(), month: t.Month()}
	}
	for _, v := range log {
		days[dayOf(v.At)-first].vends++
	}
	return days, nil
}

// fitWeek sets the profile's weekdays and months, and returns the months that
// the log never saw.
func fitWeek(p *Profile, days []loggedDay) (unseen []time.Month) {
	var seen [12]float64
	for _, d := range days {
		seen[d.month-1]++
	}
	for m := range p.Month {
		p.Month[m] = 1
	}
	for range 50 {
		var vends, days7 [7]float64
		for _, d := range days {
			vends[d.weekday] += d.vends
			days7[d.weekday] += p.Month[d.month-1]
		}
		for i := range p.Weekday {
			p.Weekday[i] = ratio(vends[i], days7[i])
		}
		var ofMonth, expected [12]float64
		for _, d := range days {
			ofMonth[d.month-1] += d.vends
			expected[d.month-1] += p.Weekday[d.weekday]
		}
		for m := range p.Month {
			p.Month[m] = ratio(ofMonth[m], expected[m])
		}
	}
	mean, n := 0.0, 0.0
	for m, s := range seen {
		if s > 0 {
			mean, n = mean+p.Month[m], n+1
		}
	}
	mean /= n
	for i := range p.Weekday {
		p.Weekday[i] *= mean
	}
	for m := range p.Month {
		p.Month[m] /= mean
		if seen[m] == 0 {
			p.Month[m] = 1
			unseen = append(unseen, time.Month(m+1))
		}
	}
	return unseen
}

func ratio(part, whole float64) float64 {
	if whole == 0 {
		return 0
	}
	return part / whole
}

func hoursOf(log []LoggedVend) [24]float64 {
	var hours [24]float64
	for _, v := range log {
		hours[v.At.Hour()]++
	}
	return hours
}

// meanLitres returns the mean of the metered vends, 0 if none is.
func meanLitres(log []LoggedVend) quantity.Volume {
	sum, n := 0.0, 0.0
	for _, v := range log {
		if v.Litres > 0 {
			sum, n = sum+float64(v.Litres), n+1
		}
	}
	return quantity.Volume(ratio(sum, n))
}

// toldByLog tells the assumptions that a log makes needless.
func toldByLog(assumed string) bool {
	for _, topic := range []string{"busiest weekday:", "hours:", "busiest hour:", "shape of the day:", "months:"} {
		if len(assumed) >= len(topic) && assumed[:len(topic)] == topic {
			return true
		}
	}
	return false
}
