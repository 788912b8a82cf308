// Package site is the record of one installation, from survey to service: the
// place, the water, the demand, what hangs on the wall now, prices and the log.
// Whatever a practitioner may not know is optional; what is missing is assumed
// visibly by package study, never here.
package site

import (
	"rinsewright/cost"
	"rinsewright/quantity"
	"rinsewright/water"
)

// Site is one installation.
type Site struct {
	Name   string
	About  string // the story, in the owner's or installer's words
	Origin string // "invented" for examples
	Area   string // in words: sites with the same one share a day's drive
	Use    Use
	Target quantity.Entry[quantity.MassConc] // strength wanted at the gun, pen ppm on the NaCl scale
	// ColdestNight is the air's in a usual year, for frost.
	ColdestNight quantity.Entry[quantity.Temperature]

	Supply  Supply
	Samples []water.Sample
	Demand  Demand
	Rig     Rig
	Limits  Limits
	Prices  cost.Prices

	Commissioned []Commissioning
	Log          []Visit
}

// Use is what gets rinsed; it sets the default target strength.
type Use string

// The uses that have a default target.
const (
	Boats    Use = "boats"
	Vehicles Use = "vehicles"
	Buses    Use = "buses"
	Glass    Use = "glass"
	Solar    Use = "solar"
)

// Uses lists every use in the order a survey offers them.
var Uses = []Use{Vehicles, Boats, Buses, Glass, Solar}

// Source is where the water comes from.
type Source string

// The sources.
const (
	City Source = "city"
	Well Source = "well"
)

// Disinfectant is what the utility leaves in the water.
type Disinfectant string

// The disinfectants.
const (
	NoDisinfectant Disinfectant = "none"
	Chlorine       Disinfectant = "chlorine"
	Chloramine     Disinfectant = "chloramine"
)

// Supply is the water as it arrives on site. Pressure is told by two points:
// with nothing running, and at a flow that was measured into a bucket.
type Supply struct {
	Source          Source
	Disinfectant    Disinfectant
	StaticPressure  quantity.Entry[quantity.Pressure]
	RunningPressure quantity.Entry[quantity.Pressure]
	RunningFlow     quantity.Entry[quantity.Flow]
	Coldest         quantity.Entry[quantity.Temperature] // feed in the coldest month
	Warmest         quantity.Entry[quantity.Temperature]
	ColdestMonth    int // of the feed, 1-12; 0 is February, as in the north
	SwitchWeeks     int // weeks a year of free chlorine in a chloramine town
}

// Demand is how busy the place gets.
type Demand struct {
	Bays           int
	NormalDay      int // vehicles
	BusiestDay     int
	BusiestWeekday string // "Saturday"
	FirstMonth     int    // 1-12; 0 means open all year
	LastMonth      int
	Opens, Closes  string                          // "08:00"
	VendTime       quantity.Entry[quantity.Time]   // trigger-on time of the spot-free rinse
	GunFlow        quantity.Entry[quantity.Flow]   // one gun
	PerVehicle     quantity.Entry[quantity.Volume] // instead of time and flow
	GunsAtOnce     int
}

// Rig is what hangs on the wall now; a nil or empty part is not there.
type Rig struct {
	Filters    []Filter
	Carbon     *Carbon
	Softener   *Softener
	Booster    *Pump
	Membrane   *Membrane
	Rows       []Membrane // unlike rows that share the membrane's feed
	Restrictor *Restrictor
	Recycle    *Recycle
	Second     *Second
	SecondPump *Pump // between the passes; nil when the first one's pressure drives the second
	Flush      *Flush
	Controls   *Controls
	Resin      []Vessel
	Tank       *Tank
	Pump       *Pump
	Line       *Line
}

// Filter is one cartridge filter in the path.
type Filter struct {
	Rating quantity.Entry[quantity.Length]   // pore size
	Drop   quantity.Entry[quantity.Pressure] // measured across it while running
	Flow   quantity.Entry[quantity.Flow]     // at that flow
	Price  cost.Entry
}

// Carbon is the stage that takes chlorine out.
type Carbon struct {
	Kind   string // "block", "granular", "catalytic"
	Volume quantity.Entry[quantity.Volume]
	Drop   quantity.Entry[quantity.Pressure] // across it while running
	Flow   quantity.Entry[quantity.Flow]     // at that flow
	Passed quantity.Entry[quantity.Volume]   // feed water since it was new
	Price  cost.Entry
}

// Softener exchanges hardness for sodium.
type Softener struct {
	Resin    quantity.Entry[quantity.Volume]
	SaltDose quantity.Entry[quantity.Mass] // per regeneration
}

