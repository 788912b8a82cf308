package paper

import (
	"fmt"
	"strings"

	"rinsewright/internal/paper/layout"
	"rinsewright/study"
)

// trips lists the weeks ahead, one line a trip: when, where, why then, what goes
// into the van.
func (p *setting) trips(plan *study.TripPlan) {
	if plan == nil {
		return
	}
	p.Head(p.say("Trips of the weeks ahead"))
	for _, s := range plan.Shared {
		p.Para(strings.Join(s.Sites, ", ") + ": " + p.say(s.Says))
	}
	var rows []layout.Row
	for _, w := range plan.Weeks {
		for _, t := range w.Trips {
			rows = append(rows, layout.Row{Cells: []string{p.date(t.On), p.place(t), p.jobs(t), p.bring(t.Bring), p.hours(t)}})
		}
	}
	if len(rows) == 0 {
		p.Para(p.say("Nothing is worth a drive in these weeks."))
		return
	}
	p.Table([]layout.Column{
		{Head: p.say("when"), Share: 1.3},
		{Head: p.say("where"), Share: 2},
		{Head: p.say("what comes due there"), Share: 4.2},
		{Head: p.say("to bring"), Share: 3},
		{Head: p.say("work"), Share: 0.8, Right: true},
	}, rows)
	for _, u := range plan.Undated {
		p.Small(u.Site + ": " + p.say(u.Why))
	}
}

func (p *setting) place(t study.Trip) string {
	if t.Area == "" {
		return t.Site
	}
	return t.Site + " (" + t.Area + ")"
}

// jobs are a trip's work, each with the band of its day.
func (p *setting) jobs(t study.Trip) string {
	var all []string
	for _, j := range t.Jobs {
		name := p.say(j.Name)
		if j.Likely.IsZero() {
			all = append(all, p.sayf("%s (%s to %s)", name, p.date(j.Low), p.date(j.High)))
			continue
		}
		all = append(all, name+", "+p.sayf("likely %s (%s to %s)", p.date(j.Likely), p.date(j.Low), p.date(j.High)))
	}
	for _, l := range t.Looks {
		all = append(all, p.sayf("look at %s", p.say(l.Name)))
	}
	return strings.Join(all, "; ")
}

// bring is a load in words.
func (p *setting) bring(load []study.VanPart) string {
	var all []string
	for _, part := range load {
		what := p.say(part.What)
		if part.Count > 1 {
			what = fmt.Sprintf("%d × %s", part.Count, what)
		}
		all = append(all, what)
	}
	return strings.Join(all, "; ")
}

func (p *setting) hours(t study.Trip) string {
	text := fmt.Sprintf("%.1f h", float64(t.Hours)/3600)
	if p.job.Locale.DecimalComma {
		text = strings.Replace(text, ".", ",", 1)
	}
	return text
}
