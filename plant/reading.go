package plant

import (
	"fmt"
	"slices"

	"rinsewright/quantity"
	"rinsewright/water"
)

// Gauge names what is read and where along the path. Its word is the one that
// logs, papers and programs use; [Gauges] lists them in path order.
type Gauge string

// The gauges of the water path. Strengths are conductivities at 25 °C, whatever
// scale the pen shows them on.
const (
	StaticPressure   Gauge = "static_pressure" // at the tap, nothing running
	TapPressure      Gauge = "pressure_before_filters"
	FeedTemperature  Gauge = "feed_temperature"
	FeedStrength     Gauge = "feed_strength"
	FeedHardness     Gauge = "feed_hardness"
	FeedPH           Gauge = "feed_pH"
	FeedAlkalinity   Gauge = "feed_alkalinity"
	FeedSilica       Gauge = "feed_silica"
	FeedIron         Gauge = "feed_iron"
	FeedFreeChlorine Gauge = "feed_free_chlorine"
	FeedChlorine     Gauge = "feed_total_chlorine"

	MembraneHardness     Gauge = "membrane_hardness" // behind a softener
	MembraneFreeChlorine Gauge = "membrane_free_chlorine"
	MembraneChlorine     Gauge = "membrane_total_chlorine"
	FeedPressure         Gauge = "feed_pressure" // at the first housing, behind a booster
	FeedFlow             Gauge = "feed_flow"     // to the membrane, by a meter
	ConcentratePressure  Gauge = "concentrate_pressure"
	PermeatePressure     Gauge = "permeate_pressure"
	PermeateFlow         Gauge = "permeate_flow"
	ConcentrateFlow      Gauge = "concentrate_flow"
	ConcentrateFlowFull  Gauge = "concentrate_flow_tank_full" // 0 when the drain stops with the float
	ConcentrateStrength  Gauge = "concentrate_strength"
	PermeateStrength     Gauge = "permeate_strength"
	PermeateFirst        Gauge = "permeate_strength_first" // in the first minute after a start
	HousingStrength      Gauge = "housing_strength"        // permeate of one housing, by its number
	PermeatePH           Gauge = "permeate_pH"

	LeadStrength   Gauge = "lead_strength" // at the lead vessel's outlet
	LeadSilica     Gauge = "lead_silica"
	PolishStrength Gauge = "polished_strength" // behind the last vessel
	PolishFirst    Gauge = "polished_strength_first"
	PolishSilica   Gauge = "polished_silica"

	TankStrength Gauge = "tank_strength"
	TankLevel    Gauge = "tank_level"         // share of the tank that is full
	TankDrop     Gauge = "tank_drop_15min"    // level lost in a quarter of an hour with the pump shut off
	FloatStop    Gauge = "float_stop_level"   // share of the tank at which the float stops the membrane
	FloatStart   Gauge = "float_start_level"  // at which it starts it again
	LowCut       Gauge = "low_cut_level"      // at which the delivery pump is cut off
	GunStrength  Gauge = "gun_strength"       // at a bay's gun, by the bay's number
	GunFirst     Gauge = "gun_strength_first" // in the first 20 s
	DripStrength Gauge = "drip_strength"      // of what drips off a rinsed panel
	GunPressure  Gauge = "gun_pressure"       // one gun open
	GunFlow      Gauge = "gun_flow"           // one gun open
	GunFlowAll   Gauge = "gun_flow_all_open"  // of each gun with every bay's open

	HoursPerDay    Gauge = "run_hours_per_day" // of the membrane
	StartsPerHour  Gauge = "starts_per_hour"
	PermeateVolume Gauge = "permeate_meter" // totaliser
	RunTime        Gauge = "hour_meter"
)

// gauge is how one of them is read.
type gauge struct {
	name  Gauge
	kind  quantity.Kind // "" for a number without dimension
	title string
}

