package demand

import (
	"context"
	"fmt"
	"math"

	"rinsewright/quantity"
)

// FloatGap is a float's gap between stop and start and what it does.
type FloatGap struct {
	Differential quantity.Volume
	Tank         Tank
	Starts       Estimate[float64]       // of make-up a day, over the days with demand
	RunPerStart  Estimate[quantity.Time] // of make-up
	Reserve      quantity.Volume         // between the float's start and the pump's cut-off
	RunDry       Estimate[quantity.Ratio]
	Reaches      bool // the starts asked for can be kept in this tank
}

// GapForStarts returns the smallest gap between a float's stop and start that
// keeps the starts of make-up at or below a number a day, over days with
// demand: after each start the first minutes are the worst water, which loads
// the resin. A wider gap starts later and so leaves less water when a rush
// begins: RunDry says what it costs. Where no gap of the tank is wide enough it
// returns the widest, with Reaches false.
//
// The error wraps [ErrRange] unless starts are 0.01 to 1000 a day and 2 to
// 100,000 years, or is that of [Repeat].
func GapForStarts(ctx context.Context, c Case, perDay float64, years int, seed uint64) (FloatGap, error) {
	err := firstError(within("starts a day", perDay, 0.01, 1000), within("years", float64(years), 2, mostYears), c.Tank.Check())
	var d Demand
	if err == nil {
		d, err = c.Profile.Demand()
	}
	if err != nil {
		return FloatGap{}, fmt.Errorf("float gap: %w", err)
	}
	try := func(gap float64) (FloatGap, error) { return c.withGap(ctx, gap, years, seed, perDay, d.OpenDays) }
	high := float64(c.Tank.Stop-c.Tank.CutOff) * mostGap
	low := high / 256
	widest, err := try(high)
	if err != nil || !widest.Reaches {
		return widest, wrapped("float gap", err)
	}
	best := widest
	for high/low > 1.02 {
		mid := math.Sqrt(low * high)
		g, err := try(mid)
		if err != nil {
			return FloatGap{}, wrapped("float gap", err)
		}
		if g.Reaches {
			best, high = g, mid
		} else {
			low = mid
		}
	}
	return best, nil
}

// mostGap is the largest share of the usable water that a gap may take: some
// must be left below the float's start.
const mostGap = 0.9

// withGap simulates a case with another gap.
func (c Case) withGap(ctx context.Context, gap float64, years int, seed uint64, perDay float64, open int) (FloatGap, error) {
	c.Tank.Start = c.Tank.Stop - quantity.Volume(gap)
	g := FloatGap{Differential: c.Tank.FloatDifferential(), Tank: c.Tank, Reserve: c.Tank.Start - c.Tank.CutOff}
	r, err := Repeat(ctx, c, years, seed)
	if err != nil {
		return g, err
	}
	each := float64(DaysInYear) / float64(open)
	g.Starts = Estimate[float64]{r.StartsPerDay.Mean * each, r.StartsPerDay.Low * each, r.StartsPerDay.High * each}
	g.RunPerStart, g.RunDry = r.RunPerStart, r.RunDry
	g.Reaches = g.Starts.Mean <= perDay
	return g, nil
}
