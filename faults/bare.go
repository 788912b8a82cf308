package faults

import (
	"slices"

	"rinsewright/hydraulics"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/water"
)

// through is a rig without a membrane: what the tap gives goes through filters and on
// to resin or tank as it comes.
func (n *nominal) through(r railed, raw, soft water.Water) (*ran, error) {
	s, err := at25(soft)
	if err != nil {
		return nil, err
	}
	in := resin.InletOf(soft, s)
	gas, err := at25(water.Water{Total: gasOnly(in.CO2)})
	if err != nil {
		return nil, err
	}
	filter := hydraulics.Filter{CleanDrop: quantity.PSI(2 * filterClean), RatedFlow: quantity.Flow(n.feed), ChangeDrop: quantity.PSI(2*filterClean + filterChange)}
	lost := float64(filter.CleanDrop) + float64(r.Filters)*float64(filter.ChangeDrop-filter.CleanDrop)
	tap := r.static * (1 - min(r.running/12, 0.97))
	return &ran{
		permeate: n.flow, tap: tap, feed: max(tap-lost, 0), end: max(tap-lost, 0),
		strong: float64(s.Conductivity()), fresh: float64(s.Conductivity()), gas: float64(gas.Conductivity()), pH: s.PH, silica: r.silica,
		load: float64(in.AnionLoad()), airLoad: float64(in.Degassed(0.015).AnionLoad()),
		hardness: float64(raw.Hardness()), atMembrane: float64(soft.Hardness()), alkalinity: float64(raw.Alkalinity) * caco3PerEquivalent,
	}, nil
}

// ofMembrane are the gauges that a rig without a membrane has not.
var ofMembrane = []plant.Gauge{
	plant.PermeateFlow, plant.PermeateStrength, plant.PermeateFirst, plant.PermeatePressure, plant.PermeatePH, plant.HousingStrength,
	plant.ConcentrateFlow, plant.ConcentrateFlowFull, plant.ConcentrateStrength, plant.ConcentratePressure, plant.StartsPerHour, plant.HoursPerDay,
}

// needsMembrane tells whether a cause is one of a membrane, or shows by it alone.
func needsMembrane(c *Cause) bool {
	return c.Station == "membrane" || c.Station == "carbon" || slices.Contains([]int{8, 14, 49}, c.Number)
}
