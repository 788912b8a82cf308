package membrane

import (
	"fmt"

	"rinsewright/quantity"
)

// FeedQuality is what a membrane's feed is like, for how hard it may be driven.
type FeedQuality uint8

// The feeds that design flux is commonly told for.
const (
	SurfaceFeed   FeedQuality = iota // city or surface water, silt density 3 to 5
	WellFeed                         // well or softened city water, silt density below 3
	PermeateFeed                     // permeate of a first pass
	ReclaimedFeed                    // reclaimed water
)

// gfd is one US gallon per square foot and day.
const gfd = 1.69767 // L/(m2·h)

// designFlux is the upper end of common design flux by feed. Source: [Practice],
// from memory: 25, 18, 14 and 12 gfd.
var designFlux = map[FeedQuality]float64{
	PermeateFeed:  25 * gfd,
	WellFeed:      18 * gfd,
	SurfaceFeed:   14 * gfd,
	ReclaimedFeed: 12 * gfd,
}

// DesignFlux returns the highest mean flux commonly designed for on a feed.
//
// Source: [Practice], from memory: permeate 25, well 18, surface 14, reclaimed
// 12 gfd. A guide against fouling, no law. The error wraps [ErrRange] for an
// unknown feed.
func DesignFlux(q FeedQuality) (quantity.Flux, error) {
	lmh, ok := designFlux[q]
	if !ok {
		return 0, fmt.Errorf("membrane: design flux of feed %d: %w", q, ErrRange)
	}
	return quantity.LitresPerSquareMetreHour(lmh), nil
}

// Limit names what a margin is against.
type Limit string

// The limits.
const (
	LimitFlux         Limit = "flux"
	LimitRecovery     Limit = "element recovery"
	LimitPolarisation Limit = "polarisation"
	LimitDrop         Limit = "element pressure drop"
	LimitFeedFlow     Limit = "element feed flow"
	LimitConcentrate  Limit = "least concentrate flow"
	LimitPressure     Limit = "feed pressure"
	LimitTemperature  Limit = "temperature"
	LimitLowPH        Limit = "pH, low side"
	LimitHighPH       Limit = "pH, high side"
)

// designPolarisation is the highest c_m/c_b commonly designed for. Source: [Practice].
const designPolarisation = 1.2

// Margin is how much of one limit a running train uses. Above 1 it is broken.
type Margin struct {
	Limit   Limit
	Element int            // 0 is the feed end's; -1 the train
	Used    quantity.Ratio // of the limit
	Says    string         // value and limit, with units
	Hard    bool           // the maker's limit on the element, not design guidance
	Source  string         // of the limit
}

// Where limits come from.
const (
	sourceSheet    = "the element's data sheet, or what is usual of spiral elements where it does not say"
	sourcePractice = "common practice, no source"
)

// leastConcentrate is the concentrate flow below which a channel is no longer
// swept, per m2 of membrane. Source: [Practice], from memory: 3 gpm for an
// element of 7.9 m2, 1 gpm for one of 2.6 m2.
const leastConcentrate = 0.19e-3 / 7.9 // m/s

// Margins returns what the running train uses of each limit, the worst element
// for each. Maker's limits come from the sheet, or were assumed there; flux and
// polarisation are design guidance ([Practice]). The error wraps [ErrRange]
// for an unknown feed.
func (r Result) Margins(q FeedQuality) ([]Margin, error) {
	flux, err := DesignFlux(q)
	if err != nil {
		return nil, err
	}
	worst := map[Limit]Margin{}
	keep := func(m Margin) {
		if was, ok := worst[m.Limit]; !ok || m.Used > was.Used {
			worst[m.Limit] = m
		}
	}
	for i := range r.Elements {
		r.Elements[i].margins(i, flux, r.FeedPH, keep)
	}
	var all []Margin
	for _, l := range []Limit{LimitFlux, LimitRecovery, LimitPolarisation, LimitDrop, LimitFeedFlow, LimitConcentrate, LimitPressure, LimitTemperature, LimitLowPH, LimitHighPH} {
		if m, ok := worst[l]; ok {
			all = append(all, m)
		}
	}
	return all, nil
}

func (e *ElementResult) margins(i int, flux quantity.Flux, pH float64, keep func(Margin)) {
	add := func(l Limit, hard bool, used float64, says string, args ...any) {
		source := sourcePractice
		if hard {
			source = sourceSheet
		}
		keep(Margin{Limit: l, Element: i, Used: quantity.Ratio(used), Hard: hard, Says: fmt.Sprintf(says, args...), Source: source})
	}
	l := &e.Limits
	add(LimitFlux, false, float64(e.Flux)/float64(flux), "%.1f of %.1f L/(m²·h)",
		e.Flux.LitresPerSquareMetreHour(), flux.LitresPerSquareMetreHour())
	add(LimitRecovery, false, float64(e.Recovery)/float64(l.Recovery), "%.0f of %.0f %%",
		100*float64(e.Recovery), 100*float64(l.Recovery))
	add(LimitPolarisation, false, (e.Polarisation-1)/(designPolarisation-1), "%.2f of %.2f",
		e.Polarisation, designPolarisation)
	add(LimitDrop, true, float64(e.Drop)/float64(l.Drop), "%.2f of %.2f bar", e.Drop.Bar(), l.Drop.Bar())
	add(LimitFeedFlow, true, float64(e.Feed.Flow)/float64(l.FeedFlow), "%.1f of %.1f L/min",
		e.Feed.Flow.LitresPerMinute(), l.FeedFlow.LitresPerMinute())
	if e.Flux > 0 {
		area := float64(e.Permeate.Flow-e.Leak) / float64(e.Flux) // m2
		least := quantity.Flow(leastConcentrate * area)
		add(LimitConcentrate, false, float64(least)/float64(e.Concentrate.Flow), "%.1f, at least %.1f L/min",
			e.Concentrate.Flow.LitresPerMinute(), least.LitresPerMinute())
	}
	add(LimitPressure, true, float64(e.Feed.Pressure)/float64(l.Pressure), "%.1f of %.1f bar",
		e.Feed.Pressure.Bar(), l.Pressure.Bar())
	t := e.Feed.Water.Temperature.Celsius()
	add(LimitTemperature, true, t/l.Temperature.Celsius(), "%.0f of %.0f °C", t, l.Temperature.Celsius())
	if pH > 0 {
		add(LimitLowPH, true, l.MinPH/pH, "pH %.1f, lowest %.1f", pH, l.MinPH)
	}
	if l.MaxPH > 0 {
		add(LimitHighPH, true, pH/l.MaxPH, "pH %.1f, highest %.1f", pH, l.MaxPH)
	}
}
