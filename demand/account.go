package demand

import (
	"math"

	"rinsewright/quantity"
)

// account keeps the books of a running year.
type account struct {
	wanted, served, cut, refused, turnedAway, waited int

	waiting                              float64 // s, of those who waited
	litresWanted, delivered, made        float64 // m³
	running, atFull, pumpLimited         float64 // s
	sinceStart                           float64 // m³ in the tank at the start
	starts                               int
	lastEmpty, recovery, longestRecovery float64 // s
	emptyings, recoveries                int
	days                                 []Day
	today                                Day
	lowest                               float64 // m³, today
	levels                               *levels
	row                                  int // of levels, the hour or closedRow
	sinceLevel                           float64
}

func newAccount(t Tank) account {
	return account{
		sinceStart: float64(t.Stop),
		lastEmpty:  math.NaN(), // not empty
		days:       make([]Day, 0, DaysInYear),
		levels:     newLevels(float64(t.Stop)),
	}
}

func (a *account) startDay(day int, level float64) {
	if day > 0 {
		a.endDay(level)
	}
	a.today = Day{}
	a.lowest = level
}

func (a *account) endDay(level float64) {
	a.today.Lowest = quantity.Volume(min(a.lowest, level))
	a.days = append(a.days, a.today)
}

// record books a stretch of dt in which the level moved to level, with 1/net.
func (a *account) record(level, dt, perFlow float64) {
	a.levels.add(a.row, a.sinceLevel, level, dt, perFlow)
	a.sinceLevel = level
	if level < a.lowest {
		a.lowest = level
	}
}

// finish books a vend that has ended.
func (a *account) finish(short, dry bool) {
	switch {
	case !short:
		a.served++
		return
	case dry:
		a.refused++
	default:
		a.cut++
	}
	a.today.Short++
}

func (a *account) started() {
	a.starts++
	a.today.Starts++
}

// emptied notes the first cut-off since the tank was last full.
func (a *account) emptied(now float64) {
	a.emptyings++
	if math.IsNaN(a.lastEmpty) {
		a.lastEmpty = now
	}
}

// recovered notes that the tank is full again.
func (a *account) recovered(now float64) {
	if math.IsNaN(a.lastEmpty) {
		return
	}
	took := now - a.lastEmpty
	a.recovery += took
	a.longestRecovery = max(a.longestRecovery, took)
	a.recoveries++
	a.lastEmpty = math.NaN()
}

// year turns the books into a Year.
func (a *account) year() Year {
	y := Year{
		Wanted: a.wanted, Served: a.served, Cut: a.cut, Refused: a.refused, TurnedAway: a.turnedAway, Waited: a.waited,
		Days:            a.days,
		Starts:          a.starts,
		Running:         quantity.Time(a.running),
		AtFull:          quantity.Time(a.atFull),
		PumpLimited:     quantity.Time(a.pumpLimited),
		Emptied:         a.emptyings,
		Recovered:       a.recoveries,
		LongestRecovery: quantity.Time(a.longestRecovery),
		LitresWanted:    quantity.Volume(a.litresWanted),
		Delivered:       quantity.Volume(a.delivered),
		Made:            quantity.Volume(a.made),
		below:           a.levels.sums(),
	}
	if a.waited > 0 {
		y.MeanWait = quantity.Time(a.waiting / float64(a.waited))
	}
	if a.recoveries > 0 {
		y.MeanRecovery = quantity.Time(a.recovery / float64(a.recoveries))
	}
	return y
}
