package study

import (
	"context"
	"fmt"

	"rinsewright/demand"
	"rinsewright/site"
)

// Sketch is [Check] without what takes time: one run of the same chain as
// everything was read, so what it tells is what Check tells, with one
// exception: rinses that run short of water are those of one simulated year,
// not of several. It has no bands, no other arrangements for the resin, no beds
// to their endpoints, no closer look at the rig and no busiest day. It answers
// someone who turns a knob; Check follows. Errors are those of Check, except
// that it does not see a rig that is too close to making no water.
func Sketch(ctx context.Context, s *site.Site, o Options) (*Checked, error) {
	c, err := checkingOf(ctx, s, o)
	if err != nil {
		return nil, fmt.Errorf("sketch %s: %w", s.Name, err)
	}
	c.once, c.looks = true, []*look{c.base}
	year := c.base.year
	c.years.Years = 1
	c.years.ShortShare.Mean = year.ShortShare()
	c.years.Short, c.years.Wanted = once(year.Short()), once(year.Wanted)
	return c.result(ctx)
}

func once(n int) demand.Estimate[float64] { return demand.Estimate[float64]{Mean: float64(n)} }
