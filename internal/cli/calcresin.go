package cli

import (
	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/water"
)

const mostResin = 20_000 // L

var resinLifeDoor = calcDoor{
	name: "resin-life", about: "litres that a mixed bed polishes, and what used it up",
	notes: "The water is the columns of permeate. Weak acids load the anion side once per molecule, dissociated or not, which no pen shows. " +
		"Caution: wet resin is heavy, spilt beads are slippery; regeneration is for a licensed plant.",
	keys: []calcColumn{idColumn},
	inputs: append(append([]calcColumn{}, permeateDoor.inputs...),
		needColumn("resin_L", "L", "volume of mixed bed", 0.01, mostResin),
		wordColumn("condition", "of the resin", "new", "new", "regenerated"),
		mayColumn("capacity_eq_L", "eq/L", "used capacity of either side per litre of bed, in place of the generic bed's", 0.001, 3, ""),
		mayColumn("starts", "", "starts of the membrane while starts_water_L passes", 0, 1e6, "0"),
		mayColumn("starts_water_L", "L", "water that goes with those starts, a day's for a day's", 0.001, 1e9, ""),
		mayColumn("slug_L", "L", "permeate that carries the creep of one start", 0, 1000, "0"),
		mayColumn("slug_excess_meqL", "meq/L", "its strength above the steady permeate", 0, 1000, "0"),
		mayColumn("water_L_day", "L", "water a day, to tell days", 0.001, 1e9, ""),
		mayColumn("end_uScm", "µS/cm", "endpoint as conductivity at 25 °C, for end_L", 0.06, 1e5, ""),
		mayColumn("end_SiO2_mgL", "mg/L", "endpoint as silica, for end_L; with end_uScm whichever comes first", 0.001, 1000, ""),
		mayColumn("flow_L_min", "L/min", "flow through the bed, for end_L; empty leaves fronts sharp", 0.001, 1e4, ""),
		mayColumn("depth_m", "m", "depth of the bed", 0.01, 5, "0.9"),
		mayColumn("water_doubt", "", "doubt of the load over a year, half of its 5 to 95 % band", 0, 0.9, "0"),
		mayColumn("flow_doubt", "", "doubt of the flow, likewise", 0, 0.9, "0"),
	),
	results: []calcColumn{
		resultColumn("anion_load_meqL", "meq/L", "what a litre brings to the anion side"),
		resultColumn("cation_load_meqL", "meq/L", "what a litre brings to the cation side"),
		resultColumn("life_L", "L", "water to the endpoint"),
		resultColumn("life_low_L", "L", "low end of the bed's doubt"),
		resultColumn("life_high_L", "L", "high end of the bed's doubt"),
		resultColumn("life_days", "d", "life at water_L_day; empty without it"),
		resultColumn("ends_first", "", "the side that is used up first: anion or cation"),
		resultColumn("share_ions", "", "share of that side's load: strong ions"),
		resultColumn("share_starts", "", "share: creep of the starts"),
		resultColumn("share_bicarbonate", "", "share: bicarbonate"),
		resultColumn("share_CO2", "", "share: carbon dioxide"),
		resultColumn("share_silica", "", "share: silica"),
		resultColumn("end_L", "L", "water to the endpoint given, creep counted as salt; empty without one, or when the water is within it"),
		resultColumn("end_low_L", "L", "low end, doubts of bed, water and flow"),
		resultColumn("end_high_L", "L", "high end"),
		resultColumn("end_utilisation", "", "share of the sites filled by then"),
		resultColumn("end_by", "", "component whose arrival ends the bed"),
	},
	compute: resinLifeAnswer,
}

func resinLifeAnswer(_ calcSetting, r calcRow) (calcAnswer, error) {
	bed, err := bedOf(r)
	if err != nil {
		return nil, err
	}
	inlet, err := inletOf(r)
	if err != nil {
		return nil, err
	}
	life, err := bed.Life(inlet)
	if err != nil {
		return nil, err
	}
	var days any
	if r.has("water_L_day") {
		days = life.Volume.Litres() / r.number("water_L_day")
	}
	s := life.Shares
	a := calcAnswer{
		meqPerLitre(inlet.AnionLoad()), meqPerLitre(inlet.CationLoad()), life.Volume.Litres(), life.Low.Litres(), life.High.Litres(), days, string(life.Ends),
		float64(s.Ions), float64(s.Starts), float64(s.Bicarbonate), float64(s.CO2), float64(s.Silica),
	}
	return endpointAnswer(a, r, bed, inlet.Creep)
}

func meqPerLitre(c quantity.EquivConc) float64 { return float64(c) } // mol/m³

func bedOf(r calcRow) (resin.Bed, error) {
	bed, err := resin.MixedBed(quantity.Litres(r.number("resin_L")), resin.Condition(r.text("condition")))
	if err != nil || !r.has("capacity_eq_L") {
		return bed, err
	}
	used := quantity.MilliequivalentsPerLitre(1000 * r.number("capacity_eq_L"))
	bed.CationCapacity, bed.AnionCapacity, bed.Utilisation = used, used, 1
	return bed, nil
}

