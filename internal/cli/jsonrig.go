package cli

import (
	"rinsewright/membrane"
	"rinsewright/quantity"
	"rinsewright/study"
)

type rigJSON struct {
	Nearest  *rigLimitJSON  `json:"nearest_limit,omitempty"`
	Limits   []rigLimitJSON `json:"limits"`
	Feed     numberJSON     `json:"membrane_feed"`
	Recycled numberJSON     `json:"recycled"`
	Season   []rigMonthJSON `json:"season"`
	Start    rigStartJSON   `json:"start"`
	Flush    *rigFlushJSON  `json:"flush,omitempty"`
	Controls []momentJSON   `json:"controls,omitempty"`
	Pump     *rigCurveJSON  `json:"pump_and_line,omitempty"`
}

type rigLimitJSON struct {
	Limit  string  `json:"limit"`
	Used   float64 `json:"used"`
	Says   string  `json:"says"`
	Hard   bool    `json:"hard"`
	Source string  `json:"source"`
}

type rigMonthJSON struct {
	Month       int          `json:"month"`
	Temperature numberJSON   `json:"temperature"`
	Free        rigPointJSON `json:"free"`
	Throttled   rigPointJSON `json:"throttled"`
}

type rigPointJSON struct {
	Flow     numberJSON `json:"flow"`
	Strength numberJSON `json:"strength"`
	Recovery numberJSON `json:"recovery"`
	Mineral  string     `json:"mineral,omitempty"`
	Index    float64    `json:"saturation_index"`
	Why      string     `json:"why,omitempty"`
}

type rigStartJSON struct {
	Standing numberJSON `json:"standing"`
	Diverted numberJSON `json:"diverted"`
	Worst    numberJSON `json:"worst_dissolved_solids"`
	SteadyIn numberJSON `json:"steady_in"`
	Steady   numberJSON `json:"steady_after"`
}

type rigFlushJSON struct {
	Flow      numberJSON `json:"flow"`
	Volume    numberJSON `json:"volume"`
	Exchanged float64    `json:"channel_volumes"`
	Speed     float64    `json:"over_service_flow"`
}

type momentJSON struct {
	When    string   `json:"when"`
	Does    string   `json:"does"`
	State   string   `json:"state"`
	Because []string `json:"because,omitempty"`
}

type rigCurveJSON struct {
	Guns     int          `json:"guns"`
	Flow     numberJSON   `json:"flow"`
	Pressure numberJSON   `json:"pressure"`
	Flows    []numberJSON `json:"flows"`
	Pump     []numberJSON `json:"pump"`
	Line     []numberJSON `json:"line"`
}

func rigsJSON(r *study.Rigged) *rigJSON {
	if r == nil {
		return nil
	}
	out := &rigJSON{
		Limits: []rigLimitJSON{}, Feed: plainOf(r.Point.Feed.Flow), Recycled: plainOf(r.Point.Recycled),
		Start: rigStartJSON{plainOf(r.Standing), plainOf(r.Start.Diverted), plainOf(r.Start.Worst), plainOf(r.Start.SteadyIn), plainOf(r.Start.Steady)},
	}
	for _, m := range r.Limits {
		out.Limits = append(out.Limits, rigLimitsJSON(m))
	}
	if m, ok := r.Nearest(); ok {
		nearest := rigLimitsJSON(m)
		out.Nearest = &nearest
	}
	for i, m := range r.Season.Months {
		out.Season = append(out.Season, rigMonthJSON{i + 1, plainOf(m.Temperature), rigPointsJSON(m.Free), rigPointsJSON(m.Held)})
	}
	if s := r.Sweep; s != nil {
		out.Flush = &rigFlushJSON{plainOf(s.Flow), plainOf(s.Volume), float64(s.Exchanged), float64(s.Speed)}
	}
	for _, m := range r.Moments {
		out.Controls = append(out.Controls, momentJSON{m.When, m.Does, string(m.State), m.Because})
	}
	if c := r.Curve; c != nil {
		out.Pump = &rigCurveJSON{c.Guns, plainOf(c.Point.TotalFlow), plainOf(c.Point.SupplyPressure), plains(c.Flows), plains(c.Pump), plains(c.Line)}
	}
	return out
}

func rigLimitsJSON(m membrane.Margin) rigLimitJSON {
	return rigLimitJSON{string(m.Limit), float64(m.Used), m.Says, m.Hard, m.Source}
}

func rigPointsJSON(p study.SeasonPoint) rigPointJSON {
	return rigPointJSON{plainOf(p.Flow), plainOf(p.Strength), plainOf(p.Recovery), p.First, p.Index, p.Why}
}

func plains[Q quantity.Quantity](all []Q) (out []numberJSON) {
	for _, q := range all {
		out = append(out, plainOf(q))
	}
	return out
}
