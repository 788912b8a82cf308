package paper

import (
	"fmt"
	"strings"

	"rinsewright/internal/paper/layout"
	"rinsewright/site"
	"rinsewright/study"
)

// commissioning is the record that everything later is held against: what was
// promised, what was read with which instrument, who signed, what is still to be
// done. Where no day is on record it is one to fill in.
func (p *setting) commissioning() error {
	s, err := p.system()
	if err != nil {
		return err
	}
	if p.Proved != nil && p.job.Option == "" && p.Proved.Record.Date != "" {
		p.firstDay(p.Proved)
	} else {
		p.toProve(s)
	}
	p.photos()
	if p.Proved != nil && p.job.Option == "" {
		if late := len(p.Proved.Record.Photos) - len(p.job.Photos); late > 0 {
			p.Small(p.sayf("Photographs of this record that are not here yet: %d.", late))
		}
	}
	p.Head(p.say("Still to be done"))
	p.Lines(3)
	p.signed()
	p.working(p.say("The working of the promises"), s.working)
	return nil
}

// toProve leaves room for instruments, readings and verdicts.
func (p *setting) toProve(s system) {
	p.Small(p.sayf("For the system %s. Read after 20 to 30 minutes of steady running; twice, ten minutes apart.", s.name))
	p.Head(p.say("Instruments"))
	p.handTable([]string{"instrument", "number", "accuracy", "last checked"}, []float64{3, 2, 2, 2}, 4)
	p.Head(p.say("Balance first"))
	p.Points([]string{
		p.say("Feed flow is permeate flow and concentrate flow together; if they differ by more than a twentieth, the meters are in question, not the machine."),
		p.say("What goes in as salt comes out: feed flow × feed strength is permeate flow × its strength and concentrate flow × its strength."),
	})
	p.toJudge(s)
	p.Head(p.say("Readings, in the order of the start-up sheet"))
	sheet := p.sheetOf(s)
	var rows []layout.Row
	for _, step := range sheet.Steps {
		if len(step.Read) > 0 {
			rows = append(rows, layout.Row{Cells: []string{p.say(step.Title)}, Group: true})
		}
		for _, a := range step.Read {
			rows = append(rows, layout.Row{Cells: []string{upperFirst(p.say(a.Title())), p.should(a, sheet), "", p.onlyOnce(a)}, Tall: true})
		}
	}
	p.Table(p.askedColumns(), rows)
	p.Steps([]layout.Step{
		{Text: p.say("No drop lost in 30 minutes under pressure"), Fill: p.say("o'clock")},
		{Text: p.say("A black panel rinsed and dried: no spots"), Fill: p.say("seen")},
	})
}

// toJudge leaves room for two readings and the verdict of each promise.
func (p *setting) toJudge(s system) {
	p.Head(p.say("Promised and read"))
	p.Small(p.say("Verdict: holds · holds within doubt · can't tell, repeat with a better reading · falls short."))
	var rows []layout.Row
	for _, x := range s.measured() {
		rows = append(rows, layout.Row{Cells: []string{p.say(x.Says), p.band(x.Band)}, Tall: true})
	}
	p.Table([]layout.Column{
		{Head: p.say("promise"), Share: 3},
		{Head: p.say("expected, with its band"), Share: 3},
		{Head: p.say("first reading"), Share: 1.5, Blank: true},
		{Head: p.say("second reading"), Share: 1.5, Blank: true},
		{Head: p.say("verdict"), Share: 1.5, Blank: true},
	}, rows)
}

// judged tells what was read on the first day, and the verdict of each promise.
func (p *setting) judged(x *study.Proved) {
	p.Head(p.say("Promised and read"))
	p.Small(p.say(study.Rule))
	if x.Changed {
		p.Caution(p.say("This record was changed after it was sealed"), p.say("Hold it beside the signed paper before you rely on it."))
	}
	if len(x.Balances)+len(x.Proofs) == 0 {
		p.Para(p.say("No verdict can be given: the promises could not be worked out for this record."))
		return
	}
	var rows []layout.Row
	for _, b := range x.Balances {
		verdict := p.say("closes")
		if !b.Closes {
			verdict = p.say("does not close: the meters are in question")
		}
		rows = append(rows, layout.Row{Cells: []string{p.sayf("balance of %s", p.say(b.Name)), "", p.sayf("off by %s", inUnits(p, b.Off)), "", verdict}})
	}
	for _, f := range x.Proofs {
		rows = append(rows, layout.Row{Cells: []string{p.say(f.Says), p.limits(f), p.doubted(f), f.By, p.say(string(f.Verdict))}})
	}
	p.Table([]layout.Column{
		{Head: p.say("promise"), Share: 3},
		{Head: p.say("promised"), Share: 2.4},
		{Head: p.say("read, with one standard doubt"), Share: 2.4},
		{Head: p.say("instrument"), Share: 1.8},
		{Head: p.say("verdict"), Share: 2},
	}, rows)
}

