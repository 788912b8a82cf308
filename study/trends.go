package study

import (
	"fmt"
	"time"

	"rinsewright/service"
	"rinsewright/site"
)

// Trend is one number of a site through its log, with its band, the readings
// that bear on it on the same scale, and what was changed.
type Trend struct {
	Name   string
	Says   string // what the scale means
	Points []TrendPoint
	Events []TrendEvent
}

// TrendEvent is work done on a part that a trend tells of.
type TrendEvent struct {
	On    time.Time
	Words string
}

// TrendPoint is one visit. The numbers are shares: of where the log began, or of
// what a part holds.
type TrendPoint struct {
	On                time.Time
	Low, Likely, High float64 // share
	Read              float64 // share, 0 where nothing was read
}

// Trends returns the trends of a site through its log, the past in the light of
// all of it. Errors as [Forecast].
func Trends(s *site.Site, o Options) ([]Trend, error) {
	f, err := Forecast(s, o, time.Time{})
	if err != nil {
		return nil, fmt.Errorf("trends: %w", err)
	}
	return f.Trends, nil
}

func trendsOf(w *service.Watch, events map[string][]TrendEvent) []Trend {
	story := w.Story()
	line := func(name, says string, of func(*service.State) (service.Band, float64)) Trend {
		t := Trend{Name: name, Says: says, Events: events[name]}
		for i := range story {
			b, read := of(&story[i])
			t.Points = append(t.Points, TrendPoint{story[i].Day.Date(), b.Low, b.Likely, b.High, read})
		}
		return t
	}
	var all []Trend
	if w.Has(service.Membrane) {
		all = append(all, membraneLines(line)...)
	}
	if w.Has(service.LeadResin) {
		all = append(all, line(resinTrend, "share of what the lead bottle holds", func(s *service.State) (service.Band, float64) { return s.LeadUsed, 0 }))
	}
	if w.Has(service.CarbonPart) {
		all = append(all, line(carbonTrend, "share of the chlorine it takes", func(s *service.State) (service.Band, float64) { return s.CarbonUsed, 0 }))
	}
	return all
}

// membraneLines are the trends of a membrane.
func membraneLines(line func(string, string, func(*service.State) (service.Band, float64)) Trend) []Trend {
	return []Trend{
		line(flowTrend, "share of where the log began, at one pressure and temperature", func(s *service.State) (service.Band, float64) { return s.AShare, s.AReads }),
		line(passageTrend, "share of where the log began", func(s *service.State) (service.Band, float64) { return s.BShare, s.BReads }),
		line(dropTrend, "share of a new channel's, at one flow", func(s *service.State) (service.Band, float64) { return s.DropShare, 0 }),
	}
}

// The names of trends.
const (
	flowTrend    = "Permeate flow, normalised"
	passageTrend = "Salt passage, normalised"
	dropTrend    = "Pressure drop along the membrane"
	resinTrend   = "Resin used"
	carbonTrend  = "Carbon used"
)

// eventsOf are the changes that each trend shows.
func eventsOf(s *site.Site, until time.Time) map[string][]TrendEvent {
	out := map[string][]TrendEvent{}
	for _, v := range s.Log {
		on, err := time.Parse(time.DateOnly, v.Date)
		if err != nil || on.After(until) {
			continue
		}
		for _, c := range v.Changed {
			for _, name := range trendsTouched[c] {
				out[name] = append(out[name], TrendEvent{on, string(c)})
			}
		}
	}
	return out
}

var membraneTrends = []string{flowTrend, passageTrend, dropTrend}

var trendsTouched = map[site.Change][]string{
	site.MembraneChanged: membraneTrends, site.OneMembrane: membraneTrends, site.AcidClean: membraneTrends, site.AlkalineClean: membraneTrends,
	site.Seals: {passageTrend}, site.LeadResin: {resinTrend}, site.BothResins: {resinTrend}, site.ResinRotated: {resinTrend}, site.CarbonChanged: {carbonTrend},
}
