package study

import (
	"fmt"
	"math"
	"strings"

	"rinsewright/catalog"
	"rinsewright/cost"
	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/site"
	"rinsewright/sizing"
)

// bought is one line of a parts list.
type bought struct {
	name  string
	kind  catalog.Kind
	count float64
	each  cost.Money // part and fitting
	kept  bool
}

// choice is one way to fill a stage: what it puts on the wall, what it buys.
type choice struct {
	name   string
	buys   []bought
	put    func(s *site.Site)
	yearly cost.Money // the least that the choice adds to the cost of a year

	kept        bool
	doom        sizing.Doom   // a limit that it breaks whatever else is chosen
	water       int           // first softener that brings the membrane the same water
	iron        *catalog.Part // an iron filter, which the chain sees as a filter
	flow        quantity.Flow // most that a filter is made for; 0 is no limit
	pressurised bool          // outlet, delivery and tank
	standing    bool          // pressurised: the tank that hangs there
	before      bool          // resin ahead of the tank
	diameter    quantity.Length
	power       quantity.Power
}

func (c choice) option() sizing.Option {
	o := sizing.Option{Name: c.name, Yearly: c.yearly, Doom: c.doom}
	for _, b := range c.buys {
		if !b.kept {
			o.First += cost.Money(math.Round(b.count * float64(b.each)))
			o.Parts++
		}
	}
	return o
}

// shelf turns the catalogue and what hangs on the wall into the choices of
// each stage.
type shelf struct {
	site   *site.Site
	parts  *catalog.Catalogue
	labour cost.Money // an hour
	prices cost.Prices
	// gas is the carbon dioxide in the feed, which passes a membrane whole, and
	// made the water of a year: together the least that resin ahead of an open
	// tank has to take up.
	gas  quantity.MolarConc
	made quantity.Volume
}

// The stages, in the order they are decided: first what decides how the
// membrane works, then what only takes a little pressure or none.
const (
	softenerStage = iota
	outletStage
	trainStage
	boosterStage
	restrictorStage
	deliveryStage
	resinStage
	feedStage
	tankStage
	stageCount
)

var stageNames = [stageCount]string{"softener", "outlet", "membrane", "booster", "restrictor", "delivery", "resin", "filters and carbon", "tank"}

// startUp is the work of a first start: flush, sanitise, leak test, set the
// restrictor and the floats, take the readings. Source: [TradeDefaults].
const startUp = 3 // hours

func (h *shelf) buy(p catalog.Part, count float64) bought {
	fit := cost.Money(math.Round(float64(p.Fit) / 3600 * float64(h.labour)))
	return bought{name: p.Name, kind: p.Kind, count: count, each: cost.Money(p.Price) + fit}
}

func kept(name string, kind catalog.Kind, count int) bought {
	return bought{name: name, kind: kind, count: float64(count), kept: true}
}

func (h *shelf) choices() [stageCount][]choice {
	return [stageCount][]choice{h.softeners(), h.outlets(), h.trains(), h.boosters(), h.restrictors(), h.deliveries(), h.resins(), h.feeds(), h.tanks()}
}

// feeds are the ways to treat the feed that leave its salts alone: filters,
// iron filter, carbon.
func (h *shelf) feeds() (all []choice) {
	for _, f := range h.filters() {
		for _, i := range h.ironFilters() {
			for _, c := range h.carbons() {
				all = append(all, together(i, f, c))
			}
		}
	}
	return all
}

// together is several choices put up as one, in path order.
func together(all ...choice) (sum choice) {
	sum.kept = true
	for _, c := range all {
		sum.buys = append(sum.buys, c.buys...)
		sum.yearly, sum.kept = sum.yearly+c.yearly, sum.kept && c.kept
		if c.iron != nil {
			sum.iron = c.iron
		}
		if c.flow > 0 && (sum.flow == 0 || c.flow < sum.flow) {
			sum.flow = c.flow
		}
		if c.name != "" && sum.name != "" {
			sum.name += ", "
		}
		sum.name += c.name
	}
	sum.put = func(s *site.Site) {
		for _, c := range all {
			if c.put != nil {
				c.put(s)
			}
		}
	}
	return sum
}

