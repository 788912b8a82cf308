package faults

import (
	"rinsewright/carbon"
	"rinsewright/membrane"
	"rinsewright/plant"
	"rinsewright/quantity"
)

// Answer is what somebody said to a question of yes or no, or did not.
type Answer int8

// The answers.
const (
	NotSaid Answer = iota
	Yes
	No
)

// Source is the water that arrives.
type Source string

// The sources of water, by what disinfects them. Empty when nobody knows.
const (
	ChlorineCity   Source = "chlorine city"
	ChloramineCity Source = "chloramine city"
	Well           Source = "well"
)

// Place is where resin hangs on the path.
type Place string

// The places of resin; empty without any.
const (
	BeforeTank Place = "before tank"
	AfterTank  Place = "after tank"
)

// Facts is what nameplates and the service book say of an installation.
// Whatever nobody knows is left out and counts as wide doubt, never as zero.
type Facts struct {
	Source     Source
	Sheet      membrane.Sheet // of one element
	Housings   int            // one after another
	Bare       bool           // no membrane: tap water goes through filters and resin as it comes
	Booster    bool
	Softener   bool
	Carbon     carbon.Kind // empty without carbon
	CarbonBed  quantity.Volume
	CarbonAge  quantity.Entry[quantity.Time]
	FilterAge  quantity.Entry[quantity.Time]
	ElementAge quantity.Entry[quantity.Time]
	Recovery   quantity.Entry[quantity.Ratio] // that the restrictor was chosen for

	ResinPlace  Place
	Lead, Lag   quantity.Volume                   // of resin; lag 0 without one
	SinceChange quantity.Entry[quantity.Volume]   // through the lead vessel
	SinceTime   quantity.Entry[quantity.Time]     // the same in days
	Tank        quantity.Entry[quantity.Volume]   // whole
	FloatGap    quantity.Entry[quantity.Volume]   // between stop and restart
	Bays        int                               //
	Gun         quantity.Entry[quantity.Flow]     // one gun, as designed
	PerDay      quantity.Entry[quantity.Volume]   // that the guns use
	GaugeScale  quantity.Entry[quantity.Pressure] // full scale of the panel gauges
	Service     quantity.Entry[quantity.Time]     // since the last one
	Opened      Answer                            // were housings opened then?
	Notice      Answer                            // has the utility told of free-chlorine weeks?
	BaselineAge quantity.Entry[quantity.Time]

	Back quantity.Pressure // on the permeate of a sound rig, where it is known: a pressurised tank

	// Plant is the rig where it is known part by part; nil when only nameplates
	// are, and a nominal rig is built from them.
	Plant *plant.Plant
}

// Evidence is one reading with what is known of how it was taken.
type Evidence struct {
	plant.Reading
	ScaleDoubt bool // a pen that shows ppm and nobody noted its scale; read with factor 0.5
}

// Case is what is known when somebody asks what is wrong.
type Case struct {
	Facts    Facts
	Baseline []Evidence // accepted readings of a healthy rig, if there are any
	Now      []Evidence
	Words    []string // remarks of owner and technician
	Weights  Weights  // before any reading, in place of the usual ones; nil for those
}
