package demand

import (
	"context"
	"fmt"
	"math"

	"rinsewright/quantity"
)

// SimulateYear runs one year of arrivals against a tank that starts full on
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
func SimulateYear(ctx context.Context, p Profile, t Tank, makeUp MakeUp, seed uint64) (Year, error) {
	s, err := newSimulation(p, t, makeUp, seed)
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
	arrivals
	account

	now float64

	visits []visit // one place for each bay
	free   []int32 // places not taken
	// coming holds what happens next in each bay that is taken, latest first, so
	// that the next one is at the end.
	coming []turn
	queue  []visit // a ring of vehicles that wait
	head   int
	queued int

	makeUp     []float64 // by day
	hourVends  []float64 // expected, by hour of the year's days
	hourShares [24]float64
}

func newSimulation(p Profile, t Tank, makeUp MakeUp, seed uint64) (*simulation, error) {
	days, err := p.Days()
	if err != nil {
		return nil, err
	}
	if err := t.Check(); err != nil {
		return nil, err
	}
	flows, err := makeUp.flows()
	if err != nil {
		return nil, err
	}
	most := 0.0
	for _, f := range flows {
		most = max(most, f)
	}
	if err := t.checkCycle(most); err != nil {
		return nil, err
	}
	s := &simulation{
		visits:     make([]visit, p.Bays),
		free:       make([]int32, p.Bays),
		coming:     make([]turn, 0, p.Bays),
		queue:      make([]visit, p.Waiting),
		makeUp:     flows,
		hourVends:  days,
		hourShares: p.hourShares(),
	}
	s.arrivals = newArrivals(p, seed)
	s.tank = newTank(t)
	s.account = newAccount(t)
	s.sinceLevel = s.level
	for i := range s.free {
		s.free[i] = int32(i)
	}
	return s, nil
}

// runDay runs the 24 hours of a day.
func (s *simulation) runDay(day int) {
	s.startDay(day, s.level)
	s.settle() // yesterday's make-up ends here
	s.makes = s.makeUp[day]
	s.follow()
	for h := range 24 {
		s.row = h
		if s.hourVends[day] == 0 {
			s.row = closedRow
		}
		rate := s.hourVends[day] * s.hourShares[h] / hour
		s.runHour(rate)
		s.rebase()
	}
}

// rebase starts the clock again at an hour's end, so that times keep their
// digits: a year in seconds would leave 4 ns between two of them, which a small
// throughput shows.
func (s *simulation) rebase() {
	s.now = 0
	s.since = 0
	s.meets -= hour
	s.lastEmpty -= hour
	for i := range s.coming {
		s.coming[i].at -= hour
	}
	if s.queued > 0 {
		for i := range s.queue {
			s.queue[i].came -= hour
		}
	}
}

// runHour runs an hour with arrivals at a constant rate (1/s).
func (s *simulation) runHour(rate float64) {
	const end = hour
	from, perVend, next := 0.0, 1/rate, math.Inf(1)
	if rate > 1e-15 { // one vend in ten million years
		next = from + s.toGo*perVend
	}
	for {
		t := end
		if next < t {
			t = next
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
		if next > end {
			s.toGo = max(s.toGo-rate*(end-from), 0)
			s.settle()
			return
		}
		s.arrive()
		from, next = t, t+s.toGo*perVend
	}
}

// meet is the level reaching a float or cut-off.
func (s *simulation) meet() {
	s.settle()
	s.level, s.carried = s.mark, 0
	s.sinceLevel = s.level
	switch s.reaches {
	case reachesStop:
		s.calling = false
		s.recovered(s.now)
	case reachesStart:
		s.calling = true
	case reachesCutOff:
		s.pumping = false
		s.emptied(s.now)
		for _, t := range s.coming {
			if v := &s.visits[t.place]; v.drawing {
				v.short = true
			}
		}
	case reachesRestart:
		s.pumping = true
		for _, t := range s.coming {
			s.visits[t.place].dry = false
		}
	}
	s.follow()
}

// settle brings the level and the accounts up to now.
func (s *simulation) settle() {
	dt := s.now - s.since
	if dt <= 0 {
		return
	}
	// Kahan's sum: a small draw on a large tank keeps its digits
	step := s.net*dt - s.carried
	level := s.level + step
	s.carried = (level - s.level) - step
	s.level = level
	s.record(s.level, dt, s.perFlow)
	s.made += s.making * dt
	s.delivered += s.drawn * dt
	if s.making > 0 {
		s.running += dt
	}
	if s.limited {
		s.pumpLimited += dt
	}
	if s.net == 0 && s.level >= s.stop {
		s.atFull += dt
	}
	s.since = s.now
}

// follow works out the flows after a change, and when the level will next meet
// a mark.
func (s *simulation) follow() {
	if s.valve && !s.calling && s.draw() > s.makes {
		s.calling = true
	}
	idle := s.making == 0
	s.balance()
	if idle && s.making > 0 {
		s.started()
	}
	s.meets = math.Inf(1)
	if s.net != 0 {
		s.perFlow = 1 / s.net
		if left := (s.mark - s.level) * s.perFlow; left > 0 {
			s.meets = s.now + left
		} else {
			s.meets = s.now
		}
	}
}

// year closes the accounts.
func (s *simulation) year() Year {
	s.endDay(s.level)
	y := s.account.year()
	y.stop = s.stop
	y.Unfinished = len(s.coming) + s.queued
	y.Storage = quantity.Volume((s.level - s.sinceStart) - s.carried)
	return y
}
