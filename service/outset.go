package service

import (
	"math"
	"time"

	"rinsewright/carbon"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/water"
)

// Day counts days from 1 January 1970.
type Day int

// Vessel is one place for a bottle of resin.
type Vessel struct {
	Volume quantity.Volume
	Holds  quantity.EquivConc // charge that a volume of it takes on the anion side, as its label or its kind says
}

// charge is the ln of what a fresh bottle is taken to hold, eq.
func (v *Vessel) charge() float64 {
	return math.Log(max(float64(v.Volume)*float64(v.Holds), 1e-6))
}

// Outset is what is believed of a site before its log is read.
type Outset struct {
	Plant plant.Plant       // as hung, with nameplate parts; without housings the feed meets the resin as it comes
	Feed  water.Water       // as surveyed, or usual for its source
	Back  quantity.Pressure // that the tank pushes back with
	Told  Told              // what of the above somebody measured

	Lead, Lag *Vessel        // nil where there is none
	AfterTank bool           // the resin hangs behind the tank
	AirKept   quantity.Ratio // share of the carbon dioxide that the tank leaves
	ActAt     quantity.Conductivity
	Carbon    *carbon.Bed
	Chlorine  quantity.MassConc // that the carbon meets, as it counts against its capacity; 0 for none
	// ChlorineUse is that over the total chlorine that a test shows, a factor: 1 for
	// free chlorine, 3 for chloramine.
	ChlorineUse float64

	PerDay quantity.Volume // of permeate, told or guessed
	// MidSummer is the day of the year on which it is; 0 is 15 July.
	MidSummer   int
	Summer      quantity.Ratio // ln of high summer's draw over the year's mean
	SummerDoubt quantity.Ratio
	// FirstMonth and LastMonth are those in which the place is open; 0 all year.
	FirstMonth, LastMonth time.Month
	PerRun                quantity.Volume // between the float's stop and start
	Creep                 quantity.Ratio  // what starts add to the salt, over the steady salt
	VendFlow              quantity.Flow   // through a gun while a vend runs

	From Day
	New  bool          // parts were new then; otherwise taken over as they hung
	Age  quantity.Time // of the membrane then
}

// Told says which parts of an [Outset] were measured on site.
type Told struct {
	Feed, Main, Restrictor, Booster, PerDay bool
}

// doubts are standard deviations of what is not told, of logarithms unless a
// unit stands there, and how fast each level wanders: per root month.
// Source: [Practice] for element tolerance, pens and gauges; the rest [Memory].
const (
	perDaySD      = 0.45
	perDayToldSD  = 0.25
	growthSD      = 0.12 // a year
	busySD        = 0.30 // of one day
	busyDays      = 2.0  // that go together
	demandWander  = 0.08
	seasonSD      = 0.12
	strengthSD    = 0.60
	strengthTold  = 0.15
	strengthYear  = 0.08
	strengthWalk  = 0.06
	warmthSD      = 3.0 // K
	summerWarmth  = 5.0 // K
	summerWarmSD  = 2.5 // K
	weatherSD     = 1.3 // K
	weatherDays   = 20.0
	elementFlowSD = 0.08
	elementSaltSD = 0.20
	fouling       = -0.004 // a month
	foulingWalk   = 0.020
	ageing        = 0.006 // a month
	ageingWalk    = 0.030
	usualLeak     = 4e-4
	leakSD        = 0.8
	leakWalk      = 0.10
	mainSD        = 0.20
	mainTold      = 0.06
	mainWalk      = 0.015
	cloggingMean  = 0.006 // of the loading, a day
	cloggingSD    = 0.004
	loadingWalk   = 0.05
	restrictorSD  = 0.40
	restrictTold  = 0.08
	restrictWalk  = 0.015
	boosterSD     = 0.20
	boosterTold   = 0.06
	boosterWalk   = 0.010
	dropSD        = 0.30
	dropWalk      = 0.04
	alkalinitySD  = 0.40
	alkalinityRun = 0.03
	pHSD          = 0.40 // pH
	pHWalk        = 0.04
	silicaSD      = 0.50
	airSD         = 0.50
	creepSD       = 0.60
	bottlesSD     = 0.075
	bottleSD      = 0.065
	usedAtStart   = 0.45 // of a bottle that was taken over
	usedAtStartSD = 0.70
	carbonSD      = 1.00 // claims of what a gram takes up span 0.1 to 6 g
	chlorineSD    = 0.35
	vendFlowSD    = 0.35
	meterSD       = 0.02
)