// limits are the ends that were promised.
func (p *setting) limits(f study.Proven) string {
	switch {
	case f.Low != nil && f.High != nil:
		return p.sayf("%s to %s", p.fig(f.Low), p.fig(f.High))
	case f.Low != nil:
		return p.sayf("at least %s", p.fig(f.Low))
	case f.High != nil:
		return p.sayf("at most %s", p.fig(f.High))
	}
	return ""
}

func (p *setting) doubted(f study.Proven) string {
	if f.Read == nil {
		return p.say("not read")
	}
	if f.Doubt == nil {
		return p.fig(f.Read)
	}
	return p.fig(f.Read) + " ± " + p.fig(f.Doubt)
}

// handTable is ruled for writing: heads and so many empty rows.
func (p *setting) handTable(heads []string, shares []float64, rows int) {
	var columns []layout.Column
	for i, h := range heads {
		columns = append(columns, layout.Column{Head: p.say(h), Share: shares[i], Blank: true})
	}
	all := make([]layout.Row, rows)
	for i := range all {
		all[i] = layout.Row{Cells: make([]string, len(heads)), Tall: true}
	}
	p.Table(columns, all)
}

func (p *setting) photos() {
	if len(p.job.Photos) == 0 {
		return
	}
	p.Head(p.say("Photographs"))
	p.Photos(p.job.Photos)
}

// service is what a visit found and did, beside what was expected.
func (p *setting) service() error {
	s, err := p.system()
	if err != nil {
		return err
	}
	p.Pairs([]layout.Pair{{Name: p.say("for"), Value: p.job.For}, {Name: p.say("technician"), Value: p.job.By}, {Name: p.say("arrived, left"), Value: ""}, {Name: p.say("why this visit"), Value: ""}})
	p.Head(p.say("Readings"))
	p.expectedAndRead(s)
	p.Head(p.say("What the readings say"))
	p.findings(s.findings, true)
	p.Head(p.say("Readings on record"))
	p.readings(p.Site.Samples)
	p.visits(p.Site.Log)
	p.coming(s, false)
	p.cautions(s.cautions) // before the work they are for
	p.Head(p.say("Work done"))
	p.Lines(4)
	p.Head(p.say("Parts used"))
	p.handTable([]string{"part", "batch or serial", "how many", "reading before", "reading after"}, []float64{3, 2, 1, 1.5, 1.5}, 4)
	p.photos()
	p.Pairs([]layout.Pair{{Name: p.say("next visit"), Value: ""}, {Name: p.say("to watch until then"), Value: ""}})
	p.Signatures([]string{p.say("technician"), p.say("for the customer")})
	return nil
}

func (p *setting) expectedAndRead(s system) {
	var rows []layout.Row
	for _, x := range s.measured() {
		rows = append(rows, layout.Row{Cells: []string{p.say(x.Says), p.band(x.Band), p.fig(x.Read), ""}, Tall: true})
	}
	p.Table([]layout.Column{
		{Head: p.say("what"), Share: 3},
		{Head: p.say("expected, with its band"), Share: 3},
		{Head: p.say("read last"), Share: 2},
		{Head: p.say("read today"), Share: 2, Blank: true},
	}, rows)
}

