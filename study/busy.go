package study

import (
	"context"
	"fmt"
	"slices"
	"time"

	"rinsewright/demand"
	"rinsewright/hydraulics"
	"rinsewright/quantity"
	"rinsewright/site"
)

// BusyOptions says what to ask of the busy Saturday.
type BusyOptions struct {
	Options
	Years  int            // simulated; 0 is 200
	Risk   quantity.Ratio // of a year with a short vend that the owner accepts; 0 is one year in ten
	Starts float64        // most starts of make-up on a mean open day, a number; 0 asks for runs of half an hour
	// Groups are further outlets on the tank, Interruptions what else stops the
	// make-up: a filter's backwash, say.
	Groups        []demand.Group
	Interruptions []demand.Interruption
	Log           *demand.LogFit // fitted from the site's vend log, in place of the survey's answers; nil for none
}

// Busy is whether the rig keeps up, and what would.
type Busy struct {
	Site   Heading
	Case   demand.Case
	Demand demand.Demand
	Years  demand.Replication

	BusiestDay time.Time // as a date of a year that has no 29 February
	Risk       quantity.Ratio
	Good       demand.Growth         // demand that today's rig carries at that risk
	Map        demand.RiskMap        // tank against make-up
	Lines      []BusyLine            // of the map
	MoreTank   quantity.Volume       // usable water that keeps the risk with today's make-up
	MoreMakeUp quantity.Ratio        // times today's make-up that keeps it with today's tank; 0 is beyond the map
	Gap        demand.FloatGap       // that keeps the starts asked for
	MostStarts float64               // of make-up a day, the number asked for
	Fill       quantity.Time         // from the pump's cut-off to full, coldest, nobody drawing
	Recovers   Spread[quantity.Time] // from the busiest day's lowest level to full
	MakeUp     [12]quantity.Flow     // in the middle of each month, with an empty tank
	Coldest    quantity.Flow         // least of them: rows of the map are multiples of it
	WhatIf     []BusyWhatIf
	Delivery   []Opened
	Assumed    []Assumption
	PumpStarts PumpDuty
	Suction    Inlet
}

// Spread is a middle with the 5 to 95 % band of simulated years.
type Spread[T ~float64] struct{ Low, Median, High T }

// BusyLine is one line of equal risk on the map of tank against make-up.
type BusyLine struct {
	Risk   quantity.Ratio
	Usable []quantity.Volume // at each row of the map
	Told   bool              // the years are enough for so small a risk
}

// BusyWhatIf is a busy year with one thing gone wrong on its busiest day.
type BusyWhatIf struct {
	Name   string
	Short  demand.Estimate[float64]        // short vends on that day, a number
	RunDry demand.Estimate[quantity.Ratio] // chance that the day has one
	Lowest quantity.Volume                 // level of the day, middle of the years
}

const (
	busyYears    = 200
	busyRisk     = 0.1
	whatIfYears  = 40
	goodRun      = 30 * 60.0 // s; runs of half an hour bring a fifth to a third of creep water, see [TradeDefaults]
	regeneration = 90        // minutes, from memory, unverified
	atNight      = 2         // o'clock
	slicesOfTank = 8
)

// busyTimes are the make-ups of the map, in multiples of today's.
var busyTimes = []quantity.Ratio{0.6, 0.7, 0.8, 0.9, 1, 1.15, 1.3, 1.5, 1.75, 2}

// BusyDay asks whether a site's tank and membrane keep up with its customers:
// the chance of running dry in a year and on the busiest day, at which hour, how
// much more demand the rig carries, what more tank or more make-up buys, and
// what goes wrong when something stops on the worst day. Every answer meets the
// same simulated customers. Errors are those of [Check] for surveys that say too
// little, or of [demand.Repeat].
func BusyDay(ctx context.Context, s *site.Site, o BusyOptions) (*Busy, error) {
	n := notes{units: o.Units, locale: o.Locale}
	l, err := lookAt(ctx, s, drawn{}, &n, o.Seed, change{})
	if err != nil {
		return nil, fmt.Errorf("busy day of %s: %w", s.Name, err)
	}
	b := &Busy{Site: Heading{s.Name, s.About, s.Origin, string(s.Use)}, Risk: o.risk()}
	b.Case = l.busyCase(s, o, &n)
	for _, step := range []func() error{
		func() error { return b.year(ctx, o) },
		func() error { return b.sizes(ctx, o) },
		func() error { return b.float(ctx, o, l) },
		func() error { return b.recovery() },
		func() error { return b.whatIf(ctx, o) },
		func() error { return b.deliver(s, l, &n) },
	} {
		if err := step(); err != nil {
			return nil, fmt.Errorf("busy day of %s: %w", s.Name, err)
		}
	}
	b.Assumed = n.assumed
	return b, nil
}

