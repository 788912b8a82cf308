package carbon

import (
	"fmt"

	"rinsewright/quantity"
)

// The membrane's tolerance of free chlorine. Loss of rejection becomes
// noticeable somewhere between the two [PolyamideManual].
const (
	FirstHarm = quantity.Exposure(200 * 3.6)  // 200 mg/L-h, in kg·s/m³
	Ruin      = quantity.Exposure(1000 * 3.6) // 1,000 mg/L-h
)

// chloramineHarm is chloramine's share of the harm of free chlorine: 1,000 over
// the 300,000 mg/L-h often quoted. [Memory].
const chloramineHarm = 1.0 / 300

const mostYears = 30

// Plan is a rig and its year, for [Clock].
type Plan struct {
	// Carbon is the bed ahead of the membrane; nil when there is none.
	Carbon    *Bed
	Calendar  Calendar
	Flow      quantity.Flow     // of feed, while running
	RunPerDay quantity.Time     // hours of running in a day
	Used      quantity.Ratio    // of the carbon's capacity, at the start
	Before    quantity.Exposure // what the membrane has had already
	Changes   []quantity.Time   // when the carbon is renewed, from the start
	Years     int               // how far to look: 1 to 30
}

// Moment is a time that may not come within the years looked at.
type Moment struct {
	Reached bool
	Time    quantity.Time // from the start
}

// Account is the membrane's chlorine clock over the years looked at.
type Account struct {
	PerYear   []quantity.Exposure // what each year adds
	FirstHarm Moment              // total reaches 200 mg/L-h
	Ruin      Moment              // total reaches 1,000 mg/L-h
	// LeakStarts is when the leak first exceeds 0.1 mg/L while the rig runs, and
	// LeakEvent the event under way then, empty for the usual water.
	LeakStarts Moment
	LeakEvent  string
	Used       quantity.Ratio // of the carbon's capacity, at the end
}

// Clock runs the chlorine account of a membrane day by day:
//
//	exposure += (free + chloramine / 300) × running time
//	used     += (free + 3 chloramine) × feed volume / capacity
//
// with the leak of [Bed.Leak] on that day's water and that day's carbon. Without
// carbon all of the feed's chlorine counts. Source: [PolyamideManual] for the
// limits, 200 to 1,000 mg/L-h of free chlorine; chloramine's share [Memory].
// Iron, warmth and high pH hasten the harm, which the account leaves out. Days
// are steps; crossings are placed within their day. The error wraps [ErrRange].
func Clock(p Plan) (Account, error) {
	if err := p.check("chlorine clock"); err != nil {
		return Account{}, err
	}
	a := Account{PerYear: make([]quantity.Exposure, p.Years)}
	used, total := float64(p.Used), float64(p.Before)
	for day := range p.Years * daysPerYear {
		now := quantity.Days(float64(day))
		if p.renewed(now) {
			used = 0
		}
		challenge, event := p.Calendar.On(now)
		leak := Leak{challenge.FreeChlorine, challenge.Chloramine}
		if p.Carbon != nil {
			contact := quantity.Time(float64(p.Carbon.Volume) / float64(p.Flow))
			leak = p.Carbon.leak(challenge, contact, used)
			used = min(1, used+challenge.use()*float64(p.Flow)*float64(p.RunPerDay)/float64(p.Carbon.Capacity))
		}
		added := harm(leak) * float64(p.RunPerDay) // kg·s/m³
		a.FirstHarm.cross(now, total, added, float64(FirstHarm))
		a.Ruin.cross(now, total, added, float64(Ruin))
		if !a.LeakStarts.Reached && leak.Total() > LeakLimit && p.RunPerDay > 0 {
			a.LeakStarts, a.LeakEvent = Moment{true, now}, event
		}
		total += added
		a.PerYear[day/daysPerYear] += quantity.Exposure(added)
	}
	a.Used = quantity.Ratio(used)
	return a, nil
}

// harm is the leak in free chlorine of the same harm, kg/m³.
func harm(l Leak) float64 {
	return float64(l.FreeChlorine) + chloramineHarm*float64(l.Chloramine)
}

// cross notes when total passes limit within a day that adds added.
func (m *Moment) cross(day quantity.Time, total, added, limit float64) {
	if m.Reached || total+added < limit {
		return
	}
	share := 0.0
	if total < limit {
		share = (limit - total) / added // added > 0, since total < limit ≤ total+added
	}
	*m = Moment{true, day + quantity.Days(share)}
}

// renewed says whether a change of carbon falls on the day that begins at now.
func (p Plan) renewed(now quantity.Time) bool {
	for _, c := range p.Changes {
		if now <= c && c < now+quantity.Days(1) {
			return true
		}
	}
	return false
}

func (p Plan) check(operation string) error {
	if err := firstError(
		p.Calendar.check(operation),
		within(operation, "feed flow", float64(p.Flow), 1e-9, mostFlow, "m³/s"),
		within(operation, "running time per day", p.RunPerDay.Hours(), 0, 24, "h"),
		within(operation, "used share", float64(p.Used), 0, 1, ""),
		within(operation, "exposure before", p.Before.MilligramHoursPerLitre(), 0, 1e9, "mg/L-h"),
	); err != nil {
		return err
	}
	if p.Years < 1 || p.Years > mostYears {
		return fmt.Errorf("%s: %d years, want 1 to %d: %w", operation, p.Years, mostYears, ErrRange)
	}
	if p.Carbon == nil {
		return nil
	}
	return p.Carbon.check(operation)
}