func inletOf(r calcRow) (resin.Inlet, error) {
	w := recipeOf(r).Water()
	s, err := water.Equilibrate(w)
	if err != nil {
		return resin.Inlet{}, err
	}
	inlet := resin.InletOf(w, s)
	if r.number("starts") == 0 {
		return inlet, nil
	}
	inlet.Creep, err = resin.Starts{
		Slug:   quantity.Litres(r.number("slug_L")),
		Excess: quantity.MilliequivalentsPerLitre(r.number("slug_excess_meqL")),
		Count:  r.number("starts"),
		Water:  quantity.Litres(r.number("starts_water_L")),
	}.Creep()
	return inlet, err
}

var softenerDoor = calcDoor{
	name: "softener", about: "one run of a softener between two regenerations",
	notes: "Volumes are of feed: permeate over recovery. Caution: brine is salty waste that some places ban from the drain.",
	keys:  []calcColumn{idColumn},
	inputs: []calcColumn{
		needColumn("resin_L", "L", "volume of resin", 0.1, mostResin),
		needColumn("salt_kg", "kg", "salt per regeneration", 0.01, 1e4),
		mayColumn("reserve", "", "share of capacity kept back", 0, 0.9, "0"),
		needColumn("vessel_mm", "mm", "inside diameter of the vessel", 20, 5000),
		needColumn("hardness_mgL_CaCO3", "mg/L", "hardness of the feed as CaCO3", 0, 5000),
		mayColumn("Fe_mgL", "mg/L", "clear-water iron", 0, 10, "0"),
		mayColumn("cations_meqL", "meq/L", "all cations of the feed, for the leak; empty is its hardness", 0, 500, ""),
		mayColumn("bypassed", "", "share of the water that goes past the resin", 0, 1, "0"),
		mayColumn("missed_L", "L", "water since the last regeneration that worked", 0, 1e9, "0"),
		mayColumn("label_gpft3", "grains/ft³", "capacity on the label, to be checked against the salt", 0, 1e6, ""),
	},
	results: []calcColumn{
		resultColumn("hardness_with_iron_mgL_CaCO3", "mg/L", "hardness that counts, iron included"),
		resultColumn("capacity_g_CaCO3_L", "g/L", "hardness taken up per litre of resin, as CaCO3"),
		resultColumn("capacity_gpft3", "grains/ft³", "the same in the label's unit"),
		resultColumn("water_L", "L", "softened before the next regeneration is due"),
		resultColumn("waste_L", "L", "to drain per regeneration"),
		resultColumn("leak_mgL_CaCO3", "mg/L", "hardness in the softened water as CaCO3"),
		resultColumn("salt_efficiency", "", "hardness removed over stoichiometry"),
		resultColumn("most_flow_L_min", "L/min", "service flow, at most"),
		resultColumn("backwash_flow_L_min", "L/min", "backwash flow"),
		resultColumn("outlet_mgL_CaCO3", "mg/L", "hardness after the softener, with what is bypassed and missed"),
		resultColumn("hard_after_L", "L", "water without a regeneration at which hardness comes through"),
	},
	compute: softenerAnswer,
}

func softenerAnswer(_ calcSetting, r calcRow) (calcAnswer, error) {
	volume, salt := quantity.Litres(r.number("resin_L")), quantity.Kilograms(r.number("salt_kg"))
	if r.has("label_gpft3") {
		if err := resin.CheckSaltRating(resin.GrainsPerCubicFoot(r.number("label_gpft3")), salt, volume); err != nil {
			return nil, err
		}
	}
	hardness, err := resin.CompensatedHardness(quantity.MilligramsPerLitreCaCO3(r.number("hardness_mgL_CaCO3")), quantity.MilligramsPerLitre(r.number("Fe_mgL")))
	if err != nil {
		return nil, err
	}
	strength := hardness.Equivalents()
	if r.has("cations_meqL") {
		strength = quantity.MilliequivalentsPerLitre(r.number("cations_meqL"))
	}
	softener := resin.Softener{Resin: volume, Salt: salt, Reserve: quantity.Ratio(r.number("reserve")), Diameter: quantity.Millimetres(r.number("vessel_mm"))}
	c, err := softener.Cycle(hardness, strength)
	if err != nil {
		return nil, err
	}
	outlet, err := softener.Outlet(c, hardness, resin.SoftenerFault{
		Bypassed: quantity.Ratio(r.number("bypassed")), Missed: quantity.Litres(r.number("missed_L")),
	})
	if err != nil {
		return nil, err
	}
	return calcAnswer{
		hardness.MilligramsPerLitreCaCO3(), float64(c.Capacity), resin.InGrainsPerCubicFoot(c.Capacity), c.Water.Litres(), c.Waste.Litres(),
		c.Leak.MilligramsPerLitreCaCO3(), float64(c.Efficiency), c.MostFlow.LitresPerMinute(), c.BackwashFlow.LitresPerMinute(),
		outlet.Hardness.MilligramsPerLitreCaCO3(), outlet.HardFrom.Litres(),
	}, nil
}
