package study

import (
	"rinsewright/cost"
	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/site"
)

// Habits that a yearly cost needs where nobody keeps a log. Source:
// [TradeDefaults].
const (
	filterChangesPerYear = 2
	carbonChangesPerYear = 2
	membraneYears        = 4
	minutesPerChange     = 30
	pumpEfficiency       = 0.35
)

// costOf is a year of running the rig as l sees it.
func (c *checking) costOf(l *look) (cost.Year, error) {
	return cost.Yearly(c.useOf(l), pricesOn(&c.site.Rig, pricesOf(c.site.Prices, c.notes)))
}

// pricesOn puts what a part itself says of its price in place of the list's.
func pricesOn(r *site.Rig, p cost.Prices) cost.Prices {
	if n := len(r.Filters); n > 0 {
		sum := cost.Price(0)
		for _, f := range r.Filters {
			sum += f.Price.Or(p.Filter.Value)
		}
		p.Filter.Value = sum / cost.Price(n)
	}
	if r.Carbon != nil {
		p.Carbon.Value = r.Carbon.Price.Or(p.Carbon.Value)
	}
	if n := len(r.Resin); n > 0 && r.Resin[0].Price.Known && r.Resin[0].Volume.Known {
		p.Resin.Value = r.Resin[0].Price.Value / cost.Price(r.Resin[0].Volume.Value.Litres())
	}
	if r.Membrane != nil {
		p.Membrane.Value = r.Membrane.Price.Or(p.Membrane.Value)
	}
	return p
}

func (c *checking) useOf(l *look) cost.Use {
	recovery := float64(l.today.Recovery())
	made := l.demand.Year
	u := cost.Use{
		Vends:          l.demand.Vends,
		Feed:           made / quantity.Volume(recovery),
		Filters:        float64(len(c.site.Rig.Filters)) * filterChangesPerYear,
		MinutesPerStop: minutesPerChange,
		Energy:         c.energy(l),
	}
	u.Drain = u.Feed - made
	u.Membranes = float64(elementsIn(&c.site.Rig)) / membraneYears
	if l.softening != nil {
		runs := float64(u.Feed) / float64(l.softening.cycle.Water)
		u.Salt = quantity.Mass(runs * float64(l.softening.cycle.Salt))
		waste := l.softening.cycle.Waste * quantity.Volume(runs)
		u.Feed, u.Drain = u.Feed+waste, u.Drain+waste
	}
	if c.site.Rig.Carbon != nil {
		u.CarbonChanges = carbonChangesPerYear
	}
	if !l.unused && l.life.Volume > 0 {
		u.ResinChanges = float64(made) / float64(l.fromBottle())
		u.ResinVolume = l.rig.beds[0].Volume * quantity.Volume(u.ResinChanges)
	}
	return u
}

// fromBottle is the water that one bottle gives before it is changed: all that it
// can where a lag behind it catches what slips, less where its outlet is the product.
func (l *look) fromBottle() quantity.Volume {
	if len(l.rig.beds) > 1 {
		return l.life.Volume
	}
	return quantity.Volume(resin.AloneUse) * l.life.Volume
}

// energy is what a booster and a delivery pump take in a year.
func (c *checking) energy(l *look) quantity.Energy {
	joules := 0.0
	feed := float64(l.demand.Year) / float64(l.today.Recovery()) // m³
	if p := c.site.Rig.Booster; p != nil {
		if l.today.Recycled > 0 {
			feed += feed * float64(l.today.Recycled/l.today.Fresh.Flow)
		}
		joules += feed * float64(p.Pressure.Or(quantity.PSI(80))) / float64(p.Efficiency.Or(pumpEfficiency))
	}
	if l.store.vented {
		joules += float64(l.demand.Year) * float64(l.delivery.SupplyPressure) / pumpEfficiency
	}
	return quantity.Energy(joules)
}

// pricesOf fills a price list, noting what was not on it.
func pricesOf(p cost.Prices, n *notes) cost.Prices {
	d := cost.Default()
	if p.Currency == "" {
		p.Currency = d.Currency
		n.assume("currency", d.Currency, "the price list does not say")
	}
	for _, e := range []struct {
		name        string
		entry       *cost.Entry
		replacement cost.Entry
	}{
		{"water per m³", &p.Water, d.Water},
		{"sewer per m³", &p.Sewer, d.Sewer},
		{"power per kWh", &p.Power, d.Power},
		{"salt per kg", &p.Salt, d.Salt},
		{"resin per litre", &p.Resin, d.Resin},
		{"filter cartridge", &p.Filter, d.Filter},
		{"change of carbon", &p.Carbon, d.Carbon},
		{"element", &p.Membrane, d.Membrane},
		{"hour of labour", &p.Labour, d.Labour},
		{"travel for a visit", &p.Visit, d.Visit},
	} {
		if !e.entry.Known {
			*e.entry = e.replacement
			n.assume("price of "+e.name, amount{float64(e.replacement.Value), p.Currency}.Text(n.units, n.locale), "your price list; the default is a round figure, nobody's price")
		}
	}
	return p
}