func (o BusyOptions) risk() quantity.Ratio {
	if o.Risk == 0 {
		return busyRisk
	}
	return o.Risk
}

func (o BusyOptions) years() int {
	if o.Years == 0 {
		return busyYears
	}
	return o.Years
}

// busyCase is the site as the simulation sees it.
func (l *look) busyCase(s *site.Site, o BusyOptions, n *notes) demand.Case {
	c := demand.Case{Profile: l.profile, Tank: l.store.tank, MakeUp: l.makeUp, Interruptions: o.Interruptions}
	if o.Log != nil {
		c.Profile = o.Log.Profile
		for _, a := range o.Log.Assumed {
			n.assume(a, "", "the vend log does not say")
		}
	}
	c.Profile.Groups = append(c.Profile.Groups[:len(c.Profile.Groups):len(c.Profile.Groups)], o.Groups...)
	if r, ok := l.regenerations(n); ok {
		c.Interruptions = append(c.Interruptions[:len(c.Interruptions):len(c.Interruptions)], r)
	}
	if slices, times := l.pushesBack(s); len(slices) > 0 {
		c.Back = slices
		c.MakeUp = func(day int) quantity.Flow { return l.makeUp(day) * quantity.Flow(times) }
	}
	return c
}

// regenerations are what the softener takes from the make-up's time.
func (l *look) regenerations(n *notes) (demand.Interruption, bool) {
	if l.softening == nil || !(l.today.Recovery() > 0) {
		return demand.Interruption{}, false
	}
	every, err := l.softening.cycle.Interval(l.demand.OpenDay / quantity.Volume(l.today.Recovery()))
	if err != nil {
		return demand.Interruption{}, false
	}
	n.assume("softener's regeneration", "90 minutes from two in the morning, the membrane standing still", "its valve's clock; a pair that alternates takes none")
	return demand.Interruption{Name: "softener regenerates", Every: int(min(max(every.Days(), 1), demand.DaysInYear)), At: quantity.Hours(atNight), For: quantity.Minutes(regeneration)}, true
}

// pushesBack gives the make-up of a pressurised tank by how full it is: its air
// pushes back on the membrane, more near full. times is the make-up of the empty
// tank over that at the mean pressure, which is what makeUp returns.
func (l *look) pushesBack(s *site.Site) (slices []demand.BackPressure, times float64) {
	if l.store.vented || s.Rig.Tank == nil || len(l.rig.plant.Train.Housings) == 0 {
		return nil, 1
	}
	at := func(air quantity.Pressure) float64 {
		other := *l
		other.store.back = air
		point, err := other.settle(l.feed.Temperature)
		if err != nil {
			return 0
		}
		return float64(point.Product().Flow)
	}
	precharge := s.Rig.Tank.Precharge.Or(s.Rig.Tank.StartAt.Or(quantity.PSI(20)) - quantity.PSI(2))
	mean, empty := at(l.store.back), at(precharge)
	full := float64(l.store.tank.Stop) // m³ of water at the stop
	if !(mean > 0 && empty > 0 && full > 0 && full < float64(l.store.volume)) {
		return nil, 1
	}
	left := 0.0
	for i := range slicesOfTank {
		water := full * (1 - (float64(i)+0.5)/slicesOfTank)
		air := float64(precharge+hydraulics.SeaLevel)*float64(l.store.volume)/(float64(l.store.volume)-water) - float64(hydraulics.SeaLevel)
		left = min(max(at(quantity.Pressure(air))/empty, left), 1)
		slices = append(slices, demand.BackPressure{Within: quantity.Volume(full * (float64(i) + 1) / slicesOfTank), Left: quantity.Ratio(left)})
	}
	return slices, empty / mean
}

// year simulates the years as they are.
func (b *Busy) year(ctx context.Context, o BusyOptions) (err error) {
	if b.Demand, err = b.Case.Profile.Demand(); err != nil {
		return err
	}
	month, day := demand.DateOf(b.Demand.BusiestDay)
	b.BusiestDay = time.Date(2001, month, day, 0, 0, 0, 0, time.UTC)
	for m := range b.MakeUp {
		middle, err := demand.DayOf(time.Month(m+1), 15)
		if err != nil {
			return err
		}
		b.MakeUp[m] = b.Case.MakeUp(middle)
	}
	b.Coldest = slices.Min(b.MakeUp[:])
	b.Years, err = demand.Repeat(ctx, b.Case, o.years(), o.Seed)
	return err
}