func (h *shelf) filters() (all []choice) {
	if hang := h.site.Rig.Filters; len(hang) > 0 {
		c := choice{kept: true}
		each := 0.0
		for _, f := range hang {
			c.buys = append(c.buys, kept(filterName(f), catalog.Filter, 1))
			each += float64(f.Price.Or(h.prices.Filter.Value))
		}
		c.yearly = wholeMoney(math.Floor(filterChangesPerYear * each))
		c.put = func(s *site.Site) { s.Rig.Filters = append(s.Rig.Filters, hang...) }
		all = append(all, c)
	}
	for _, p := range h.parts.Of(catalog.Filter) {
		refill := h.refill(h.site.Prices.Filter, p)
		all = append(all, choice{name: p.Name, buys: []bought{h.buy(p, 1)}, yearly: filterChangesPerYear * refill, flow: p.Flow, put: func(s *site.Site) {
			s.Rig.Filters = append(s.Rig.Filters, site.Filter{Rating: quantity.Told(p.Rating), Drop: quantity.Told(p.Pressure), Flow: quantity.Told(p.Flow), Price: priceOf(refill)})
		}})
	}
	return all
}

// priceOf is what one of something costs.
func priceOf(m cost.Money) cost.Entry { return cost.Entry{Value: cost.Price(m), Known: true} }

// refill is the user's price of a change, or the catalogue's.
func (h *shelf) refill(told cost.Entry, p catalog.Part) cost.Money {
	return wholeMoney(float64(told.Or(cost.Price(p.Refill))))
}

func (h *shelf) ironFilters() []choice {
	all := []choice{{kept: true}}
	if ironOf(h.site) <= ironLimit {
		return all
	}
	for _, p := range h.parts.Of(catalog.IronFilter) {
		share := cost.Entry{Value: cost.Price(p.Refill) / filterChangesPerYear, Known: true} // its bed, a year
		all = append(all, choice{name: p.Name, buys: []bought{h.buy(p, 1)}, iron: &p, flow: p.Flow, yearly: cost.Money(p.Refill), put: func(s *site.Site) {
			s.Rig.Filters = append(s.Rig.Filters, site.Filter{Drop: quantity.Told(p.Pressure), Flow: quantity.Told(p.Flow), Price: share})
		}})
	}
	return all
}

func (h *shelf) softeners() []choice {
	var all []choice
	if hang := h.site.Rig.Softener; hang != nil {
		all = append(all, choice{name: "the softener that hangs there", kept: true, buys: []bought{kept("softener", catalog.Softener, 1)}, put: func(s *site.Site) { s.Rig.Softener = hang }})
	}
	all = append(all, choice{kept: len(all) == 0})
	for _, p := range h.parts.Of(catalog.Softener) {
		all = append(all, choice{name: p.Name, buys: []bought{h.buy(p, 1)}, put: func(s *site.Site) {
			s.Rig.Softener = &site.Softener{Resin: quantity.Told(p.Volume), SaltDose: quantity.Told(p.Salt)}
		}})
	}
	return all
}

func (h *shelf) carbons() []choice {
	var all []choice
	if hang := h.site.Rig.Carbon; hang != nil {
		all = append(all, choice{kept: true, buys: []bought{kept("carbon", catalog.Carbon, 1)}, yearly: wholeMoney(math.Floor(carbonChangesPerYear * float64(hang.Price.Or(h.prices.Carbon.Value)))), put: func(s *site.Site) { s.Rig.Carbon = hang }})
		if !bringsChlorine(h.site) {
			return all
		}
	} else {
		all = append(all, choice{kept: true})
	}
	if !bringsChlorine(h.site) {
		return all
	}
	for _, p := range h.parts.Of(catalog.Carbon) {
		if !h.carbonFor(p) {
			continue
		}
		refill := cost.Money(p.Refill)
		all = append(all, choice{name: p.Name, buys: []bought{h.buy(p, 1)}, yearly: carbonChangesPerYear * refill, flow: p.Flow, put: func(s *site.Site) {
			s.Rig.Carbon = &site.Carbon{Kind: p.Medium, Volume: quantity.Told(p.Volume), Drop: told0(p.Pressure), Flow: told0(p.Flow), Price: priceOf(refill)}
		}})
	}
	return all
}

// arrangements are how many elements, and whether side by side. One after
// another they recover more, side by side they drop less.
var arrangements = []struct {
	count    int
	parallel bool
}{{1, false}, {2, false}, {3, false}, {4, false}, {2, true}, {3, true}, {4, true}}

