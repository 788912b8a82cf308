package demand

import (
	"context"
	"fmt"
	"math"
	"slices"

	"rinsewright/quantity"
)

// RiskMap is the chance of running dry for any tank, at several make-ups.
type RiskMap struct {
	Years int
	Rows  []RiskRow // by rising make-up
	Gap   quantity.Volume
}

// RiskRow is one make-up of a RiskMap.
type RiskRow struct {
	Times   quantity.Ratio    // of today's make-up, the year through
	MakeUp  quantity.Flow     // on the deepest day, mean over the years
	Deepest []quantity.Volume // of each simulated year below full, sorted
}

// Risk returns the chance that a year has a short vend with so much usable
// water between full and the pump's cut-off:
//
//	P = share of years whose deepest level below full reaches V
//
// with its 95 % interval by [Wilson1927].
func (r RiskRow) Risk(usable quantity.Volume) Estimate[quantity.Ratio] {
	at, _ := slices.BinarySearch(r.Deepest, usable)
	return wilson(len(r.Deepest)-at, len(r.Deepest))
}

// Usable returns the usable water that a chance of a short year asks for: the
// iso-risk line at this make-up. Of few years small chances can't be told: the
// line is then above the deepest of all years, and ok is false.
func (r RiskRow) Usable(risk quantity.Ratio) (v quantity.Volume, ok bool) {
	n := len(r.Deepest)
	if n == 0 || !(0 < risk && risk < 1) {
		return 0, false
	}
	return quantile(r.Deepest, 1-float64(risk)), float64(risk)*float64(n) >= 1
}

// MapRisk simulates years at multiples of a case's make-up and returns the risk
// of running dry for tanks of every size.
//
// One run per make-up serves all tanks: until a tank first runs dry, its level
// below full is that of a tank without bottom, since customers and float are
// the same. So a year has a short vend exactly if the bottomless tank falls
// below full by the usable volume. The float's gap between stop and start is
// kept at the case's; a smaller tank than that gap can't be told.
//
// The error wraps [ErrRange] unless there are 1 to 100 multiples of 0.01 to
// 100, rising, and 2 to 100,000 years, or is that of [Simulate].
func MapRisk(ctx context.Context, c Case, times []quantity.Ratio, years int, seed uint64) (RiskMap, error) {
	err := firstError(within("make-ups", float64(len(times)), 1, 100), within("years", float64(years), 2, mostYears), c.Tank.Check())
	below := quantity.Ratio(0.01)
	for _, t := range times {
		err = firstError(err, within("multiple of make-up", float64(t), float64(below), 100))
		below = t
	}
	if err != nil {
		return RiskMap{}, fmt.Errorf("map of risk: %w", err)
	}
	m := RiskMap{Years: years, Gap: c.Tank.FloatDifferential()}
	for _, t := range times {
		row, err := c.row(ctx, t, years, seed)
		if err != nil {
			return RiskMap{}, fmt.Errorf("map of risk: %w", err)
		}
		m.Rows = append(m.Rows, row)
	}
	return m, nil
}

// row runs the years of one make-up on a bottomless tank.
func (c Case) row(ctx context.Context, times quantity.Ratio, years int, seed uint64) (RiskRow, error) {
	flows, err := c.MakeUp.flows()
	if err != nil {
		return RiskRow{}, err
	}
	c.MakeUp = func(day int) quantity.Flow { return quantity.Flow(flows[day]) * quantity.Flow(times) }
	deepest, days, err := c.deepest(ctx, years, seed)
	if err != nil {
		return RiskRow{}, err
	}
	slow := 0.0
	for _, d := range days {
		slow += flows[d] * float64(times) / float64(len(days))
	}
	slices.Sort(deepest)
	return RiskRow{Times: times, MakeUp: quantity.Flow(slow), Deepest: deepest}, nil
}

