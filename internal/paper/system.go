package paper

import (
	"fmt"
	"strings"

	"rinsewright/internal/paper/layout"
	"rinsewright/site"
	"rinsewright/study"
	"rinsewright/working"
)

// system is what a paper is about: what hangs on the wall, or the option that
// was taken and will hang there.
type system struct {
	name     string
	site     *site.Site
	path     []study.Station
	drain    study.Drain
	promises []study.Promise
	findings []study.Finding
	cautions []study.Caution
	working  []working.Step
	assumed  []study.Assumption
	checked  *study.Checked // nil for an option
}

// system is the option named by the job, or else what hangs there, or else the
// first option.
func (p *setting) system() (system, error) {
	if c := p.Hangs; c != nil && p.job.Option == "" {
		return system{p.say("as it hangs"), p.Site, c.Path, c.Drain, c.Promises, c.Findings, c.Cautions, c.Working, c.Assumed, c}, nil
	}
	x, letter, ok := p.taken()
	if !ok {
		return system{}, ErrNothing
	}
	return system{p.sayf("option %s of the quote", letter), x.Site(), x.Path, x.Drain, x.Promises, x.Findings, p.Sized.Cautions, x.Working, p.Sized.Assumed, nil}, nil
}

// promise is the one of a name, by the contract's words.
func (s system) promise(name string) (study.Promise, bool) {
	for _, x := range s.promises {
		if x.Name == name {
			return x, true
		}
	}
	return study.Promise{}, false
}

// measured are the promises that a meter can hold it to in one visit.
func (s system) measured() (all []study.Promise) {
	for _, x := range s.promises {
		switch x.Name {
		case "permeate_flow", "recovery", "strength_after_membrane", "strength_after_resin", "refill_time":
			all = append(all, x)
		}
	}
	return all
}

func (s system) has(kind string) bool {
	for _, x := range s.path {
		if x.Kind == kind {
			return true
		}
	}
	return false
}

// tagged is a station with the tag that hangs on it.
type tagged struct {
	study.Station
	tag    string
	sample string // tag of the sample point behind it
	valve  string // tag of the valve ahead of it
}

var tagLetters = map[string]string{
	"tap": "W", "well": "W", "filter": "SF", "iron filter": "IF", "carbon": "CF", "softener": "SO", "booster pump": "P", "membrane": "RO",
	"resin": "DI", "resin lag": "DI", "vented tank": "T", "pressurised tank": "T", "delivery pump": "P", "gun": "G",
}

// sampled are the stations behind which a strength is read.
var sampled = map[string]bool{"tap": true, "well": true, "carbon": true, "softener": true, "iron filter": true, "membrane": true, "resin": true, "resin lag": true, "vented tank": true, "pressurised tank": true, "gun": true}

// tags numbers stations, valves and sample points along the path.
func (s system) tags() (all []tagged) {
	count := map[string]int{}
	next := func(letters string) string {
		count[letters]++
		return fmt.Sprintf("%s-%d", letters, count[letters])
	}
	for _, x := range s.path {
		t := tagged{Station: x, tag: next(tagLetters[x.Kind])}
		if x.Kind != "tap" && x.Kind != "well" && x.Kind != "gun" {
			t.valve = next("V")
		}
		if sampled[x.Kind] {
			t.sample = next("SP")
		}
		all = append(all, t)
	}
	return all
}

// sizes tells what a station is, from the record.
func (p *setting) sizes(s system, t tagged, filter *int) string {
	r := s.site.Rig
	switch t.Kind {
	case "filter", "iron filter":
		*filter++
		if *filter > len(r.Filters) {
			return ""
		}
		f := r.Filters[*filter-1]
		return strings.Join(some(told(p, f.Rating), p.lossAt(f)), " · ")
	case "carbon":
		return p.labelled(r.Carbon != nil, func() []string { return []string{p.say(r.Carbon.Kind), told(p, r.Carbon.Volume)} })
	case "softener":
		return p.labelled(r.Softener != nil, func() []string {
			return []string{told(p, r.Softener.Resin), p.with("%s of salt each time", told(p, r.Softener.SaltDose))}
		})
	case "booster pump":
		return p.labelled(r.Booster != nil, func() []string { return p.duty(*r.Booster) })
	case "delivery pump":
		return p.labelled(r.Pump != nil, func() []string { return p.duty(*r.Pump) })
	case "membrane":
		return p.labelled(r.Membrane != nil, func() []string { return p.elements(r) })
	case "resin":
		return p.labelled(len(r.Resin) > 0, func() []string { return p.vessel(r.Resin[0]) })
	case "resin lag":
		return p.labelled(len(r.Resin) > 1, func() []string { return p.vessel(r.Resin[1]) })
	case "vented tank", "pressurised tank":
		return p.labelled(r.Tank != nil, func() []string { return p.tank(*r.Tank) })
	}
	return ""
}

func (p *setting) labelled(there bool, parts func() []string) string {
	if !there {
		return ""
	}
	return strings.Join(some(parts()...), " · ")
}

// with fills a phrase in, or is empty when there is nothing to fill in.
func (p *setting) with(format, value string) string {
	if value == "" {
		return ""
	}
	return p.sayf(format, value)
}

func (p *setting) lossAt(f site.Filter) string {
	if !f.Drop.Known || !f.Flow.Known {
		return ""
	}
	return p.sayf("takes %s at %s", told(p, f.Drop), told(p, f.Flow))
}

func (p *setting) duty(x site.Pump) []string {
	if !x.Flow.Known || !x.Pressure.Known {
		return nil
	}
	return []string{p.sayf("%s at %s", told(p, x.Flow), told(p, x.Pressure))}
}

func (p *setting) elements(r site.Rig) []string {
	m := r.Membrane
	how := ""
	if m.Count > 1 {
		how = p.say("one after another")
		if m.Parallel {
			how = p.say("side by side")
		}
	}
	size := m.Size
	if size == "" {
		size = p.say("element")
	}
	all := []string{fmt.Sprintf("%d × %s", max(m.Count, 1), size), how, p.with("%s on its sheet", told(p, m.Flow)), p.with("holds %s", told(p, m.Rejection))}
	if x := r.Restrictor; x != nil && x.Flow.Known {
		all = append(all, p.with("restrictor %s", told(p, x.Flow))+p.with(" at %s", told(p, x.Pressure)))
	}
	return all
}

func (p *setting) vessel(v site.Vessel) []string {
	return []string{told(p, v.Volume), p.say(v.Made), p.say(v.Place)}
}

func (p *setting) tank(t site.Tank) []string {
	all := []string{told(p, t.Volume), p.say(t.Kind), p.with("precharge %s", told(p, t.Precharge)), p.with("starts at %s", told(p, t.StartAt)), p.with("stops at %s", told(p, t.StopAt))}
	if t.Aerated {
		all = append(all, p.say("aerated"))
	}
	return all
}

// promised sets the promises with their bands, and what was read.
func (p *setting) promisedTable(s system, blank bool) {
	var rows []layout.Row
	for _, x := range s.promises {
		rows = append(rows, layout.Row{Cells: []string{p.say(x.Says), p.band(x.Band), p.fig(x.Read)}})
	}
	p.Table([]layout.Column{
		{Head: p.say("what it does, with its 5 to 95 % band"), Share: 3},
		{Head: p.say("expected"), Share: 3},
		{Head: p.say("read"), Share: 2.4, Blank: blank},
	}, rows)
}