func (h *shelf) trains() (all []choice) {
	if m := h.site.Rig.Membrane; m != nil {
		count := max(m.Count, 1)
		c := choice{name: "the membrane that hangs there", kept: true, buys: []bought{kept(elementsName(count, m.Size, m.Parallel), catalog.Element, count)}}
		c.yearly = cost.Money(math.Floor(float64(count)/membraneYears*float64(m.Price.Or(h.prices.Membrane.Value)))) + h.waterCost(count, m.Parallel)
		c.put = func(s *site.Site) { s.Rig.Membrane = m }
		all = append(all, c)
	}
	for _, p := range h.parts.Of(catalog.Element) {
		housing, _ := h.parts.Sized(catalog.Housing, p.Size) // the catalogue was checked for it
		for _, a := range arrangements {
			m := site.Membrane{
				Size: p.Size, Count: a.count, Parallel: a.parallel, Flow: quantity.Told(p.Flow), Rejection: quantity.Told(p.Rejection),
				Pressure: quantity.Told(p.Pressure), TestSalt: told0(p.TestSalt), Temperature: told0(p.Temperature), Recovery: told0(p.Recovery),
				Area: quantity.Told(p.Area), Length: told0(p.Length), Age: quantity.Told(quantity.Time(0)), Price: priceOf(cost.Money(p.Price)),
			}
			all = append(all, choice{
				name:   elementsName(a.count, p.Name, a.parallel),
				buys:   []bought{h.buy(p, float64(a.count)), h.buy(housing, float64(a.count))},
				yearly: cost.Money(math.Floor(float64(a.count)/membraneYears*float64(p.Price))) + h.waterCost(a.count, a.parallel),
				put:    func(s *site.Site) { s.Rig.Membrane = &m },
			})
		}
	}
	return all
}

// waterCost is the least that a year's feed and concentrate cost when no
// element recovers more than its sheet allows.
func (h *shelf) waterCost(count int, parallel bool) cost.Money {
	if parallel {
		count = 1
	}
	recovery := 1 - math.Pow(1-mostElementRecovery, float64(count))
	feed := h.made / quantity.Volume(recovery)
	year, err := cost.Yearly(cost.Use{Vends: 1, Feed: feed, Drain: feed - h.made}, h.prices)
	if err != nil {
		return 0
	}
	return max(year.Total-2, 0) // each of its lines is rounded
}

// told0 is an entry that is known unless it is 0.
func told0[Q quantity.Quantity](q Q) quantity.Entry[Q] {
	if q == 0 {
		return quantity.Entry[Q]{}
	}
	return quantity.Told(q)
}

func elementsName(count int, name string, parallel bool) string {
	switch {
	case count == 1:
		return "1 × " + name
	case parallel:
		return fmt.Sprintf("%d × %s side by side", count, name)
	}
	return fmt.Sprintf("%d × %s one after another", count, name)
}

func (h *shelf) boosters() []choice {
	all := []choice{{kept: h.site.Rig.Booster == nil}}
	if hang := h.site.Rig.Booster; hang != nil {
		all = append(all, choice{name: "the booster that hangs there", kept: true, buys: []bought{kept("booster", catalog.Booster, 1)}, power: hang.Power.Or(0), put: func(s *site.Site) { s.Rig.Booster = hang }})
	}
	for _, p := range h.parts.Of(catalog.Booster) {
		all = append(all, choice{name: p.Name, buys: []bought{h.buy(p, 1)}, power: p.Power, put: func(s *site.Site) { s.Rig.Booster = pumpFrom(p) }})
	}
	return all
}

func pumpFrom(p catalog.Part) *site.Pump {
	return &site.Pump{Flow: quantity.Told(p.Flow), Pressure: quantity.Told(p.Pressure), ShutOff: quantity.Told(p.ShutOff), Efficiency: told0(p.Efficiency), Power: told0(p.Power)}
}

// outlets are what the permeate meets: an open tank or the cushion of a
// pressurised one, with or without resin on the way.
func (h *shelf) outlets() (all []choice) {
	places := []choice{{name: "into an open tank"}, {name: "into a pressurised tank", pressurised: true}}
	if t := h.site.Rig.Tank; t != nil && t.Kind == "pressurised" {
		places = append(places, choice{name: "into the pressurised tank that hangs there", pressurised: true, standing: true})
	}
	hang := h.site.Rig.Resin
	hangsAhead := len(hang) > 0 && hang[0].Place != "after tank"
	for _, place := range places {
		right := place.standing || len(places) == 2 && !place.pressurised
		for _, ahead := range []bool{false, true} {
			c := place
			c.before, c.kept = ahead, right && ahead == hangsAhead
			if ahead {
				c.name, c.yearly = "resin, then "+place.name, h.leastGas()
			}
			all = append(all, c)
		}
	}
	return all
}

// leastGas is the least that a year of any bottle ahead of the tank costs.
func (h *shelf) leastGas() cost.Money {
	least := none
	for _, b := range h.bottles("before tank") {
		least = min(least, h.gasCost(b))
	}
	return least
}

