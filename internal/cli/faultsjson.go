package cli

import (
	"rinsewright/faults"
	"rinsewright/quantity"
	"rinsewright/study"
)

type faultsJSON struct {
	Schema   string          `json:"schema"`
	Site     study.Heading   `json:"site"`
	From     string          `json:"from,omitempty"`
	Baseline string          `json:"baseline,omitempty"`
	Used     int             `json:"readings_used"`
	Causes   []causeJSON     `json:"causes"`
	Alike    [][]int         `json:"cannot_be_parted,omitempty"`
	Both     []togetherJSON  `json:"both_at_once,omitempty"`
	Next     []testJSON      `json:"next_tests"`
	Call     callJSON        `json:"call"`
	Heard    []faults.Remark `json:"heard,omitempty"`
	Traps    []string        `json:"traps,omitempty"`
	Costs    []costJSON      `json:"repair_or_replace,omitempty"`
}

type causeJSON struct {
	Number      int           `json:"number"`
	Name        string        `json:"name"`
	Station     string        `json:"station"`
	Probability float64       `json:"probability"`
	Severity    float64       `json:"severity"`
	Form        string        `json:"form,omitempty"`
	Readings    []besideJSON  `json:"readings,omitempty"`
	Remedy      faults.Remedy `json:"remedy"`
}

type besideJSON struct {
	Gauge     string  `json:"gauge"`
	Number    int     `json:"number,omitempty"`
	Read      float64 `json:"read"`
	Predicted float64 `json:"predicted"`
	Sound     float64 `json:"sound"`
	Unit      string  `json:"unit"`
	Sigmas    float64 `json:"sigmas"`
	Speaks    string  `json:"speaks"`
}

type togetherJSON struct {
	One         int     `json:"one"`
	Two         int     `json:"two"`
	Probability float64 `json:"probability"`
}

type testJSON struct {
	Do       string        `json:"do"`
	Gauge    string        `json:"gauge,omitempty"`
	Number   int           `json:"number,omitempty"`
	Minutes  float64       `json:"minutes"`
	Kit      *costJSON     `json:"kit,omitempty"` // what it uses up
	Bits     float64       `json:"bits"`
	Unit     string        `json:"unit,omitempty"`
	Outcomes []outcomeJSON `json:"outcomes"`
}

type outcomeJSON struct {
	Reads  float64 `json:"reads"`
	Says   string  `json:"says,omitempty"`
	Causes []int   `json:"causes"`
	Share  float64 `json:"share"`
}

type callJSON struct {
	Ask   []testJSON `json:"ask"`
	Parts []string   `json:"parts"`
	Visit string     `json:"visit"`
}

func faultedJSON(f *study.Faulted) faultsJSON {
	out := faultsJSON{
		Schema: faultsSchema, Site: f.Site, From: f.From, Baseline: f.Baseline, Used: f.Finding.Used,
		Alike: f.Finding.Alike, Next: testsJSON(f, f.Finding.Next), Heard: f.Finding.Heard, Traps: f.Finding.Traps,
		Call: callJSON{testsJSON(f, f.Call.Ask), f.Call.Parts, f.Call.Visit},
	}
	for _, s := range f.Finding.Ranked {
		out.Causes = append(out.Causes, causeJSON{
			Number: s.Cause.Number, Name: s.Cause.Name, Station: s.Cause.Station,
			Probability: s.Probability, Severity: s.Severity, Form: s.Form, Readings: pointsJSON(s.Points), Remedy: s.Remedy,
		})
	}
	for _, p := range f.Finding.Both {
		out.Both = append(out.Both, togetherJSON(p))
	}
	for _, m := range f.Money {
		value, unit := m.Amount.Plain(quantity.SI)
		out.Costs = append(out.Costs, costJSON{m.Name, value, unit})
	}
	return out
}

func pointsJSON(points []faults.Point) (all []besideJSON) {
	for _, p := range points {
		read, unit := study.GaugePlain(p.Of, p.Read)
		predicted, _ := study.GaugePlain(p.Of, p.Predicted)
		sound, _ := study.GaugePlain(p.Of, p.Sound)
		all = append(all, besideJSON{string(p.Of), p.Number, read, predicted, sound, unit, p.Sigmas, string(p.Speaks)})
	}
	return all
}

func testsJSON(f *study.Faulted, tests []faults.Test) (all []testJSON) {
	for _, t := range tests {
		x := testJSON{Do: t.Do, Gauge: string(t.Of), Number: t.Number, Minutes: t.Minutes, Bits: t.Tells}
		if kit := f.Kit(t); kit != nil {
			value, unit := kit.Plain(quantity.SI)
			x.Kit = &costJSON{"kit", value, unit}
		}
		for _, o := range t.Outcomes {
			reads := 0.0
			if t.Of != "" {
				reads, x.Unit = study.GaugePlain(t.Of, o.Reads)
			}
			x.Outcomes = append(x.Outcomes, outcomeJSON{reads, o.Says, o.Causes, o.Share})
		}
		all = append(all, x)
	}
	return all
}
