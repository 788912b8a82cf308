package cli

import (
	"strings"

	"rinsewright/membrane"
	"rinsewright/quantity"
)

// conditionColumns are the columns of one condition; standard ones may be empty.
func conditionColumns() []calcColumn {
	const most = 12_000 // kPa
	return []calcColumn{
		needColumn("Qp_actual_L_min", "L/min", "permeate flow as read", 0, 1e5),
		needColumn("Pf_kPa", "kPa", "feed pressure, gauge", 0, most),
		needColumn("dP_kPa", "kPa", "pressure drop, feed to concentrate", 0, most),
		needColumn("Pp_kPa", "kPa", "permeate pressure, gauge", 0, most),
		needColumn("pi_fb_kPa", "kPa", "osmotic pressure, mean of feed and concentrate", 0, most),
		needColumn("pi_p_kPa", "kPa", "osmotic pressure of the permeate", 0, most),
		needColumn("T_C", "°C", "temperature", coldest, warmest),
		mayColumn("std_Pf_kPa", "kPa", "feed pressure at the standard condition", 0, most, "1000"),
		mayColumn("std_dP_kPa", "kPa", "pressure drop at the standard condition", 0, most, "100"),
		mayColumn("std_Pp_kPa", "kPa", "permeate pressure at the standard condition", 0, most, "50"),
		mayColumn("std_pi_fb_kPa", "kPa", "osmotic pressure of feed and concentrate at the standard condition", 0, most, "60"),
		mayColumn("std_pi_p_kPa", "kPa", "osmotic pressure of the permeate at the standard condition", 0, most, "1"),
		mayColumn("std_T_C", "°C", "temperature of the standard condition", coldest, warmest, "25"),
		mayColumn("temperature_coefficient_K", "K", "constant of the temperature factor; empty is 2640 from 25 °C up and 3020 below", 0, 20_000, ""),
	}
}

// conditionOf reads one condition; its columns begin with prefix.
func conditionOf(r calcRow, prefix string) membrane.Condition {
	kPa := func(name string) quantity.Pressure { return quantity.Kilopascals(r.number(prefix + name + "_kPa")) }
	return membrane.Condition{
		FeedPressure: kPa("Pf"), Drop: kPa("dP"), PermeatePressure: kPa("Pp"), FeedOsmotic: kPa("pi_fb"), PermeateOsmotic: kPa("pi_p"),
		Temperature: quantity.Celsius(r.number(prefix + "T_C")),
	}
}

// energiesOf is a row's temperature constant, or the default's.
func energiesOf(r calcRow, column string, standard membrane.Energies) membrane.Energies {
	if !r.has(column) {
		return standard
	}
	k := quantity.TemperatureDifference(r.number(column))
	return membrane.Energies{Below: k, Above: k}
}

var normaliseDoor = calcDoor{
	name: "normalise", about: "permeate flow at a standard condition, to compare readings of different days",
	notes: "Flow is scaled by net driving pressure, feed less half the drop less permeate pressure less the osmotic difference, and by a temperature factor exp(K (1/298.15 - 1/T)).",
	keys:  []calcColumn{idColumn}, inputs: conditionColumns(),
	results: []calcColumn{
		resultColumn("NDP_actual_kPa", "kPa", "net driving pressure as read"),
		resultColumn("NDP_std_kPa", "kPa", "net driving pressure at the standard condition"),
		resultColumn("Qp_std_L_min", "L/min", "permeate flow at the standard condition"),
	},
	compute: func(_ calcSetting, r calcRow) (calcAnswer, error) {
		actual, standard := conditionOf(r, ""), conditionOf(r, "std_")
		driving, err := actual.NetDrivingPressure()
		if err != nil {
			return nil, err
		}
		drivingStandard, err := standard.NetDrivingPressure()
		if err != nil {
			return nil, err
		}
		flow, err := membrane.NormalisedFlow(quantity.LitresPerMinute(r.number("Qp_actual_L_min")), actual, standard,
			energiesOf(r, "temperature_coefficient_K", membrane.WaterEnergies()))
		if err != nil {
			return nil, err
		}
		return calcAnswer{float64(driving) / 1000, float64(drivingStandard) / 1000, flow.LitresPerMinute()}, nil
	},
}

// sheetColumns are what an element's data sheet states.
func sheetColumns() []calcColumn {
	return []calcColumn{
		needColumn("area_m2", "m²", "membrane area", 0.01, 100),
		needColumn("rated_permeate_L_min", "L/min", "permeate flow at the sheet's test", 1e-4, 1000),
		needColumn("rated_rejection", "", "share of the salt held back at the test: 0.985", 0.01, 0.9999),
		needColumn("test_pressure_kPa", "kPa", "feed pressure of the test", 10, 12_000),
		mayColumn("test_NaCl_mgL", "mg/L", "salt in the test's feed", 1, 50_000, ""),
		mayColumn("test_temp_C", "°C", "temperature of the test", coldest, warmest, ""),
		mayColumn("test_recovery", "", "permeate over feed at the test", 0.01, 0.9, ""),
		mayColumn("channel_length_m", "m", "length of the feed channel, glue lines off", 0.05, 2, ""),
		mayColumn("spacer_mm", "mm", "height of the feed spacer", 0.3, 2, ""),
	}
}

func sheetOf(r calcRow) membrane.Sheet {
	return membrane.Sheet{
		Area: quantity.SquareMetres(r.number("area_m2")), PermeateFlow: quantity.LitresPerMinute(r.number("rated_permeate_L_min")),
		Rejection: quantity.Ratio(r.number("rated_rejection")), TestPressure: quantity.Kilopascals(r.number("test_pressure_kPa")),
		TestSalt: quantity.MilligramsPerLitre(r.number("test_NaCl_mgL")), TestTemperature: optionalTemperature(r, "test_temp_C"),
		TestRecovery: quantity.Ratio(r.number("test_recovery")), Length: quantity.Metres(r.number("channel_length_m")),
		SpacerHeight: quantity.Millimetres(r.number("spacer_mm")),
	}
}

// optionalTemperature is 0 K, which the engine takes for not said, where the
// column is empty.
func optionalTemperature(r calcRow, name string) quantity.Temperature {
	if !r.has(name) {
		return 0
	}
	return quantity.Celsius(r.number(name))
}

// assumedColumn lists what a row did not say and what was taken instead.
var assumedColumn = resultColumn("assumed", "", "what the row did not say, and what was taken instead")

func assumedText(assumed []string) string { return strings.Join(assumed, "; ") }

var elementDoor = calcDoor{
	name: "element", about: "permeabilities of a membrane element from its data sheet",
	notes: "The permeabilities are those at which the element model repeats the sheet's own test, polarisation, osmotic rise and pressure drop included.",
	keys:  []calcColumn{idColumn}, inputs: sheetColumns(),
	results: []calcColumn{
		resultColumn("A_LMH_per_bar", "L/(m²·h·bar)", "water permeability at 25 °C, new"),
		resultColumn("B_LMH", "L/(m²·h)", "salt permeability for NaCl at 25 °C, new"),
		assumedColumn,
	},
	compute: func(_ calcSetting, r calcRow) (calcAnswer, error) {
		e, assumed, err := membrane.FromSheet(sheetOf(r))
		if err != nil {
			return nil, err
		}
		perBar := quantity.Flux(float64(e.WaterPermeability) * float64(quantity.Bar(1)))
		return calcAnswer{perBar.LitresPerSquareMetreHour(), quantity.Flux(e.SaltPermeability).LitresPerSquareMetreHour(), assumedText(assumed)}, nil
	},
}
