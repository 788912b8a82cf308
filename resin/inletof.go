package resin

import (
	"rinsewright/quantity"
	"rinsewright/water"
)

// InletOf returns what water w, at equilibrium s, brings to the resin. Carbon
// that is not dissolved CO2 counts as bicarbonate, once per carbon, since a
// carbonate that meets the cation resin's acid ends as bicarbonate on the anion
// resin. Phosphate counts once, as H2PO4-.
//
// Source: charge balance over the components of [water.Water]. Creep is left at
// 0; see [Starts].
func InletOf(w water.Water, s water.Solution) Inlet {
	equivalents := func(charge float64, c water.Component) quantity.EquivConc {
		return quantity.EquivConc(charge * float64(w.Total[c])) // eq/m³
	}
	var in Inlet
	for _, c := range []water.Component{water.Sodium, water.Potassium} {
		in.StrongCations += equivalents(1, c)
	}
	for _, c := range []water.Component{water.Calcium, water.Magnesium, water.Strontium, water.Barium, water.Iron, water.Manganese} {
		in.StrongCations += equivalents(2, c)
	}
	for _, c := range []water.Component{water.Chloride, water.Nitrate, water.Fluoride, water.Phosphate} {
		in.StrongAnions += equivalents(1, c)
	}
	in.StrongAnions += equivalents(2, water.Sulphate)
	in.CO2 = s.CO2()
	in.Bicarbonate = quantity.EquivConc(max(0, w.Total[water.Carbon]-in.CO2))
	in.Silica = w.Total[water.Silica]
	in.Borate = w.Total[water.Boron]
	in.Ammonia = w.Total[water.Ammonia]
	return in
}
