package study

import (
	"math"
	"math/rand/v2"

	"rinsewright/quantity"
	"rinsewright/water"
)

// doubt is one thing that is not known exactly about a site, beyond its water.
type doubt int

// The doubts.
const (
	supplyDoubt doubt = iota
	filterDoubt
	elementFlowDoubt
	saltPassageDoubt
	restrictorDoubt
	resinDoubt
	demandDoubt
	gunFlowDoubt
	coldestDoubt
	doubtCount
)

// doubted tells how wide a doubt is, what it is called, and what would settle
// it on site.
type doubted struct {
	sd      float64 // standard deviation of the logarithm; K for a temperature
	says    string
	reading string
	minutes float64
}

// doubts: permeate flow of single elements is commonly told as ±15 to 20 %, so
// half of it; the rest from memory. Source: [TradeDefaults].
var doubts = [doubtCount]doubted{
	supplyDoubt:      {0.03, "pressure at the tap", "a gauge at the tap while a bucket fills", 3},
	filterDoubt:      {0.15, "what the filters hold back", "a gauge on each side of the filters while it runs", 3},
	elementFlowDoubt: {0.08, "how the element's flow strays from its sheet", "the permeate by bucket, with its temperature and the pressure", 5},
	saltPassageDoubt: {0.20, "how the element's salt passage strays from its sheet", "a pen in the permeate after ten minutes of running", 12},
	restrictorDoubt:  {0.06, "the restrictor's flow", "the drain line by bucket, with the pressure ahead of it", 4},
	resinDoubt:       {0.085, "how much of its capacity the resin gives", "the meter's volume from one change of a bottle to the next", 5},
	demandDoubt:      {0.12, "how busy the place gets", "a month of the bay timer's counts", 10},
	gunFlowDoubt:     {0.05, "the gun's flow", "the gun by bucket", 3},
	coldestDoubt:     {1, "how cold the feed gets", "a thermometer at the tap in the coldest week", 2},
}

// drawn is one look at a site: the base look sees every value as told, the
// others see it moved within its doubt.
type drawn struct {
	raw    *water.Completion // one of the waters that the readings allow; nil for the base look
	normal [doubtCount]float64
}

// draw moves every doubt at once, always in the same order, so that a seed
// gives the same look whatever hangs on the wall.
func draw(seed, look uint64, raw *water.Completion) drawn {
	rng := rand.New(rand.NewPCG(seed, look))
	d := drawn{raw: raw}
	for k := range d.normal {
		d.normal[k] = rng.NormFloat64()
	}
	return d
}

// factor is exp(sd·z), 1 in the base look.
func (d drawn) factor(k doubt) float64 { return math.Exp(doubts[k].sd * d.normal[k]) }

// kelvin is sd·z, nothing in the base look.
func (d drawn) kelvin(k doubt) quantity.Temperature {
	return quantity.Temperature(doubts[k].sd * d.normal[k])
}
