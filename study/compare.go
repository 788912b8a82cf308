package study

import (
	"context"
	"fmt"
	"math"
	"slices"

	"rinsewright/catalog"
	"rinsewright/cost"
	"rinsewright/quantity"
	"rinsewright/site"
)

// Compared is the ways to make a site's rinse water, side by side on the same
// water, demand and prices.
type Compared struct {
	Site     Heading
	Years    int
	Discount quantity.Ratio
	Ways     []Alternative // least over the years first; those that cannot be had last
	Assumed  []Assumption
	Cautions []Caution
}

// Alternative is one of them.
type Alternative struct {
	Name      string // "resin alone"
	Says      string // what it takes
	Here      bool   // it is what hangs there
	Cannot    string // why it cannot be had; the figures are then nil
	Buys      []PartLine
	First     Figure // of what it buys, fitted
	Costs     []Cost // of a year
	Yearly    Figure
	PerRinse  Figure
	PerMinute Figure // of rinse sold
	Present   Figure // first cost and years, in today's money
	Payback   string // beside what hangs there, or the cheapest to begin with
	Strength  Figure // at the gun
	Misses    string // by how much it misses the strength that is wanted; "" where it does not
	Bottle    Figure // one bottle of resin lasts; nil without resin
	Drain     Figure // a year
	Coldest   string // whether the busiest day of the coldest month is made in a day
	Ties      []TiedPrice

	first cost.Money
	year  cost.Year
	life  cost.Money
}

// TiedPrice is how much a price would have to change for a way to cost a year
// what the cheapest does.
type TiedPrice struct {
	Price string
	Times float64 // its multiple, a number
}

// CompareOptions says what ways are compared over.
type CompareOptions struct {
	Options
	Years    int
	Discount quantity.Ratio
}

// What the ways take for granted. Source: [TradeDefaults]: a bay wash takes
// about 35 US gal a car and a night is ten hours.
const (
	washPerArea = 35 * 3.785411784e-3 / 30 // m of water on a car's 30 m²
	nightHours  = 10
	mostWay     = 8 // elements
)

// Compare runs the whole path for each way to make the water: as it hangs,
// resin alone, membrane alone, both, both behind a softener, concentrate used
// again for the wash, and a tank that is filled at night. The error is that of
// [Check] for a survey that says too little.
func Compare(ctx context.Context, s *site.Site, parts *catalog.Catalogue, o CompareOptions) (*Compared, error) {
	d := SizeDefaults()
	o.Years = pick(o.Years, d.Years)
	if o.Discount == 0 {
		o.Discount = d.Discount
	}
	if _, _, err := rawSample(s); err != nil {
		return nil, fmt.Errorf("compare ways for %s: %w", s.Name, err)
	}
	if _, err := answersOf(s.Demand); err != nil {
		return nil, fmt.Errorf("compare ways for %s: %w", s.Name, err)
	}
	c := comparing{ctx: ctx, site: s, options: o, parts: parts, notes: &notes{units: o.Units, locale: o.Locale}}
	c.prices = pricesOf(s.Prices, c.notes)
	r := &Compared{Site: Heading{s.Name, s.About, s.Origin, string(s.Use)}, Years: o.Years, Discount: o.Discount}
	for _, w := range wayTable {
		way, ok, err := c.try(w)
		if err != nil {
			return nil, fmt.Errorf("compare ways for %s: %w", s.Name, err)
		}
		if ok {
			r.Ways = append(r.Ways, way)
		}
	}
	c.judge(r.Ways)
	r.Assumed = c.notes.assumed
	r.Cautions = cautionsOf(s)
	return r, nil
}

// comparing is a comparison under way.
type comparing struct {
	ctx     context.Context
	site    *site.Site
	parts   *catalog.Catalogue
	options CompareOptions
	prices  cost.Prices
	notes   *notes
}

// wayKind is one row of the table: what it makes of a site. It returns ok false
// where the way is what another row shows already.
type wayKind struct {
	name string
	make func(c *comparing) (made wayMade, ok bool)
}

