package study

import (
	"math"

	"rinsewright/catalog"
	"rinsewright/quantity"
	"rinsewright/site"
)

// LevelHeight returns how high a volume stands in an upright round tank of the
// catalogue's diameter:
//
//	h = 4 V / (π D²)
//
// Source: geometry. The tank is found in the catalogue by its volume, within a
// hundredth; ok is false when the catalogue has none, or the tank is not
// vented.
func LevelHeight(parts *catalog.Catalogue, t site.Tank, v quantity.Volume) (h quantity.Length, ok bool) {
	if t.Kind == "pressurised" || !t.Volume.Known {
		return 0, false
	}
	for _, p := range parts.Of(catalog.Tank) {
		if d := float64(p.Diameter); d > 0 && math.Abs(float64(p.Volume/t.Volume.Value)-1) < 0.01 {
			return quantity.Length(4 * float64(v) / (math.Pi * d * d)), true
		}
	}
	return 0, false
}
