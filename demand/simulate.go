package demand

import (
	"context"
	"fmt"
	"math"
	"slices"
	"time"

	"rinsewright/quantity"
)

// Case is all that a simulated year depends on but chance.
type Case struct {
	Profile Profile
	Tank    Tank
	MakeUp  MakeUp // with an empty tank, by day

	Back          []BackPressure // what the tank's height or pressure takes from it
	Interruptions []Interruption // what stops make-up or the pump for a time
}

// SimulateYear is [Simulate] for a tank that nothing interrupts and whose level
// does not push back. Errors are those of Simulate.
func SimulateYear(ctx context.Context, p Profile, t Tank, makeUp MakeUp, seed uint64) (Year, error) {
	return Simulate(ctx, Case{Profile: p, Tank: t, MakeUp: makeUp}, seed)
}

// Simulate runs one year of arrivals against a tank that starts full on
// 1 January, and returns what happened.
//
// Vehicles arrive as a Poisson process whose rate is constant within each clock
// hour; their times are found by inverting the rate's integral, so no arrival
// is thinned. Each vehicle's vend is drawn when it arrives, from a stream that
// depends on seed and profile alone: two tanks with one seed meet the same
// customers. The same seed gives the same year.
//
// The level is exact. Made less delivered equals the change in storage to 1e-9
// of the throughput ([Year.Closing]), for draws that last a second or more.
//
// The error wraps [ErrRange], [ErrNoDemand] or [ErrTank] for inputs, or the
// context's error when it ends first.
func Simulate(ctx context.Context, c Case, seed uint64) (Year, error) {
	s, err := newSimulation(c, seed)
	if err != nil {
		return Year{}, fmt.Errorf("simulate year: %w", err)
	}
	for day := range DaysInYear {
		if err := ctx.Err(); err != nil {
			return Year{}, fmt.Errorf("simulate year: stopped on day %d: %w", day, err)
		}
		s.runDay(day)
	}
	return s.year(), nil
}

const hour = 3600.0 // s

// simulation is the state of a running year. Times are s from the start of the
// hour, volumes m³, flows m³/s.
type simulation struct {
	tank
	account
	crowds []crowd // the profile's own bays first

	now  float64
	next float64 // when the next vehicle comes, within the hour
	who  int     // whose it is

	visits []visit // one place for each bay of each crowd
	// coming holds what happens next in each bay that is taken, latest first, so
	// that the next one is at the end.
	coming []turn

	makeUp  []float64 // by day
	days    dayFactors
	changes []change // of make-up and power still to come
	passed  float64  // s of the year before this hour
	watched int      // day whose level is kept
	tally   *tally   // of what is drawn, nil where nobody asks
	first   time.Weekday
}

func newSimulation(c Case, seed uint64) (*simulation, error) {
	groups := c.Profile.groups()
	expected, err := c.Profile.groupDays()
	if err != nil {
		return nil, err
	}
	if err := c.Tank.Check(); err != nil {
		return nil, err
	}
	flows, err := c.MakeUp.flows()
	if err != nil {
		return nil, err
	}
	if err := c.Tank.checkCycle(slices.Max(flows)); err != nil {
		return nil, err
	}
	if err := checkBack(c.Back, c.Tank); err != nil {
		return nil, err
	}
	changes, err := changesOf(c.Interruptions)
	if err != nil {
		return nil, err
	}
	s := &simulation{makeUp: flows, changes: changes, first: c.Profile.FirstWeekday, watched: busiest(expected, groups)}
	s.days = newDayFactors(float64(c.Profile.DayToDay), seed)
	for i, g := range groups {
		s.seat(g, expected[i], seed+uint64(i)*groupSeed)
	}
	s.coming = make([]turn, 0, len(s.visits))
	s.tank = newTank(c.Tank, c.Back)
	s.account = newAccount(c.Tank)
	return s, nil
}

// seat gives a group its places and its customers.
func (s *simulation) seat(g Group, days []float64, seed uint64) {
	c := newCrowd(g, days, seed)
	for range g.Outlets {
		place := int32(len(s.visits))
		s.visits = append(s.visits, visit{crowd: int32(len(s.crowds))})
		c.free = append(c.free, place)
	}
	s.crowds = append(s.crowds, c)
}

// runDay runs the 24 hours of a day.
func (s *simulation) runDay(day int) {
	s.startDay(day, s.level)
	s.settle() // yesterday's make-up ends here
	s.makes = s.makeUp[day]
	s.reckon()
	s.follow()
	factor, open := s.days.next(), false
	for i := range s.crowds {
		open = open || s.crowds[i].days[day] > 0
	}
	weekday := (int(s.first) + day) % 7
	for h := range 24 {
		s.turnPage(h, open)
		s.startCell(weekday, h, s.level)
		s.next = math.Inf(1)
		for i := range s.crowds {
			s.crowds[i].startHour(day, h, factor)
		}
		s.soonest()
		s.runHour(day == s.watched)
		s.rebase()
	}
}

// turnPage opens the row of levels of an hour.
func (s *simulation) turnPage(h int, open bool) {
	slope := s.levels.slope
	s.levels.turn(s.row, s.level, 0)
	s.row = h
	if !open {
		s.row = closedRow
	}
	s.levels.turn(s.row, s.level, slope)
}