// wayMade is a site as a way would have it.
type wayMade struct {
	site   site.Site
	says   string
	here   bool
	buys   []PartLine
	first  cost.Money
	reuses bool // concentrate goes to the wash
	night  bool // the membrane runs at the night's price
}

var wayTable = []wayKind{
	{"as it hangs", asItHangs},
	{"resin alone", resinAlone},
	{"membrane alone", membraneAlone},
	{"membrane and resin", membraneAndResin},
	{"membrane and resin behind a softener", softenedWay},
	{"concentrate used again for the wash", reusedWay},
	{"made at night into a larger tank", nightWay},
}

func (c *comparing) plain() wayMade { return wayMade{site: *c.site} }

// buy adds the smallest part of a kind that is large enough, or the largest.
func (c *comparing) buy(m *wayMade, kind catalog.Kind, count float64, enough func(catalog.Part) bool) (catalog.Part, bool) {
	var best catalog.Part
	found := false
	for _, p := range c.parts.Of(kind) {
		if !enough(p) {
			continue
		}
		if !found || p.Price < best.Price {
			best, found = p, true
		}
	}
	if !found {
		return best, false
	}
	each := cost.Money(best.Price) + cost.Money(math.Round(best.Fit.Hours()*float64(c.prices.Labour.Value)))
	amount := cost.Money(math.Round(count * float64(each)))
	m.first += amount
	m.buys = append(m.buys, PartLine{Name: best.Name, Kind: string(kind), Count: count, Amount: money(amount, c.prices.Currency)})
	return best, true
}

func anyPart(catalog.Part) bool { return true }

func asItHangs(c *comparing) (wayMade, bool) {
	m := c.plain()
	m.here, m.says = true, "nothing is bought"
	return m, c.site.Rig.Membrane != nil || len(c.site.Rig.Resin) > 0
}

func resinAlone(c *comparing) (wayMade, bool) {
	if c.site.Rig.Membrane == nil && len(c.site.Rig.Resin) > 0 && c.site.Rig.Softener == nil {
		return wayMade{}, false
	}
	m := c.plain()
	m.site.Rig.Membrane, m.site.Rig.Restrictor, m.site.Rig.Booster, m.site.Rig.Softener = nil, nil, nil, nil
	m.says = "the raw water goes through resin, nothing to the drain"
	return m, c.bottle(&m)
}

// bottle hangs one where there is none.
func (c *comparing) bottle(m *wayMade) bool {
	if len(m.site.Rig.Resin) > 0 {
		return true
	}
	p, ok := c.buy(m, catalog.Resin, 1, func(p catalog.Part) bool { return p.Volume >= quantity.CubicFeet(0.9) })
	m.site.Rig.Resin = []site.Vessel{{Volume: quantity.Told(p.Volume), Place: "before tank", Made: p.Medium}}
	return ok
}

// element hangs a membrane where there is none: so many of the usual size as
// make the busiest day's water in a day of the coldest month.
func (c *comparing) element(m *wayMade) bool {
	if m.site.Rig.Membrane != nil {
		return true
	}
	for count := 1; count <= mostWay; count++ {
		tried := membraned(&m.site)
		tried.Rig.Membrane.Count = count
		if l, err := c.look(tried); count < mostWay && (err != nil || !enoughInADay(l, 24)) {
			continue
		}
		m.site = *tried
		_, ok := c.buy(m, catalog.Element, float64(count), func(p catalog.Part) bool { return p.Size == defaultSize })
		_, also := c.buy(m, catalog.Housing, float64(count), func(p catalog.Part) bool { return p.Size == defaultSize })
		l, err := c.look(tried)
		if err != nil {
			return false
		}
		drains := l.today.ToDrain()
		_, and := c.buy(m, catalog.Restrictor, 1, func(p catalog.Part) bool { return p.Flow >= 0.9*drains })
		return ok && also && and
	}
	return false
}

func enoughInADay(l *look, hours float64) bool {
	return float64(coldestFlow(nil, l))*hours*3600 >= float64(l.demand.BusyDay)
}

