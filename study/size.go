package study

import (
	"context"
	"errors"
	"fmt"

	"rinsewright/catalog"
	"rinsewright/membrane"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/sizing"
	"rinsewright/water"
	"rinsewright/working"
)

// SizeOptions says what a sizing is held to, and how much work it may take. A
// zero field takes the value of [SizeDefaults].
type SizeOptions struct {
	Options
	Years    int            // that cost is counted over
	Discount quantity.Ratio // a year
	Within   quantity.Ratio // headroom may cost so much more than the least over the years
	Short    quantity.Ratio // rinses that may run short of water
	// Told hears how many judgements were made, from several goroutines at once;
	// nil when nobody waits.
	Told func(judged int)
}

// SizeDefaults returns the usual options. Source: [TradeDefaults].
func SizeDefaults() SizeOptions {
	return SizeOptions{Options: Options{Seed: 1, Looks: 24}, Years: 5, Discount: 0.06, Within: 0.25, Short: 0.01}
}

func (o SizeOptions) filled() SizeOptions {
	d := SizeDefaults()
	o.Looks = pick(o.Looks, d.Looks)
	o.Years = pick(o.Years, d.Years)
	o.Discount = pick(o.Discount, d.Discount)
	o.Within = pick(o.Within, d.Within)
	o.Short = pick(o.Short, d.Short)
	return o
}

func pick[T comparable](x, d T) T {
	var zero T
	if x == zero {
		return d
	}
	return x
}

// Limits that a sized system keeps, beside those of its parts. Source:
// [TradeDefaults]: 20 psi left in a main, 30 psi at a gun, four fifths of its
// flow with every gun open, half an hour of running per start, water that
// stands no longer than five days.
var (
	leastMain = quantity.PSI(20)
	leastGun  = quantity.PSI(30)
)

const (
	leastTogether = 0.8
	mostSulphide  = quantity.MassConc(5e-5) // kg/m³ at the gun, about where it is smelt
	leastRun      = quantity.Time(30 * 60)
	mostStanding  = quantity.Time(5 * 86400)
)

// usualTarget is held where neither the survey nor the use says how good the
// water has to be. Source: [TradeDefaults], vehicles.
const usualTarget = quantity.MassConc(0.010)

// Sized is what a survey becomes: three systems to hang on the wall, or what
// stands in the way of any.
type Sized struct {
	Site     Heading
	Picks    []Pick
	Now      *Now // what hangs there, nil when nothing does
	Frontier []FrontierPoint
	Turns    []Turn // prices at which another system would cost least over the years, the nearest first
	// Ways is what would let a system in, the least relaxation first, when no
	// system holds every constraint.
	Ways     []Way
	Cut      bool   // the search for what binds ended early, so that more may bind
	Together string // what the cheapest system breaks at once, when no single relaxation helps
	Target   Figure // strength wanted at the gun
	Years    int
	Discount quantity.Ratio
	Within   quantity.Ratio
	Systems  float64 // number that the catalogue allows
	Judged   int
	Looks    int
	Assumed  []Assumption
	Cautions []Caution

	telling *telling // for another point of the frontier
}

// Pick is one of the three systems.
type Pick struct {
	Name   string // as in the contract: "least_first_cost"
	Says   string
	SameAs string // name of an earlier pick that is the same system
	Short  string // the system in one line

	Parts  []PartLine
	First  Figure
	Yearly Figure
	Over   Figure
	Costs  []Cost

	Headroom quantity.Ratio
	Limits   []Limit // the most used first
	Binds    []Bind
	Fails    *Neighbour // the cheaper neighbour, nil when there is none

	Path     []Station
	BindsAt  int // station of Path where what binds first acts, -1 for none
	Drain    Drain
	Promises []Promise
	Months   Months
	Working  []working.Step
	Findings []Finding

	system *sizing.System
	rigged *site.Site
}

