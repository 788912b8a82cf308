package study

import (
	"time"

	"rinsewright/membrane"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/service"
	"rinsewright/site"
)

// GaugeTrend is what one gauge should have read on the days of a log, by the
// wear that the tracker finds, on each day's own water. Band and readings so
// share one model.
type GaugeTrend struct {
	Of     plant.Gauge
	Points []GaugePoint
}

// GaugePoint is one day: numbers in the gauge's SI unit, 5 to 95 %. The doubt of
// the meter that read it comes on top.
type GaugePoint struct {
	On                time.Time
	Low, Likely, High float64 // numbers in the gauge's SI unit
}

// mostGaugeDays is how many days, the latest, are worked out: each is the whole
// chain some times over.
const mostGaugeDays = 80

// GaugeTrends returns the trends of the membrane's gauges through a site's log,
// the past in the light of all of it; none for a site without a membrane. Days on
// which the model has no answer are left out. Errors as [Forecast].
func GaugeTrends(s *site.Site, o Options) ([]GaugeTrend, error) {
	if s.Rig.Membrane == nil {
		return nil, nil
	}
	w, _, err := follow(s, &notes{units: o.Units, locale: o.Locale}, time.Time{})
	if err != nil {
		return nil, err
	}
	read := map[service.Day][]site.Reading{}
	for _, v := range s.Log {
		if on, err := time.Parse(time.DateOnly, v.Date); err == nil {
			read[service.DayOf(on)] = append(read[service.DayOf(on)], v.Read...)
		}
	}
	story := w.Story()
	story = story[max(0, len(story)-mostGaugeDays):]
	all := []GaugeTrend{{Of: plant.PermeateFlow}, {Of: plant.PermeateStrength}}
	for i, state := range story {
		if i > 0 && story[i-1].Day == state.Day { // changed on that day: the state before it is what was read
			continue
		}
		flow, strength, ok := gaugesOn(s, &state, DayOf(read[state.Day]))
		if !ok {
			continue
		}
		all[0].Points = append(all[0].Points, flow)
		all[1].Points = append(all[1].Points, strength)
	}
	return all, nil
}

// gaugesOn is what the membrane's gauges should read in a state: flow with the
// band of the water's way through, strength with that of the salt's.
func gaugesOn(s *site.Site, state *service.State, day Under) (flow, strength GaugePoint, ok bool) {
	at := func(a, b float64) (q, k float64, known bool) {
		wear := plant.Unworn()
		wear.Membrane = membrane.New()
		wear.Membrane.WaterPermeability, wear.Membrane.SaltPermeability, wear.Membrane.Drop = a, b, state.DropShare.Likely
		under := day
		under.Wear = &wear
		e, err := Expect(s, under)
		if err != nil {
			return 0, 0, false
		}
		r1, ok1 := e.Reading(plant.PermeateFlow, 0, quantity.Hours(1))
		r2, ok2 := e.Reading(plant.PermeateStrength, 0, quantity.Hours(1))
		return r1.SI, r2.SI, ok1 && ok2
	}
	q, k, ok0 := at(state.A.Likely, state.B.Likely)
	qLow, _, ok1 := at(state.A.Low, state.B.Likely)
	qHigh, _, ok2 := at(state.A.High, state.B.Likely)
	_, kLow, ok3 := at(state.A.Likely, state.B.Low)
	_, kHigh, ok4 := at(state.A.Likely, state.B.High)
	on := state.Day.Date()
	return GaugePoint{on, qLow, q, qHigh}, GaugePoint{on, kLow, k, kHigh}, ok0 && ok1 && ok2 && ok3 && ok4
}