var gauges = []gauge{
	{StaticPressure, quantity.KindPressure, "tap pressure, nothing running"},
	{TapPressure, quantity.KindPressure, "pressure ahead of the filters"},
	{FeedTemperature, quantity.KindTemperature, "feed temperature"},
	{FeedStrength, quantity.KindConductivity, "strength of the raw water"},
	{FeedHardness, quantity.KindCaCO3Conc, "hardness of the raw water"},
	{FeedPH, quantity.KindPH, "pH of the raw water"},
	{FeedAlkalinity, quantity.KindCaCO3Conc, "alkalinity of the raw water"},
	{FeedSilica, quantity.KindMassConc, "silica of the raw water"},
	{FeedIron, quantity.KindMassConc, "iron of the raw water"},
	{FeedFreeChlorine, quantity.KindMassConc, "free chlorine of the raw water"},
	{FeedChlorine, quantity.KindMassConc, "total chlorine of the raw water"},
	{MembraneHardness, quantity.KindCaCO3Conc, "hardness at the membrane"},
	{MembraneFreeChlorine, quantity.KindMassConc, "free chlorine at the membrane"},
	{MembraneChlorine, quantity.KindMassConc, "total chlorine at the membrane"},
	{FeedPressure, quantity.KindPressure, "pressure at the membrane's feed end"},
	{FeedFlow, quantity.KindFlow, "flow to the membrane"},
	{ConcentratePressure, quantity.KindPressure, "pressure of the concentrate"},
	{PermeatePressure, quantity.KindPressure, "pressure of the permeate"},
	{PermeateFlow, quantity.KindFlow, "permeate flow"},
	{ConcentrateFlow, quantity.KindFlow, "concentrate flow"},
	{ConcentrateFlowFull, quantity.KindFlow, "concentrate flow with the tank full"},
	{ConcentrateStrength, quantity.KindConductivity, "strength of the concentrate"},
	{PermeateStrength, quantity.KindConductivity, "strength after the membrane"},
	{PermeateFirst, quantity.KindConductivity, "strength after the membrane in the first minute"},
	{HousingStrength, quantity.KindConductivity, "strength after one housing"},
	{PermeatePH, quantity.KindPH, "pH after the membrane"},
	{LeadStrength, quantity.KindConductivity, "strength after the lead vessel"},
	{LeadSilica, quantity.KindMassConc, "silica after the lead vessel"},
	{PolishStrength, quantity.KindConductivity, "strength after the resin"},
	{PolishFirst, quantity.KindConductivity, "strength after the resin in the first minute"},
	{PolishSilica, quantity.KindMassConc, "silica after the resin"},
	{TankStrength, quantity.KindConductivity, "strength in the tank"},
	{TankLevel, quantity.KindRatio, "level of the tank"},
	{TankDrop, quantity.KindRatio, "level lost in 15 minutes with the pump shut off"},
	{FloatStop, quantity.KindRatio, "level at which the float stops the membrane"},
	{FloatStart, quantity.KindRatio, "level at which the float starts the membrane"},
	{LowCut, quantity.KindRatio, "level at which the pump is cut off"},
	{GunStrength, quantity.KindConductivity, "strength at the gun"},
	{GunFirst, quantity.KindConductivity, "strength at the gun in the first 20 s"},
	{DripStrength, quantity.KindConductivity, "strength of the drips off the panel"},
	{GunPressure, quantity.KindPressure, "pressure at the gun, one open"},
	{GunFlow, quantity.KindFlow, "flow of one gun"},
	{GunFlowAll, quantity.KindFlow, "flow of each gun, all open"},
	{HoursPerDay, quantity.KindRatio, "share of the day that the membrane runs"},
	{StartsPerHour, "", "starts in an hour of running"},
	{PermeateVolume, quantity.KindVolume, "permeate totaliser"},
	{RunTime, quantity.KindTime, "hour meter"},
}

// Gauges returns every gauge in path order.
func Gauges() []Gauge {
	names := make([]Gauge, len(gauges))
	for i, g := range gauges {
		names[i] = g.name
	}
	return names
}

// Title returns what g reads, in words for a person.
func (g Gauge) Title() string { return g.row().title }

// Kind returns the dimension of what g reads, "" for a number without one.
func (g Gauge) Kind() quantity.Kind { return g.row().kind }

// Numbered tells whether there may be several of g, told apart by number: one
// at each bay, or at each housing.
func (g Gauge) Numbered() bool {
	switch g {
	case HousingStrength, GunStrength, GunFirst, DripStrength, GunPressure, GunFlow:
		return true
	}
	return false
}

// Known tells whether g is one of [Gauges].
func (g Gauge) Known() bool {
	return slices.ContainsFunc(gauges, func(x gauge) bool { return x.name == g })
}

func (g Gauge) row() gauge {
	i := slices.IndexFunc(gauges, func(x gauge) bool { return x.name == g })
	if i < 0 {
		return gauge{name: g, title: string(g)}
	}
	return gauges[i]
}

// Reading is what one gauge, pen or test kit said, or what the model says it
// should say.
type Reading struct {
	Of         Gauge
	Number     int         // bay or housing, counted from 1 along the path; 0 when there is only one
	SI         float64     // number in the SI unit of the gauge's kind; a count per hour for starts
	Digit      float64     // number in the same unit: one step of the display, 0 when not known. A reading of 0 is a bound below half of it
	Scale      water.Scale // the pen's, as its user believes it; zero when it shows conductivity or is no pen
	Instrument string      // which pen or gauge, so that its own error can be told from another's
	Running    quantity.Time
	Timed      bool // Running is known: time since the last start
}

// Key names a reading by gauge and number, as "gun_strength 2".
func (r Reading) Key() string {
	if r.Number == 0 {
		return string(r.Of)
	}
	return fmt.Sprintf("%s %d", r.Of, r.Number)
}
