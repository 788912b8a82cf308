package paper

import (
	"strings"

	"rinsewright/internal/paper/layout"
	"rinsewright/site"
	"rinsewright/study"
)

// coming tells what the log says comes due, each with its band of days; without
// a log, how the stations stand.
func (p *setting) coming(s system) {
	f := p.Coming
	if f == nil || p.job.Option != "" {
		if rows := p.dueTable(s); len(rows) > 0 {
			p.Head(p.say("What runs out next"))
			p.Table([]layout.Column{{Head: p.say("what"), Share: 2}, {Head: p.say("how it stands"), Share: 4}}, rows)
		}
		return
	}
	p.Head(p.say("What runs out next"))
	var rows []layout.Row
	for _, d := range f.Dues {
		rows = append(rows, layout.Row{Cells: []string{p.say(string(d.State)), upperFirst(p.say(d.Name)), p.due(d), p.say(d.Do)}})
	}
	p.Table([]layout.Column{{Head: p.say("state"), Share: 0.9}, {Head: p.say("what"), Share: 1.7}, {Head: p.say("when, with its 5 to 95 % band"), Share: 3}, {Head: p.say("what to do then"), Share: 4}}, rows)
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
			all = append(all, p.say(r.Of.Title())+" "+p.units(strings.TrimSpace(r.Typed+" "+r.On)))
		}
	}
	return strings.Join(some(all...), " · ")
}
