package membrane

import (
	"rinsewright/quantity"
	"rinsewright/water"
)

// Result is a train at work. Permeate and Concentrate are of the whole train;
// what is told per element is of one of its like.
type Result struct {
	Permeate    water.Stream
	Concentrate water.Stream
	Recovery    quantity.Ratio // permeate over feed
	Passage     quantity.Ratio // lumped salt: permeate strength over feed strength

	FirstFlux    quantity.Flux // first slice
	LastFlux     quantity.Flux // last slice
	MeanFlux     quantity.Flux // permeate over all membrane area, seal leaks left out
	Polarisation float64       // highest c_m/c_b
	Drop         quantity.Pressure
	NetDriving   quantity.Pressure // mean over the area of p − p_permeate − Δπ
	FeedOsmotic  quantity.Pressure // what the membrane can hold back
	FeedPH       float64

	Elements []ElementResult // feed end first
	Profile  []Slice         // feed end first
}

// ElementResult is one element of a row.
type ElementResult struct {
	Stage, Row   int // both 0 in a plain train
	Alike        int // how many such rows stand side by side
	Feed         water.Stream
	Permeate     water.Stream
	Concentrate  water.Stream
	Leak         quantity.Flow // past seals, part of Permeate
	Recovery     quantity.Ratio
	Flux         quantity.Flux // mean, seal leak left out
	Polarisation float64       // highest c_m/c_b
	Drop         quantity.Pressure
	NetDriving   quantity.Pressure
	Limits       Limits
}

// Slice is one slice of a channel, at its middle, for drawing.
type Slice struct {
	Element          int             // 0 is the feed end's; index into Elements
	Position         quantity.Length // from the array's feed end, membrane length only
	Flux             quantity.Flux
	Pressure         quantity.Pressure
	Osmotic          quantity.Pressure // across the membrane
	Speed            quantity.Speed
	Polarisation     float64
	Strength         float64 // ratio: lumped salt in the bulk over the train's feed
	PermeateStrength float64 // ratio: lumped salt crossing here over the train's feed
}
