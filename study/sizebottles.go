package study

import (
	"math"
	"slices"
	"strings"

	"rinsewright/catalog"
	"rinsewright/cost"
	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/site"
)

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
	changes := float64(h.made) / float64((&look{rig: r, life: life}).fromBottle())
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

// bottles are what hangs there, as it is and with a new bottle behind it, and new
// ones, alone or two in a row. Two in a row cost one more at first; with a lag to
// catch what slips the lead is used up, where a lone bottle is changed early.
func (h *shelf) bottles(place string) (all []choice) {
	if hang := h.site.Rig.Resin; len(hang) > 0 {
		there := hang[0].Place
		if there == "" {
			there = "before tank"
		}
		c := choice{name: "the resin that hangs there, " + placed(place), kept: there == place, buys: []bought{kept("resin bottle, "+place, catalog.Resin, len(hang))}}
		c.put = func(s *site.Site) { s.Rig.Resin = append(s.Rig.Resin, moved(hang, place)...) }
		all = append(all, c)
		if p, ok := h.likeBottle(hang[0]); ok && len(hang) == 1 {
			lag := moved(hang, place)
			lag = append(lag, vesselOf(p, place))
			all = append(all, choice{
				name: "the resin that hangs there and a " + p.Name + " behind it, " + placed(place),
				buys: []bought{h.buy(p, 1), kept("resin bottle, "+place, catalog.Resin, 1)},
				put:  func(s *site.Site) { s.Rig.Resin = append(s.Rig.Resin, lag...) },
			})
		}
	}
	for _, p := range h.parts.Of(catalog.Resin) {
		for _, count := range []int{1, 2} {
			name := p.Name + " " + placed(place)
			if count > 1 {
				name = "2 × " + p.Name + " one behind the other, " + placed(place)
			}
			all = append(all, choice{name: name, buys: []bought{h.buy(p, float64(count))}, put: func(s *site.Site) {
				s.Rig.Resin = append(s.Rig.Resin, slices.Repeat([]site.Vessel{vesselOf(p, place)}, count)...)
			}})
		}
	}
	return all
}

// soundBottles leaves out new bottles ahead of the tank that are not made for the
// least flow of any system that serves the busiest day, unless no others are left.
func (z *sizer) soundBottles() {
	var kept []choice
	ahead := false
	for _, c := range z.choices[resinStage] {
		if c.before && !c.kept {
			var s site.Site
			c.put(&s)
			beds := bedsOf(&s)
			if len(beds) == 0 || beds[0].MostFlow > 0 && float64(beds[0].MostFlow) < z.needed() {
				continue
			}
		}
		ahead = ahead || c.before
		kept = append(kept, c)
	}
	if ahead {
		z.choices[resinStage] = kept
	}
}

func moved(hang []site.Vessel, place string) []site.Vessel {
	all := slices.Clone(hang)
	for i := range all {
		all[i].Place = place
	}
	return all
}

func vesselOf(p catalog.Part, place string) site.Vessel {
	return site.Vessel{Volume: quantity.Told(p.Volume), Place: place, Made: p.Medium}
}

// likeBottle is the catalogue's bottle nearest in volume to one that hangs there;
// nobody hangs a lag of another size by half.
func (h *shelf) likeBottle(v site.Vessel) (like catalog.Part, ok bool) {
	if !v.Volume.Known {
		return like, false
	}
	off := func(p catalog.Part) float64 { return math.Abs(math.Log(float64(p.Volume / v.Volume.Value))) }
	for _, p := range h.parts.Of(catalog.Resin) {
		if off(p) < math.Log(1.5) && (!ok || off(p) < off(like)) {
			like, ok = p, true
		}
	}
	return like, ok
}

func placed(place string) string { return strings.Replace(place, " tank", " the tank", 1) }
