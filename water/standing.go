package water

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// stillExchange is how fast dissolved gas crosses the surface of still water,
// as a speed. Source: [Memory]: 1e-6 to 4e-6 m/s are told of still vessels and
// windless ponds.
const stillExchange = 2e-6 // m/s

// Standing returns w after it stood open to air in a tank of some depth for
// some time: its excess of carbon dioxide over the air's decays,
//
//	c(t) = c_air + (c_0 − c_air) exp(−k t/h)
//
// with the alkalinity unchanged. Source: film theory of gas exchange with one
// constant for still water, [Memory]; splashing at the inlet makes it faster,
// so this keeps more carbon dioxide than a real tank. The error wraps
// [ErrRange] unless depth is above 1 mm and time is not negative, or is that
// of [Equilibrate] and [OpenToAir].
func Standing(w Water, depth quantity.Length, time quantity.Time) (Water, error) {
	if !(depth > 1e-3 && depth < 100) || !(time >= 0 && time < 1e10) {
		return w, fmt.Errorf("water standing open to air: %w: depth %g m, time %g s", ErrRange, float64(depth), float64(time))
	}
	open, _, err := OpenToAir(w, AirCO2)
	if err != nil {
		return w, fmt.Errorf("water standing open to air: %w", err)
	}
	kept := math.Exp(-stillExchange * float64(time) / float64(depth))
	w.Total[Carbon] = open.Total[Carbon] + quantity.MolarConc(kept)*(w.Total[Carbon]-open.Total[Carbon])
	return w, nil
}
