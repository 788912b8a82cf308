package paper

import (
	"strings"

	"rinsewright/internal/paper/layout"
	"rinsewright/site"
	"rinsewright/study"
)

// coming tells what the log says comes due, each with its band of days; without
// a log, how the stations stand. A layman needs the next days only.
func (p *setting) coming(s system, layman bool) {
	f := p.Coming
	if f == nil || p.job.Option != "" {
		if rows := p.dueTable(s); len(rows) > 0 {
			p.Head(p.say("What runs out next"))
			p.Table([]layout.Column{{Head: p.say("what"), Share: 2}, {Head: p.say("how it stands"), Share: 4}}, rows)
		}
		return
	}
	p.Head(p.say("What runs out next"))
	columns := []layout.Column{{Head: p.say("state"), Share: 0.9}, {Head: p.say("what"), Share: 1.7}, {Head: p.say("when, with its 5 to 95 % band"), Share: 3.4}, {Head: p.say("what to do then"), Share: 3.6}}
	var rows []layout.Row
	for _, d := range f.Dues {
		cells := []string{p.say(string(d.State)), upperFirst(p.say(d.Name)), p.due(d), p.say(d.Do)}
		if layman && d.Beyond {
			continue
		}
		if layman {
			cells = cells[:3]
		}
		rows = append(rows, layout.Row{Cells: cells})
	}
	if layman {
		columns = columns[:3]
	}
	p.Table(columns, rows)
	p.Small(p.sayf("From the log up to %s.", p.date(f.LastVisit)))
}

// due is the day of one thing, or the day before which it is not likely.
func (p *setting) due(d study.DueRow) string {
	if d.Beyond {
		return p.sayf("not before %s", p.date(d.Low))
	}
	return p.sayf("%s (%s to %s)", p.date(d.Likely), p.date(d.Low), p.date(d.High))
}

// gauges lists what a visit read, in words, as it was typed.
func (p *setting) gauges(v site.Visit) string {
	var all []string
	if v.Sample != nil {
		all = append(all, p.strength(v.Sample.Strength))
	}
	for _, r := range v.Read {
		if r.Skipped == "" {
			value := p.units(strings.TrimSpace(r.Typed + " " + r.On))
			if r.SI == 0 { // half a digit, never nothing
				value = p.sayf("%s (below half a digit)", value)
			}
			all = append(all, p.say(r.Of.Title())+" "+value)
		}
	}
	return strings.Join(some(all...), " · ")
}
