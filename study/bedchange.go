package study

import (
	"context"
	"slices"
	"strings"

	"rinsewright/cost"
	"rinsewright/quantity"
)

// BedChange is a change of the rig, what it makes of the resin's life and what
// it costs.
type BedChange struct {
	Name, Note string
	Days       Figure
	Times      float64 // its life over today's, dimensionless
	Outlay     Figure  // once, parts and work
	PerYear    Figure  // running cost afterwards
	Saves      Figure  // a year, against today; may be below nothing
	ranked     float64 // money a year with the outlay spread
}

// bedYears spreads an outlay. Source: [TradeDefaults].
const bedYears = 5

// outlays are round figures for what a change takes once, in the currency of the
// price list. Source: [TradeDefaults]; nobody's price, to be replaced by a quote.
var outlays = map[string]float64{
	"a vented, aerated tank, the resin after it": 900,
	"resin after the tank":                       150,
	"soda dosed ahead of the membrane":           450,
	"a small membrane ahead of the resin":        700,
	"an element that passes half the salt":       250,
	"twice the gap between stop and start":       40,
}

// bedChanges runs the chain again under each remedy and prices it, cheapest
// first.
func (c *checking) bedChanges(ctx context.Context) ([]BedChange, error) {
	now := resinDays(c, c.base)
	today, err := c.costOf(c.base)
	if err != nil || !(now > 0) {
		return nil, err
	}
	var all []BedChange
	for _, v := range append(c.variants(), c.bedVariants()...) {
		var n notes
		l, err := lookAt(ctx, v.site, drawn{}, &n, c.options.Seed, v.change)
		if err != nil || l.unused {
			continue // a remedy that cannot work here is not offered
		}
		with := *c
		with.site, with.notes = v.site, &n
		then, err := with.costOf(l)
		days := resinDays(c, l)
		if err != nil || !(days > 0) {
			continue
		}
		all = append(all, priced(v, days, now, today, then))
	}
	slices.SortStableFunc(all, func(a, b BedChange) int {
		if a.ranked < b.ranked {
			return -1
		}
		return 1
	})
	return all, ctx.Err()
}

func priced(v variant, days, now float64, today, then cost.Year) BedChange {
	once := outlayOf(v.name)
	return BedChange{
		Name: v.name, Note: v.note, Days: life{quantity.Time(days)}, Times: days / now,
		Outlay: money(cost.Money(once*100), then.Currency), PerYear: money(then.Total, then.Currency),
		Saves:  money(today.Total-then.Total, then.Currency),
		ranked: float64(then.Total) + 100*once/bedYears,
	}
}

// outlayOf matches a variant by the start of its name, since some names end in a
// number. What is not in the list costs as much as the dearest that is.
func outlayOf(name string) float64 {
	most := 0.0
	for start, amount := range outlays {
		if strings.HasPrefix(name, start) {
			return amount
		}
		most = max(most, amount)
	}
	return most
}

// bedVariants are remedies beside those of [checking.variants].
func (c *checking) bedVariants() []variant {
	if c.base.rig.afterTank || !c.base.store.vented || len(c.site.Rig.Resin) == 0 {
		return nil
	}
	changed := *c.site
	changed.Rig.Resin = slices.Clone(c.site.Rig.Resin)
	for i := range changed.Rig.Resin {
		changed.Rig.Resin[i].Place = "after tank"
	}
	return []variant{{
		name: "resin after the tank", site: &changed,
		note: "the tank gives carbon dioxide to the air first; the bottle must take the guns' flow",
	}}
}

// firstToDouble is the cheapest change that at least doubles the life; nil when
// none does.
func firstToDouble(changes []BedChange) *BedChange {
	for i := range changes {
		if changes[i].Times >= 2 {
			return &changes[i]
		}
	}
	return nil
}
