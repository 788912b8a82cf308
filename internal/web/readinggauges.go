package web

import (
	"strings"

	"rinsewright/internal/store"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
)

// ofTheRig is the place under which gauges are kept that belong to no one
// water.
const ofTheRig = "rig"

// gaugeAsk is one gauge on the reading page.
type gaugeAsk struct {
	Gauge       plant.Gauge
	Title       string
	Value, Unit string
	Units       []string
	Last, Wrong string
	Skipped     string // why it was not read
}

// Key is the gauge's name in the form.
func (g gaugeAsk) Key() string { return "gauge." + string(g.Gauge) }

// gaugesOf are the gauges that this rig can have, in path order.
func gaugesOf(record *site.Site) []plant.Gauge {
	gauges := []plant.Gauge{plant.StaticPressure}
	if len(record.Rig.Filters) > 0 {
		gauges = append(gauges, plant.TapPressure)
	}
	if record.Rig.Membrane != nil {
		gauges = append(gauges, plant.FeedPressure, plant.ConcentratePressure, plant.PermeatePressure, plant.FeedFlow, plant.PermeateFlow, plant.ConcentrateFlow, plant.ConcentrateStrength)
	}
	if len(record.Rig.Resin) > 1 {
		gauges = append(gauges, plant.LeadStrength)
	}
	if record.Rig.Tank != nil {
		gauges = append(gauges, plant.TankStrength, plant.TankLevel)
	}
	gauges = append(gauges, plant.GunStrength, plant.GunPressure, plant.GunFlow)
	if record.Rig.Membrane != nil {
		gauges = append(gauges, plant.PermeateVolume, plant.RunTime)
	}
	return gauges
}

// unitsOf are the units in which a gauge is read, the reader's first.
func unitsOf(g plant.Gauge, units quantity.System) []string {
	us, si := []string{""}, []string{""}
	switch g.Kind() {
	case quantity.KindPressure:
		us, si = []string{"psi"}, []string{"bar", "kPa"}
	case quantity.KindFlow:
		us, si = []string{"gpm", "gpd"}, []string{"L/min", "L/h"}
	case quantity.KindConductivity:
		return strengthUnits
	case quantity.KindVolume:
		us, si = []string{"gal"}, []string{"L", "m3"}
	case quantity.KindTime:
		return []string{"h"}
	case quantity.KindRatio:
		return []string{"%"}
	case quantity.KindTemperature:
		us, si = []string{"F"}, []string{"C"}
	case quantity.KindMassConc:
		return []string{"mg/L"}
	case quantity.KindCaCO3Conc:
		us, si = []string{"gpg"}, []string{"mg/L"}
	}
	if units == quantity.SI {
		return append(si, us...)
	}
	return append(us, si...)
}

// kindUnit is the SI unit in which a kind is kept.
var kindUnit = map[quantity.Kind]string{
	quantity.KindPressure: "Pa", quantity.KindFlow: "m3/s", quantity.KindConductivity: "S/m", quantity.KindVolume: "m3", quantity.KindTime: "s", quantity.KindTemperature: "K",
}

// gaugeAsks are the gauges of a site with what was read last.
func gaugeAsks(record *site.Site, last map[string]store.Reading, units quantity.System) (asks []gaugeAsk) {
	for _, g := range gaugesOf(record) {
		one := gaugeAsk{Gauge: g, Title: capital(g.Title()), Units: unitsOf(g, units), Last: last[string(g)].Typed}
		one.Unit = one.Units[0]
		for _, unit := range one.Units {
			if strings.HasSuffix(one.Last, " "+unit) {
				one.Unit = unit
			}
		}
		asks = append(asks, one)
	}
	return asks
}

// typed reads what somebody typed for a gauge; a number may carry its own unit.
func (g *gaugeAsk) typed(value, unit, scale string, locale quantity.Locale) []store.Reading {
	g.Value, g.Unit = strings.TrimSpace(value), unit
	if g.Value == "" {
		if g.Skipped != "" {
			return []store.Reading{{Name: string(g.Gauge), Skipped: g.Skipped}}
		}
		return nil
	}
	text := g.Value
	if strings.Trim(text, "0123456789., ") == "" {
		text = strings.TrimSpace(text + " " + unit)
	}
	if strings.HasSuffix(text, "ppm") && scale != "" {
		text += " " + scaleWords(scale)
	}
	r, err := site.ParseReading(string(g.Gauge)+" = "+text, locale)
	if err != nil {
		g.Wrong = "Wanted: a value with its unit that such a gauge can show."
		if p, ok := err.(site.Problem); ok && p.Wanted != "" {
			g.Wrong = "Wanted: " + p.Wanted + "."
		}
		return nil
	}
	return []store.Reading{{Name: string(g.Gauge), Typed: text, SI: r.SI, Unit: kindUnit[g.Gauge.Kind()]}}
}

// scaleWords is a pen's scale as a line of the log names it.
func scaleWords(scale string) string {
	if strings.Trim(scale, "0123456789.,") == "" && scale != "442" {
		return "scale " + scale
	}
	return scale
}