// PartLine is one line of a parts list.
type PartLine struct {
	Name   string
	Kind   string
	Count  float64 // number of pieces, or of metres
	Kept   bool    // hangs there already
	Old    bool    // takes the place of what hangs there
	listed string  // its name in the catalogue, where it is bought
	Amount Figure  // with fitting
}

// Limit is how much of a limit a pick uses.
type Limit struct {
	Constraint string
	Used       quantity.Ratio
	Says       string
}

// Bind is a constraint that stops something cheaper.
type Bind struct {
	Constraint string
	Says       string
}

// Neighbour is the cheaper system that fails.
type Neighbour struct {
	Instead string // what it changes
	Saves   Figure
	Fails   Limit
}

// Now is what hangs there, held to the same constraints.
type Now struct {
	Short  string
	Breaks []Limit
	Yearly Figure
}

// FrontierPoint is a system that no other beats in first cost, yearly cost, rinses
// that run short and water to the drain, the last two told apart in steps.
type FrontierPoint struct {
	Short    string
	First    Figure
	Yearly   Figure
	Over     Figure
	Headroom quantity.Ratio
	Risk     Figure // rinses that run short of water
	Drain    Figure // to the drain in a year
	Beaten   bool   // in both costs: it stands here for its risk or its drain
	Pick     string // name of the pick it is

	system *sizing.System
}

// Way is a constraint that, relaxed, lets a system in; or several together.
type Way struct {
	Constraint string // several joined by "and"
	Together   int    // number of constraints
	Says       string // by how much
	Short      string // the system that comes in
	First      Figure
	Over       Figure
}

// Size searches every system that the catalogue and what hangs on the wall
// allow for the survey of a site, by the same chain as [Check], and returns
// three picks with what binds them. Promises and their bands are made for the
// picks only. When nothing holds every constraint, the result has no picks and
// says which constraint to relax and by how much, or which two together. The error wraps
// [ErrNoSample], [ErrNoDemand], [catalog.ErrRead] for a catalogue without the
// parts it takes, or is the search's.
func Size(ctx context.Context, s *site.Site, parts *catalog.Catalogue, o SizeOptions) (*Sized, error) {
	o = o.filled()
	n := &notes{units: o.Units, locale: o.Locale}
	z, err := newSizer(s, parts, o, n)
	if err != nil {
		return nil, fmt.Errorf("size %s: %w", s.Name, err)
	}
	p := z.problem()
	if o.Told != nil {
		tell(p.Stages, o.Told)
	}
	found, err := sizing.Find(ctx, p)
	if err != nil {
		return nil, fmt.Errorf("size %s: %w", s.Name, err)
	}
	if found.LeastOver == nil && len(found.Relaxations) == 0 {
		pairs := z.afresh(2)
		if two, err := sizing.Find(ctx, pairs.problem()); err == nil {
			z, found = pairs, two
		} else if !errors.Is(err, sizing.ErrTooMany) {
			return nil, fmt.Errorf("size %s: %w", s.Name, err)
		}
	}
	r, err := z.result(ctx, s, found, n)
	if err != nil {
		return nil, fmt.Errorf("size %s: %w", s.Name, err)
	}
	z.forget()
	return r, nil
}

