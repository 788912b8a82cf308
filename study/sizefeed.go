package study

import (
	"context"
	"fmt"
	"math"
	"slices"

	"rinsewright/carbon"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/sizing"
	"rinsewright/water"
)

// judgeSoftener holds a softener to the least feed of any system.
func (z *sizer) judgeSoftener(_ context.Context, chosen []int) (sizing.Verdict, error) {
	v := verdict{z: z}
	l := z.base
	if err := l.soften(z.siteOf(chosen), &notes{}); err != nil {
		return v.cannot("softener", err)
	}
	if l.softening != nil {
		day := z.leastFeed().Over(quantity.Days(1))
		v.add("softener", float64(day)/float64(l.softening.cycle.Water), "at least %s of feed on the busiest day, %s between regenerations", sizeText(z, day), sizeText(z, l.softening.cycle.Water))
	}
	return v.Verdict, nil
}

// leastFeed is the least feed of any system that makes the busiest day's water
// within the elements' recovery.
func (z *sizer) leastFeed() quantity.Flow {
	return quantity.Flow(float64(z.base.demand.BusyDay) / 86400 / z.mostRecovery())
}

// feedOf looks at what reaches the membrane, before any flow is known.
func (z *sizer) feedOf(chosen []int) *sizing.Verdict {
	return z.feeds.of(feedKey{chosen[softenerStage], chosen[feedStage]}, func() *sizing.Verdict {
		v := verdict{z: z}
		feed := z.at(chosen, feedStage)
		s := *z.site
		feed.put(&s)
		l := z.softOf(chosen)
		v.iron(feed, l)
		if l.chlorine && s.Rig.Carbon == nil {
			total := l.challenge.FreeChlorine + l.challenge.Chloramine
			v.add("chlorine at the membrane", float64(total)/float64(carbon.LeakLimit), "%s of chlorine, at most %s", milligrams(total), milligrams(carbon.LeakLimit))
		}
		v.hold(&s, *l, feed)
		return &v.Verdict
	})
}

// iron is what filters and a softener leave of it.
func (v *verdict) iron(feed choice, l *look) {
	iron := ironOf(v.z.site)
	if iron == 0 {
		return
	}
	switch {
	case feed.iron != nil:
		iron = 0
	case l.softening != nil:
		iron = min(iron, water.Iron.Mass(l.feed.Total[water.Iron])+water.Manganese.Mass(l.feed.Total[water.Manganese]))
	}
	v.add("iron at the membrane", float64(iron)/float64(ironLimit), "%s of iron and manganese, at most %s", milligrams(iron), milligrams(ironLimit))
}

// milligrams prints a concentration beside a limit in the same unit.
func milligrams(c quantity.MassConc) string { return fmt.Sprintf("%.3g mg/L", c.MilligramsPerLitre()) }

// hold holds filters and carbon to the least feed of any system.
func (v *verdict) hold(s *site.Site, l look, feed choice) {
	z := v.z
	flow := z.leastFeed()
	if feed.flow > 0 {
		v.add("filter flow", float64(flow)/float64(feed.flow), "at least %s of feed through what is made for %s", sizeText(z, flow), sizeText(z, feed.flow))
	}
	bed, err := carbonOf(s.Rig.Carbon, &notes{})
	if err != nil || bed == nil || !l.chlorine {
		return
	}
	l.rig.carbon = bed
	if err := v.contact(&l, flow); err != nil {
		v.add("carbon contact", impossible, "%v", err)
	}
}

// soundFeeds marks filters and carbon that break a limit with every softener,
// and leaves out those too small for the least feed of any system, unless no
// others are left.
func (z *sizer) soundFeeds() {
	all := z.choices[feedStage]
	var kept []choice
	for feed, c := range all {
		small, verdicts := true, []sizing.Verdict{}
		for softener := range z.choices[softenerStage] {
			chosen := make([]int, stageCount)
			chosen[softenerStage], chosen[feedStage] = softener, feed
			v := z.feedOf(chosen)
			verdicts = append(verdicts, *v)
			small = small && slices.ContainsFunc(v.Margins, func(m margin) bool {
				return m.Used > 1 && (m.Constraint == "filter flow" || m.Constraint == "carbon contact")
			})
		}
		c.doom = doomOf(verdicts)
		if all[feed].doom = c.doom; !small || c.kept {
			kept = append(kept, c)
		}
	}
	if slices.ContainsFunc(kept, func(c choice) bool { return len(c.doom.Among) == 0 }) {
		z.choices[feedStage] = kept
		z.feeds = memo[feedKey, sizing.Verdict]{} // told by place in the list
	}
}

// mostRecovery is what any train recovers of fresh water, each element at the most
// that data sheets allow.
func (z *sizer) mostRecovery() float64 {
	if z.most > 0 {
		return z.most
	}
	most := 0.0
	for _, c := range z.choices[trainStage] {
		most = max(most, c.recovers)
	}
	return most
}

// leastMade is the least that a system which makes the busiest day's water in the
// coldest open month makes at the temperature of the sample. A colder sample, from
// a month in which the place is shut, makes less in the proportion that water gets
// through: over half between 0 and 25 °C at 3500 K, [TradeDefaults].
func (z *sizer) leastMade() quantity.Flow {
	colder := max(1/float64(z.base.feed.Temperature)-1/float64(z.cold), 0)
	return quantity.Flow(z.needed() * math.Exp(-mostWaterEnergy*colder))
}

const mostWaterEnergy = 3500 // K, above that of any data sheet

// mostElementRecovery is above what any data sheet allows one element. Source:
// [TradeDefaults].
const mostElementRecovery = 0.2
