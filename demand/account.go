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

	cell   *cell // of this hour
	week   *[7][24]cell
	quarts []quantity.Volume
}

// cell keeps the books of one clock hour of one weekday.
type cell struct {
	vends, short, hours int
	level               float64 // m³ s, level by time
	dry                 float64 // s without water at the guns
	lowest              float64 // m³
}

// quarters of an hour, at which the watched day's level is kept.
const quarters = 4

func newAccount(t Tank) account {
	a := account{
		sinceStart: float64(t.Stop),
		lastEmpty:  math.NaN(), // not empty
		days:       make([]Day, 0, DaysInYear),
		levels:     newLevels(float64(t.Stop)),
		quarts:     make([]quantity.Volume, 0, 24*quarters),
		week:       new([7][24]cell),
	}
	for d := range a.week {
		for h := range a.week[d] {
			a.week[d][h].lowest = float64(t.Stop)
		}
	}
	return a
}

// startCell opens the books of an hour of a weekday.
func (a *account) startCell(weekday, h int, level float64) {
	a.cell = &a.week[weekday][h]
	a.cell.hours++
	a.cell.lowest = min(a.cell.lowest, level)
}

// watch keeps the level of a quarter of the watched day.
func (a *account) watch(level float64) { a.quarts = append(a.quarts, quantity.Volume(level)) }

// came books a vehicle.
func (a *account) came() {
	a.wanted++
	a.today.Wanted++
	a.cell.vends++
}

// lacks books a vend that now lacks water for the first time.
func (a *account) lacks() { a.cell.short++ }

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

// record books a stretch of dt in which the level moved from one to another.
func (a *account) record(from, level, dt float64) {
	if a.levels.slope == 0 {
		a.levels.stand(a.row, level, dt)
	}
	c := a.cell
	c.level += (from + level) * dt
	if level < c.lowest {
		c.lowest = level
	}
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
		BusyDay:         a.quarts,
		below:           a.levels.sums(),
	}
	for d := range a.week {
		for h, c := range a.week[d] {
			y.Week[d][h] = c.weekHour()
		}
	}
	if a.waited > 0 {
		y.MeanWait = quantity.Time(a.waiting / float64(a.waited))
	}
	if a.recoveries > 0 {
		y.MeanRecovery = quantity.Time(a.recovery / float64(a.recoveries))
	}
	return y
}

// weekHour turns a cell's books into what is told of it.
func (c cell) weekHour() WeekHour {
	w := WeekHour{Vends: float64(c.vends), Short: float64(c.short), Lowest: quantity.Volume(c.lowest)}
	if seconds := float64(c.hours) * hour; seconds > 0 {
		w.Level = quantity.Volume(c.level / 2 / seconds)
		w.Dry = quantity.Ratio(min(c.dry/seconds, 1))
	}
	return w
}
