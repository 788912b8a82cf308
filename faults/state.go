package faults

import (
	"math"

	"rinsewright/plant"
	"rinsewright/quantity"
)

// state is a rig at some moment: what doubt moves and causes change. SI
// throughout; a field without a unit is a factor over the nominal rig.
type state struct {
	rig railed
	tap tapWater
	meters

	carbonUsed   float64 // share of the carbon's capacity
	carbonFactor float64 // of chlorine that passes, over the carbon model's
	softLeak     float64 // share of the hardness that passes the softener
	creep        float64
	washout      float64 // m³ that a start takes to clear
	starts       float64 // of starts, over gap and flow
	drains       float64 // share of the concentrate that runs on when the tank is full

	slip       float64 // share of the inlet that passes sound resin
	lead, lag  float64 // share that passes beside or through spent resin
	leadGas    float64 // share of carbon dioxide that passes
	firstResin float64 // S/m more in the first minute
	used       float64 // of the lead's life
	usedSD     float64 // of its logarithm, where a cause fixes it
	bypassed   float64 // share of the water that goes around the resin
	silicaOut  float64 // kg/m³ behind the resin

	tankAir  float64 // S/m that standing water takes from the air
	tankDirt float64 // S/m that a dirty tank adds
	tankNew  float64 // share of the tank that has seen today's water
	tankAcid float64 // pH units that the permeate is lower
	level    float64 // share of the tank
	leak     float64 // share of the tank in a quarter of an hour
	demand   float64 // m³ a day
	gap      float64 // m³ between stop and restart
	runsOn   float64 // share of the rest of the day that the membrane runs for nothing

	crossBay int     // the bay that takes tap water in, from 0
	cross    float64 // share of its gun's water
	stale    float64 // share of tap-like water in the first 20 s
	film     float64 // S/m that the wash film leaves in the drips
	aim      float64 // pressure that guns are chosen for, over the usual
	pump     float64 // of delivery pressure
	line     float64 // loss of the shared line
	nozzle   float64 // flow of a gun at a pressure

	rinseOut float64 // S/m that a badly regenerated bottle adds
	wait     float64 // minutes that a rig ran before a reading that notes none
	stopped  bool    // the membrane makes nothing
}

// railed is what the plant model is asked for. It is comparable: equal rails
// have equal answers.
type railed struct {
	plant.Wear              // what service has done
	static, running float64 // Pa at rest; factor of the loss while running
	pump            float64 // pressure of the booster that hangs there, over the one that would suit
	back            float64 // Pa
	temperature     float64 // K
	strength        float64 // S/m at 25 °C
	hard, alkaline  float64 // shares of cations and anions
	pH              float64
	silica          float64 // kg/m³
	hardnessLeft    float64 // share behind the softener
}

// tapWater is what of the raw water the plant model is not asked for.
type tapWater struct {
	free, combined float64 // kg/m³ as Cl2
	iron           float64 // kg/m³
}

// meters is how instruments are off.
type meters struct {
	penGain   float64    // logarithm
	penOffset float64    // S/m
	gauges    [5]float64 // Pa, each by where it hangs, see gaugePlaces
}

// logistic turns a number into a share; logit is its inverse.
func logistic(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

func logit(p float64) float64 { return math.Log(p / (1 - p)) }

// shifted moves a share by x on the logistic scale.
func shifted(p, x float64) float64 {
	if p <= 0 || p >= 1 {
		return p
	}
	return logistic(logit(p) + x)
}

// Typical values of what nobody read. Source: [TradeFaults] where it says,
// else common practice.
var (
	usualStatic  = float64(quantity.PSI(58))
	usualPerBay  = float64(quantity.Gallons(100)) // a bay and day
	usualTank    = float64(quantity.Gallons(500))
	usualGun     = float64(quantity.GallonsPerMinute(1.5))
	usualGunSees = float64(quantity.PSI(60))
)

const (
	microsiemens = 1e-4 // S/m in 1 µS/cm
	milligram    = 1e-3 // kg/m³ in 1 mg/L
	dayLong      = 86400.0
	yearLong     = 365.25 * dayLong
	month        = yearLong / 12
)
