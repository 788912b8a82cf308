package cli

import (
	"errors"

	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/water"
)

// endpointAnswer adds the volume to a row's endpoint to a, nothing where the row
// has none or its water is within it.
func endpointAnswer(a calcAnswer, r calcRow, bed resin.Bed, creep quantity.EquivConc) (calcAnswer, error) {
	nothing := append(a, nil, nil, nil, nil, nil)
	if !r.has("end_uScm") && !r.has("end_SiO2_mgL") {
		return nothing, nil
	}
	w := recipeOf(r).Water()
	w.Total[water.Sodium] += quantity.MolarConc(creep)
	w.Total[water.Chloride] += quantity.MolarConc(creep)
	duty := resin.Duty{}
	if r.has("flow_L_min") {
		duty = resin.Duty{Flow: quantity.LitresPerMinute(r.number("flow_L_min")), Depth: quantity.Metres(r.number("depth_m"))}
	}
	reach, err := bed.Reach(w, duty,
		resin.Endpoint{Conductivity: quantity.MicrosiemensPerCm(r.number("end_uScm")), Silica: quantity.MilligramsPerLitre(r.number("end_SiO2_mgL"))},
		resin.Doubts{Water: quantity.Ratio(r.number("water_doubt")), Flow: quantity.Ratio(r.number("flow_doubt"))})
	if errors.Is(err, resin.ErrNoLoad) || err == nil && reach.Never {
		return nothing, nil
	} else if err != nil {
		return nil, err
	}
	return append(a, reach.Volume.Litres(), reach.Low.Litres(), reach.High.Litres(), float64(reach.Utilisation), reach.Front.String()), nil
}
