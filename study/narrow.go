package study

import (
	"fmt"
	"math"

	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/service"
)

// Narrowing is a reading that would narrow a date, and the share of the doubt
// about it that it would be expected to take away.
type Narrowing struct {
	Read  string // "the totaliser, twice, two weeks apart"
	Share quantity.Ratio
}

// mostNarrowings is how many readings a person is asked for at once.
const mostNarrowings = 2

func narrowingsOf(d service.Due) (all []Narrowing) {
	for _, w := range d.Narrows[:min(len(d.Narrows), mostNarrowings)] {
		if words, ok := narrowWords[w.Of]; ok {
			all = append(all, Narrowing{words, w.Share})
		}
	}
	return all
}

// narrowWords say how to take the readings that narrow a date.
var narrowWords = map[plant.Gauge]string{
	"":                     "look up when it was last changed, and log it",
	plant.PermeateVolume:   "read the totaliser today and again in two weeks",
	plant.FeedStrength:     "read the strength of the feed",
	plant.PermeateStrength: "read the strength after the membrane, 20 minutes into a run",
	plant.PermeateFlow:     "read the permeate's flow with a bucket and a clock",
	plant.FeedPH:           "read the feed's pH",
	plant.FeedAlkalinity:   "read the feed's alkalinity with a drop kit",
	plant.FeedSilica:       "read the feed's silica with a colour kit",
	plant.LeadStrength:     "read the strength behind the lead bottle",
	plant.FeedChlorine:     "test total chlorine in the raw water",
	plant.MembraneChlorine: "test total chlorine ahead of the membrane",
	plant.TapPressure:      "read the pressure on both sides of the filter while it runs",
}

// NarrowWords is what would narrow a date, as one sentence without its end, empty
// where nothing but time will.
func NarrowWords(all []Narrowing) string {
	if len(all) == 0 {
		return ""
	}
	words := all[0].Read + " (takes about " + tens(all[0].Share) + " of the doubt)"
	if len(all) > 1 {
		words += ", " + all[1].Read + " (" + tens(all[1].Share) + ")"
	}
	return words
}

// tens is a share to the nearest tenth: it is no better known.
func tens(x quantity.Ratio) string {
	return fmt.Sprintf("%.0f %%", 10*math.Max(math.Round(10*float64(x)), 1))
}
