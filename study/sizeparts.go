package study

import (
	"math"

	"rinsewright/catalog"
	"rinsewright/cost"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/sizing"
)

// bought is one line of a parts list.
type bought struct {
	name   string
	listed string // its name in the catalogue, where that is another
	kind   catalog.Kind
	count  float64
	each   cost.Money // part and fitting
	kept   bool
}

// choice is one way to fill a stage: what it puts on the wall, what it buys.
type choice struct {
	name   string
	buys   []bought
	put    func(s *site.Site)
	yearly cost.Money // the least that the choice adds to the cost of a year

	kept        bool
	doom        sizing.Doom   // a limit that it breaks whatever else is chosen
	water       int           // softener that stands for those which bring the membrane the same water
	near        bool          // it brings nearly the same
	iron        *catalog.Part // an iron filter, which the chain sees as a filter
	flow        quantity.Flow // most that a filter is made for; 0 is no limit
	pressurised bool          // outlet, delivery and tank
	standing    bool          // pressurised: the tank that hangs there
	before      bool          // resin ahead of the tank
	recycles    bool          // train: concentrate comes back ahead of a booster
	plain       int           // train that is the same without
	recovers    float64       // train: the most, a share, while no element recovers more than it may
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
	say    func(quantity.Mass) string
	// gas is the carbon dioxide in the feed, which passes a membrane whole, and
	// made the water of a year: together the least that resin ahead of an open
	// tank has to take up.
	gas  quantity.MolarConc
	made quantity.Volume
	// least is the least that a system which serves the busiest day makes today,
	// whatever the day's temperature.
	least quantity.Flow
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
	yearStage // nothing to choose: what holds in the coldest month is looked at in the others
	tankStage
	stageCount
)

var stageNames = [stageCount]string{"softener", "outlet", "membrane", "booster", "restrictor", "delivery", "resin", "filters and carbon", "the year", "tank"}

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
	return [stageCount][]choice{h.softeners(), h.outlets(), h.trains(), h.boosters(), h.restrictors(), h.deliveries(), h.resins(), h.feeds(), {{kept: true}}, h.tanks()}
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
		all = append(all, h.hangingSoftener()...)
	}
	all = append(all, choice{kept: len(all) == 0})
	for _, p := range h.parts.Of(catalog.Softener) {
		for _, salt := range saltsFor(p.Volume, p.Salt) {
			buy := h.buy(p, 1)
			buy.name, buy.listed = p.Name+h.saltName(salt, p.Salt), p.Name
			all = append(all, choice{name: buy.name, buys: []bought{buy}, put: func(s *site.Site) {
				s.Rig.Softener = &site.Softener{Resin: quantity.Told(p.Volume), SaltDose: quantity.Told(salt)}
			}})
		}
	}
	return all
}

// hangingSoftener is the softener that hangs there, as it is set and at other
// doses: its valve is turned, nothing is bought.
func (h *shelf) hangingSoftener() []choice {
	hang := *h.site.Rig.Softener
	const name = "the softener that hangs there"
	buys := []bought{kept("softener", catalog.Softener, 1)}
	all := []choice{{name: name, kept: true, buys: buys, put: func(s *site.Site) { s.Rig.Softener = &hang }}}
	if !hang.Resin.Known || !hang.SaltDose.Known {
		return all
	}
	for _, salt := range saltsFor(hang.Resin.Value, hang.SaltDose.Value)[1:] {
		turned := hang
		turned.SaltDose = quantity.Told(salt)
		set := h.saltName(salt, hang.SaltDose.Value)
		all = append(all, choice{name: name + set, buys: []bought{kept("softener"+set, catalog.Softener, 1)}, put: func(s *site.Site) { s.Rig.Softener = &turned }})
	}
	return all
}

// salts is what a volume of softener resin is commonly regenerated with: a lean
// dose, and one that leaks little. Source: points of the salt table
// in package resin.
var salts = []quantity.Mass{quantity.Pounds(6), quantity.Pounds(15)} // for a cubic foot

// saltsFor is the salt that a softener is set to and the other doses worth a look.
func saltsFor(volume quantity.Volume, set quantity.Mass) []quantity.Mass {
	all := []quantity.Mass{set}
	for _, perFoot := range salts {
		salt := perFoot * quantity.Mass(volume.CubicFeet())
		if math.Abs(float64(salt/set)-1) > nearSalt {
			all = append(all, salt)
		}
	}
	return all
}

// nearSalt is how near a dose has to be to count as the same.
const nearSalt = 0.1

func (h *shelf) saltName(salt, set quantity.Mass) string {
	if salt == set {
		return ""
	}
	return " set to " + h.say(salt) + " of salt"
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
