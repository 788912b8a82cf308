package cli

import (
	"rinsewright/quantity"
	"rinsewright/rinse"
)

var rinseDoor = calcDoor{
	name: "rinse", about: "what a rinse leaves on a panel, and how long a side must be rinsed",
	notes: "No published threshold for visible spots is known: the limit is yours to set. A surface brings a limit that circulates in the trade.",
	keys:  []calcColumn{idColumn},
	inputs: []calcColumn{
		needColumn("solids_mgL", "mg/L", "dissolved solids of the rinse without silica", 0, 1e5),
		mayColumn("silica_mgL", "mg/L", "silica of the rinse", 0, 1e4, "0"),
		needColumn("wash_film_mgL", "mg/L", "dissolved solids of the film before the rinse", 0, 1e5),
		mayColumn("film_mm", "mm", "film that stands while rinsing, 1 L/m² per mm; 0.1 is assumed", 1e-3, 10, ""),
		needColumn("gun_L_min", "L/min", "flow of the gun", 0.01, 1000),
		mayColumn("on_panel_share", "", "share of the flow that lands on the side; 0.5 is assumed", 0.01, 1, ""),
		needColumn("side_m2", "m²", "area of a side", 0.01, 1000),
		needColumn("seconds", "s", "rinsing time per side", 0, 3600),
		mayColumn("dried_film_um", "µm", "film that is left to dry; 50 is assumed", 0.1, 10_000, ""),
		mayColumn("limit_mg_m2", "mg/m²", "residue allowed", 1e-6, 1e6, ""),
		{name: "surface", about: "instead of a limit, a surface: " + surfaceNames(), text: true, words: surfaceIDs()},
	},
	results: []calcColumn{
		resultColumn("rinse_L_m2", "L/m²", "rinse that lands on a side"),
		resultColumn("film_end_mgL", "mg/L", "strength of the film afterwards"),
		resultColumn("residue_mg_m2", "mg/m²", "left when it has dried"),
		resultColumn("residue_of_rinse_mg_m2", "mg/m²", "the same, were the film displaced altogether"),
		resultColumn("limit_mg_m2", "mg/m²", "residue allowed; empty when nobody said, as with the next two"),
		resultColumn("seconds_needed", "s", "per side to meet the limit; empty when no time does"),
		resultColumn("reaches", "", "true when rinsing longer can meet the limit"),
		assumedColumn,
	},
	compute: rinseAnswer,
}

func surfaceIDs() (ids []string) {
	for _, s := range rinse.Surfaces() {
		ids = append(ids, s.ID)
	}
	return ids
}

func surfaceNames() (names string) {
	for i, s := range rinse.Surfaces() {
		if i > 0 {
			names += ", "
		}
		names += s.ID + " (" + s.Name + ")"
	}
	return names
}

func rinseAnswer(_ calcSetting, r calcRow) (calcAnswer, error) {
	got := rinse.Calc([]rinse.Row{{
		Rinse: quantity.MilligramsPerLitre(r.number("solids_mgL")), Silica: quantity.MilligramsPerLitre(r.number("silica_mgL")),
		Displacement: rinse.Displacement{Film: quantity.Millimetres(r.number("film_mm")), Wash: quantity.MilligramsPerLitre(r.number("wash_film_mgL"))},
		Gun: rinse.Gun{
			Flow: quantity.LitresPerMinute(r.number("gun_L_min")), OnPanel: quantity.Ratio(r.number("on_panel_share")), Side: quantity.SquareMetres(r.number("side_m2")),
		},
		Time: quantity.Seconds(r.number("seconds")), Dried: quantity.Millimetres(r.number("dried_film_um") / 1000),
		Limit: rinse.MilligramsPerSquareMetre(r.number("limit_mg_m2")), Surface: r.text("surface"),
	}})[0]
	if got.Err != nil {
		return nil, got.Err
	}
	var limit, needed, reaches any
	if got.Limit > 0 {
		limit, reaches = got.Limit.MilligramsPerSquareMetre(), got.Reaches
	}
	if got.Limit > 0 && got.Reaches {
		needed = float64(got.Needed)
	}
	return calcAnswer{
		float64(got.Rinse) * 1000, got.FilmEnd.MilligramsPerLitre(), got.Residue.MilligramsPerSquareMetre(), got.OfRinse.MilligramsPerSquareMetre(),
		limit, needed, reaches, assumedText(got.Assumed),
	}, nil
}
