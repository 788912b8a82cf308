package study

import (
	"cmp"
	"context"
	"slices"

	"rinsewright/catalog"
	"rinsewright/sizing"
)

// Pump and line do not touch what the membrane does, so few of them need to be
// tried with every path: the cheapest two that serve the guns, the one that
// serves them best, and the cheapest that does not, to say why it fails.
const cheapestServing = 2

// fewDeliveries leaves the deliveries worth trying for some outlet, and those
// that hang there.
func (z *sizer) fewDeliveries() {
	worth := map[int]bool{}
	for outlet := range z.choices[outletStage] {
		for _, i := range z.worthTrying(outlet) {
			worth[i] = true
		}
	}
	all := z.choices[deliveryStage]
	z.pumps = len(all)
	var few []choice
	for i, c := range all {
		if worth[i] || c.kept {
			few = append(few, c)
		}
	}
	if len(few) > 0 {
		z.choices[deliveryStage] = few
	}
	z.guns = memo[gunKey, gunLook]{} // they are told by place in the list
}

// soundDeliveries marks those that break a limit for every outlet they go with.
func (z *sizer) soundDeliveries() {
	for i := range z.choices[deliveryStage] {
		z.choices[deliveryStage][i].doom = sizing.Doom{}
		all := []sizing.Verdict{}
		for outlet := range z.choices[outletStage] {
			chosen := make([]int, deliveryStage+1)
			if chosen[outletStage], chosen[deliveryStage] = outlet, i; z.deliveryFits(chosen) {
				v, err := z.judgeDelivery(context.Background(), chosen)
				if err == nil {
					all = append(all, v)
				}
			}
		}
		z.choices[deliveryStage][i].doom = doomOf(all)
	}
}

// soundTanks marks those that the door does not let in.
func (z *sizer) soundTanks() {
	door := z.site.Limits.Door
	for i, c := range z.choices[tankStage] {
		if used := float64(c.diameter) / float64(door.Value); door.Known && used > 1 {
			z.choices[tankStage][i].doom = sizing.Doom{Among: []string{"door"}, By: min(used, impossible)}
		}
	}
}

// doomOf is the limits that something breaks by every verdict on it.
func doomOf(all []sizing.Verdict) (d sizing.Doom) {
	d.By = impossible
	for _, v := range all {
		by := 0.0
		for _, m := range v.Margins {
			if by = max(by, m.Used); m.Used > 1 && !slices.Contains(d.Among, m.Constraint) {
				d.Among = append(d.Among, m.Constraint)
			}
		}
		if d.By = min(d.By, by); !(by > 1) {
			return sizing.Doom{}
		}
	}
	slices.Sort(d.Among)
	return d
}

// worthTrying lists the deliveries to try for an outlet.
func (z *sizer) worthTrying(outlet int) []int {
	type rated struct {
		index int
		first int64
		used  float64
	}
	var serve, fail []rated
	for i, c := range z.choices[deliveryStage] {
		chosen := make([]int, deliveryStage+1)
		chosen[outletStage], chosen[deliveryStage] = outlet, i
		if c.pressurised != z.at(chosen, outletStage).pressurised {
			continue
		}
		v, err := z.judgeDelivery(context.Background(), chosen)
		if err != nil {
			continue
		}
		r := rated{i, int64(c.option().First), 0}
		for _, m := range v.Margins {
			r.used = max(r.used, m.Used)
		}
		if r.used <= 1 {
			serve = append(serve, r)
		} else {
			fail = append(fail, r)
		}
	}
	byCost := func(a, b rated) int {
		return cmp.Or(cmp.Compare(a.first, b.first), cmp.Compare(a.used, b.used), cmp.Compare(a.index, b.index))
	}
	slices.SortFunc(serve, byCost)
	slices.SortFunc(fail, func(a, b rated) int { return cmp.Or(cmp.Compare(a.used, b.used), byCost(a, b)) })
	var few []int
	for _, r := range serve[:min(cheapestServing, len(serve))] {
		few = append(few, r.index)
	}
	if len(serve) > 0 {
		few = append(few, slices.MinFunc(serve, func(a, b rated) int { return cmp.Or(cmp.Compare(a.used, b.used), byCost(a, b)) }).index)
	}
	for _, r := range fail[:min(1, len(fail))] {
		few = append(few, r.index)
	}
	return few
}

// carbonFor leaves out carbon that is not made for the chlorine there is:
// catalytic carbon where there is no chloramine, block where there is.
func (h *shelf) carbonFor(p catalog.Part) bool {
	w, ok := sampleAt(h.site, "raw")
	combined := h.site.Supply.Disinfectant == "chloramine" || ok && w.TotalChlorine.Known && w.FreeChlorine.Known && w.TotalChlorine.Value > w.FreeChlorine.Value
	if combined {
		return p.Medium != "block"
	}
	return p.Medium != "catalytic"
}