func newSizer(s *site.Site, parts *catalog.Catalogue, o SizeOptions, n *notes) (*sizer, error) {
	bare := *s
	bare.Rig, bare.Log, bare.Samples = site.Rig{}, nil, nil
	if hang := s.Rig.Line; hang != nil { // the tube from membrane to tank stays with every choice
		bare.Rig.Line = &site.Line{PermeateTube: hang.PermeateTube, PermeateLength: hang.PermeateLength}
	}
	for _, w := range s.Samples {
		if w.Place == "raw" || w.Place == "feed" {
			bare.Samples = append(bare.Samples, w) // readings behind the old membrane say nothing of a new one
		}
	}
	z := &sizer{
		site: &bare, rig: s.Rig, options: o, quality: membrane.SurfaceFeed, allow: 1,
	}
	if s.Supply.Source == site.Well {
		z.quality = membrane.WellFeed
	}
	prices := pricesOf(s.Prices, n)
	z.labour = wholeMoney(float64(prices.Labour.Value))
	if err := z.begin(n); err != nil {
		return nil, err
	}
	h := shelf{site: s, parts: parts, labour: z.labour, prices: prices, say: func(m quantity.Mass) string { return sizeText(z, m) }, gas: z.base.raw.Solution.CO2(), made: z.base.demand.Year, least: z.leastMade()}
	if z.choices = h.choices(); z.short() != "" {
		return nil, fmt.Errorf("%w: it has no part for the stage %q", catalog.ErrRead, z.short())
	}
	z.most = z.mostRecovery()
	z.fewDeliveries()
	z.soundDeliveries()
	z.soundTanks()
	z.soundBottles()
	z.alikeWaters()
	z.soundFeeds()
	z.bySize = bySize(z.choices[restrictorStage])
	for i := range z.choices[outletStage] {
		z.plain = append(z.plain, z.outletLike(z.choices[outletStage][i]))
	}
	if err := z.weigh(); err != nil {
		return nil, err
	}
	if parts.Currency != prices.Currency {
		n.assume("currency of the catalogue", prices.Currency, "its prices are told in "+parts.Currency+" and taken as they stand")
	}
	n.assume("prices of parts", "the catalogue's", "typical sizes at invented prices: put your supplier's in before you quote")
	return z, nil
}

// short names a stage that nothing can fill.
func (z *sizer) short() string {
	for i, c := range z.choices {
		if len(c) == 0 {
			return stageNames[i]
		}
	}
	return ""
}

// begin takes what no choice changes: water, demand, chlorine, the year's
// temperatures, the target.
func (z *sizer) begin(n *notes) error {
	l := &z.base
	if err := l.takeWater(z.site, drawn{}, n, change{}); err != nil {
		return err
	}
	l.feed = l.raw.Water
	if err := l.takeDemand(z.site, drawn{}, n); err != nil {
		return err
	}
	l.challenge, l.chlorine = challengeOf(z.site, l.raw, n)
	cold, warm := l.coldAndWarm(z.site, n)
	z.cold, z.warm = warm, cold
	for month := range z.temps {
		z.temps[month] = monthTemperature(month, coldestMonth(z.site), cold, warm)
		if l.profile.Month[month] > 0 {
			z.cold, z.warm = min(z.cold, z.temps[month]), max(z.warm, z.temps[month])
		}
	}
	feed, err := membrane.FeedOf(water.Stream{Water: l.feed.At(z.cold), Flow: quantity.LitresPerMinute(1), Pressure: quantity.Bar(3)}, 0)
	if err != nil {
		return err
	}
	z.osmotic = feed.OsmoticPressure
	var ok bool
	c := checking{site: z.site, base: l, notes: n}
	if z.target, ok = c.target(); !ok {
		z.target = usualTarget
		n.assume("strength wanted at the gun", ppm(usualTarget), "ask what dries on which surface")
	}
	return nil
}

// ironOf is the iron and manganese that a sample of the raw water read.
func ironOf(s *site.Site) quantity.MassConc {
	sample, _ := sampleAt(s, "raw")
	return sample.Ions[water.Iron].Or(0) + sample.Ions[water.Manganese].Or(0)
}

// bringsChlorine says whether the feed may hold chlorine, as the chain takes it.
func bringsChlorine(s *site.Site) bool {
	w, ok := sampleAt(s, "raw")
	if ok && (w.TotalChlorine.Known || w.FreeChlorine.Known) {
		return w.TotalChlorine.Or(0)+w.FreeChlorine.Or(0) > 0
	}
	return disinfectantOf(s, &notes{}) != site.NoDisinfectant
}

// ErrNoSystem marks a survey that no system of the catalogue can serve; see
// [Sized.Ways].
var ErrNoSystem = errors.New("no system holds every constraint")
