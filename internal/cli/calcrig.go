package cli

import (
	"errors"

	"rinsewright/hydraulics"
	"rinsewright/membrane"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/water"
)

var rigDoor = calcDoor{
	name: "rig", about: "where a membrane rig on tap pressure or a booster settles: flows, recovery, strength of the permeate",
	notes: "The feed is either a full analysis (the columns of water; pH and alk_mgL_CaCO3 both given) or a conductivity alone, " +
		"of which the middle of city waters is made. Running pressure goes with the flow that ran. " +
		"A recycle needs a booster. Wear is on top of new: share of water permeability lost to dirt, share of the last element's channel under scale, " +
		"the free chlorine that the membrane has met, a leak past a seal in units of its own permeability, filters' loading. " +
		"Caution: never exceed what the element's maker allows, and depressurise before opening a housing.",
	keys: []calcColumn{idColumn},
	inputs: append(append([]calcColumn{
		needColumn("static_kPa", "kPa", "pressure at the tap, nothing running", 1, 10_000),
		mayColumn("running_kPa", "kPa", "pressure at the tap with running_flow_L_min running", 0, 10_000, ""),
		mayColumn("running_flow_L_min", "L/min", "the flow that ran, by bucket; both empty is a usual main", 0.01, 1e4, ""),
		mayColumn("filter_drop_kPa", "kPa", "pressure taken ahead of the membrane, at filter_flow_L_min", 0.001, 1000, ""),
		mayColumn("filter_flow_L_min", "L/min", "the flow at that drop", 0.01, 1e4, ""),
		needColumn("restrictor_flow_L_min", "L/min", "restrictor's rated flow", 0.001, 1000),
		mayColumn("restrictor_kPa", "kPa", "pressure of the restrictor's rating; 60 psi is usual", 1, 10_000, "413.68544"),
		mayColumn("booster_flow_L_min", "L/min", "booster's flow at its duty", 0.01, 1e4, ""),
		mayColumn("booster_kPa", "kPa", "pressure that it adds at that flow", 1, 10_000, ""),
		mayColumn("booster_shut_off_kPa", "kPa", "pressure that it adds with its outlet closed; empty is 1.3 times the duty", 1, 10_000, ""),
		mayColumn("booster_worn", "", "its pressure over new, a share", 0.05, 1.2, "1"),
		mayColumn("recycle_flow_L_min", "L/min", "flow of concentrate back to the booster's suction, at recycle_kPa", 0.001, 1000, ""),
		mayColumn("recycle_kPa", "kPa", "pressure of the recycle's rating; 60 psi is usual", 1, 10_000, "413.68544"),
		mayColumn("fouled", "", "share of water permeability lost to dirt", 0, 0.95, "0"),
		mayColumn("scaled_tail", "", "share of the last element's channel under scale", 0, 1, "0"),
		mayColumn("chlorine_mgh_L", "mg·h/L", "free chlorine that the membrane has met", 0, 100_000, "0"),
		mayColumn("seal_bypass", "", "leak past a seal over the element's own permeability", 0, 0.5, "0"),
		wholeColumn(mayColumn("leaking_housing", "", "the housing that leaks, from the feed end; 0 is all", 0, 12, "0")),
		mayColumn("filters_loaded", "", "filters' loading, 1 at their change point", 0, 2, "0"),
		mayColumn("restrictor_worn", "", "restrictor's flow at a pressure over new", 0.01, 20, "1"),
		mayColumn("back_pressure_kPa", "kPa", "pressure on the permeate side at the tank's inlet; 0 into a vented tank", 0, 5000, "0"),
		mayColumn("lift_m", "m", "tank's inlet above the membrane", -50, 100, "0"),
		wholeColumn(mayColumn("elements_in_series", "", "housings one after another", 1, 12, "1")),
		wholeColumn(mayColumn("rows_side_by_side", "", "such rows that share the feed", 1, 100, "1")),
		mayColumn("conductivity_25C_uScm", "µS/cm", "feed's conductivity, compensated to 25 °C; instead of an analysis", 1, 50_000, ""),
		needColumn("temp_C", "°C", "feed temperature", coldest, warmest),
		mayColumn("pH", "", "feed pH; needed with an analysis", 0, 14, ""),
		mayColumn("alk_mgL_CaCO3", "mg/L", "feed alkalinity as CaCO3; needed with an analysis", -mostMassConc, mostMassConc, ""),
	}, ionInputs()...), sheetColumns()...),
	results: []calcColumn{
		resultColumn("feed_flow_L_min", "L/min", "feed flow from the supply"),
		resultColumn("permeate_flow_L_min", "L/min", "permeate flow"),
		resultColumn("concentrate_flow_L_min", "L/min", "concentrate flow, to drain"),
		resultColumn("recovery", "", "permeate over feed"),
		resultColumn("tap_kPa", "kPa", "pressure at the tap while it runs"),
		resultColumn("membrane_feed_kPa", "kPa", "pressure at the membrane's feed end"),
		resultColumn("membrane_drop_kPa", "kPa", "pressure lost along the membrane"),
		resultColumn("permeate_side_kPa", "kPa", "pressure on the permeate side"),
		resultColumn("net_driving_kPa", "kPa", "mean net driving pressure"),
		resultColumn("flux_LMH", "L/(m²·h)", "mean flux"),
		resultColumn("salt_passage", "", "permeate over feed strength, one lumped salt"),
		resultColumn("permeate_SC_25C_uScm", "µS/cm", "conductivity of the permeate at 25 °C"),
		resultColumn("permeate_pH", "", "pH of the permeate"),
		resultColumn("permeate_CO2_mgL", "mg/L", "dissolved carbon dioxide in the permeate"),
		resultColumn("feed_SC_25C_uScm", "µS/cm", "conductivity of the supply as modelled"),
		resultColumn("recycled_flow_L_min", "L/min", "concentrate that comes back"),
		resultColumn("membrane_feed_L_min", "L/min", "flow into the membrane, what comes back included"),
		resultColumn("suction_kPa", "kPa", "pressure ahead of booster or membrane"),
		assumedColumn,
	},
	compute: rigAnswer,
}