// sizes finds what more tank, more make-up or more customers do.
func (b *Busy) sizes(ctx context.Context, o BusyOptions) (err error) {
	if b.Map, err = demand.MapRisk(ctx, b.Case, busyTimes, o.years(), o.Seed); err != nil {
		return err
	}
	for _, risk := range []quantity.Ratio{0.5, 0.2, 0.05, 0.01} {
		line := BusyLine{Risk: risk, Told: true}
		for _, row := range b.Map.Rows {
			usable, ok := row.Usable(risk)
			line.Usable = append(line.Usable, usable)
			line.Told = line.Told && ok
		}
		b.Lines = append(b.Lines, line)
	}
	usable := b.Case.Tank.Usable()
	for _, row := range b.Map.Rows {
		if row.Times == 1 {
			b.MoreTank, _ = row.Usable(b.Risk)
		}
		if b.MoreMakeUp == 0 && row.Risk(usable).Mean <= b.Risk {
			b.MoreMakeUp = row.Times
		}
	}
	b.Good, err = demand.GoodUntil(ctx, b.Case, b.Risk, max(o.years()/4, 10), o.Seed)
	return err
}

// float finds the gap that keeps starts of make-up under the creep limit.
func (b *Busy) float(ctx context.Context, o BusyOptions, l *look) (err error) {
	b.MostStarts = o.Starts
	if made := float64(l.today.Product().Flow); b.MostStarts == 0 && made > 0 {
		b.MostStarts = max(float64(b.Demand.OpenDay)/(made*goodRun), 1)
	}
	if b.MostStarts == 0 || b.Case.Tank.FloatDifferential() == 0 {
		return nil
	}
	b.Gap, err = demand.GapForStarts(ctx, b.Case, b.MostStarts, min(whatIfYears, o.years()), o.Seed)
	return err
}

// recovery tells how long the tank takes to come back.
func (b *Busy) recovery() (err error) {
	if b.Coldest > 0 {
		if b.Fill, err = demand.FillTime(b.Case.Tank.Usable(), b.Coldest); err != nil {
			return err
		}
	}
	makes := b.Case.MakeUp(b.Demand.BusiestDay)
	if !(makes > 0) {
		return nil
	}
	low := demand.LevelBand{Low: b.Case.Tank.Stop, Median: b.Case.Tank.Stop, High: b.Case.Tank.Stop}
	for _, band := range b.Years.BusyDay {
		low.Low, low.Median, low.High = min(low.Low, band.Low), min(low.Median, band.Median), min(low.High, band.High)
	}
	took := func(level quantity.Volume) quantity.Time {
		return quantity.Time(float64(b.Case.Tank.Stop-level) / float64(makes))
	}
	b.Recovers = Spread[quantity.Time]{took(low.High), took(low.Median), took(low.Low)}
	return nil
}

// whatIf runs the busiest day with something gone wrong.
func (b *Busy) whatIf(ctx context.Context, o BusyOptions) error {
	day, peak := b.Demand.BusiestDay, quantity.Hours(float64(b.Demand.PeakHour))
	for _, i := range []demand.Interruption{
		{Name: "as it is", Day: day, For: 1, Left: 1},
		{Name: "membrane out for the day", Day: day, For: quantity.Days(1)},
		{Name: "membrane out for the day before and the day", Day: max(day-1, 0), For: quantity.Days(2)},
		{Name: "half the make-up that day: a clogged filter", Day: day, For: quantity.Days(1), Left: 0.5},
		{Name: "power cut of an hour at the peak", Day: day, At: peak, For: quantity.Hours(1), PowerOff: true},
	} {
		c := b.Case
		c.Interruptions = append(c.Interruptions[:len(c.Interruptions):len(c.Interruptions)], i)
		r, err := demand.Repeat(ctx, c, min(whatIfYears, o.years()), o.Seed)
		if err != nil {
			return fmt.Errorf("%s: %w", i.Name, err)
		}
		lowest := c.Tank.Stop
		for _, band := range r.BusyDay {
			lowest = min(lowest, band.Median)
		}
		b.WhatIf = append(b.WhatIf, BusyWhatIf{Name: i.Name, Short: r.ShortBusiest, RunDry: r.RunDryBusiest, Lowest: lowest})
	}
	return nil
}

// Week returns, from Monday, the mean level of each clock hour as a share of
// full, and the short vends a year in it, a number: what a picture of the week
// shows.
func (b *Busy) Week() (fill, short [7][24]float64) {
	full := float64(b.Case.Tank.Stop)
	for d := range fill {
		for h := range fill[d] {
			w := b.Years.Week[(d+1)%7][h]
			fill[d][h] = min(max(float64(w.Level)/full, 0), 1)
			short[d][h] = w.Short
		}
	}
	return fill, short
}
