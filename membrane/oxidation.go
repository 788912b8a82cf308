package membrane

import (
	"math"

	"rinsewright/quantity"
)

// Constants of the oxidation law, see [Oxidation].
const (
	oxidationScale = 1000 // mg/L-hours at which passage has doubled
	oxidationPower = 1.3
	oxidationWater = 0.3   // gain in water over gain in salt
	oxidationEnd   = 20000 // mg/L-hours beyond which the law says no more
)

// Oxidation returns what exposure to free chlorine has done to a new thin-film
// element: passage climbs, then flow.
//
//	B/B_0 = 1 + (E/1000)^1.3      A/A_0 = 1 + 0.3 (E/1000)^1.3,  E in mg/L-hours
//
// So 200 mg/L-hours cost 12 % more salt and 1000 double it, the span that is
// commonly told as visible loss. Source: law and constants [Memory], to a
// factor of 2 in E; [Glater1983] studied the effect. It is faster in alkaline
// or warm water and with iron or manganese present. Chloramine counts far
// less, but never without some free chlorine. Rises without end to 20 000
// mg/L-hours and stays there; an exposure that is no positive number is none.
func Oxidation(e quantity.Exposure) Wear {
	w := New()
	x := e.MilligramHoursPerLitre()
	if !(x > 0) {
		return w
	}
	gain := math.Pow(min(x, oxidationEnd)/oxidationScale, oxidationPower)
	w.SaltPermeability = 1 + gain
	w.WaterPermeability = 1 + oxidationWater*gain
	return w
}
