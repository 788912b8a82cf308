package study

import (
	"fmt"
	"math"
	"slices"

	"rinsewright/catalog"
	"rinsewright/quantity"
	"rinsewright/site"
)

// Installation is the day on which a pick is hung on the wall: what the van
// brings, the work in order, and how long the bays stand.
type Installation struct {
	Kit      []KitLine
	Work     []Task
	Takes    quantity.Time // one person, start to end, without the tank's filling
	BaysShut quantity.Time
	Drained  quantity.Volume // of what hangs there now
	Fills    Figure          // time to fill the empty tank; nil when nobody knows
	Rinses   float64         // number of rinses asked for while the bays are shut, on a normal day
	Water    quantity.Volume // that those rinses would take through a temporary bottle
	Assumed  []Assumption
}

// KitLine is one line of what the van brings.
type KitLine struct {
	Supplier string // the sort of supplier: "pumps", "tube and fittings"
	Name     string
	Count    float64 // number of pieces, or of metres
	Metres   bool
	Amount   Figure // with fitting; nil for what the catalogue does not price
	Why      string // how the count came about, empty for a part of the pick
}

// Task is one piece of the work.
type Task struct {
	Does     string
	Takes    quantity.Time
	BaysShut bool
	Caution  string // where it can hurt someone, said before it
}

// Common practice, no source: minutes of the tasks that no part brings with
// it. Those of the start-up add up to the hours that a quote holds.
const (
	lookMinutes     = 15
	isolateMinutes  = 10
	leakMinutes     = 30
	flushMinutes    = 15
	sanitiseMinutes = 60
	rinseMinutes    = 30 // first permeate to the drain: it carries the preservative
	setMinutes      = 20
	readingMinutes  = 25
	handoverMinutes = 20
	tubeSpare       = 1.1 // metres bought for a metre fitted, a factor
)

// hoseDrain is how fast a tank runs empty through a hose where nobody said
// what the drain takes. Source: [TradeDefaults].
const hoseDrain = quantity.Flow(20.0 / 60000)

// Site returns the record of the site as the pick would leave it, nil for a
// pick that [Size] did not make.
func (p Pick) Site() *site.Site { return p.rigged }

// Install plans the day on which a pick of a site is fitted, from the hours
// that the catalogue gives each part. It asks for no permission and knows no
// wall: what it assumed is in the result.
func Install(s *site.Site, p Pick, parts *catalog.Catalogue) *Installation {
	i := &Installation{Kit: kitOf(p), Drained: standing(s.Rig), Fills: fills(p)}
	i.Work = i.work(s, p, parts)
	for _, t := range i.Work {
		i.Takes += t.Takes
		if t.BaysShut {
			i.BaysShut += t.Takes
		}
	}
	i.missed(s)
	return i
}

func fills(p Pick) Figure {
	for _, x := range p.Promises {
		if x.Name == "refill_time" {
			return x.Band.Value
		}
	}
	return nil
}

// standing is the water in what hangs there.
func standing(r site.Rig) (v quantity.Volume) {
	if r.Tank != nil {
		v += r.Tank.Volume.Or(0)
	}
	return v
}

func (i *Installation) work(s *site.Site, p Pick, parts *catalog.Catalogue) []Task {
	minutes := func(does string, n float64, shut bool, caution string) Task {
		return Task{does, quantity.Time(60 * n), shut, caution}
	}
	all := []Task{
		minutes("Walk the site with the customer and photograph what hangs there", lookMinutes, false, ""),
		minutes("Shut the feed, stop the pumps, lock off the power, let the pressure off", isolateMinutes, true, "Water and electricity: lock off before opening. A housing, a tube or a tank under pressure can throw its cap: vent it first."),
	}
	if i.Drained > 0 {
		rate := s.Limits.DrainFlow.Or(hoseDrain)
		if !s.Limits.DrainFlow.Known {
			i.Assumed = append(i.Assumed, Assumption{"how fast the old tank runs empty", quantity.Format(hoseDrain, quantity.SI), "a garden hose by gravity; common practice, no source"})
		}
		if !s.Limits.DrainFlow.Known || s.Limits.DrainFlow.Value > 0 {
			all = append(all, minutes("Drain the old tank to where the sewer authority allows", math.Ceil(float64(i.Drained)/float64(rate)/60), true, "Never to a storm drain. Do not enter a tank: it is a confined space."))
		}
	}
	all = append(all, fitting(p, parts)...)
	return append(all, i.starting(p, minutes)...)
}

// fitOrder is the order in which parts go up: as the water meets them.
var fitOrder = []catalog.Kind{
	catalog.Filter, catalog.IronFilter, catalog.Softener, catalog.Carbon, catalog.Booster, catalog.Housing, catalog.Element, catalog.Restrictor,
	catalog.Resin, catalog.Tank, catalog.PressureTank, catalog.Float, catalog.Aerator, catalog.DeliveryPump, catalog.Tube,
}

