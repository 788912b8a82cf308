package carbon

import (
	"math"

	"rinsewright/quantity"
)

// How new carbon is rid of its dust. Source: [Memory], unverified: a cartridge
// runs to drain for five minutes; loose carbon soaks, is backwashed until clear
// (a quarter of an hour at 10 gpm/ft²), then runs to drain for ten bed volumes.
const (
	blockFlushMinutes  = 5.0
	soakHours          = 12.0
	backwashMinutes    = 15.0
	backwashRate       = 10.0 // gpm/ft²
	rinseBedVolumes    = 10.0
	squareFootInMetres = 0.3048 * 0.3048
)

// Flush is what new carbon needs before its water may reach the membrane: its
// fines plug the feed channels, and no cleaning gets them out.
type Flush struct {
	Soak         quantity.Time   // under water before the first flow; 0 for cartridges
	Backwash     quantity.Volume // upward, to drain
	BackwashFlow quantity.Flow
	Rinse        quantity.Volume // downward, to drain, past the membrane
	Time         quantity.Time   // of flowing water
	ToDrain      quantity.Volume // in all
}

// Flush returns the water and time that new carbon takes at a feed flow. Diameter
// is the vessel's inside and is not used for a cartridge.
//
//	cartridge block   5 min of the feed flow to drain
//	loose carbon      soak 12 h, backwash 15 min at 10 gpm/ft², rinse 10 bed volumes
//
// Source: [Memory], unverified. Flush until the water runs clear, whatever these
// figures say, with the membrane disconnected. The error wraps [ErrRange].
func (b Bed) Flush(f quantity.Flow, diameter quantity.Length) (Flush, error) {
	const operation = "carbon flush"
	if err := firstError(b.check(operation), within(operation, "feed flow", float64(f), 1e-9, mostFlow, "m³/s")); err != nil {
		return Flush{}, err
	}
	if b.Kind == Block {
		t := quantity.Minutes(blockFlushMinutes)
		v := quantity.Volume(float64(f) * float64(t))
		return Flush{Rinse: v, Time: t, ToDrain: v}, nil
	}
	if err := above(operation, "diameter", float64(diameter), 5, "m"); err != nil {
		return Flush{}, err
	}
	area := math.Pi / 4 * float64(diameter) * float64(diameter) // m²
	flow := quantity.GallonsPerMinute(backwashRate * area / squareFootInMetres)
	t := quantity.Minutes(backwashMinutes)
	out := Flush{
		Soak: quantity.Hours(soakHours), BackwashFlow: flow,
		Backwash: quantity.Volume(float64(flow) * float64(t)),
		Rinse:    b.Volume * rinseBedVolumes,
	}
	out.Time = t + quantity.Time(float64(out.Rinse)/float64(f))
	out.ToDrain = out.Backwash + out.Rinse
	return out, nil
}
