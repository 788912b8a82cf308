package study

import (
	"fmt"
	"math"

	"rinsewright/catalog"
)

// Suppliers are the sorts of supplier that a parts list is grouped by, in the
// order a morning's round takes.
var Suppliers = []string{"water treatment", "pumps and electrics", "tanks and floats", "tube and fittings", "consumables"}

func supplierOf(kind string) string {
	switch catalog.Kind(kind) {
	case catalog.DeliveryPump, catalog.Booster, catalog.Aerator:
		return Suppliers[1]
	case catalog.Tank, catalog.PressureTank, catalog.Float:
		return Suppliers[2]
	case catalog.Tube:
		return Suppliers[3]
	}
	return Suppliers[0]
}

// kitOf is what a pick needs on the van: its own parts, then the small things
// that a catalogue does not list, counted by rules that each line tells.
func kitOf(p Pick) (all []KitLine) {
	stations, metres := 0, 0.0
	for _, line := range p.Parts {
		if line.Kept || line.Kind == "labour" {
			continue
		}
		k := KitLine{Supplier: supplierOf(line.Kind), Name: line.Name, Count: line.Count, Amount: line.Amount}
		if line.Kind == string(catalog.Tube) {
			k.Metres = true
			k.Why = fmt.Sprintf("%g m on the wall and a tenth to spare", line.Count)
			k.Count = math.Ceil(line.Count * tubeSpare)
			metres += line.Count
		} else if line.Kind != string(catalog.Float) && line.Kind != string(catalog.Housing) {
			stations += int(line.Count)
		}
		all = append(all, k)
	}
	return append(all, smallParts(float64(stations), metres, p)...)
}

// smallParts counts fittings. Source: [TradeDefaults], a rule of thumb each.
func smallParts(stations, metres float64, p Pick) []KitLine {
	fittings, consumables := Suppliers[3], Suppliers[4]
	all := []KitLine{
		{Supplier: fittings, Name: "isolating valve", Count: stations + 1, Why: "one ahead of each new station, one for the feed"},
		{Supplier: fittings, Name: "union or quick connection", Count: 2 * stations, Why: "two for each new station"},
		{Supplier: fittings, Name: "sample valve", Count: max(stations, 1), Why: "one behind each new station"},
		{Supplier: fittings, Name: "pressure gauge", Count: 3, Why: "feed, concentrate, delivery"},
		{Supplier: fittings, Name: "check valve", Count: 1, Why: "behind the membrane, against flow back from the tank"},
		{Supplier: fittings, Name: "air gap for the drain", Count: 1, Why: "concentrate never joins the sewer without one"},
		{Supplier: fittings, Name: "elbow", Count: math.Ceil(metres / 3), Why: "one for each three metres of new tube"},
		{Supplier: fittings, Name: "clip", Count: math.Ceil(metres), Why: "one for each metre of new tube"},
		{Supplier: consumables, Name: "thread tape, roll", Count: 2, Why: "common practice"},
		{Supplier: consumables, Name: "O-ring kit and grease for drinking water", Count: 1, Why: "silicone grease, never mineral"},
		{Supplier: consumables, Name: "spare filter cartridge", Count: 1, Why: "the first one catches what the work loosened"},
		{Supplier: consumables, Name: "chlorine test, below 0.1 mg/L", Count: 1, Why: "before the membrane is put back"},
		{Supplier: consumables, Name: "plain bleach without scent or thickener, litre", Count: 1, Why: "to sanitise tank and lines"},
	}
	kept := all[:0]
	for _, k := range all {
		if k.Count > 0 {
			kept = append(kept, k)
		}
	}
	return kept
}
