package study

import (
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
)

// Known is what the site's own past and the model say of readings that are about
// to be logged: [site.Ask] holds them against it. Where the model has no answer
// only the past is known.
func Known(s *site.Site, v site.Visit) site.Known {
	k := site.Known{Date: v.Date, Last: s.LastRead(v.Date), Expected: map[string]float64{}}
	e, err := Expect(s, DayOf(v.Read))
	if err != nil {
		return k
	}
	running := quantity.Hours(1)
	for _, r := range v.Read {
		if r.Of == plant.PermeateStrength && r.Timed {
			running = r.Running
		}
	}
	for _, r := range e.Readings(running) {
		k.Expected[r.Key()] = r.SI
	}
	// Of the water itself a survey's reading is no expectation, only a past.
	for _, g := range []plant.Gauge{plant.FeedTemperature, plant.FeedStrength, plant.FeedHardness, plant.FeedPH, plant.FeedSilica, plant.FeedIron, plant.FeedChlorine, plant.FeedFreeChlorine} {
		delete(k.Expected, string(g))
	}
	k.MostADay = e.look.today.Product().Flow.Over(quantity.Days(1))
	return k
}

// Questions returns what looks odd about a visit before it is logged, its
// numbers as o says that they are read and written.
func Questions(s *site.Site, v site.Visit, o Options) []site.Question {
	k := Known(s, v)
	k.Units, k.Locale = o.Units, o.Locale
	return site.Ask(v.Read, k)
}
