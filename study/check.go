package study

import (
	"context"
	"fmt"
	"runtime"
	"sync"

	"rinsewright/cost"
	"rinsewright/demand"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/water"
	"rinsewright/working"
)

// Options says how much work a question may take.
type Options struct {
	Seed  uint64 // the same seed gives the same answer
	Looks int    // looks behind every band; 0 is 64
	// Units and Locale are what sentences are written in; figures print in any.
	Units  quantity.System
	Locale quantity.Locale
	Busy   bool // also ask whether the busiest day keeps up, see [BusyDay]
	// brief leaves out the closer looks at beds and rig, which a sizing does not show.
	brief bool
}

const (
	defaultLooks = 64
	baseYears    = 8 // years behind the base look's run-dry share
	// A check simulates so many vends of busy years, within bounds: enough for a
	// risk of one year in ten at most sites, quick enough to wait for.
	checkBusyVends            = 150000
	fewestYears, checkedYears = 20, 60
)

// Check looks at the rig of a site as it hangs: what it does, what it can
// promise, why its resin lasts as long as it does, and what that costs.
// Bands come from running the same chain under the doubt of every reading,
// data sheet and assumption ([JCGM101]). The error wraps [ErrNoRig],
// [ErrNoSample] or [ErrNoDemand] where the survey says too little, or is that
// of the station that cannot work.
func Check(ctx context.Context, s *site.Site, o Options) (*Checked, error) {
	c, err := checkingOf(ctx, s, o)
	if err != nil {
		return nil, fmt.Errorf("check %s: %w", s.Name, err)
	}
	base := c.base
	if c.years, err = demand.Replicate(ctx, base.profile, base.store.tank, base.makeUp, baseYears, o.Seed); err != nil {
		return nil, fmt.Errorf("check %s: %w", s.Name, err)
	}
	if c.looks, err = looksAt(ctx, s, o); err != nil {
		return nil, fmt.Errorf("check %s: %w", s.Name, err)
	}
	r, err := c.result(ctx)
	if err != nil {
		return nil, err
	}
	if s.Rig.Membrane != nil && !o.brief {
		if rigged, err := Rig(s, o); err == nil { // a closer look that fails costs the check nothing
			r.Rig = rigged
		}
	}
	if !o.Busy {
		return r, nil
	}
	r.Busy, err = BusyDay(ctx, s, BusyOptions{Options: o, Years: busyYearsFor(c.base.demand.Vends)})
	return r, err
}

// checkingOf runs the chain once, as everything was read.
func checkingOf(ctx context.Context, s *site.Site, o Options) (*checking, error) {
	if s.Rig.Membrane == nil && len(s.Rig.Resin) == 0 {
		return nil, ErrNoRig
	}
	n := notes{units: o.Units, locale: o.Locale}
	base, err := lookAt(ctx, s, drawn{}, &n, o.Seed, change{})
	if err != nil {
		return nil, err
	}
	c := &checking{site: s, base: base, notes: &n, options: o}
	c.cost, err = c.costOf(base)
	return c, err
}

// busyYearsFor is how many years a check simulates for a site's vends a year.
func busyYearsFor(vends float64) int {
	return int(min(max(checkBusyVends/max(vends, 1), fewestYears), checkedYears))
}

// looksAt runs the chain under doubt, on all cores. Look i has its own seed,
// so the answer does not depend on how many cores there are. A look that
// cannot work (too cold, too little pressure) is left out and counted.
func looksAt(ctx context.Context, s *site.Site, o Options) ([]*look, error) {
	looks := o.Looks
	if looks <= 0 {
		looks = defaultLooks
	}
	waters, err := rawWaters(s, o.Seed, looks)
	if err != nil {
		return nil, err
	}
	found := make([]*look, looks)
	var wait sync.WaitGroup
	workers := max(runtime.GOMAXPROCS(0), 1)
	for w := range workers {
		wait.Go(func() {
			for i := w; i < looks && ctx.Err() == nil; i += workers {
				if l, err := lookAt(ctx, s, draw(o.Seed, uint64(i)+1, &waters[i]), &notes{}, o.Seed+uint64(i)+1, change{}); err == nil {
					found[i] = l
				}
			}
		})
	}
	wait.Wait()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	kept := found[:0]
	for _, l := range found {
		if l != nil {
			kept = append(kept, l)
		}
	}
	if len(kept) < looks/2 {
		return nil, fmt.Errorf("%w: under the doubt of what was read, fewer than half of the looks have any water", ErrFragile)
	}
	return kept, nil
}

