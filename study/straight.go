package study

import (
	"errors"
	"fmt"

	"rinsewright/hydraulics"
	"rinsewright/membrane"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/water"
)

// straight is the operating point of a rig without a membrane: the supply
// pushes the feed through filters and resin, and nothing goes to the drain.
func (l *look) straight(at quantity.Temperature) (plant.Point, error) {
	fluid, err := fluidAt(at)
	if err != nil {
		return plant.Point{}, err
	}
	var series hydraulics.Series
	for _, part := range append(append([]plant.Part{}, l.rig.plant.FeedSide...), l.rig.plant.PermeateOut...) {
		series = append(series, part.Resistance)
	}
	flow, err := hydraulics.FlowThrough(l.rig.pushes(), series, l.store.back, fluid)
	if errors.Is(err, hydraulics.ErrNoResistance) {
		flow, err = l.gunFlowGuess(), nil
	}
	if err != nil {
		return plant.Point{}, fmt.Errorf("flow through the resin: %w", err)
	}
	tap, err := l.rig.plant.Supply.Pressure(flow)
	if err != nil {
		return plant.Point{}, err
	}
	stream := water.Stream{Water: l.feed.At(at), Flow: flow, Pressure: tap}
	return plant.Point{Tap: tap, Fresh: stream, Feed: stream, Membrane: membrane.Result{Permeate: stream, Recovery: 1}}, nil
}

// gunFlowGuess stands in where nothing in the path resists.
func (l *look) gunFlowGuess() quantity.Flow { return quantity.GallonsPerMinute(2) }

// settle is the operating point at a temperature, with or without a membrane.
func (l *look) settle(at quantity.Temperature) (plant.Point, error) {
	if len(l.rig.plant.Train.Housings) == 0 {
		return l.straight(at)
	}
	return l.rig.plant.Serve(plant.Conditions{Feed: l.feed.At(at), TankPressure: l.store.back})
}

// membraned is s with one small element ahead of its resin, for comparison.
func membraned(s *site.Site) *site.Site {
	changed := *s
	changed.Rig.Membrane = &site.Membrane{
		Count: 1, Size: defaultSize, Flow: quantity.Told(quantity.GallonsPerDay(750)), Rejection: quantity.Told(quantity.Ratio(0.99)),
		Area: quantity.Told(quantity.Area(2.6)), Pressure: quantity.Told(quantity.PSI(100)),
	}
	changed.Rig.Restrictor = &site.Restrictor{Kind: "fixed", Recovery: quantity.Told(quantity.Ratio(0.33))}
	return &changed
}