func rigAnswer(_ calcSetting, r calcRow) (calcAnswer, error) {
	feed, assumed, err := rigFeed(r)
	if err != nil {
		return nil, err
	}
	element, sheetAssumed, err := membrane.FromSheet(sheetOf(r))
	if err != nil {
		return nil, err
	}
	rig, err := rigOf(r, element)
	if err != nil {
		return nil, err
	}
	if !r.has("running_kPa") {
		assumed = append(assumed, "the main loses 10 psi at 8 gpm")
	}
	if rig, err = wornRig(r, rig); err != nil {
		return nil, err
	}
	point, err := rig.Operate(plant.Conditions{Feed: feed, TankPressure: quantity.Kilopascals(r.number("back_pressure_kPa"))})
	if err != nil {
		return nil, err
	}
	return pointAnswer(point, append(assumed, sheetAssumed...))
}

// rigFeed is the row's analysis, or a water of its conductivity.
func rigFeed(r calcRow) (water.Water, []string, error) {
	switch analysed := r.has("pH") && r.has("alk_mgL_CaCO3"); {
	case analysed && r.has("conductivity_25C_uScm"):
		return water.Water{}, nil, errors.New("conductivity_25C_uScm: read beside pH and alk_mgL_CaCO3, wanted either a conductivity or an analysis")
	case analysed:
		w, _, err := analysisOf(r).Water()
		return w, nil, err
	case !r.has("conductivity_25C_uScm"):
		return water.Water{}, nil, errors.New("conductivity_25C_uScm: nothing read, wanted a conductivity, or an analysis with pH and alk_mgL_CaCO3")
	}
	return cityFeed(quantity.MicrosiemensPerCm(r.number("conductivity_25C_uScm")), quantity.Celsius(r.number("temp_C")))
}

// cityFeed is the middle of city waters of a conductivity.
func cityFeed(k quantity.Conductivity, t quantity.Temperature) (water.Water, []string, error) {
	done, err := water.Complete(water.Sample{
		Place:       "feed",
		Strength:    water.Strength{Conductivity: quantity.Told(k)},
		Temperature: quantity.Told(t),
	}, water.CityPrior())
	return done.Water, []string{"the feed is the middle of city waters of that conductivity"}, err
}