// deepest returns how far below full each year's level falls in a tank without
// bottom, and on which day.
func (c Case) deepest(ctx context.Context, years int, seed uint64) (deepest []quantity.Volume, days []int, err error) {
	if c.Tank, err = c.bottomless(); err != nil {
		return nil, nil, err
	}
	full := c.Tank.Stop
	deepest, days = make([]quantity.Volume, years), make([]int, years)
	err = onAllCores(years, func(i int) error {
		y, err := Simulate(ctx, c, yearSeed(seed, i))
		lowest := full
		for day, d := range y.Days {
			if d.Lowest < lowest {
				lowest, days[i] = d.Lowest, day
			}
		}
		deepest[i] = full - lowest
		return err
	})
	return deepest, days, err
}

// bottomless returns the case's tank with its float the same below full and
// water for the whole year beneath.
func (c Case) bottomless() (Tank, error) {
	d, err := c.Profile.Demand()
	if err != nil {
		return Tank{}, err
	}
	t := c.Tank
	// twice the year's water, for lucky years and long tails, and a floor no one meets
	full := max(2*d.Year, 4*t.Stop, 1)
	return Tank{Total: full, Stop: full, Start: full - t.FloatDifferential(), CutOff: 1e-3 * full, Restart: 0.01 * full, Pump: t.Pump}, nil
}

// Growth is how much more demand a rig can carry.
type Growth struct {
	Times      quantity.Ratio // of today's demand; 0 when even the least asked is too much
	PerDay     float64        // vehicles on a mean open day at that demand
	BusiestDay float64        // vehicles on the busiest day at that demand
	TurnedAway quantity.Ratio // of the peak hour's vehicles then, for want of a bay: where it is large, bays give out before water
	AtLeast    bool           // the limit is beyond 16 times today's demand
}

// Limits of the search for a demand.
const (
	leastGrowth = 1.0 / 64
	mostGrowth  = 16.0
)

// GoodUntil returns the demand at which today's rig gives out: all weekdays and
// groups multiplied alike, until the chance of a year with a short vend passes a
// risk. Within half a per cent of the multiple, for the simulated years, which
// are the same at every step; the years themselves leave some doubt, see
// [RiskRow.Risk].
//
// The error wraps [ErrRange] unless 0 < risk < 1 and 2 to 100,000 years, or is
// that of [Simulate].
func GoodUntil(ctx context.Context, c Case, risk quantity.Ratio, years int, seed uint64) (Growth, error) {
	err := firstError(within("risk", float64(risk), 1e-6, 1-1e-6), within("years", float64(years), 2, mostYears), c.Tank.Check())
	if err != nil {
		return Growth{}, fmt.Errorf("good until: %w", err)
	}
	holds := func(times float64) (bool, error) {
		more := c
		more.Profile = c.Profile.scaled(times)
		deepest, _, err := more.deepest(ctx, years, seed)
		slices.Sort(deepest)
		return err == nil && RiskRow{Deepest: deepest}.Risk(c.Tank.Usable()).Mean <= risk, err
	}
	low, high := leastGrowth, mostGrowth
	if ok, err := holds(low); err != nil || !ok {
		return Growth{}, wrapped("good until", err)
	}
	if ok, err := holds(high); err != nil || ok {
		return c.Profile.grown(high, ok), wrapped("good until", err)
	}
	for high/low > 1.005 {
		mid := math.Sqrt(low * high)
		ok, err := holds(mid)
		if err != nil {
			return Growth{}, wrapped("good until", err)
		}
		if ok {
			low = mid
		} else {
			high = mid
		}
	}
	return c.Profile.grown(low, false), nil
}

func wrapped(operation string, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("%s: %w", operation, err)
}

// grown tells a multiple in vehicles.
func (p Profile) grown(times float64, atLeast bool) Growth {
	g := Growth{Times: quantity.Ratio(times), AtLeast: atLeast}
	if d, err := p.scaled(times).Demand(); err == nil {
		g.PerDay, g.BusiestDay, g.TurnedAway = d.Vends/float64(d.OpenDays), d.Busiest, d.TurnedAway
	}
	return g
}

// scaled returns the profile with every weekday of every group multiplied.
func (p Profile) scaled(times float64) Profile {
	p.Groups = slices.Clone(p.Groups)
	for d := range p.Weekday {
		p.Weekday[d] *= times
		for i := range p.Groups {
			p.Groups[i].Weekday[d] *= times
		}
	}
	return p
}