// Pump is a booster or delivery pump told by its duty point.
type Pump struct {
	Flow       quantity.Entry[quantity.Flow]
	Pressure   quantity.Entry[quantity.Pressure] // rise at that flow
	ShutOff    quantity.Entry[quantity.Pressure]
	Efficiency quantity.Entry[quantity.Ratio] // wire to water
	Power      quantity.Entry[quantity.Power]
}

// Membrane is the element's data sheet and how many hang there.
type Membrane struct {
	Size        string // nominal, "2540"
	Count       int
	Parallel    bool // side by side; otherwise one after another
	Flow        quantity.Entry[quantity.Flow]
	Rejection   quantity.Entry[quantity.Ratio]
	Pressure    quantity.Entry[quantity.Pressure]
	TestSalt    quantity.Entry[quantity.MassConc]
	Temperature quantity.Entry[quantity.Temperature]
	Recovery    quantity.Entry[quantity.Ratio]
	Area        quantity.Entry[quantity.Area]
	Length      quantity.Entry[quantity.Length] // of the feed channel
	Age         quantity.Entry[quantity.Time]
	Price       cost.Entry
}

// Restrictor holds the concentrate back. Flow is at Pressure; when neither is
// known Recovery says what it was set to on site.
type Restrictor struct {
	Kind     string // "fixed", "needle", "capillary"
	Flow     quantity.Entry[quantity.Flow]
	Pressure quantity.Entry[quantity.Pressure]
	Bore     quantity.Entry[quantity.Length] // capillary
	Length   quantity.Entry[quantity.Length]
	Recovery quantity.Entry[quantity.Ratio]
}

// Recycle brings concentrate back ahead of the booster.
type Recycle struct {
	Flow     quantity.Entry[quantity.Flow]
	Pressure quantity.Entry[quantity.Pressure] // at which it has that flow
}

// Second is a second pass on the first one's permeate.
type Second struct {
	Membrane   Membrane
	Restrictor Restrictor
}

// Flush is a valve beside the restrictor that opens to sweep the channel.
type Flush struct {
	Flow     quantity.Entry[quantity.Flow] // through it alone
	Pressure quantity.Entry[quantity.Pressure]
	Lasts    quantity.Entry[quantity.Time]
	PerDay   int
}

// Control is how one control was found.
type Control string

// The ways; "" is a control that nobody spoke of.
const (
	NoControl Control = "absent"
	Sound     Control = "sound"
	StuckOn   Control = "stuck on"  // closed contact or open valve
	StuckOff  Control = "stuck off" // open contact or shut valve
)

// Controls are what starts and stops the rig, as found.
type Controls struct {
	Float       Control
	FloatStops  string // "inlet valve", "booster"
	InletValve  Control
	ShutOff     Control // auto shut-off valve on the permeate's pressure
	LowPressure Control // cut-out at the booster's suction
	TripsAt     quantity.Entry[quantity.Pressure]
	ResetsAt    quantity.Entry[quantity.Pressure]
	LowLevel    Control // cut-off of the delivery pump
	VendTimer   Control
	FlushValve  Control
	Divert      quantity.Entry[quantity.Time] // permeate goes to the drain for so long after a start
}

// Vessel is one bottle of mixed-bed resin; the first is the lead.
type Vessel struct {
	Volume quantity.Entry[quantity.Volume]
	Place  string // "before tank", "after tank"
	Made   string // "new", "regenerated"
	Price  cost.Entry
}

// Tank stores what the membrane makes. A vented tank has float levels as
// volumes; a pressurised tank has a precharge and a switch band.
type Tank struct {
	Kind      string // "vented", "pressurised"
	Volume    quantity.Entry[quantity.Volume]
	Stop      quantity.Entry[quantity.Volume]
	Start     quantity.Entry[quantity.Volume]
	LowCut    quantity.Entry[quantity.Volume]
	Height    quantity.Entry[quantity.Length] // inlet above the membrane
	Precharge quantity.Entry[quantity.Pressure]
	StopAt    quantity.Entry[quantity.Pressure]
	StartAt   quantity.Entry[quantity.Pressure]
	Aerated   bool // its vent strips carbon dioxide to air
}

// Line is the tube from the pump, or from the tank, to the guns.
type Line struct {
	Tube   string // "3/8", "1/2", "3/4" inch
	Length quantity.Entry[quantity.Length]
	Rise   quantity.Entry[quantity.Length]
	// Permeate tube from the membrane to the tank.
	PermeateTube   string
	PermeateLength quantity.Entry[quantity.Length]
}

// Limits are what the place allows.
type Limits struct {
	DrainFlow quantity.Entry[quantity.Flow]
	Circuit   quantity.Entry[quantity.Power]
	Door      quantity.Entry[quantity.Length]
}
