package resin

import (
	"fmt"
	"math"

	"rinsewright/quantity"
	"rinsewright/water"
)

// Reach is how far a bed gets to an endpoint.
type Reach struct {
	Volume    quantity.Volume // of water; 0 when Never
	Low, High quantity.Volume // within the doubts of bed, water and flow
	// Utilisation is the share of the sites of the side that the endpoint ends
	// that the water has filled by then.
	Utilisation quantity.Ratio
	Front       water.Component // whose arrival ends the bed
	Ends        Side
	BySilica    bool // rather than by conductivity
	Never       bool // the feed itself is within the endpoint: no bed is needed for it
}

// Doubts are the 5 to 95 % half-widths of what a reach rests on, relative.
type Doubts struct {
	Water quantity.Ratio // of the load
	Flow  quantity.Ratio
}

// Reach returns the volume of water until what leaves the bed passes an
// endpoint. Every front emerges where stoichiometry puts it, rounded by the
// resistance of film and beads, and the endpoint is met on the first front that
// carries the water past it:
//
//	V = V_k (1 + (1 + ln x) / N)
//
// V_k is where front k would emerge were it sharp, x the share of its rise that
// meets the endpoint, and N its transfer units: a function of flow and depth
// through the film, of load through the beads, of the endpoint through x. A zero
// [Duty] leaves fronts sharp. The band puts together the bed's tolerance and the
// doubts of water and flow, the latter as N falls with the two-thirds power of
// flow.
//
// Source: sharp fronts [DeVault1943], their rounding [Hall1966]. Within 5 % of
// [Polisher] with the same Duty and the bed's working sites ([Bed.Working]); the
// tests say over which waters. The error wraps [ErrRange], or [ErrNoLoad] when
// the water brings nothing.
func (b Bed) Reach(feed water.Water, d Duty, e Endpoint, doubts Doubts) (Reach, error) {
	const operation = "resin reach"
	if err := firstError(b.check(operation), d.check(operation), e.check(operation), checkWater(operation, feed),
		within(operation, "doubt of the water", float64(doubts.Water), 0, 0.9, ""),
		within(operation, "doubt of the flow", float64(doubts.Flow), 0, 0.9, ""),
	); err != nil {
		return Reach{}, err
	}
	t := newTimeline(b, feed, d)
	if len(t.fronts) == 0 {
		return Reach{}, fmt.Errorf("%s: %w", operation, ErrNoLoad)
	}
	best := Reach{Never: true}
	bestUnits := 0.0
	for i, f := range t.fronts {
		x, met, err := shareAt(t.before(i), t.after[i], e)
		if err != nil {
			return Reach{}, fmt.Errorf("%s: %w", operation, err)
		}
		if !met {
			continue
		}
		if v := quantity.Volume(f.rounded(x)); best.Never || v < best.Volume {
			best = Reach{Volume: v, Front: f.component, Ends: Anion, BySilica: e.bySilica(t.after[i])}
			if f.component.Charge() > 0 {
				best.Ends = Cation
			}
			bestUnits = (1 - f.rounded(x)/f.at) // share lost to rounding
		}
	}
	if best.Never {
		return best, nil
	}
	best.Utilisation = b.filledBy(feed, best.Ends, best.Volume)
	best.Low, best.High = b.band(best.Volume, bestUnits, doubts)
	return best, nil
}

// band puts the doubts together as independent: capacity and water move the
// front, flow its rounding.
func (b Bed) band(v quantity.Volume, lost float64, d Doubts) (low, high quantity.Volume) {
	rounding := 2.0 / 3 * lost / (1 - lost) * float64(d.Flow)
	half := quantity.Volume(hypot(float64(b.Tolerance), float64(d.Water), rounding))
	return v * max(0, 1-half), v * (1 + half)
}

// filledBy is the share of a side's sites that a volume of feed fills, at most 1.
func (b Bed) filledBy(feed water.Water, s Side, v quantity.Volume) quantity.Ratio {
	order, capacity := anionOrder, b.AnionCapacity
	if s == Cation {
		order, capacity = cationOrder, b.CationCapacity
	}
	load := 0.0 // eq/m³
	for _, c := range order {
		load += chargeOn(c) * float64(feed.Total[c])
	}
	return quantity.Ratio(min(1, load*float64(v)/(float64(capacity)*float64(b.Volume))))
}

// shareAt finds how much of a rise from one water to another passes an endpoint,
// by bisection; met is false when the second water does not.
func shareAt(from, to water.Water, e Endpoint) (x float64, met bool, err error) {
	past, err := e.Past(to)
	if err != nil || past <= 1 {
		return 0, false, err
	}
	if past, err = e.Past(from); err != nil || past > 1 {
		return 0, false, err // an earlier front has met it
	}
	lo, hi := -10.0, 0.0 // ln of the share: the rounding goes with it
	const steps = 16
	for range steps {
		middle := (lo + hi) / 2
		if past, err = e.Past(water.Blend(to, from, quantity.Ratio(math.Exp(middle)))); err != nil {
			return 0, false, err
		}
		if past > 1 {
			hi = middle
		} else {
			lo = middle
		}
	}
	return math.Exp(hi), true, nil
}

// Working returns the bed as its working sites alone: capacities times
// utilisation, utilisation 1. [Polisher] counts every site; given this it tells
// of the same bed as [Bed.Life] and [Bed.Reach].
func (b Bed) Working() Bed {
	b.AnionCapacity, b.CationCapacity = b.OperatingCapacity()
	b.Utilisation = 1
	return b
}

func checkWater(operation string, w water.Water) error {
	for c, amount := range w.Total {
		if err := within(operation, water.Component(c).String(), float64(amount), 0, mostConcentration, "mol/m³"); err != nil {
			return err
		}
	}
	return within(operation, "temperature", w.Temperature.Celsius(), -0.01, 50, "°C")
}
