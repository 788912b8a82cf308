// Package cost tells money from a price list that the user supplies: what a
// rinse, a day and a year cost, and which part of it goes where. Money is in
// integer minor units of one currency; nothing here knows an exchange rate.
//
// Sources:
//
//	[InterestTables] compound interest factors as engineering economy tabulates them
package cost

import (
	"errors"
	"fmt"
	"math"

	"rinsewright/quantity"
)

// Money is an amount in minor units (cents) of the price list's currency.
type Money int64

// Price is what one unit of something costs, a number of minor units with its
// fraction: utilities price in tenths of a cent.
type Price float64

// Entry is a price that may be missing.
type Entry struct {
	Value Price
	Known bool
}

// Or returns the price, or d when nobody said.
func (e Entry) Or(d Price) Price {
	if e.Known {
		return e.Value
	}
	return d
}

// Prices is the user's price list. Volumes are priced per cubic metre because
// utilities' units differ; the site file takes "5.40 per 1000 gal" as well.
type Prices struct {
	Currency string // three letters, "USD"
	Water    Entry  // per m³ of feed
	Sewer    Entry  // per m³ to drain
	Power    Entry  // per kWh
	// NightPower is per kWh where a meter counts the night apart.
	NightPower Entry
	Salt       Entry // per kg
	Resin      Entry // a bottle exchanged, per litre of resin
	Filter     Entry // one cartridge
	Carbon     Entry // one change of the carbon stage
	Membrane   Entry // one element
	Labour     Entry // an hour
	Visit      Entry // travel for one visit
	// Disposal is per litre of spent resin, where it is thrown away and not
	// exchanged.
	Disposal Entry

	Tax          quantity.Entry[quantity.Ratio] // on what is sold
	FinanceRate  quantity.Entry[quantity.Ratio] // a lender's, a year
	FinanceYears int                            // that a loan runs; 0 when none is offered
	Date         string                         // ISO 8601 day on which the list was right, "" when nobody noted it
}

// Default prices stand in where a site says nothing; each use is listed among
// the assumed. They are invented round figures, no supplier's.
func Default() Prices {
	told := func(p Price) Entry { return Entry{p, true} }
	return Prices{
		Currency: "USD", Water: told(150), Sewer: told(170), Power: told(16), Salt: told(60),
		Resin: told(780), Filter: told(900), Carbon: told(4500), Membrane: told(22000), Labour: told(7500), Visit: told(4000),
	}
}

// ErrRange is wrapped by every refusal of an input.
var ErrRange = errors.New("out of range")

// Use is what a year of rinsing consumes.
type Use struct {
	Vends          float64 // number of rinses in a year
	Feed           quantity.Volume
	Drain          quantity.Volume
	Energy         quantity.Energy
	Salt           quantity.Mass
	ResinVolume    quantity.Volume // resin exchanged in a year
	ResinChanges   float64         // number of visits that change a bottle
	Filters        float64         // number of cartridges
	CarbonChanges  float64         // number of changes
	Membranes      float64         // number of elements
	MinutesPerStop float64         // number of minutes of work at a resin change
}

// Line is one part of the yearly cost: a number of units at a price each.
type Line struct {
	Name   string
	Amount Money
	Number float64 // number of units in the year
	Unit   string  // "L", "h", "visit", ...
	Price  Price   // of one unit
}

// Year is the yearly running cost, largest part first as listed.
type Year struct {
	Currency string
	Lines    []Line
	Total    Money
	PerRinse Money // rounded to the minor unit
	// PerRinseExact keeps the fraction of a minor unit that rounding drops,
	// as a number of minor units.
	PerRinseExact float64
}

// Yearly returns what use costs at prices:
//
//	cost = Σ amount_i · price_i,  per rinse = cost / vends
//
// Source: arithmetic. Vends must be positive and no amount may be negative or
// infinite; the error wraps [ErrRange] and names the amount.
func Yearly(u Use, p Prices) (Year, error) {
	amounts := []struct {
		name, unit string
		n          float64
		price      Entry
	}{
		{"resin", "L", u.ResinVolume.Litres(), p.Resin},
		{"labour at resin changes", "h", u.ResinChanges * u.MinutesPerStop / 60, p.Labour},
		{"travel to change resin", "visits", u.ResinChanges, p.Visit},
		{"water", "m³", float64(u.Feed), p.Water},
		{"sewer", "m³", float64(u.Drain), p.Sewer},
		{"disposal of resin", "L", u.ResinVolume.Litres(), p.Disposal},
		{"power", "kWh", float64(u.Energy) / 3.6e6, p.Power},
		{"salt", "kg", float64(u.Salt), p.Salt},
		{"filters", "cartridges", u.Filters, p.Filter},
		{"carbon", "changes", u.CarbonChanges, p.Carbon},
		{"membrane", "elements", u.Membranes, p.Membrane},
	}
	y := Year{Currency: p.Currency}
	if !(u.Vends > 0 && u.Vends < 1e9) {
		return y, fmt.Errorf("cost of a year: %w: %g rinses, wanted more than none", ErrRange, u.Vends)
	}
	for _, a := range amounts {
		value := a.n * float64(a.price.Value)
		if !(value >= 0 && value < 1e15) {
			return y, fmt.Errorf("cost of a year: %w: %s amounts to %g minor units", ErrRange, a.name, value)
		}
		if value == 0 {
			continue
		}
		m := Money(math.Round(value))
		y.Lines = append(y.Lines, Line{a.name, m, a.n, a.unit, a.price.Value})
		y.Total += m
	}
	y.PerRinseExact = float64(y.Total) / u.Vends
	y.PerRinse = Money(math.Round(y.PerRinseExact))
	return y, nil
}
