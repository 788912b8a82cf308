package paper

import (
	"strings"

	"rinsewright/internal/paper/layout"
	"rinsewright/internal/scene"
	"rinsewright/site"
)

// issue closes a paper: how it stands, who answers for it, its revisions and
// what changed since the last.
func (p *setting) issue(now []layout.Fact) {
	status := p.say("Draft: not to be built or paid from. It becomes a revision when it is issued.")
	by, checked, approved := p.job.By, p.job.Checked, p.job.Approved
	day := ""
	if r := p.job.Issue; r != nil {
		status = p.sayf("Revision %s, issued %s. It is not changed any more: what comes after is a revision of its own.", r.Letter, p.day(r.Date))
		by, checked, approved, day = r.By, r.Checked, r.Approved, p.day(r.Date)
	}
	var all []layout.Signature
	for _, s := range []layout.Signature{{Who: "prepared", Name: by}, {Who: "checked", Name: checked}, {Who: "approved", Name: approved}} {
		if s.Who = p.say(s.Who); s.Name != "" {
			s.Date = day
		}
		all = append(all, s)
	}
	p.Approved(status, all)
	p.revisions(now)
}

// revisions is the table of issues, and what changed since the last one.
func (p *setting) revisions(now []layout.Fact) {
	all := p.job.Revisions
	if p.job.Issue != nil {
		all = append(all[:len(all):len(all)], *p.job.Issue)
	}
	if len(all) == 0 {
		return
	}
	p.Head(p.say("Revisions"))
	var rows []layout.Row
	for _, r := range all {
		rows = append(rows, layout.Row{Cells: []string{r.Letter, p.day(r.Date), strings.Join(some(r.By, r.Checked, r.Approved), " · "), r.Change, r.Input}})
	}
	p.Table([]layout.Column{
		{Head: p.say("revision"), Share: 1},
		{Head: p.say("date"), Share: 2},
		{Head: p.say("prepared, checked, approved"), Share: 2.4},
		{Head: p.say("what changed and why"), Share: 4},
		{Head: p.say("input"), Share: 1.8},
	}, rows)
	if n := len(p.job.Revisions); n > 0 {
		p.changed(p.job.Revisions[n-1], now)
	}
}

func (p *setting) changed(last Revision, now []layout.Fact) {
	p.Sub(p.sayf("What changed since revision %s", last.Letter))
	var rows []layout.Row
	for _, c := range Changes(last.Facts, now) {
		rows = append(rows, layout.Row{Cells: []string{strings.Join(some(c.Section, c.Name), ": "), c.Was, c.Is}})
	}
	if len(rows) == 0 {
		p.Para(p.say("No number or sentence of this paper differs."))
		return
	}
	p.Table([]layout.Column{{Head: p.say("what"), Share: 3}, {Head: p.say("was"), Share: 2.5}, {Head: p.say("is"), Share: 2.5}}, rows)
}

// signed sets who commissioned and who accepted: as they signed on the day, or
// with a line to sign on.
func (p *setting) signed() {
	did := layout.Signature{Who: p.say("commissioned by")}
	took := layout.Signature{Who: p.say("accepted by the customer")}
	if p.Proved != nil && p.job.Option == "" && p.Proved.Record.Signed != "" {
		r := p.Proved.Record
		did.Name, did.Date = r.By, p.day(r.Date)
		took.Name, took.Date, took.Strokes = r.Signed, p.day(r.Date), strokesOf(r.Drawn)
	}
	p.Signed([]layout.Signature{did, took})
}

// strokesOf is a signature in widths of its board, moved to its upper left.
func strokesOf(drawn []site.Stroke) (all [][]scene.Point) {
	left, top := site.BoardWide, site.BoardHigh
	for _, s := range drawn {
		for _, at := range s {
			left, top = min(left, at.X), min(top, at.Y)
		}
	}
	for _, s := range drawn {
		var points []scene.Point
		for _, at := range s {
			points = append(points, scene.Point{X: float64(at.X-left) / site.BoardWide, Y: float64(at.Y-top) / site.BoardWide})
		}
		all = append(all, points)
	}
	return all
}