func (o *Outset) believe(r *rig) belief {
	var b belief
	set := func(i int, mean, sd float64) { b.m[i], b.p[i][i] = mean, sd*sd }
	pick := func(told bool, a, otherwise float64) float64 {
		if told {
			return a
		}
		return otherwise
	}
	set(atDemand, math.Log(max(float64(o.PerDay), 1e-3)), pick(o.Told.PerDay, perDayToldSD, perDaySD))
	set(atGrowth, 0, growthSD)
	set(atDemandC, float64(o.Summer), max(float64(o.SummerDoubt), seasonSD))
	set(atDemandS, 0, seasonSD)
	set(atBusy, 0, 1e-6)
	set(atStrength, r.ec, pick(o.Told.Feed, strengthTold, strengthSD))
	set(atStrengthC, 0, strengthYear)
	set(atStrengthS, 0, strengthYear)
	set(atWarmth, float64(o.Feed.Temperature), warmthSD)
	set(atWarmthC, summerWarmth, summerWarmSD)
	set(atWarmthS, summerWarmth/3, summerWarmSD)
	set(atWeather, 0, weatherSD)
	months := o.Age.Days() / monthDays
	set(atA, fouling*months, math.Hypot(elementFlowSD, foulingWalk*math.Sqrt(2*months)))
	set(atB, ageing*months, math.Hypot(elementSaltSD, ageingWalk*math.Sqrt(2*months)))
	set(atLeak, math.Log(usualLeak), leakSD)
	set(atMain, 0, pick(o.Told.Main, mainTold, mainSD))
	set(atFilters, pick(o.New, 0, 0.4), pick(o.New, 0.1, 0.4))
	set(atClogging, cloggingMean, cloggingSD)
	set(atRestrictor, 0, pick(o.Told.Restrictor, restrictTold, restrictorSD))
	set(atBooster, 0, pick(o.Told.Booster, boosterTold, boosterSD))
	set(atDrop, pick(o.New, 0, 0.1), dropSD)
	set(atAlkalinity, math.Log(max(float64(o.Feed.Alkalinity), 1e-3))-r.ec, alkalinitySD)
	set(atPH, r.pH, pHSD)
	set(atSilica, 0, silicaSD)
	set(atAir, pick(o.AfterTank, math.Log(min(max(float64(o.AirKept), 0.05), 1)), 0), pick(o.AfterTank, airSD, 0.03))
	set(atCreep, math.Log(min(max(float64(o.Creep), 1e-3), 3)), creepSD)
	if o.membraneless() {
		set(atCreep, math.Log(1e-4), 1e-3) // nothing to creep through
	}
	set(atBottles, 0, bottlesSD)
	set(atLeadHolds, 0, bottleSD)
	set(atLagHolds, 0, bottleSD)
	set(atLeadTook, 0, 1e-3)
	set(atLagUsed, 0, 1e-3)
	set(atCarbonTook, 0, 1e-3)
	if o.Carbon != nil {
		set(atCarbonHold, math.Log(float64(o.Carbon.Capacity)), carbonSD)
	}
	set(atChlorine, math.Log(max(float64(o.Chlorine), 1e-9)), chlorineSD)
	set(atVend, math.Log(max(float64(o.VendFlow), 1e-6)), vendFlowSD)
	set(atMeter, 0, meterSD)
	return b
}

const monthDays = 365.25 / 12

// midJuly is midsummer in the north, a day of the year.
const midJuly = 195

// phase returns cosine and sine of the year at a day: 1 and 0 in high summer, 0
// and 1 a quarter later.
func (o *Outset) phase(day float64) (c, s float64) {
	summer := midJuly
	if o.MidSummer != 0 {
		summer = o.MidSummer
	}
	turn := 2 * math.Pi * (day - float64(summer)) / 365.25
	return math.Cos(turn), math.Sin(turn)
}

// halfTime is the contact that halves what the carbon meets, s.
func (o *Outset) halfTime() float64 {
	if o.ChlorineUse > 1.5 {
		return float64(o.Carbon.ChloramineHalf)
	}
	return float64(o.Carbon.ChlorineHalf)
}

// laidUp is ln of what is drawn while a place is closed, over its open days:
// flushing and checks. Source: [Memory].
const laidUp = -4.0

// Date returns the first moment of a day, in UTC.
func (d Day) Date() time.Time { return time.Unix(int64(d)*86400, 0).UTC() }

// DayOf returns the day of a moment.
func DayOf(t time.Time) Day { return Day(math.Floor(float64(t.Unix()) / 86400)) }

// closed says whether the place is laid up on a day.
func (o *Outset) closed(day float64) bool {
	if o.FirstMonth == 0 || o.LastMonth == 0 {
		return false
	}
	m := Day(day).Date().Month()
	if o.FirstMonth <= o.LastMonth {
		return m < o.FirstMonth || m > o.LastMonth
	}
	return m < o.FirstMonth && m > o.LastMonth
}