// visits lists the log.
func (p *setting) visits(all []site.Visit) {
	p.Head(p.say("Visits"))
	if len(all) == 0 {
		p.Para(p.say("No visit is on record."))
		return
	}
	var rows []layout.Row
	for _, v := range all {
		var changed []string
		for _, c := range v.Changed {
			changed = append(changed, p.sentence(string(c)))
		}
		rows = append(rows, layout.Row{Cells: []string{p.day(v.Date), v.Words, strings.Join(changed, ", "), p.gauges(v), told(p, v.Meter)}})
	}
	p.Table([]layout.Column{
		{Head: p.say("when"), Share: 1.6},
		{Head: p.say("what was said"), Share: 2.8},
		{Head: p.say("changed"), Share: 1.7},
		{Head: p.say("read"), Share: 4.2},
		{Head: p.say("totaliser"), Share: 1.4, Right: true},
	}, rows)
}

// logSheet is the sheet beside the rig, for pen and wet hands.
func (p *setting) logSheet() error {
	s, err := p.system()
	if err != nil {
		return err
	}
	p.Small(p.say("One line a visit. Read after at least ten minutes of running, in the order of the water. Not read is a dash, never a nought."))
	heads, shares := []string{"date", "minutes running", "temperature", "raw water", "after the membrane"}, []float64{1.4, 1.2, 1.4, 1.3, 1.4}
	if s.has("resin") {
		heads, shares = append(heads, "after the resin"), append(shares, 1.3)
	}
	heads = append(heads, "gun", "permeate flow", "totaliser", "total chlorine behind the carbon", "what was done", "initials")
	shares = append(shares, 1.1, 1.3, 1.4, 1.6, 3.6, 0.9)
	p.handTable(heads, shares, 14)
	p.Small(p.usualLine(s))
	return nil
}

// usualLine reminds whoever reads of what is usual.
func (p *setting) usualLine(s system) string {
	var all []string
	for _, x := range s.measured() {
		all = append(all, p.say(x.Says)+" "+p.band(x.Band))
	}
	all = append(all, p.say("strength at the gun")+" "+p.gunStrength(s)+", "+p.sayf("call when it is %s", p.aboveWanted()))
	return p.sayf("Usual: %s.", strings.Join(all, " · "))
}

// warranty is the log that a claim needs: what hung there, what it was exposed
// to, what was read, what changed, and the statement of the cause.
func (p *setting) warranty() error {
	s, err := p.system()
	if err != nil {
		return err
	}
	p.Head(p.say("Parts under warranty"))
	var rows []layout.Row
	filter := 0
	for _, t := range s.tags() {
		if t.valve != "" {
			rows = append(rows, layout.Row{Cells: []string{t.tag, upperFirst(p.part(t.Name)), p.sizes(s, t, &filter)}, Tall: true})
		}
	}
	p.Table([]layout.Column{
		{Head: p.say("tag"), Share: 0.8},
		{Head: p.say("part"), Share: 1.8},
		{Head: p.say("size and setting"), Share: 3},
		{Head: p.say("serial or batch"), Share: 1.8, Blank: true},
		{Head: p.say("fitted on"), Share: 1.4, Blank: true},
		{Head: p.say("warranty until"), Share: 1.4, Blank: true},
	}, rows)
	p.Head(p.say("What it was promised to do"))
	p.promisedTable(s, true)
	p.Head(p.say("What it was exposed to"))
	p.findings(s.findings, true)
	p.Pairs([]layout.Pair{{Name: p.say("hours run"), Value: ""}, {Name: p.say("permeate made"), Value: ""}, {Name: p.say("starts"), Value: ""}, {Name: p.say("total chlorine at the membrane"), Value: ""}})
	p.Head(p.say("Readings on record"))
	p.readings(p.Site.Samples)
	p.visits(p.Site.Log)
	p.photos()
	p.Head(p.say("Claim"))
	p.Ticks(p.sayAll([]string{"commissioning record enclosed", "log sheets enclosed", "photographs of the part and its label", "the part kept wet, bagged and labelled", "readings before and after the change", "chlorine and hardness ahead of the part"}))
	p.Sub(p.say("What failed, and what is held to be the cause"))
	p.Lines(5)
	p.Signatures([]string{p.say("for the supplier"), p.say("for the customer")})
	p.working(p.say("The working of the promises"), s.working)
	return nil
}

