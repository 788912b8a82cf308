package paper

import (
	"fmt"
	"strings"

	"rinsewright/commissioning"
	"rinsewright/internal/paper/layout"
	"rinsewright/quantity"
	"rinsewright/study"
)

// startUp is the checklist of the first start: the sheet of the page and of
// `prove --sheet`, in the order the valves are touched, each caution ahead of
// its step and a place for each reading.
func (p *setting) startUp() error {
	s, err := p.system()
	if err != nil {
		return err
	}
	p.Small(p.sayf("For the system %s. Times are least times. Write the hour beside each step.", s.name))
	sheet := p.sheetOf(s)
	for i, step := range sheet.Steps {
		p.Head(fmt.Sprintf("%d. %s", i+1, p.say(step.Title)))
		p.Caution(p.say("Take care"), p.sayAll(step.Cautions)...)
		p.Steps(p.doing(step))
		p.asked(step.Read, sheet)
	}
	p.Small(p.say("Where the maker's sheet or the local code says otherwise, they win."))
	p.Signatures([]string{p.say("started up by"), p.say("seen by the customer")})
	return nil
}

// sheetOf is the start-up sheet of what the paper is about.
func (p *setting) sheetOf(s system) study.Sheet {
	return study.StartUp(s.site, study.Options{Seed: 1, Units: p.job.Units, Locale: p.job.Locale})
}

// doing is what is done at a step, and when it is done.
func (p *setting) doing(step commissioning.Step) (all []layout.Step) {
	for _, does := range step.Do {
		all = append(all, layout.Step{Text: p.say(does)})
	}
	if step.Dose > 0 {
		all = append(all, layout.Step{
			Text: p.sayf("Plain bleach (5.25 %%) into the full tank for %s of free chlorine", inUnits(p, study.SanitiseChlorine)),
			Note: p.say("stir with the pump; a strip confirms it, for bleach loses strength on the shelf"), Figure: Cup(step.Dose, p.job.Units, p.job.Locale), Fill: "mg/L",
		})
	}
	for _, stop := range step.Stop {
		until := layout.Step{Text: p.sayf("Until: %s", p.say(stop.Says)), Fill: p.say("o'clock")}
		if stop.Least > 0 {
			until.Figure = p.span(stop.Least)
		}
		all = append(all, until)
	}
	return all
}

// asked leaves room for the readings of a step.
func (p *setting) asked(read []commissioning.Asked, sheet study.Sheet) {
	var rows []layout.Row
	for _, a := range read {
		rows = append(rows, layout.Row{Cells: []string{upperFirst(p.say(a.Title())), p.should(a, sheet), "", p.onlyOnce(a)}, Tall: true})
	}
	if len(rows) > 0 {
		p.Table(p.askedColumns(), rows)
	}
}

func (p *setting) askedColumns() []layout.Column {
	return []layout.Column{
		{Head: p.say("reading"), Share: 4},
		{Head: p.say("about"), Share: 1.6, Right: true},
		{Head: p.say("read"), Share: 1.7, Blank: true},
		{Head: p.say("and again"), Share: 1.7, Blank: true},
		{Head: p.say("instrument"), Share: 1.7, Blank: true},
	}
}

// should is what a gauge should read, where the model knows.
func (p *setting) should(a commissioning.Asked, sheet study.Sheet) string {
	return p.fig(sheet.Should[a.Key()])
}

func (p *setting) onlyOnce(a commissioning.Asked) string {
	if a.Twice {
		return ""
	}
	return "–"
}

// Cup is a small volume as a measuring cup shows it, in both units where the
// reader's is not the litre: a dose is read off whatever cup is at hand.
func Cup(v quantity.Volume, units quantity.System, loc quantity.Locale) string {
	text := fmt.Sprintf("%.0f mL", v.Litres()*1000)
	if v.Litres() >= 1 {
		text = inLocale(fmt.Sprintf("%.2f L", v.Litres()), loc)
	}
	if units == quantity.US {
		text += fmt.Sprintf(" (%.0f fl oz)", v.Gallons()*128)
	}
	return text
}

func inLocale(s string, loc quantity.Locale) string {
	if loc.DecimalComma {
		return strings.ReplaceAll(s, ".", ",")
	}
	return s
}
