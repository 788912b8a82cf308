package cli

import (
	"rinsewright/commissioning"
	"rinsewright/internal/sitefile"
	"rinsewright/quantity"
	"rinsewright/study"
	"rinsewright/working"
)

type proveJSON struct {
	Schema    string             `json:"schema"`
	Site      study.Heading      `json:"site"`
	Estimated bool               `json:"estimated"`
	Date      string             `json:"date,omitempty"`
	By        string             `json:"by,omitempty"`
	Signed    string             `json:"signed,omitempty"`
	Corrects  string             `json:"corrects,omitempty"`
	Seal      string             `json:"seal,omitempty"`
	Changed   bool               `json:"changed_after_seal"`
	Verdict   string             `json:"verdict"`
	Rule      string             `json:"rule"`
	Balances  []balanceJSON      `json:"balances"`
	Promises  []proofJSON        `json:"promises"`
	Repeats   []string           `json:"repeats_that_disagree"`
	Later     []laterJSON        `json:"only_time_will_tell"`
	Missing   []string           `json:"not_read"`
	Parts     []stateJSON        `json:"parts,omitempty"`
	Gauges    []gaugeJSON        `json:"gauges,omitempty"`
	Steps     []stepJSON         `json:"steps,omitempty"`
	Assumed   []study.Assumption `json:"assumed"`
	Cautions  []study.Caution    `json:"cautions"`
	Working   []working.Step     `json:"working"`
	Errors    []sitefile.Problem `json:"errors"`
}

type balanceJSON struct {
	Name     string        `json:"name"`
	Off      float64       `json:"off"`
	Doubt    float64       `json:"doubt"`
	Sigmas   float64       `json:"sigmas"`
	Closes   bool          `json:"closes"`
	Suspects []suspectJSON `json:"suspects"`
}

type suspectJSON struct {
	Gauge      string  `json:"gauge"`
	Instrument string  `json:"instrument,omitempty"`
	Factor     float64 `json:"factor"`
	Sigmas     float64 `json:"sigmas"`
}

type proofJSON struct {
	Name     string      `json:"name"`
	Number   int         `json:"number,omitempty"`
	Says     string      `json:"says"`
	Low      *numberJSON `json:"low,omitempty"`
	High     *numberJSON `json:"high,omitempty"`
	Expected numberJSON  `json:"expected"`
	Read     *numberJSON `json:"read,omitempty"`
	Doubt    *numberJSON `json:"doubt,omitempty"`
	By       string      `json:"by,omitempty"`
	Chance   float64     `json:"probability_kept"`
	Verdict  string      `json:"verdict"`
	Why      string      `json:"why,omitempty"`
	Better   []string    `json:"would_decide,omitempty"`
	Working  string      `json:"working,omitempty"`
}

type laterJSON struct {
	Name string `json:"name"`
	By   string `json:"shown_by"`
}

type stateJSON struct {
	Name string  `json:"name"`
	Now  float64 `json:"over_plate"`
	Low  float64 `json:"low"`
	High float64 `json:"high"`
	Told bool    `json:"told_by_readings"`
}

type gaugeJSON struct {
	Gauge   string      `json:"gauge"`
	New     numberJSON  `json:"as_plates"`
	NewLow  numberJSON  `json:"as_plates_low"`
	NewHigh numberJSON  `json:"as_plates_high"`
	Now     numberJSON  `json:"now"`
	NowLow  numberJSON  `json:"now_low"`
	NowHigh numberJSON  `json:"now_high"`
	Read    *numberJSON `json:"read,omitempty"`
}

type stepJSON struct {
	Name     string      `json:"name"`
	Title    string      `json:"title"`
	Cautions []string    `json:"cautions"`
	Do       []string    `json:"do"`
	Until    []untilJSON `json:"until"`
	Read     []askedJSON `json:"read"`
}

type untilJSON struct {
	Kind  string      `json:"kind"`
	Gauge string      `json:"gauge,omitempty"`
	Limit *numberJSON `json:"limit,omitempty"`
	Least numberJSON  `json:"least"`
	Says  string      `json:"says"`
}