// hygiene is the tank's log.
func (p *setting) hygiene() error {
	s, err := p.system()
	if err != nil {
		return err
	}
	p.Caution(p.say("Warm standing water can grow legionella, and guns make mist"), p.say("Keep the tank below 20 °C, closed, dark and turned over. Do not enter a tank: it is a confined space, with its own law. Local rules on water hygiene come first."))
	tank := p.say("no tank on record")
	if t := s.site.Rig.Tank; t != nil {
		tank = told(p, t.Volume)
	}
	p.Pairs([]layout.Pair{{Name: p.say("tank"), Value: tank}, {Name: p.say("responsible"), Value: ""}})
	p.handTable([]string{"date", "tank temperature", "lid, vent and screen", "inside: clean, slime, smell", "free chlorine", "dip slide or laboratory", "cleaned and sanitised", "what was done", "initials"}, []float64{1.3, 1.2, 1.4, 1.8, 1.1, 1.6, 1.4, 3, 0.9}, 10)
	p.Points(p.sayAll([]string{"Every month: temperature, lid and vent.", "Every three months: look inside from above with a torch.", "Every year, and after any standstill of more than a week: drain, clean from outside, sanitise, rinse, test."}))
	return nil
}

// Fleet is one site among several, for the monthly page.
type Fleet struct {
	Name    string
	Checked *study.Checked
}

// fleetColumns are the promises that compare sites.
var fleetColumns = []string{"strength_after_membrane", "permeate_flow", "resin_days", "run_dry_risk", "cost_per_rinse"}

// fleetTable sets the sites under each other, the one that needs a person
// first.
func (p *setting) fleetTable(all []Fleet) {
	var rows []layout.Row
	for _, f := range all {
		cells := []string{f.Name}
		for _, name := range fleetColumns {
			cells = append(cells, p.promiseOf(f.Checked, name))
		}
		total := ""
		if n := len(f.Checked.Costs); n > 0 {
			total = p.fig(f.Checked.Costs[n-1].Amount)
		}
		rows = append(rows, layout.Row{Cells: append(cells, total)})
	}
	columns := []layout.Column{{Head: p.say("site"), Share: 2.2}}
	for _, name := range fleetColumns {
		columns = append(columns, layout.Column{Head: p.say(fleetHeads[name]), Share: 2, Right: true})
	}
	p.Table(append(columns, layout.Column{Head: p.say("cost of a year"), Share: 1.4, Right: true}), rows)
}

var fleetHeads = map[string]string{
	"strength_after_membrane": "strength after the membrane", "permeate_flow": "permeate flow today", "resin_days": "one bottle of resin lasts",
	"run_dry_risk": "rinses that run short of water", "cost_per_rinse": "cost of a rinse",
}

func (p *setting) promiseOf(c *study.Checked, name string) string {
	for _, x := range c.Promises {
		if x.Name == name {
			return p.band(x.Band)
		}
	}
	return "–"
}

// MakeFleet sets the monthly page of several sites, with the trips of the weeks
// ahead where there is a plan.
func MakeFleet(all []Fleet, plan *study.TripPlan, j Job) (Made, error) {
	if len(all) == 0 {
		return Made{}, fmt.Errorf("fleet monthly: %w", ErrNothing)
	}
	k := Kind{Name: "fleet", Title: "Fleet, month by month", across: true, told: true, set: func(p *setting) error {
		p.fleet(all)
		p.trips(plan)
		return nil
	}}
	return k.Make(Record{Site: &site.Site{Name: newSpeaker(j.Language).sayf("%d sites", len(all))}}, j)
}

func (p *setting) fleet(all []Fleet) {
	p.Head(p.sayf("%s %d", p.say(p.job.Date.Month().String()), p.job.Date.Year()))
	p.fleetTable(all)
	p.Head(p.say("What needs someone"))
	var rows []layout.Row
	for _, state := range []study.State{study.Today, study.Due} {
		rows = append(rows, p.standing(all, state)...)
	}
	if len(rows) == 0 {
		p.Para(p.say("Nothing is due at any site."))
		return
	}
	p.Table([]layout.Column{{Head: p.say("site"), Share: 2}, {Head: p.say("state"), Share: 1}, {Head: p.say("what"), Share: 7}}, rows)
}

// standing lists what stands so at every site.
func (p *setting) standing(all []Fleet, state study.State) (rows []layout.Row) {
	for _, f := range all {
		for _, x := range f.Checked.Findings {
			if x.State == state {
				rows = append(rows, layout.Row{Cells: []string{f.Name, p.say(string(x.State)), p.sentence(x.Says)}})
			}
		}
	}
	return rows
}
