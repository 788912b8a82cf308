package resin

import (
	"math"

	"rinsewright/quantity"
	"rinsewright/water"
)

// diffusion is the diffusivity of a component in pure water, straight in
// Celsius: (a + b t) 1e-10 m²/s. Carbon is between carbon dioxide (1.92e-9 at
// 25 °C) and bicarbonate (1.19e-9); silica and boron are their uncharged acids.
//
// Source: linear forms [Boudreau1997]: NH4, NO3, H2PO4, Ca, Mg, Fe, Mn, SO4 as
// read in public code, the others [Memory]; silica and boron scaled from 25 °C.
var diffusion = [water.NComponents]struct{ a, b float64 }{
	water.Sodium: {6.06, 0.297}, water.Potassium: {9.55, 0.409}, water.Ammonia: {9.5, 0.413},
	water.Magnesium: {3.43, 0.144}, water.Calcium: {3.60, 0.179}, water.Iron: {3.31, 0.150}, water.Manganese: {3.18, 0.155},
	water.Strontium: {3.69, 0.169}, water.Barium: {4.06, 0.176},
	water.Chloride: {9.60, 0.438}, water.Nitrate: {9.50, 0.388}, water.Fluoride: {6.29, 0.343}, water.Phosphate: {4.02, 0.223},
	water.Sulphate: {4.88, 0.232}, water.Carbon: {7.2, 0.333}, water.Silica: {5.2, 0.200}, water.Boron: {5.8, 0.222},
}

// Diffusivity returns how fast a component spreads in dilute water:
//
//	D = a + b t        (t in °C)
//
// Source: [Boudreau1997] for ions; carbon, silica and boron [Memory]. Good to 5 %
// for ions, 15 % for the weak acids. The error wraps [ErrRange] outside 0 to 60
// °C and for no component.
func Diffusivity(c water.Component, t quantity.Temperature) (quantity.Diffusivity, error) {
	const operation = "diffusivity"
	if err := firstError(
		within(operation, "component", float64(c), 0, float64(water.NComponents)-1, ""),
		within(operation, "temperature", t.Celsius(), -0.01, 60, "°C"),
	); err != nil {
		return 0, err
	}
	return quantity.Diffusivity(diffusivityOf(c, t)), nil
}

func diffusivityOf(c water.Component, t quantity.Temperature) float64 {
	d := diffusion[c]
	return (d.a + d.b*math.Max(0, t.Celsius())) * 1e-10 // m²/s
}