// checking is a check under way.
type checking struct {
	site    *site.Site
	options Options
	base    *look
	looks   []*look
	once    bool // a sketch: nothing that asks for a second look
	years   demand.Replication
	cost    cost.Year
	notes   *notes
	book    book
}

func (c *checking) result(ctx context.Context) (*Checked, error) {
	r := &Checked{Site: Heading{c.site.Name, c.site.About, c.site.Origin, string(c.site.Use)}, Looks: len(c.looks)}
	c.write()
	r.Promises = c.promises()
	r.Settles = settlings(r.Promises)
	resin, err := c.resin(ctx)
	if err != nil {
		return nil, err
	}
	r.Resin = resin
	if r.Drain, err = c.drain(); err != nil {
		return nil, err
	}
	if r.Findings, err = c.findings(r); err != nil {
		return nil, err
	}
	if !c.once && !c.options.brief {
		if r.Beds, err = c.beds(ctx); err != nil {
			return nil, err
		}
	}
	r.Path = c.path(r)
	r.Months = c.months()
	for _, line := range c.cost.Lines {
		r.Costs = append(r.Costs, Cost{line.Name, money(line.Amount, c.cost.Currency)})
	}
	r.Costs = append(r.Costs, Cost{"total", money(c.cost.Total, c.cost.Currency)})
	r.Assumed = c.notes.assumed
	r.Cautions = cautionsOf(c.site)
	r.Working = c.book.steps
	return r, nil
}

func (c *checking) months() (m Months) {
	days := [12]float64{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}
	expected, err := c.base.profile.Days()
	for month, first := 0, 0; month < 12; month++ {
		m.PerDay[month] = c.base.monthly[month].Over(quantity.Days(1))
		low, high := spread(c.looks, func(l *look) float64 { return float64(l.monthly[month].Over(quantity.Days(1))) }, float64(m.PerDay[month]))
		m.Low[month], m.High[month] = quantity.Volume(low), quantity.Volume(high)
		most := 0.0
		for day := first; err == nil && day < first+int(days[month]) && day < len(expected); day++ {
			most = max(most, expected[day])
		}
		m.Needed[month] = quantity.Volume(most) * c.base.demand.PerVend
		first += int(days[month])
	}
	return m
}

// minerals that can scale a membrane, in the order they are told.
var minerals = []water.Mineral{water.Calcite, water.Gypsum, water.Barite, water.Celestite, water.Fluorite, water.AmorphousSilica}

func (c *checking) drain() (Drain, error) {
	point := c.base.today
	d := Drain{Recovery: point.Recovery()}
	if len(c.base.rig.plant.Train.Housings) == 0 {
		return d, nil
	}
	if r := float64(point.Recovery()); r > 0 {
		d.PerDay = c.base.demand.OpenDay * quantity.Volume(1/r-1)
		d.PerYear = c.base.demand.Year * quantity.Volume(1/r-1)
	}
	concentrate, err := strengthOf(point.Drain.Water)
	if err != nil {
		return d, fmt.Errorf("concentrate: %w", err)
	}
	d.Strength = concentrate.at25
	d.Index = -99
	for _, m := range minerals {
		if index := concentrate.solution.SaturationIndex(m); index > d.Index {
			d.First, d.Index = m.String(), index
		}
	}
	return d, nil
}

// book collects the working.
type book struct{ steps []working.Step }

func (b *book) add(s working.Step) string {
	s.ID = fmt.Sprintf("w%d", len(b.steps)+1)
	b.steps = append(b.steps, s)
	return s.ID
}
