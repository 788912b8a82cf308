package study

import (
	"math"

	"rinsewright/catalog"
	"rinsewright/cost"
	"rinsewright/quantity"
	"rinsewright/site"
)

// Concentrate led back ahead of a booster feeds the elements more than the main
// gives: less goes to the drain, and the membrane meets saltier water. With P made
// of fresh F and R led back, no element recovering more than it may,
//
//	P ≤ Y (F + R),  F ≥ P/Y − R
//
// which bounds the fresh water from below where R is small beside what has to be
// made. Only such recycles are tried: were more led back, nothing short of settling
// every path would say what it costs.

// Recycles worth trying. Source: [TradeDefaults]: less led back than half of what
// is made changes little, and past two thirds recovered the concentrate wants an
// antiscalant, which the search does not know.
const (
	leastRecycled   = 0.5
	mostRecovered   = 0.67
	recyclesTried   = 2 // the largest that a row may have, and the next
	mostRecycledRow = 2 // elements: a longer row recovers enough by itself
)

// recycled are a train with concentrate led back through a valve of each size
// worth trying. Yearly is what its elements cost a year.
func (h *shelf) recycled(plain choice, a arrangement, yearly cost.Money) (all []choice) {
	if a.inRow > mostRecycledRow || a.rows > 1 {
		return nil
	}
	shutOff := h.mostLift()
	var fits []catalog.Part
	for _, p := range h.parts.Of(catalog.Restrictor) {
		most := ledBack(p, shutOff)
		if p.Flow >= leastRecycled*h.least && recovery(a.recovers(), most/h.least) <= mostRecovered {
			fits = append(fits, p)
		}
	}
	for _, p := range largest(fits, recyclesTried) {
		c := plain
		c.recycles, c.recovers = true, recovery(a.recovers(), ledBack(p, shutOff)/h.least)
		valve := h.buy(p, 1)
		valve.name, valve.listed = valve.name+" as a recycle", p.Name
		c.name += ", concentrate led back through a " + p.Name
		c.buys = append(c.buys[:len(c.buys):len(c.buys)], valve)
		c.yearly = yearly + h.waterCost(c.recovers)
		c.put = func(s *site.Site) {
			plain.put(s)
			s.Rig.Recycle = &site.Recycle{Flow: quantity.Told(p.Flow), Pressure: quantity.Told(p.Pressure)}
		}
		all = append(all, c)
	}
	return all
}

// recovery is the most that a train recovers of fresh water where it recovers so
// much of what it is fed, and leads back so much, at the most, for what it makes.
func recovery(ofFed float64, most quantity.Flow) float64 {
	fresh := 1/ofFed - float64(most)
	if !(fresh > 1) {
		return 1
	}
	return 1 / fresh
}

// ledBack is the most that a valve leads back: what it passes at a booster's
// pressure at no flow.
func ledBack(p catalog.Part, shutOff quantity.Pressure) quantity.Flow {
	return p.Flow * quantity.Flow(math.Sqrt(float64(shutOff)/float64(p.Pressure)))
}

// mostLift is the most that any booster lifts.
func (h *shelf) mostLift() (most quantity.Pressure) {
	for _, p := range h.parts.Of(catalog.Booster) {
		most = max(most, p.ShutOff)
	}
	if hang := h.site.Rig.Booster; hang != nil {
		most = max(most, hang.ShutOff.Or(2*hang.Pressure.Or(quantity.PSI(80))))
	}
	return most
}

// largest are the largest few of some restrictors, at one pressure.
func largest(all []catalog.Part, few int) (kept []catalog.Part) {
	for _, p := range all {
		at := len(kept)
		for at > 0 && atOnePressure(p.Flow, p.Pressure) > atOnePressure(kept[at-1].Flow, kept[at-1].Pressure) {
			at--
		}
		kept = append(kept[:at], append([]catalog.Part{p}, kept[at:]...)...)
	}
	return kept[:min(few, len(kept))]
}

// boosterFits keeps concentrate from being led back where no pump takes it.
func (z *sizer) boosterFits(chosen []int) bool {
	return !z.at(chosen, trainStage).recycles || z.at(chosen, boosterStage).put != nil
}