// runHour runs an hour, in stretches between changes of make-up or power and,
// on the day that is watched or where draws are told, quarters of the hour.
func (s *simulation) runHour(watched bool) {
	look := math.Inf(1)
	if watched || s.tally != nil {
		look = 0
	}
	for {
		change := math.Inf(1)
		if len(s.changes) > 0 {
			change = s.changes[0].at - s.passed
		}
		to := min(change, look, hour)
		s.run(max(to, s.now))
		if to == look && look < hour {
			if watched {
				s.watch(s.level)
			}
			if s.tally != nil {
				s.tally.note(s.delivered)
			}
			look += quarter
		}
		if to == change {
			s.change(s.changes[0])
			s.changes = s.changes[1:]
			continue
		}
		if to == hour {
			break
		}
	}
	for i := range s.crowds {
		s.crowds[i].endHour()
	}
}

// rebase starts the clock again at an hour's end, so that times keep their
// digits: a year in seconds would leave 4 ns between two of them, which a small
// throughput shows.
func (s *simulation) rebase() {
	s.now = 0
	s.since = 0
	s.passed += hour
	s.meets -= hour
	s.lastEmpty -= hour
	for i := range s.coming {
		s.coming[i].at -= hour
	}
	for i := range s.crowds {
		s.crowds[i].rebase()
	}
}

// run moves from event to event until a time.
func (s *simulation) run(end float64) {
	for {
		t := end
		if s.next < t {
			t = s.next
		}
		last := len(s.coming) - 1
		if last >= 0 && s.coming[last].at <= t && s.coming[last].at <= s.meets {
			s.now = s.coming[last].at
			s.turn(last)
			continue
		}
		if s.meets <= t {
			s.now = s.meets
			s.meet()
			continue
		}
		s.now = t
		if !(s.next <= end) {
			s.settle()
			return
		}
		s.arrive()
	}
}

// soonest finds who comes next.
func (s *simulation) soonest() {
	s.next = s.crowds[0].next
	s.who = 0
	for i := 1; i < len(s.crowds); i++ {
		if s.crowds[i].next < s.next {
			s.next, s.who = s.crowds[i].next, i
		}
	}
}

// meet is the level reaching a float, a cut-off or an edge of its slice.
func (s *simulation) meet() {
	s.settle()
	s.level, s.carried = s.mark, 0
	switch s.reaches {
	case reachesStop:
		s.calling = false
		s.recovered(s.now)
	case reachesStart:
		s.calling = true
	case reachesCutOff:
		s.pumping = false
		s.emptied(s.now)
		s.fail()
	case reachesRestart:
		s.pumping = true
		s.resume()
	case reachesUpper:
		s.edge = s.slice - 1
	case reachesLower:
		s.edge = s.slice
	}
	s.follow()
}

// fail marks the vends that lose their water now.
func (s *simulation) fail() {
	for _, t := range s.coming {
		if v := &s.visits[t.place]; v.drawing && !v.short {
			v.short = true
			s.lacks()
		}
	}
}

// resume marks the vends that have had some water after all.
func (s *simulation) resume() {
	if !s.pumps() {
		return
	}
	for _, t := range s.coming {
		s.visits[t.place].dry = false
	}
}

// change applies an interruption's beginning or end.
func (s *simulation) change(c change) {
	s.settle()
	failed := s.powered && c.off
	s.left, s.powered = c.left, !c.off
	s.reckon()
	if failed && s.pumping {
		s.fail()
	}
	s.resume()
	s.follow()
}

// settle brings the level and the accounts up to now.
func (s *simulation) settle() {
	dt := s.now - s.since
	if dt <= 0 {
		return
	}
	s.since = s.now
	from := s.level
	// Kahan's sum: a small draw on a large tank keeps its digits
	step := s.net*dt - s.carried
	level := from + step
	s.carried = (level - from) - step
	s.level = level
	s.record(from, level, dt)
	s.made += s.making * dt
	s.delivered += s.drawn * dt
	if s.making > 0 {
		s.running += dt
	}
	if s.odd {
		s.oddities(dt)
	}
	if s.net != 0 {
		s.edge = noEdge
	} else if level >= s.stop {
		s.atFull += dt
	}
}

// oddities books a stretch in which guns have less than they ask for.
func (s *simulation) oddities(dt float64) {
	if s.limited {
		s.pumpLimited += dt
	}
	if !s.pumps() {
		s.cell.dry += dt
	}
}

// follow works out the flows after a change, and when the level will next meet
// a mark.
func (s *simulation) follow() {
	if s.valve && !s.calling && s.draw() > s.able {
		s.calling = true
	}
	idle := s.making == 0
	s.balance()
	if idle && s.making > 0 {
		s.started()
	}
	s.meets = math.Inf(1)
	slope := 0.0
	if s.net != 0 {
		s.perFlow = 1 / s.net
		if math.Abs(s.net) > s.levels.still {
			slope = s.perFlow * s.levels.width
		}
		if left := (s.mark - s.level) * s.perFlow; left > 0 {
			s.meets = s.now + left
		} else {
			s.meets = s.now
		}
	}
	s.levels.turn(s.row, s.level, slope)
}

// year closes the accounts.
func (s *simulation) year() Year {
	s.endDay(s.level)
	s.levels.turn(s.row, s.level, 0)
	y := s.account.year()
	y.stop = s.stop
	y.BusiestDay = s.watched
	y.MostGuns = s.mostGuns
	y.Unfinished = len(s.coming)
	for i := range s.crowds {
		y.Unfinished += s.crowds[i].queued
	}
	y.Storage = quantity.Volume((s.level - s.sinceStart) - s.carried)
	return y
}
