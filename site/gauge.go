package site

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"rinsewright/plant"
	"rinsewright/quantity"
)

// gaugeAt is the gauge that a place's word and a value's unit name together:
// "permeate" is its flow for "1.1 gpm", its strength for "9 ppm".
func gaugeAt(place, value string) plant.Gauge {
	kinds := quantity.KindsOf(value)
	for _, g := range byPlace[strings.ToLower(place)] {
		k := g.Kind()
		if slices.Contains(kinds, k) || k == quantity.KindConductivity && isPPM(value) || k == quantity.KindRatio && strings.HasSuffix(value, "%") {
			return g
		}
	}
	return ""
}

// byPlace is what each place's word may mean, one gauge a kind.
var byPlace = map[string][]plant.Gauge{
	"static":      {plant.StaticPressure},
	"raw":         {plant.FeedStrength, plant.FeedTemperature, plant.FeedHardness},
	"tap":         {plant.FeedStrength, plant.FeedTemperature, plant.FeedHardness},
	"feed":        {plant.FeedStrength, plant.FeedTemperature, plant.FeedPressure, plant.FeedFlow},
	"permeate":    {plant.PermeateStrength, plant.PermeateFlow, plant.PermeatePressure},
	"concentrate": {plant.ConcentrateStrength, plant.ConcentrateFlow, plant.ConcentratePressure},
	"drain":       {plant.ConcentrateStrength, plant.ConcentrateFlow},
	"housing":     {plant.HousingStrength},
	"lead":        {plant.LeadStrength},
	"polished":    {plant.PolishStrength},
	"resin":       {plant.PolishStrength},
	"tank":        {plant.TankStrength, plant.TankLevel},
	"gun":         {plant.GunStrength, plant.GunFlow, plant.GunPressure},
	"drip":        {plant.DripStrength},
	"meter":       {plant.PermeateVolume},
	"hours":       {plant.RunTime},
	"temperature": {plant.FeedTemperature},
	"hardness":    {plant.FeedHardness},
}

func unknownGauge(name string) Problem {
	if r := []rune(name); len(r) > 40 {
		name = string(r[:40]) + "…"
	}
	p := Problem{Read: strconv.Quote(name), Wanted: "a gauge's name, or a place whose unit tells the gauge", Example: lineExample}
	for _, g := range plant.Gauges() {
		if slip(strings.ToLower(name), strings.ToLower(string(g))) || strings.EqualFold(strings.ReplaceAll(name, "-", "_"), string(g)) {
			p.Example = exampleOf(g)
		}
	}
	return p
}

// examples of a value, by kind.
var examples = map[quantity.Kind]string{
	quantity.KindPressure: "60 psi", quantity.KindTemperature: "14 C", quantity.KindConductivity: "310 ppm NaCl", quantity.KindCaCO3Conc: "12 gpg",
	quantity.KindPH: "7.4", quantity.KindMassConc: "0.3 mg/L", quantity.KindFlow: "1.1 gpm", quantity.KindRatio: "60 %",
	quantity.KindVolume: "41250 gal", quantity.KindTime: "1280 h", "": "4",
}

func exampleOf(g plant.Gauge) string {
	name := string(g)
	if g.Numbered() {
		name += " 1"
	}
	return strconv.Quote(name + " = " + examples[g.Kind()])
}

// limits are what a gauge can possibly read, in the SI unit of its kind. They
// refuse slips of the pen that no rig of this size explains; what is merely odd
// is asked about, not refused. Source: common practice, no source.
func limits(g plant.Gauge) (lo, hi float64) {
	switch g.Kind() {
	case quantity.KindPressure:
		return float64(quantity.Bar(-1)), float64(quantity.Bar(80))
	case quantity.KindTemperature:
		return float64(quantity.Celsius(-5)), float64(quantity.Celsius(70))
	case quantity.KindConductivity:
		return 0, float64(quantity.MicrosiemensPerCm(80000))
	case quantity.KindCaCO3Conc:
		return 0, float64(quantity.MilligramsPerLitreCaCO3(5000))
	case quantity.KindPH:
		return 0, 14
	case quantity.KindMassConc:
		return 0, float64(quantity.MilligramsPerLitre(500))
	case quantity.KindFlow:
		return 0, float64(quantity.LitresPerMinute(2000))
	case quantity.KindRatio:
		return 0, 1
	case quantity.KindVolume:
		return 0, 1e7
	case quantity.KindTime:
		return 0, float64(quantity.Days(36500))
	}
	return 0, math.MaxInt16
}