type askedJSON struct {
	Gauge  string      `json:"gauge"`
	Twice  bool        `json:"twice,omitempty"`
	Should *numberJSON `json:"should,omitempty"`
}

func newProveJSON(site study.Heading) proveJSON {
	return proveJSON{
		Schema: proveSchema, Site: site, Rule: study.Rule, Balances: []balanceJSON{}, Promises: []proofJSON{}, Repeats: []string{}, Later: []laterJSON{}, Missing: []string{},
		Assumed: []study.Assumption{}, Cautions: []study.Caution{}, Working: []working.Step{}, Errors: []sitefile.Problem{},
	}
}

func maybe(f study.Figure) *numberJSON {
	if f == nil {
		return nil
	}
	n := plain(f)
	return &n
}

func provedJSON(p *study.Proved) proveJSON {
	out := newProveJSON(p.Site)
	r := p.Record
	out.Date, out.By, out.Signed, out.Corrects, out.Seal, out.Changed = r.Date, r.By, r.Signed, r.Corrects, r.Seal, p.Changed
	out.Verdict = string(p.Verdict)
	for _, b := range p.Balances {
		one := balanceJSON{b.Name, float64(b.Off), float64(b.Doubt), b.Sigmas, b.Closes, []suspectJSON{}}
		for _, s := range b.Suspects {
			one.Suspects = append(one.Suspects, suspectJSON{s.Key, s.By, s.Factor, s.Sigmas})
		}
		out.Balances = append(out.Balances, one)
	}
	for _, x := range p.Proofs {
		out.Promises = append(out.Promises, proofJSON{
			x.Name, x.Number, x.Says, maybe(x.Low), maybe(x.High), plain(x.Expected), maybe(x.Read), maybe(x.Doubt), x.By, x.Chance, string(x.Verdict), x.Why, x.Better, x.Working,
		})
	}
	out.Repeats = append(out.Repeats, p.Repeats...)
	for _, l := range p.Later {
		out.Later = append(out.Later, laterJSON{l.Name, l.By})
	}
	out.Missing = append(out.Missing, p.Missing...)
	out.Assumed = append(out.Assumed, p.Assumed...)
	out.Cautions = append(out.Cautions, p.Cautions...)
	out.Working = append(out.Working, p.Working...)
	return out
}

func estimatedJSON(e *study.Estimated) proveJSON {
	out := newProveJSON(e.Site)
	out.Estimated, out.Date, out.Verdict = true, e.Date, string(commissioning.CannotTell)
	for _, p := range e.Parts {
		out.Parts = append(out.Parts, stateJSON{p.Name, float64(p.Now), float64(p.Low), float64(p.High), p.Told})
	}
	for _, g := range e.Gauges {
		out.Gauges = append(out.Gauges, gaugeJSON{g.Key, plain(g.New.Value), plain(g.New.Low), plain(g.New.High), plain(g.Now.Value), plain(g.Now.Low), plain(g.Now.High), maybe(g.Read)})
	}
	out.Assumed = append(out.Assumed, e.Assumed...)
	return out
}

func startSheetJSON(s study.Sheet) proveJSON {
	out := newProveJSON(s.Site)
	out.Assumed = append(out.Assumed, s.Assumed...)
	for _, step := range s.Steps {
		one := stepJSON{step.Name, step.Title, append([]string{}, step.Cautions...), step.Do, []untilJSON{}, []askedJSON{}}
		for _, stop := range step.Stop {
			u := untilJSON{Kind: string(stop.Kind), Gauge: string(stop.Of), Least: plainOf(stop.Least), Says: stop.Says}
			if stop.Kind == commissioning.Below {
				x, unit := quantity.PlainKind(stop.Of.Kind(), stop.Limit, quantity.SI)
				u.Limit = &numberJSON{x, unit}
			}
			one.Until = append(one.Until, u)
		}
		for _, a := range step.Read {
			one.Read = append(one.Read, askedJSON{a.Key(), a.Twice, maybe(s.Should[a.Key()])})
		}
		out.Steps = append(out.Steps, one)
	}
	return out
}
