package rinse

import "rinsewright/quantity"

// Surface is what is being rinsed, with limits to start from until the user
// sets some.
type Surface struct {
	ID     string
	Name   string
	Target quantity.MassConc // dissolved solids at the gun to aim for
	Act    quantity.MassConc // and to act at
	Silica bool              // judge silica too: a pen hardly sees it
	Spread string            // limits that circulate in the trade, in mg/L
	Tags   []string          // where those come from
}

// Surfaces returns limits by surface, which are habits of the trade and not
// thresholds: no published threshold for visible spots is known.
//
// Source: [TradeTable] (common practice, no source).
func Surfaces() []Surface {
	mg := quantity.MilligramsPerLitre
	return []Surface{
		{"glass", "glass by water-fed pole", mg(2), mg(10), true, "0; up to 10", []string{"trade tutorials", "a trade column doubts that 0 is needed"}},
		{"vehicle", "vehicle paint, trim and glass", mg(10), mg(30), false, "below 30; below 50", []string{"trade magazine", "trade tutorial"}},
		{"dark-vehicle", "vehicle at a dark or hot site", mg(5), mg(15), false, "10 or less", []string{"from memory, unverified"}},
		{"boat", "boat, gelcoat and clears", mg(15), mg(50), false, "below 50 dries clear; 50 to 150 good; above 170 hard", []string{"boat care column"}},
		{"solar", "solar modules", mg(20), mg(40), true, "below 40; hardness below 75", []string{"trade page"}},
		{"cladding", "cladding and other", mg(40), mg(70), false, "below 70", []string{"trade tutorial"}},
		{"bus", "bus and truck outside", mg(25), mg(50), false, "below 50; below 30 with much glass", []string{"from memory, unverified"}},
	}
}

// SurfaceOf returns the surface with an id.
func SurfaceOf(id string) (Surface, bool) {
	for _, s := range Surfaces() {
		if s.ID == id {
			return s, true
		}
	}
	return Surface{}, false
}
