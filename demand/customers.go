package demand

import (
	"context"
	"fmt"
	"slices"

	"rinsewright/quantity"
)

// Customers are the vehicles of several simulated years, met once, for asking
// many tanks how many vends run short. What the bays do does not depend on the
// tank, so what they draw while it lasts is the same for every tank.
type Customers struct {
	profile Profile
	seed    uint64
	years   []met
}

// met is one year of customers.
type met struct {
	wanted int
	draws  []drawn // in order; quarters of an hour without a draw are left out
}

// drawn is the water drawn in a quarter of an hour.
type drawn struct {
	at    int // of the year
	water float64
}

const (
	quarter     = hour / quarters // s
	dayQuarters = 24 * quarters
)

// Meet runs the years of [Replicate] against water that never ends. Errors are
// those of Replicate.
func Meet(ctx context.Context, p Profile, years int, seed uint64) (*Customers, error) {
	if err := within("years", float64(years), 2, mostYears); err != nil {
		return nil, fmt.Errorf("meet customers: %w", err)
	}
	c := &Customers{profile: p, seed: seed, years: make([]met, years)}
	endless := Case{
		Profile: p, MakeUp: SteadyMakeUp(maxGunFlow),
		Tank: Tank{Total: 1e5, Stop: 1e5, Start: 1e5, Restart: 5e4}, // a valve that lets in what is drawn
	}
	err := onAllCores(years, func(i int) (err error) {
		c.years[i], err = endless.meet(ctx, yearSeed(seed, i))
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("meet customers: %w", err)
	}
	return c, nil
}

func (c Case) meet(ctx context.Context, seed uint64) (met, error) {
	s, err := newSimulation(c, seed)
	if err != nil {
		return met{}, err
	}
	s.tally = &tally{}
	for day := range DaysInYear {
		if err := ctx.Err(); err != nil {
			return met{}, fmt.Errorf("stopped on day %d: %w", day, err)
		}
		s.runDay(day)
	}
	s.tally.note(s.delivered)
	return met{s.wanted, s.tally.draws}, nil
}

// tally keeps what is drawn, quarter by quarter.
type tally struct {
	draws []drawn
	noted int     // quarters begun
	last  float64 // m³ drawn before this one
}

// note ends a quarter, with all that was drawn up to now.
func (t *tally) note(all float64) {
	if all > t.last {
		t.draws = append(t.draws, drawn{t.noted - 1, all - t.last})
	}
	t.last = all
	t.noted++
}

// ShortShare returns the mean share of vends that run short, the mean of
// ShortShare that [Replicate] gives for these years, tank and make-up: the same
// number.
//
// Only days on which the tank may run dry are simulated, and those before them.
// With D(s,t) drawn between two times and make-up r while the float calls, a
// level L below the float's start V_s has been called for since it left it, so
//
//	L(t) ≥ V_s − X(t), X(t) = max over s ≤ t of D(s,t) − r (t − s)
//
// as long as no vend ran short, and all the more when one did. X is taken a little
// large: what is drawn in a quarter of an hour counts from its beginning.
//
// Source: reflected workload, exact. Errors are those of Replicate.
func (c *Customers) ShortShare(ctx context.Context, t Tank, makeUp MakeUp) (quantity.Ratio, error) {
	flows, err := makeUp.flows()
	if err == nil {
		err = firstError(t.Check(), t.checkCycle(slices.Max(flows)))
	}
	if err != nil {
		return 0, fmt.Errorf("short share: %w", err)
	}
	known := Case{Profile: c.profile, Tank: t, MakeUp: func(day int) quantity.Flow { return quantity.Flow(flows[day]) }}
	shares := make([]quantity.Ratio, len(c.years))
	err = onAllCores(len(shares), func(i int) (err error) {
		shares[i], err = known.shortShare(ctx, &c.years[i], flows, yearSeed(c.seed, i))
		return err
	})
	if err != nil {
		return 0, fmt.Errorf("short share: %w", err)
	}
	mean := quantity.Ratio(0)
	for i, x := range shares {
		mean += (x - mean) / quantity.Ratio(i+1)
	}
	return mean, nil
}

// shortShare is that of one year.
func (c Case) shortShare(ctx context.Context, m *met, flows []float64, seed uint64) (quantity.Ratio, error) {
	last := m.lastRisk(c.Tank, flows)
	if last < 0 {
		return 0, nil
	}
	s, err := newSimulation(c, seed)
	if err != nil {
		return 0, err
	}
	for day := 0; day < DaysInYear && (day <= last || s.lacking()); day++ {
		if err := ctx.Err(); err != nil {
			return 0, fmt.Errorf("stopped on day %d: %w", day, err)
		}
		s.runDay(day)
	}
	return share(s.cut+s.refused, m.wanted), nil
}

// lacking says that a vend under way has run short.
func (s *simulation) lacking() bool {
	for _, t := range s.coming {
		if s.visits[t.place].short {
			return true
		}
	}
	return false
}

// lastRisk is the last day on which a tank may run dry, or its pump may still be
// waiting for water; -1 is none.
func (m *met) lastRisk(t Tank, flows []float64) (last int) {
	const sure = 1 - 1e-9 // rounding
	empty, back := sure*float64(t.Start-t.CutOff), sure*float64(t.Start-t.Restart)
	x, at, dry := 0.0, 0, false
	last = -1
	for _, d := range m.draws {
		for at < d.at {
			day := at / dayQuarters
			to := min(d.at, (day+1)*dayQuarters)
			if x = max(x-flows[day]*quarter*float64(to-at), 0); dry {
				last = day
			}
			dry = dry && !(x < back)
			at = to
		}
		day := at / dayQuarters
		dry = dry || !(x+d.water < empty)
		if dry {
			last = day
		}
		x = max(x-flows[day]*quarter, 0) + d.water
		dry = dry && !(x < back)
		at++
	}
	if dry {
		return DaysInYear - 1
	}
	return last
}