func membraneAlone(c *comparing) (wayMade, bool) {
	if c.site.Rig.Membrane != nil && len(c.site.Rig.Resin) == 0 {
		return wayMade{}, false
	}
	m := c.plain()
	m.site.Rig.Resin = nil
	m.says = "what the membrane lets through reaches the glass"
	return m, c.element(&m)
}

func membraneAndResin(c *comparing) (wayMade, bool) {
	if c.site.Rig.Membrane != nil && len(c.site.Rig.Resin) > 0 && c.site.Rig.Softener == nil {
		return wayMade{}, false
	}
	m := c.plain()
	m.site.Rig.Softener = nil
	m.says = "the membrane takes most of the salt, resin the rest"
	return m, c.element(&m) && c.bottle(&m)
}

func softenedWay(c *comparing) (wayMade, bool) {
	if c.site.Rig.Softener != nil {
		return wayMade{}, false
	}
	m := c.plain()
	if !c.element(&m) || !c.bottle(&m) {
		return m, false
	}
	p, ok := c.buy(&m, catalog.Softener, 1, anyPart)
	m.site.Rig.Softener = &site.Softener{Resin: quantity.Told(p.Volume), SaltDose: quantity.Told(p.Salt)}
	m.says = "no scale on the membrane; salt to carry, brine to the sewer where the local code allows it"
	return m, ok
}

func reusedWay(c *comparing) (wayMade, bool) {
	if _, washes := outsideArea[c.site.Use]; !washes {
		return wayMade{}, false
	}
	m := c.plain()
	if !c.element(&m) {
		return m, false
	}
	m.reuses = true
	m.says = "the wash stage takes concentrate before town water, through a tank of its own; hard concentrate still spots, so it never rinses"
	_, ok := c.buy(&m, catalog.Tank, 1, anyPart)
	return m, ok
}

func nightWay(c *comparing) (wayMade, bool) {
	m := c.plain()
	if !c.element(&m) {
		return m, false
	}
	l, err := c.look(&m.site)
	if err != nil {
		return m, false
	}
	busy := l.demand.BusyDay
	p, ok := c.buy(&m, catalog.Tank, 1, func(p catalog.Part) bool { return float64(p.Volume)*0.85 >= float64(busy) })
	if !ok {
		return m, false
	}
	m.night, m.site.Rig.Tank = true, &site.Tank{Kind: "vented", Volume: quantity.Told(p.Volume)}
	if !enoughInADay(l, nightHours) {
		return m, false // as many elements again is another system: size finds it
	}
	m.says = fmt.Sprintf("a busiest day of %s waits in the tank; power at the night price", quantity.FormatLocale(busy, c.options.Units, c.options.Locale))
	return m, true
}

func (c *comparing) look(s *site.Site) (*look, error) {
	return lookAt(c.ctx, s, drawn{}, c.notes, c.options.Seed, change{})
}

// try makes one way and runs its path.
func (c *comparing) try(k wayKind) (Alternative, bool, error) {
	m, ok := k.make(c)
	if !ok {
		return Alternative{}, false, nil
	}
	w := Alternative{Name: k.name, Says: m.says, Here: m.here, Buys: m.buys, first: m.first}
	l, err := c.look(&m.site)
	if err != nil {
		if m.here {
			return w, false, err
		}
		w.Cannot = err.Error()
		return w, true, nil
	}
	one := checking{site: &m.site, base: l, notes: c.notes, options: c.options.Options}
	use := one.useOf(l)
	if m.reuses {
		again := min(use.Drain, quantity.Volume(washPerArea*float64(outsideArea[c.site.Use])*l.demand.Vends))
		use.Feed, use.Drain = use.Feed-again, use.Drain-again
	}
	if w.year, err = cost.Yearly(use, c.paid(m)); err != nil {
		return w, false, err
	}
	life := cost.Life{First: w.first, Yearly: w.year.Total, Years: c.options.Years, Discount: c.options.Discount}
	if w.life, err = life.Present(); err != nil {
		return w, false, err
	}
	c.tell(&w, l, use)
	if target, ok := one.target(); ok {
		if pen, err := penNaCl(l.gun.at25); err == nil && pen > target {
			w.Misses = fmt.Sprintf("misses what is wanted: a pen reads %.1f ppm, not %s", pen.MilligramsPerLitre(), ppm(target))
		}
	}
	return w, true, nil
}

