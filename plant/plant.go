// Package plant composes stations into one path of water and finds where it
// settles. The installed thing has no design point: tap pressure, filters,
// membrane, restrictor, tube and tank agree on a flow, on a cold morning as on
// a hot noon, and recovery is an answer. There are no physical constants here,
// only wiring and balances.
//
// Symbols:
//
//	Q_f  feed flow          P_m  pressure at the membrane's feed end
//	Q_p  permeate flow      P_p  pressure on the permeate side
//	Q_c  concentrate flow   P_c  pressure where the concentrate leaves
package plant

import (
	"rinsewright/hydraulics"
	"rinsewright/membrane"
	"rinsewright/quantity"
	"rinsewright/water"
)

// Part is one resistance in the path, by the name it has on the drawing.
type Part struct {
	Name       string
	Resistance hydraulics.Resistance
}

// Plant is the path from the supply to the tank, as it hangs. It is immutable:
// wear, wrong parts and blocked filters are other plants.
type Plant struct {
	Supply      hydraulics.Supply // tap, with a booster where there is one
	FeedSide    []Part            // filters, carbon, tube: ahead of the membrane
	Train       membrane.Train
	Restrictor  hydraulics.Resistance // on the concentrate, which leaves at no pressure
	PermeateOut []Part                // resin ahead of the tank, tube, check valve
	Lift        quantity.Length       // of the tank's inlet above the membrane
}

// Conditions is what a plant works under for a while.
type Conditions struct {
	Feed         water.Water       // its temperature included
	TankPressure quantity.Pressure // gauge, at the tank's inlet: 0 when vented
}

// Loss is what one part takes from the pressure.
type Loss struct {
	Name string
	Flow quantity.Flow
	Drop quantity.Pressure
}

// Point is where a plant settles.
type Point struct {
	Tap          quantity.Pressure // at the tap, at this flow
	Feed         water.Stream      // at the membrane's feed end
	FeedLosses   []Loss
	Membrane     membrane.Result
	OutLosses    []Loss            // on the permeate side, lift included
	BackPressure quantity.Pressure // on the permeate side of the membrane
}

// Recovery returns permeate over feed.
func (p Point) Recovery() quantity.Ratio { return p.Membrane.Recovery }
