// Package plant composes stations into one path of water and finds where it
// settles. The installed thing has no design point: tap pressure, filters,
// membrane, restrictor, tube and tank agree on a flow, on a cold morning as on
// a hot noon, and recovery is an answer. There are no physical constants here,
// only wiring and balances.
//
// Symbols:
//
//	Q_f  flow into the membrane    P_s  pressure at the booster's suction
//	Q_p  permeate flow             P_m  pressure at the membrane's feed end
//	Q_c  concentrate flow          P_c  pressure where the concentrate leaves
//	Q_r  recycled concentrate      P_p  pressure on the permeate side
//	Q_d  flow to the drain
//
// Sources:
//
//   - [Anderson1965] mixing past iterates of a fixed point.
//   - [Broyden1965] rank-one updates of a matrix of slopes.
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
// wear, wrong parts and blocked filters are other plants. A part that is not
// there is nil.
type Plant struct {
	Supply      hydraulics.Supply     // tap or well
	FeedSide    []Part                // filters, softener, carbon, tube: ahead of booster and membrane
	Booster     hydraulics.Supply     // pump ahead of the membrane; what it adds at a flow
	Train       membrane.Train        // the membrane
	Beside      []membrane.Train      // unlike rows that share its feed
	Tail        []membrane.Stage      // further stages on the concentrate
	Restrictor  hydraulics.Resistance // on the concentrate, which leaves at no pressure
	Recycle     hydraulics.Resistance // brings concentrate back to the booster's suction; lets none through the other way
	Second      *Pass                 // takes the permeate as its feed
	PermeateOut []Part                // resin ahead of the tank, tube, check valve
	Lift        quantity.Length       // of the tank's inlet above the membrane
	Flush       *Flush                // valve that opens beside the restrictor for a sweep
	Controls    Controls
}

// Pass is a second membrane on the first one's permeate. Its concentrate goes
// to the drain.
type Pass struct {
	Pump       hydraulics.Supply // between the passes; nil when the first one's own pressure drives it
	Array      membrane.Array
	Restrictor hydraulics.Resistance
}

// array is the first pass's membrane, stage by stage.
func (p *Plant) array() membrane.Array {
	first := append(membrane.Stage{p.Train}, p.Beside...)
	return append(membrane.Array{first}, p.Tail...)
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
	Suction      quantity.Pressure // behind the feed side's parts, ahead of a booster
	Fresh        water.Stream      // from the supply
	Feed         water.Stream      // at the membrane's feed end, recycled concentrate included
	Recycled     quantity.Flow     // concentrate that comes back
	FeedLosses   []Loss
	Membrane     membrane.Result  // first pass
	Second       *membrane.Result // nil where there is none
	Drain        water.Stream     // of the first pass
	OutLosses    []Loss           // on the permeate side, lift not included
	BackPressure quantity.Pressure
}

// Product returns what goes to the tank: the permeate of the last pass.
func (p *Point) Product() water.Stream {
	if p.Second != nil {
		return p.Second.Permeate
	}
	return p.Membrane.Permeate
}

// Recovery returns product over what the supply gave.
func (p Point) Recovery() quantity.Ratio {
	if p.Second == nil && p.Recycled == 0 || !(p.Fresh.Flow > 0) {
		return p.Membrane.Recovery
	}
	return quantity.Ratio(p.Product().Flow / p.Fresh.Flow)
}

// ToDrain returns all that leaves without being product.
func (p *Point) ToDrain() quantity.Flow {
	if p.Second != nil {
		return p.Drain.Flow + p.Second.Concentrate.Flow
	}
	return p.Drain.Flow
}