// none is more than anything costs.
const none = cost.Money(math.MaxInt64)

// passedGas is the share of the feed's carbon dioxide that is sure to reach
// resin right behind a membrane: it passes whole, and a little turns into
// bicarbonate on the way.
const passedGas = 0.9

// gasCost is the least that a year of bottles ahead of the tank costs, were
// carbon dioxide all they had to take up.
func (h *shelf) gasCost(b choice) cost.Money {
	var s site.Site
	b.put(&s)
	var r rig
	if err := r.resin(&s, drawn{}, &notes{}); err != nil || len(r.beds) == 0 {
		return 0
	}
	life, err := r.beds[0].Life(resin.Inlet{CO2: passedGas * h.gas})
	if err != nil || !(life.Volume > 0) {
		return 0
	}
	changes := float64(h.made) / float64(life.Volume)
	use := cost.Use{Vends: 1, ResinChanges: changes, ResinVolume: r.beds[0].Volume * quantity.Volume(changes), MinutesPerStop: minutesPerChange}
	year, err := cost.Yearly(use, h.prices)
	if err != nil {
		return 0
	}
	return max(year.Total-3, 0) // each of its lines is rounded
}

// resins are no bottle, or one ahead of the tank or behind it.
func (h *shelf) resins() []choice {
	all := []choice{{kept: len(h.site.Rig.Resin) == 0}}
	for _, place := range []string{"before tank", "after tank"} {
		for _, b := range h.bottles(place) {
			b.before = place == "before tank"
			all = append(all, b)
		}
	}
	return all
}

func (h *shelf) bottles(place string) (all []choice) {
	if hang := h.site.Rig.Resin; len(hang) > 0 {
		there := hang[0].Place
		if there == "" {
			there = "before tank"
		}
		c := choice{name: "the resin that hangs there, " + placed(place), kept: there == place, buys: []bought{kept("resin bottle, "+place, catalog.Resin, len(hang))}}
		c.put = func(s *site.Site) {
			for _, v := range hang {
				v.Place = place
				s.Rig.Resin = append(s.Rig.Resin, v)
			}
		}
		all = append(all, c)
	}
	for _, p := range h.parts.Of(catalog.Resin) {
		all = append(all, choice{name: p.Name + " " + placed(place), buys: []bought{h.buy(p, 1)}, put: func(s *site.Site) {
			s.Rig.Resin = append(s.Rig.Resin, site.Vessel{Volume: quantity.Told(p.Volume), Place: place, Made: p.Medium})
		}})
	}
	return all
}

func placed(place string) string { return strings.Replace(place, " tank", " the tank", 1) }

func (h *shelf) restrictors() (all []choice) {
	if hang := h.site.Rig.Restrictor; hang != nil {
		c := choice{name: "the restrictor that hangs there", kept: true, buys: []bought{kept("restrictor", catalog.Restrictor, 1)}, put: func(s *site.Site) { s.Rig.Restrictor = hang }}
		if hang.Kind != "capillary" {
			c.flow = atOnePressure(hang.Flow.Or(0), hang.Pressure.Or(quantity.PSI(60)))
		}
		all = append(all, c)
	}
	for _, p := range h.parts.Of(catalog.Restrictor) {
		all = append(all, choice{name: p.Name, buys: []bought{h.buy(p, 1)}, flow: atOnePressure(p.Flow, p.Pressure), put: func(s *site.Site) {
			s.Rig.Restrictor = &site.Restrictor{Kind: "fixed", Flow: quantity.Told(p.Flow), Pressure: quantity.Told(p.Pressure)}
		}})
	}
	return all
}

// atOnePressure is what a restrictor passes at 60 psi, by which they are put in
// order.
func atOnePressure(rated quantity.Flow, at quantity.Pressure) quantity.Flow {
	return rated * quantity.Flow(math.Sqrt(float64(quantity.PSI(60))/float64(at)))
}

// A new pressurised tank's switch, as it comes. Source: [TradeDefaults].
var (
	newPrecharge = quantity.PSI(18)
	newStartAt   = quantity.PSI(20)
	newStopAt    = quantity.PSI(40)
)

