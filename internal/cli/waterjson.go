package cli

import (
	"rinsewright/internal/sitefile"
	"rinsewright/quantity"
	"rinsewright/study"
	"rinsewright/working"
)

type sheetRowJSON struct {
	Name  string         `json:"name"`
	Value float64        `json:"value"`
	Low   float64        `json:"low"`
	High  float64        `json:"high"`
	Unit  string         `json:"unit"`
	From  working.Origin `json:"from"`
}

type scalingJSON struct {
	Recovery float64 `json:"recovery"`
	Mineral  string  `json:"mineral"`
	Index    float64 `json:"saturation_index"`
	Low      float64 `json:"low"`
	High     float64 `json:"high"`
	Verdict  string  `json:"verdict"`
}

type heldJSON struct {
	Surely float64 `json:"surely"`
	Likely float64 `json:"likely"`
}

type troubleJSON struct {
	Of      string     `json:"of"`
	Read    numberJSON `json:"read"`
	Limit   numberJSON `json:"limit"`
	Over    bool       `json:"over"`
	Harms   string     `json:"harms"`
	Do      string     `json:"do"`
	Caution string     `json:"caution,omitempty"`
}

type indexJSON struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"`
}

type nextJSON struct {
	Name    string  `json:"name"`
	Minutes float64 `json:"minutes"`
	Price   float64 `json:"price_minutes"`
	Narrows float64 `json:"narrows"`
	Most    string  `json:"most"`
	Why     string  `json:"why"`
}

type waterJSON struct {
	Schema         string             `json:"schema"`
	Site           study.Heading      `json:"site"`
	Place          string             `json:"place"`
	Date           string             `json:"date,omitempty"`
	Full           bool               `json:"full_analysis"`
	Imbalance      float64            `json:"charge_balance"`
	Water          []sheetRowJSON     `json:"water"`
	Scaling        []scalingJSON      `json:"scaling"`
	Holds          heldJSON           `json:"recovery_without_scale"`
	Unjudged       []string           `json:"unjudged"`
	Indices        []indexJSON        `json:"indices"`
	Resin          []shareJSON        `json:"resin_load"`
	ResinBehind    []shareJSON        `json:"resin_load_behind_membrane"`
	Disinfectant   []string           `json:"disinfectant"`
	Troubles       []troubleJSON      `json:"troubles"`
	NotLooked      []string           `json:"not_looked_for"`
	Permeate       []string           `json:"permeate"`
	Contradictions []string           `json:"contradictions"`
	Next           []nextJSON         `json:"next"`
	Assumed        []study.Assumption `json:"assumed"`
	Working        []working.Step     `json:"working"`
	Errors         []sitefile.Problem `json:"errors"`
}

func sheetJSON(w *study.WaterSheet) waterJSON {
	listed := func(all []string) []string { return append([]string{}, all...) }
	out := waterJSON{
		Schema: "rinsewright.water/1", Site: w.Site, Place: w.Place, Date: w.Date, Full: w.Full, Imbalance: float64(w.Imbalance),
		Assumed: w.Assumed, Working: w.Working, Errors: []sitefile.Problem{}, Holds: heldJSON{float64(w.Holds.Surely), float64(w.Holds.Likely)},
		Contradictions: listed(w.Contradictions), Unjudged: listed(w.Unjudged), Disinfectant: listed(w.Disinfectant), NotLooked: listed(w.NotLooked),
		Permeate: listed(w.Permeate), Next: []nextJSON{}, Troubles: []troubleJSON{}, Indices: []indexJSON{},
		Resin: sharesJSON(w.Eats), ResinBehind: sharesJSON(w.Behind),
	}
	for _, r := range w.Rows {
		value, low, high := plain(r.Band.Value), plain(r.Band.Low), plain(r.Band.High)
		out.Water = append(out.Water, sheetRowJSON{r.Name, value.Value, low.Value, high.Value, value.Unit, r.From})
	}
	for _, s := range w.Scaling {
		out.Scaling = append(out.Scaling, scalingJSON{float64(s.Recovery), s.First, s.Index, s.Low, s.High, s.Verdict})
	}
	for _, r := range w.Indices {
		out.Indices = append(out.Indices, indexJSON{r.Name, r.Value})
	}
	for _, x := range w.Troubles {
		out.Troubles = append(out.Troubles, troubleJSON{x.Of, plainOf[quantity.MassConc](x.Read), plainOf(x.Limit), x.Over, x.Harms, x.Do, x.Caution})
	}
	for _, n := range w.Next {
		out.Next = append(out.Next, nextJSON{n.Name, n.Minutes, n.Price, float64(n.Narrows), n.Most, n.Why})
	}
	return out
}

func sharesJSON(all []study.Share) []shareJSON {
	out := []shareJSON{}
	for _, s := range all {
		out = append(out, shareJSON{s.Name, float64(s.Share)})
	}
	return out
}
