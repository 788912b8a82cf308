package study

import (
	"context"
	"math"
	"slices"

	"rinsewright/carbon"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/sizing"
	"rinsewright/water"
)

// judgeFeed looks at what reaches the membrane, before any flow is known.
func (z *sizer) judgeFeed(_ context.Context, chosen []int) (sizing.Verdict, error) {
	v := verdict{z: z}
	feed := z.at(chosen, feedStage)
	s := z.siteOf(chosen)
	l := z.base
	if err := l.soften(s, &notes{}); err != nil {
		return v.cannot("softener", err)
	}
	iron := ironOf(z.site)
	switch {
	case feed.iron != nil:
		iron = 0
	case l.softening != nil:
		iron = min(iron, water.Iron.Mass(l.feed.Total[water.Iron])+water.Manganese.Mass(l.feed.Total[water.Manganese]))
	}
	if ironOf(z.site) > 0 {
		v.add("iron at the membrane", float64(iron)/float64(ironLimit), "%s of iron and manganese, at most %s", sizeText(z, iron), sizeText(z, ironLimit))
	}
	if l.chlorine && s.Rig.Carbon == nil {
		total := l.challenge.FreeChlorine + l.challenge.Chloramine
		v.add("chlorine at the membrane", float64(total)/float64(carbon.LeakLimit), "%s of chlorine, at most %s", sizeText(z, total), sizeText(z, carbon.LeakLimit))
	}
	v.leastFeed(s, &l, feed)
	return v.Verdict, nil
}

// leastFeed holds what stands ahead of the membrane to the least feed of any
// system that makes the busiest day's water within the elements' recovery.
func (v *verdict) leastFeed(s *site.Site, l *look, feed choice) {
	z := v.z
	flow := quantity.Flow(float64(l.demand.BusyDay) / 86400 / z.mostRecovery()) // m³/s
	if feed.flow > 0 {
		v.add("filter flow", float64(flow)/float64(feed.flow), "at least %s of feed through what is made for %s", sizeText(z, flow), sizeText(z, feed.flow))
	}
	if l.softening != nil {
		day := flow.Over(quantity.Days(1))
		v.add("softener", float64(day)/float64(l.softening.cycle.Water), "at least %s of feed on the busiest day, %s between regenerations", sizeText(z, day), sizeText(z, l.softening.cycle.Water))
	}
	bed, err := carbonOf(s.Rig.Carbon, &notes{})
	if err != nil || bed == nil || !l.chlorine {
		return
	}
	l.rig.carbon = bed
	if err := v.contact(l, flow); err != nil {
		v.add("carbon contact", impossible, "%v", err)
	}
}

// mostRecovery is what the longest row of elements recovers, each at the most
// that data sheets allow.
func (z *sizer) mostRecovery() float64 {
	if z.longest > 0 {
		return z.longest
	}
	longest := 1
	for _, c := range z.choices[trainStage] {
		var s site.Site
		if c.put(&s); !s.Rig.Membrane.Parallel {
			longest = max(longest, s.Rig.Membrane.Count)
		}
	}
	return 1 - math.Pow(1-mostElementRecovery, float64(longest))
}

// mostElementRecovery is above what any data sheet allows one element. Source:
// [TradeDefaults].
const mostElementRecovery = 0.2

// judgeBooster holds the most that elements could ever make of the pressure
// there is against the busiest day: what is far too small needs no closer look.
//
//	Q < A S (p_tap + p_pump − p_back − π), nothing lost on the way
func (z *sizer) judgeBooster(_ context.Context, chosen []int) (sizing.Verdict, error) {
	outlet := z.at(chosen, outletStage)
	key := enoughKey{outlet.pressurised, outlet.standing, chosen[trainStage], chosen[boosterStage]}
	z.mutex.Lock()
	found, ok := z.enough[key]
	z.mutex.Unlock()
	if !ok {
		found = z.enoughOf(chosen)
		z.mutex.Lock()
		z.enough[key] = found
		z.mutex.Unlock()
	}
	v := verdict{Verdict: found, z: z}
	v.Margins = slices.Clip(v.Margins)
	v.circuit(chosen)
	return v.Verdict, nil
}

// enoughKey is what decides how much elements could make at most.
type enoughKey struct {
	pressurised, standing bool
	train, booster        int
}

func (z *sizer) enoughOf(chosen []int) sizing.Verdict {
	v := verdict{z: z}
	most, err := z.mostMade(chosen)
	need := quantity.Flow(float64(z.base.demand.BusyDay) / 86400)
	switch {
	case err != nil:
		v.add("supply", impossible, "%v", err)
	case most < need:
		v.capacityOf(max(most, need/impossible))
	}
	return v.Verdict
}

// mostMade is the most that the elements could make of the pressure there is.
// At the flow that is needed there is at most the supply's pressure there.
func (z *sizer) mostMade(chosen []int) (quantity.Flow, error) {
	s := z.siteOf(chosen)
	supply, err := supplyOf(s, drawn{}, &notes{})
	if err != nil {
		return 0, err
	}
	static, err := supply.Pressure(0)
	if err != nil {
		return 0, err
	}
	train, err := z.trainFor(s, chosen[trainStage])
	if err != nil {
		return 0, err
	}
	count := float64(len(train.plant.Train.Housings) * max(train.plant.Train.Parallel, 1))
	sheet := train.element.Sheet
	energy := sheet.WaterEnergies.Below
	if z.cold > 298.15 {
		energy = sheet.WaterEnergies.Above
	}
	cold := math.Exp(float64(energy) * (1/298.15 - 1/float64(z.cold)))
	passes := count * float64(train.element.WaterPermeability) * cold * float64(sheet.Area) // m³/(s·Pa)
	back, err := z.backOf(z.at(chosen, outletStage), s)
	if err != nil {
		return 0, err
	}
	at, err := supply.Pressure(quantity.Flow(float64(z.base.demand.BusyDay) / 86400 / z.mostRecovery()))
	if err != nil {
		at = static
	}
	return quantity.Flow(passes * max(float64(at-back-z.osmotic), 0)), nil
}