func (h *shelf) tanks() (all []choice) {
	height := quantity.Entry[quantity.Length]{}
	if hang := h.site.Rig.Tank; hang != nil {
		height = hang.Height
		c := choice{name: "the tank that hangs there", kept: true, buys: []bought{kept(hang.Kind+" tank", catalog.Tank, 1)}, put: func(s *site.Site) { s.Rig.Tank = hang }}
		c.pressurised, c.standing = hang.Kind == "pressurised", hang.Kind == "pressurised"
		all = append(all, c)
		if a := h.parts.Of(catalog.Aerator); !c.pressurised && !hang.Aerated && len(a) > 0 {
			aired := *hang
			aired.Aerated = true
			all = append(all, choice{name: "the tank that hangs there, aerated", buys: append([]bought{h.buy(a[0], 1)}, c.buys...), power: a[0].Power, put: func(s *site.Site) { s.Rig.Tank = &aired }})
		}
	}
	for _, p := range h.parts.Of(catalog.Tank) {
		all = append(all, h.open(p, height)...)
	}
	for _, p := range h.parts.Of(catalog.PressureTank) {
		all = append(all, choice{name: p.Name, pressurised: true, buys: []bought{h.buy(p, 1)}, diameter: p.Diameter, put: func(s *site.Site) {
			s.Rig.Tank = &site.Tank{Kind: "pressurised", Volume: quantity.Told(p.Volume), Precharge: quantity.Told(newPrecharge), StartAt: quantity.Told(newStartAt), StopAt: quantity.Told(newStopAt), Height: height}
		}})
	}
	return all
}

// open is an open tank with its floats, once as it is and once aerated.
func (h *shelf) open(p catalog.Part, height quantity.Entry[quantity.Length]) []choice {
	buys := []bought{h.buy(p, 1)}
	if f := h.parts.Of(catalog.Float); len(f) > 0 {
		buys = append(buys, h.buy(f[0], 1))
	}
	plain := choice{name: p.Name, buys: buys, diameter: p.Diameter, put: func(s *site.Site) {
		s.Rig.Tank = &site.Tank{Kind: "vented", Volume: quantity.Told(p.Volume), Height: height}
	}}
	a := h.parts.Of(catalog.Aerator)
	if len(a) == 0 {
		return []choice{plain}
	}
	aired := plain
	aired.name, aired.buys, aired.power = p.Name+", aerated", append(buys[:len(buys):len(buys)], h.buy(a[0], 1)), a[0].Power
	aired.put = func(s *site.Site) {
		s.Rig.Tank = &site.Tank{Kind: "vented", Aerated: true, Volume: quantity.Told(p.Volume), Height: height}
	}
	return []choice{plain, aired}
}

// deliveries are pumps with a line to the guns; a pressurised tank needs no
// pump.
func (h *shelf) deliveries() (all []choice) {
	pumps := []choice{{pressurised: true, kept: h.site.Rig.Pump == nil}}
	if hang := h.site.Rig.Pump; hang != nil {
		pumps = append(pumps, choice{kept: true, buys: []bought{kept("delivery pump", catalog.DeliveryPump, 1)}, power: hang.Power.Or(0), put: func(s *site.Site) { s.Rig.Pump = hang }})
	}
	for _, p := range h.parts.Of(catalog.DeliveryPump) {
		pumps = append(pumps, choice{name: p.Name, buys: []bought{h.buy(p, 1)}, power: p.Power, put: func(s *site.Site) { s.Rig.Pump = pumpFrom(p) }})
	}
	for _, pump := range pumps {
		for _, line := range h.lines() {
			c := together(pump, line)
			c.pressurised, c.power, c.kept = pump.pressurised, pump.power, pump.kept && line.kept
			all = append(all, c)
		}
	}
	return all
}

// assumedLine is the way to the guns where nobody measured it. Source:
// [TradeDefaults].
const assumedLine = quantity.Length(15) // m

func (h *shelf) lines() (all []choice) {
	line := site.Line{}
	if hang := h.site.Rig.Line; hang != nil {
		line = *hang
	}
	if line.Tube != "" {
		all = append(all, choice{kept: true, buys: []bought{kept(line.Tube+" in line", catalog.Tube, 1)}, put: func(s *site.Site) { s.Rig.Line = &line }})
	}
	line.Length = quantity.Told(line.Length.Or(assumedLine))
	for _, p := range h.parts.Of(catalog.Tube) {
		if _, ok := tubeNamed(p.Size); !ok || p.Size == line.Tube {
			continue
		}
		changed := line
		changed.Tube = p.Size
		length := float64(line.Length.Value) / max(float64(p.Length), 1e-3)
		if p.Length == 0 {
			length = float64(line.Length.Value)
		}
		all = append(all, choice{name: p.Name, buys: []bought{h.buy(p, math.Ceil(length))}, put: func(s *site.Site) { s.Rig.Line = &changed }})
	}
	return all
}
