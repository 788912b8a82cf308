package cli

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"rinsewright/internal/sitefile"
	"rinsewright/quantity"
	"rinsewright/study"
	"rinsewright/working"
)

// The types below are the contract's JSON: SI values whatever units a person
// prints in, the unit in each object.

type numberJSON struct {
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
}

type factJSON struct {
	Label   string  `json:"label,omitempty"`
	Value   float64 `json:"value"`
	Unit    string  `json:"unit"`
	Read    bool    `json:"read"`
	Working string  `json:"working,omitempty"`
}

type stationJSON struct {
	Station  string     `json:"station"`
	Name     string     `json:"name"`
	Strength numberJSON `json:"strength"`
	Entering numberJSON `json:"entering"`
	Facts    []factJSON `json:"facts"`
	State    string     `json:"state"`
	Word     string     `json:"word,omitempty"`
}

type promiseJSON struct {
	Name    string      `json:"name"`
	Value   float64     `json:"value"`
	Low     float64     `json:"low"`
	High    float64     `json:"high"`
	Unit    string      `json:"unit"`
	Working string      `json:"working,omitempty"`
	Read    *numberJSON `json:"read,omitempty"`
	Doubts  []doubtJSON `json:"doubts,omitempty"`
}

type doubtJSON struct {
	Name    string     `json:"name"`
	Share   float64    `json:"share"`
	Reading string     `json:"reading"`
	Time    numberJSON `json:"time"`
	Narrows float64    `json:"narrows"`
}

type shareJSON struct {
	Name  string  `json:"name"`
	Share float64 `json:"share"`
}

type changeJSON struct {
	Name  string     `json:"name"`
	Days  numberJSON `json:"days"`
	Times float64    `json:"times"`
	Note  string     `json:"note"`
}

type resinJSON struct {
	Days      numberJSON   `json:"days"`
	LabelDays numberJSON   `json:"label_days"`
	Ends      string       `json:"ends"`
	Eats      []shareJSON  `json:"eats"`
	Changes   []changeJSON `json:"changes"`
}

type costJSON struct {
	Name     string  `json:"name"`
	Amount   float64 `json:"amount"`
	Currency string  `json:"currency"`
}

type drainJSON struct {
	PerDay   numberJSON `json:"per_day"`
	Recovery numberJSON `json:"recovery"`
	Strength numberJSON `json:"strength"`
	Mineral  string     `json:"mineral"`
	Index    float64    `json:"saturation_index"`
}

type checkJSON struct {
	Schema   string             `json:"schema"`
	Site     study.Heading      `json:"site"`
	Path     []stationJSON      `json:"path"`
	Drain    drainJSON          `json:"drain"`
	Promises []promiseJSON      `json:"promises"`
	Findings []study.Finding    `json:"findings"`
	Rig      *rigJSON           `json:"rig,omitempty"`
	Resin    *resinJSON         `json:"resin,omitempty"`
	Costs    []costJSON         `json:"costs"`
	Assumed  []study.Assumption `json:"assumed"`
	Cautions []study.Caution    `json:"cautions"`
	Working  []working.Step     `json:"working"`
	Errors   []sitefile.Problem `json:"errors"`
}

func plain(f study.Figure) numberJSON {
	value, unit := f.Plain(quantity.SI)
	return numberJSON{value, unit}
}

// mayPlain is a figure that may be missing.
func mayPlain(f study.Figure) *numberJSON {
	if f == nil {
		return nil
	}
	n := plain(f)
	return &n
}

func plainOf[Q quantity.Quantity](q Q) numberJSON {
	value, unit := quantity.Plain(q, quantity.SI)
	return numberJSON{value, unit}
}

func checkedJSON(c *study.Checked) checkJSON {
	out := checkJSON{
		Schema: "rinsewright.check/1", Site: c.Site, Findings: c.Findings, Assumed: c.Assumed, Cautions: c.Cautions,
		Working: c.Working, Errors: []sitefile.Problem{},
		Drain: drainJSON{plainOf(c.Drain.PerDay), plainOf(c.Drain.Recovery), plainOf(c.Drain.Strength), c.Drain.First, c.Drain.Index},
	}
	for _, s := range c.Path {
		out.Path = append(out.Path, stationsJSON(s))
	}
	for _, p := range c.Promises {
		out.Promises = append(out.Promises, promisesJSON(p))
	}
	for _, line := range c.Costs {
		value, currency := line.Amount.Plain(quantity.SI)
		out.Costs = append(out.Costs, costJSON{line.Name, value, currency})
	}
	out.Rig = rigsJSON(c.Rig)
	out.Resin = resinsJSON(c.Resin)
	return out
}

func stationsJSON(s study.Station) stationJSON {
	out := stationJSON{Station: s.Kind, Name: s.Name, Strength: plainOf(s.Strength), Entering: plainOf(s.Entering), State: string(s.State), Word: s.Word, Facts: []factJSON{}}
	for _, f := range append(append([]study.Fact{}, s.Above...), s.Below...) {
		n := plain(f.Figure)
		out.Facts = append(out.Facts, factJSON{f.Label, n.Value, n.Unit, f.Read, f.Working})
	}
	return out
}

func promisesJSON(p study.Promise) promiseJSON {
	value, low, high := plain(p.Band.Value), plain(p.Band.Low), plain(p.Band.High)
	out := promiseJSON{Name: p.Name, Value: value.Value, Low: low.Value, High: high.Value, Unit: value.Unit, Working: p.Working}
	if p.Read != nil {
		read := plain(p.Read)
		out.Read = &read
	}
	for _, d := range p.Doubts {
		out.Doubts = append(out.Doubts, doubtJSON{d.Says, float64(d.Share), d.Reading, plainOf(d.Minutes), float64(d.Narrows)})
	}
	return out
}

func resinsJSON(r *study.Resin) *resinJSON {
	if r == nil {
		return nil
	}
	out := &resinJSON{Days: plain(r.Days.Value), LabelDays: plain(r.LabelDays), Ends: r.Ends, Eats: []shareJSON{}, Changes: []changeJSON{}}
	for _, s := range r.Eats {
		out.Eats = append(out.Eats, shareJSON{s.Name, float64(s.Share)})
	}
	for _, c := range r.Changes {
		out.Changes = append(out.Changes, changeJSON{c.Name, plain(c.Days), c.Times, c.Note})
	}
	return out
}

// refusal is the object that --json prints when there is no answer.
type refusal struct {
	Schema string             `json:"schema"`
	Errors []sitefile.Problem `json:"errors"`
}

func refusalJSON(schema string, err error) refusal {
	var problems sitefile.Problems
	if errors.As(err, &problems) {
		return refusal{schema, problems}
	}
	var s *said
	if errors.As(err, &s) {
		if errors.As(s.cause, &problems) {
			return refusal{schema, problems}
		}
		return refusal{schema, []sitefile.Problem{{Read: s.text, Wanted: s.hint}}}
	}
	return refusal{schema, []sitefile.Problem{{Read: err.Error()}}}
}

func printJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	if err := e.Encode(v); err != nil {
		return fmt.Errorf("print JSON: %w", err)
	}
	return nil
}
