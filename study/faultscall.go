package study

import (
	"slices"

	"rinsewright/faults"
	"rinsewright/plant"
	"rinsewright/quantity"
)

// Call is what to answer on the phone before anybody drives.
type Call struct {
	Ask   []faults.Test // that an owner can read himself, best first
	Parts []string      // to load, for the causes that may well be
	Visit string        // whether somebody has to come
}

// ownerCan are the gauges that an owner reads with a pen, a bucket, a watch or
// his eyes. Source: common practice.
var ownerCan = []plant.Gauge{
	plant.FeedStrength, plant.PermeateStrength, plant.PermeateFirst, plant.PolishStrength, plant.TankStrength, plant.GunStrength, plant.GunFirst, plant.DripStrength,
	plant.FeedTemperature, plant.PermeateFlow, plant.ConcentrateFlow, plant.ConcentrateFlowFull, plant.FeedPressure, plant.ConcentratePressure,
	plant.GunFlow, plant.GunFlowAll, plant.StartsPerHour, plant.HoursPerDay,
}

// ownerChecks are causes whose own check takes no tool: to count, to smell, to rinse for
// longer.
var ownerChecks = []int{31, 43, outgrown}

const (
	outgrown     = 49
	askedOfOwner = 5
	worthLoading = 0.08 // probability from which a cause's parts go in the van
	mostParts    = 8
)

// phoneFixes are causes that an owner can often mend by being told how.
var phoneFixes = []int{8, 10, 16, 19, 27, 29, 30, 31, 48}

// ownersOf are the tests that an owner can do, best first. Where demand has likeliest
// outgrown the rig, what was washed is counted first, and no strength is read: a rig that
// is too small makes good water.
func ownersOf(f *faults.Finding) (all []faults.Test) {
	tooSmall := f.Ranked[0].Cause.Number == outgrown
	for _, t := range f.Next {
		switch {
		case tooSmall && t.Cause == outgrown:
			all = slices.Insert(all, 0, t)
		case tooSmall && t.Of.Kind() == quantity.KindConductivity:
		case slices.Contains(ownerChecks, t.Cause), t.Of != "" && slices.Contains(ownerCan, t.Of):
			all = append(all, t)
		}
	}
	return all
}

func callOf(f *faults.Finding) Call {
	var c Call
	for _, t := range ownersOf(f) {
		if len(c.Ask) < askedOfOwner {
			c.Ask = append(c.Ask, t)
		}
	}
	byPhone := 0.0
	for _, s := range f.Ranked {
		if slices.Contains(phoneFixes, s.Cause.Number) {
			byPhone += s.Probability
		}
		if s.Probability < worthLoading {
			continue
		}
		for _, part := range s.Remedy.Parts {
			if !slices.Contains(c.Parts, part) && len(c.Parts) < mostParts {
				c.Parts = append(c.Parts, part)
			}
		}
	}
	for _, s := range f.Ranked[:min(4, len(f.Ranked))] { // nothing likely needs a part: those of the likeliest that do
		if len(c.Parts) < 2 {
			c.Parts = append(c.Parts, s.Remedy.Parts...)
		}
	}
	switch {
	case byPhone > 0.6:
		c.Visit = "perhaps not: what is likeliest is often mended on the phone; ask for the readings first"
	case f.Ranked[0].Probability > 0.5:
		c.Visit = "yes, with these parts; the readings tell whether they are the right ones"
	default:
		c.Visit = "ask for the readings first: too much is still open to load the right parts"
	}
	return c
}