// fitting is a task for each part that is bought, with the catalogue's hours.
func fitting(p Pick, parts *catalog.Catalogue) (all []Task) {
	lines := slices.Clone(p.Parts)
	slices.SortStableFunc(lines, func(a, b PartLine) int {
		return slices.Index(fitOrder, catalog.Kind(a.Kind)) - slices.Index(fitOrder, catalog.Kind(b.Kind))
	})
	for _, line := range lines {
		part, ok := listed(parts, line)
		if line.Kept || !ok || part.Fit <= 0 {
			continue
		}
		t := Task{Does: "Fit " + line.Name, Takes: quantity.Time(math.Ceil(float64(part.Fit)*line.Count/60) * 60), BaysShut: true}
		if line.Kind == "tube" {
			t.Does = fmt.Sprintf("Run %g m of %s", line.Count, line.Name)
		} else if line.Count > 1 {
			t.Does = fmt.Sprintf("Fit %g × %s", line.Count, line.Name)
		}
		switch line.Kind {
		case string(catalog.DeliveryPump), string(catalog.Booster), string(catalog.Aerator):
			t.Caution = "A licensed electrician connects it: residual-current (GFCI) protection, bonded, locked off before opening."
		case string(catalog.Resin), string(catalog.Softener), string(catalog.IronFilter):
			t.Caution = "Heavy when wet: two people or a trolley. Spilled beads are as slippery as ball bearings."
		}
		all = append(all, t)
	}
	return all
}

// starting is the start-up, whose minutes a quote holds as hours of labour.
func (i *Installation) starting(p Pick, minutes func(string, float64, bool, string) Task) []Task {
	all := []Task{
		minutes("Fill slowly, vent, and hold the pressure for a leak test", leakMinutes, true, "Open the feed slowly: no more than 10 psi (0.7 bar) in a second. Stand clear of caps and unions."),
		minutes("Flush filters and carbon to the drain until the water is clear", flushMinutes, true, ""),
		minutes("Sanitise tank and lines, membrane and resin shut off", sanitiseMinutes, true, "Bleach never reaches membrane or resin, and never meets acid or ammonia: the gases can kill. Gloves and eye protection."),
		minutes("Run the first permeate to the drain", rinseMinutes, true, ""),
		minutes("Set the restrictor and the float levels", setMinutes, true, ""),
		minutes("Take the readings and fill in the commissioning record", readingMinutes, true, ""),
		minutes("Show the owner, hang the label, clear up", handoverMinutes, false, ""),
	}
	return all
}

// listed is the catalogue's part of a line: of its kind, under its own name.
func listed(parts *catalog.Catalogue, line PartLine) (catalog.Part, bool) {
	if parts == nil || line.listed == "" {
		return catalog.Part{}, false
	}
	for _, p := range parts.Of(catalog.Kind(line.Kind)) {
		if p.Name == line.listed {
			return p, true
		}
	}
	return catalog.Part{}, false
}

// Where a demand says nothing. Source: [TradeDefaults].
const (
	openHours = 10.0
	vendWater = quantity.Volume(0.020) // m³
)

// missed counts the rinses that fall into the hours without water.
func (i *Installation) missed(s *site.Site) {
	d := s.Demand
	each := d.PerVehicle.Or(quantity.Volume(float64(d.VendTime.Or(0)) * float64(d.GunFlow.Or(0))))
	if !(each > 0) {
		each = vendWater
		i.Assumed = append(i.Assumed, Assumption{"water of one rinse", quantity.Format(vendWater, quantity.SI), "from memory, unverified"})
	}
	hours := openHours
	if opens, closes, ok := opening(d.Opens, d.Closes); ok {
		hours = closes - opens
	} else {
		i.Assumed = append(i.Assumed, Assumption{"hours that the place is open", fmt.Sprintf("%g h", openHours), "from memory, unverified"})
	}
	share := min(i.BaysShut.Hours()/hours, 1)
	i.Rinses = math.Ceil(float64(d.NormalDay) * share)
	i.Water = each * quantity.Volume(i.Rinses)
}

// opening reads "08:00" and "19:00" as hours of the day.
func opening(from, to string) (opens, closes float64, ok bool) {
	var h1, m1, h2, m2 int
	if n, err := fmt.Sscanf(from+" "+to, "%d:%d %d:%d", &h1, &m1, &h2, &m2); err != nil || n != 4 {
		return 0, 0, false
	}
	opens, closes = float64(h1)+float64(m1)/60, float64(h2)+float64(m2)/60
	if closes <= opens {
		closes += 24
	}
	return opens, closes, closes > opens && closes-opens <= 24
}