// rigOf hangs a row's parts together.
func rigOf(r calcRow, element membrane.Element) (plant.Plant, error) {
	main := hydraulics.CityCurve{Static: quantity.Kilopascals(r.number("static_kPa"))}
	if r.has("running_kPa") != r.has("running_flow_L_min") {
		return plant.Plant{}, errors.New("running_kPa: wanted together with running_flow_L_min, or neither")
	}
	if r.has("running_kPa") {
		main.RunningPressure = quantity.Kilopascals(r.number("running_kPa"))
		main.RunningFlow = quantity.LitresPerMinute(r.number("running_flow_L_min"))
	}
	p := plant.Plant{
		Supply:     main,
		Train:      membrane.Train{Parallel: int(r.number("rows_side_by_side"))},
		Restrictor: hydraulics.RatedRestrictor{Rated: quantity.LitresPerMinute(r.number("restrictor_flow_L_min")), At: quantity.Kilopascals(r.number("restrictor_kPa"))},
		Lift:       quantity.Metres(r.number("lift_m")),
	}
	for range int(r.number("elements_in_series")) {
		p.Train.Housings = append(p.Train.Housings, membrane.Housing{Element: element, Wear: membrane.New()})
	}
	if r.has("filter_drop_kPa") != r.has("filter_flow_L_min") {
		return p, errors.New("filter_drop_kPa: wanted together with filter_flow_L_min, or neither")
	}
	if r.has("filter_drop_kPa") {
		drop := quantity.Kilopascals(r.number("filter_drop_kPa"))
		filter := hydraulics.Filter{CleanDrop: drop, ChangeDrop: 2 * drop, RatedFlow: quantity.LitresPerMinute(r.number("filter_flow_L_min"))}
		p.FeedSide = []plant.Part{{Name: "filters", Resistance: filter}}
	}
	return p, boost(r, &p)
}

// boost hangs a row's booster and recycle.
func boost(r calcRow, p *plant.Plant) error {
	if r.has("booster_kPa") != r.has("booster_flow_L_min") {
		return errors.New("booster_kPa: wanted together with booster_flow_L_min, or neither")
	}
	if r.has("booster_kPa") {
		duty := hydraulics.PumpPoint{Flow: quantity.LitresPerMinute(r.number("booster_flow_L_min")), Pressure: quantity.Kilopascals(r.number("booster_kPa"))}
		shut := 1.3 * duty.Pressure
		if r.has("booster_shut_off_kPa") {
			shut = quantity.Kilopascals(r.number("booster_shut_off_kPa"))
		}
		pump, err := hydraulics.DutyPump(shut, duty)
		if err != nil {
			return err
		}
		p.Booster = pump
	} else if r.has("booster_shut_off_kPa") {
		return errors.New("booster_shut_off_kPa: wanted together with booster_kPa and booster_flow_L_min")
	}
	if r.has("recycle_flow_L_min") {
		p.Recycle = hydraulics.RatedRestrictor{Rated: quantity.LitresPerMinute(r.number("recycle_flow_L_min")), At: quantity.Kilopascals(r.number("recycle_kPa"))}
	}
	return nil
}

// wornRig is the rig as service has left it.
func wornRig(r calcRow, p plant.Plant) (plant.Plant, error) {
	w := plant.Unworn()
	w.Membrane = membrane.Fouled(quantity.Ratio(r.number("fouled"))).
		With(membrane.Scaled(quantity.Ratio(r.number("scaled_tail")))).
		With(membrane.Oxidation(quantity.MilligramHoursPerLitre(r.number("chlorine_mgh_L")))).
		With(membrane.Leaking(quantity.Ratio(r.number("seal_bypass"))))
	w.LeaksAt = int(r.number("leaking_housing"))
	w.Filters = quantity.Ratio(r.number("filters_loaded"))
	w.Restrictor = r.number("restrictor_worn")
	w.Booster = quantity.Ratio(r.number("booster_worn"))
	return p.Worn(w)
}

func pointAnswer(p plant.Point, assumed []string) (calcAnswer, error) {
	m := p.Membrane
	permeate, err := water.Describe(m.Permeate.Water)
	if err != nil {
		return nil, err
	}
	feed25, err := p.Fresh.Water.Conductivity25()
	if err != nil {
		return nil, err
	}
	kPa := func(p quantity.Pressure) float64 { return float64(p) / 1000 }
	return calcAnswer{
		p.Fresh.Flow.LitresPerMinute(), m.Permeate.Flow.LitresPerMinute(), p.Drain.Flow.LitresPerMinute(), float64(p.Recovery()),
		kPa(p.Tap), kPa(p.Feed.Pressure), kPa(m.Drop), kPa(p.BackPressure), kPa(m.NetDriving), m.MeanFlux.LitresPerSquareMetreHour(),
		float64(m.Passage), permeate.Conductivity25.MicrosiemensPerCm(), permeate.Solution.PH,
		water.CarbonDioxideMass(permeate.Solution.CO2()).MilligramsPerLitre(), feed25.MicrosiemensPerCm(),
		p.Recycled.LitresPerMinute(), p.Feed.Flow.LitresPerMinute(), kPa(p.Suction), assumedText(assumed),
	}, nil
}