// paid are the prices a way pays: power at night where the site has a night
// price.
func (c *comparing) paid(m wayMade) cost.Prices {
	p := c.prices
	if m.night && p.NightPower.Known {
		p.Power = p.NightPower
	}
	return p
}

func (c *comparing) tell(w *Alternative, l *look, use cost.Use) {
	in := func(m cost.Money) Figure { return money(m, c.prices.Currency) }
	for _, line := range w.year.Lines {
		w.Costs = append(w.Costs, Cost{line.Name, in(line.Amount)})
	}
	w.First, w.Yearly, w.Present = in(w.first), in(w.year.Total), in(w.life)
	w.PerRinse = amount{w.year.PerRinseExact, c.prices.Currency}
	if minutes := soldMinutes(l); minutes > 0 {
		w.PerMinute = amount{w.year.PerRinseExact / minutes, c.prices.Currency}
	}
	w.Strength, w.Drain = figure(l.gun.at25), figure(use.Drain)
	if days := resinDays(nil, l); !math.IsNaN(days) && len(l.rig.beds) > 0 {
		w.Bottle = life{quantity.Time(days)}
	}
	if len(l.rig.plant.Train.Housings) > 0 {
		w.Coldest = "makes the busiest day in a day of the coldest month"
		if !enoughInADay(l, 24) {
			w.Coldest = "makes less than the busiest day in a day of the coldest month"
		}
	}
}

// soldMinutes is how long the rinse of one vend runs, a number of minutes.
func soldMinutes(l *look) float64 {
	v := l.profile.Vends[0]
	return v.Length.Minutes() * float64(v.SpotFree)
}

// judge orders the ways by what they cost over the years, and sets each beside
// the one that costs least at first and least a year.
func (c *comparing) judge(all []Alternative) {
	slices.SortStableFunc(all, func(a, b Alternative) int {
		if (a.Cannot == "") != (b.Cannot == "") {
			if a.Cannot == "" {
				return -1
			}
			return 1
		}
		return int(a.life - b.life)
	})
	from := -1 // what hangs there, else the least first cost
	for i, w := range all {
		if w.Cannot == "" && (from < 0 || w.Here || !all[from].Here && w.first < all[from].first) {
			from = i
		}
	}
	for i := range all {
		w := &all[i]
		if w.Cannot != "" || i == from {
			continue
		}
		w.Payback = payback(w, &all[from], c.options.Discount)
		for _, line := range []string{"water", "sewer", "resin", "power", "salt", "membrane", "travel to change resin"} {
			if times, ok := cost.Tie(w.year, all[0].year, line); i > 0 && ok && times < 20 {
				w.Ties = append(w.Ties, TiedPrice{line, times})
			}
		}
		slices.SortFunc(w.Ties, func(a, b TiedPrice) int {
			return int(1e3 * (math.Abs(math.Log(a.Times)) - math.Abs(math.Log(b.Times))))
		})
	}
}

func payback(w, from *Alternative, d quantity.Ratio) string {
	extra, saved := w.first-from.first, from.year.Total-w.year.Total
	years, ok := cost.Payback(extra, saved, d)
	switch {
	case !ok, saved <= 0:
		return "never beside " + from.Name
	case years == 0:
		return "at once beside " + from.Name
	case years < 1.0/12:
		return "within a month beside " + from.Name
	case years < 1:
		return fmt.Sprintf("in %.0f months beside %s", math.Max(math.Ceil(years*12), 2), from.Name)
	}
	return fmt.Sprintf("in %.1f years beside %s", years, from.Name)
}
