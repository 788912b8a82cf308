package service

import (
	"errors"
	"fmt"
	"math"

	"rinsewright/hydraulics"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/water"
)

// freely is the draw where nothing in the path resists. Source: [Memory].
var freely = quantity.GallonsPerMinute(2)

// membraneless says that the feed meets the resin as it comes.
func (o *Outset) membraneless() bool { return len(o.Plant.Train.Housings) == 0 }

// straight is the plant at u without a membrane: the supply pushes the feed
// through filters and resin, all of it is what is drawn, and what it brings is
// what the feed holds.
func (r *rig) straight(p plant.Plant, u *[nIn]float64) (y [nOut]float64, err error) {
	feed := r.feedAt(*u)
	fluid, err := fluidOf(feed.Temperature)
	if err != nil {
		return y, err
	}
	filters, rest := series(p.FeedSide), series(p.PermeateOut)
	flow, err := hydraulics.FlowThrough(p.Supply, hydraulics.Series{filters, rest}, r.back, fluid)
	if errors.Is(err, hydraulics.ErrNoResistance) {
		flow, err = freely, nil
	}
	if err != nil {
		return y, err
	}
	tap, err := p.Supply.Pressure(flow)
	if err != nil {
		return y, err
	}
	loss, err := filters.Loss(flow, fluid)
	if err != nil {
		return y, err
	}
	k, err := feed.Conductivity25()
	if err != nil {
		return y, err
	}
	s, err := water.Equilibrate(feed)
	if err != nil {
		return y, err
	}
	in := resin.InletOf(feed, s)
	for i, x := range [nOut]float64{
		outPermeate: float64(flow), outFeed: float64(tap - loss), outTap: float64(tap), outEnd: float64(tap - loss), outStrength: float64(k), outBrine: float64(k),
		outIons: float64(in.StrongAnions + in.Bicarbonate), outSilica: float64(in.Silica),
	} {
		y[i] = math.Log(max(x, 1e-12))
	}
	return y, nil
}

func series(parts []plant.Part) (all hydraulics.Series) {
	for _, part := range parts {
		all = append(all, part.Resistance)
	}
	return all
}

func fluidOf(t quantity.Temperature) (hydraulics.Fluid, error) {
	density, err := water.Density(t)
	if err != nil {
		return hydraulics.Fluid{}, fmt.Errorf("water at %.1f °C: %w", t.Celsius(), err)
	}
	viscosity, err := water.Viscosity(t)
	return hydraulics.Fluid{Density: density, Viscosity: viscosity}, err
}
