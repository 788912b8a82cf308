package study

import (
	"rinsewright/quantity"
	"rinsewright/working"
)

// Checked is what the rig of a site does as it hangs: the path, what it can
// promise, why, and what that costs.
type Checked struct {
	Site     Heading
	Path     []Station
	Drain    Drain
	Promises []Promise
	Settles  []Settling // readings that would narrow the promises, best first
	Findings []Finding  // what matters most, first
	Resin    *Resin     // nil without resin
	Beds     *BedAnswer
	Busy     *Busy   // nil unless asked for
	Rig      *Rigged // a closer look; nil without a membrane, or where it cannot be had
	Months   Months
	Costs    []Cost
	Assumed  []Assumption
	Cautions []Caution
	Working  []working.Step
	Looks    int // how many looks the bands come from
}

// Heading says which site it is.
type Heading struct {
	Name   string `json:"name"`
	About  string `json:"about,omitempty"`
	Origin string `json:"origin,omitempty"`
	Use    string `json:"use,omitempty"`
}

// State is how a station stands.
type State string

// The states.
const (
	Fine     State = "fine"
	Due      State = "due"
	Today    State = "today"
	NotKnown State = "not known"
)

// Fact is one labelled figure on the path.
type Fact struct {
	Label   string
	Figure  Figure
	Read    bool   // read on site; otherwise the model's
	Working string // id of the step, "" for what was read or told
}

// Station is one stage of the path.
type Station struct {
	Kind     string // "tap", "well", "filter", "carbon", "membrane", "resin", "vented tank", ...
	Name     string
	Above    []Fact
	Below    []Fact
	State    State
	Word     string
	Left     float64         // share that is left or full, a number from 0 to 1; negative when nothing is used up or nobody knows
	Stop     float64         // share at which the float stops, 0 when there is none
	Start    float64         // share at which it starts
	Entering quantity.Volume // in a mean open day
	Strength quantity.Conductivity
	Suspect  bool   // what is wrong may sit here
	Why      string // one sentence
}

// Drain is what leaves the path at the membrane.
type Drain struct {
	PerDay   quantity.Volume
	PerYear  quantity.Volume
	Strength quantity.Conductivity
	Recovery quantity.Ratio
	First    string  // the mineral nearest to scaling
	Index    float64 // its saturation index, a dimensionless number
}

// Promise is a predicted number that commissioning would hold the rig to.
type Promise struct {
	Name    string // as in the contract: "permeate_flow"
	Says    string // as a person would
	Band    Band
	Working string  // id of the step
	Doubts  []Doubt // what the band comes from, most first
	Read    Figure  // what a meter said of the same thing, nil when nothing
}

// Finding is one thing worth saying, with its reasons.
type Finding struct {
	State   State    `json:"state"`
	About   string   `json:"about"` // "resin", "storage", ...
	Says    string   `json:"says"`
	Because []string `json:"because,omitempty"`
}

// Resin is why the resin lasts as long as it does.
type Resin struct {
	Volume     Band // litres to the endpoint
	Days       Band
	LabelDays  Figure
	LabelSays  string
	Eats       []Share // what takes the places on the resin, largest first
	Ends       string  // which side ends it
	Changes    []Change
	SilicaDays Figure // until silica leaves, nil when it does not matter
}

// Share is a part of a whole.
type Share struct {
	Name  string
	Share quantity.Ratio
}

// Change is what another arrangement would do for the resin, computed by the
// same chain.
type Change struct {
	Name  string
	Days  Figure
	Times float64 // its life over today's, a number
	Note  string
}

// Months is the make-up through the year.
type Months struct {
	PerDay    [12]quantity.Volume // that the membrane can make in a day
	Low, High [12]quantity.Volume // its 5 to 95 % band
	Needed    [12]quantity.Volume // that the guns ask for on a busy day
}

// Cost is one line of the yearly cost.
type Cost struct {
	Name   string
	Amount Figure
}

// Caution is a warning that belongs to a step.
type Caution struct {
	Step string `json:"step"`
	Text string `json:"text"`
}
