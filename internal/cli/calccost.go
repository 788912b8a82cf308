package cli

import (
	"rinsewright/cost"
	"rinsewright/quantity"
)

// priceUnit is how many of package cost's whole units one unit of currency is
// here, so that 0.135 per kWh is not rounded to a cent.
const priceUnit = 100_000

// priceColumn pairs a price column with what it is for.
func priceColumn(name, about string) calcColumn {
	return mayColumn(name, "currency", about, 0, 1e6, "0")
}

var costDoor = calcDoor{
	name: "cost", about: "yearly running cost and cost per rinse, at prices you supply",
	notes: "Every price is in one currency, of your choice, in its main unit: 0.135 is thirteen and a half hundredths. A price or amount left empty is 0.",
	keys:  []calcColumn{idColumn},
	inputs: []calcColumn{
		needColumn("vends", "", "rinses in a year", 1e-3, 1e8),
		mayColumn("feed_m3", "m³", "feed water in a year", 0, 1e7, "0"),
		mayColumn("drain_m3", "m³", "water to drain in a year", 0, 1e7, "0"),
		mayColumn("energy_kWh", "kWh", "electricity in a year", 0, 1e8, "0"),
		mayColumn("resin_L", "L", "resin exchanged in a year", 0, 1e6, "0"),
		mayColumn("resin_changes", "", "visits in a year that change a bottle", 0, 1e4, "0"),
		mayColumn("minutes_per_change", "min", "work at a change", 0, 1e4, "0"),
		mayColumn("filters", "", "cartridges in a year", 0, 1e5, "0"),
		mayColumn("carbon_changes", "", "changes of the carbon in a year", 0, 1e4, "0"),
		mayColumn("elements", "", "membrane elements in a year", 0, 1e4, "0"),
		priceColumn("water_per_m3", "a cubic metre of water"),
		priceColumn("sewer_per_m3", "a cubic metre to drain"),
		priceColumn("power_per_kWh", "a kilowatt-hour"),
		priceColumn("resin_per_L", "a litre of resin exchanged"),
		priceColumn("filter_each", "one cartridge"),
		priceColumn("carbon_each", "one change of the carbon"),
		priceColumn("element_each", "one membrane element"),
		priceColumn("labour_per_h", "an hour of work"),
		priceColumn("visit_each", "travel for one visit"),
	},
	results: []calcColumn{
		resultColumn("total_year", "currency", "cost of a year"),
		resultColumn("per_rinse", "currency", "cost of a rinse"),
		resultColumn("largest", "", "the part that costs most"),
		resultColumn("largest_year", "currency", "what that part costs in a year"),
		resultColumn("parts", "", "every part with its cost in a year"),
	},
	compute: costAnswer,
}

func costAnswer(_ calcSetting, r calcRow) (calcAnswer, error) {
	price := func(name string) cost.Entry {
		return cost.Entry{Value: cost.Price(r.number(name) * priceUnit), Known: true}
	}
	year, err := cost.Yearly(cost.Use{
		Vends: r.number("vends"), Feed: quantity.CubicMetres(r.number("feed_m3")), Drain: quantity.CubicMetres(r.number("drain_m3")),
		Energy: quantity.KilowattHours(r.number("energy_kWh")), ResinVolume: quantity.Litres(r.number("resin_L")), ResinChanges: r.number("resin_changes"),
		MinutesPerStop: r.number("minutes_per_change"), Filters: r.number("filters"), CarbonChanges: r.number("carbon_changes"), Membranes: r.number("elements"),
	}, cost.Prices{
		Water: price("water_per_m3"), Sewer: price("sewer_per_m3"), Power: price("power_per_kWh"), Resin: price("resin_per_L"), Filter: price("filter_each"),
		Carbon: price("carbon_each"), Membrane: price("element_each"), Labour: price("labour_per_h"), Visit: price("visit_each"),
	})
	if err != nil {
		return nil, err
	}
	var largest cost.Line
	parts := ""
	for i, line := range year.Lines {
		if i > 0 {
			parts += "; "
		}
		parts += line.Name + " " + formatNumber(inCurrency(float64(line.Amount)))
		if line.Amount > largest.Amount {
			largest = line
		}
	}
	return calcAnswer{inCurrency(float64(year.Total)), inCurrency(year.PerRinseExact), largest.Name, inCurrency(float64(largest.Amount)), parts}, nil
}

func inCurrency(units float64) float64 { return units / priceUnit }
