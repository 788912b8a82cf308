package paper

import (
	"fmt"

	"rinsewright/internal/paper/layout"
	"rinsewright/quantity"
	"rinsewright/study"
)

// installDay is the day in order: how long, how long the bays stand, what is
// drained, what must be allowed beforehand.
func (p *setting) installDay() error {
	x, letter, ok := p.taken()
	if !ok {
		return ErrNothing
	}
	day := study.Install(p.Site, x, p.Parts)
	p.Lead(p.sayf("For option %s of the quote: %s", letter, p.described(x.Short)))
	p.Pairs([]layout.Pair{
		{Name: p.say("work, one person"), Value: p.span(day.Takes)},
		{Name: p.say("bays shut for"), Value: p.span(day.BaysShut)},
		{Name: p.say("drained beforehand"), Value: p.drained(day)},
		{Name: p.say("rinses asked for meanwhile"), Value: p.meanwhile(day)},
		{Name: p.say("tank full after"), Value: p.filled(day)},
		{Name: p.say("who comes, and when"), Value: ""},
	})
	p.Head(p.say("Beforehand"))
	p.Ticks(p.permits())
	p.Head(p.say("Order of work"))
	p.order(day)
	p.takeOff(day)
	p.tools()
	p.assumptions(day.Assumed)
	return nil
}

func (p *setting) span(t quantity.Time) string {
	minutes := int(t.Minutes() + 0.5)
	if minutes < 60 {
		return fmt.Sprintf("%d min", minutes)
	}
	return fmt.Sprintf("%d h %02d min", minutes/60, minutes%60)
}

func (p *setting) drained(day *study.Installation) string {
	if day.Drained <= 0 {
		return p.say("nothing to drain")
	}
	return inUnits(p, day.Drained)
}

func (p *setting) meanwhile(day *study.Installation) string {
	return p.sayf("about %.0f on a normal day, %s of water: a temporary bottle of resin on the feed keeps them going", day.Rinses, inUnits(p, day.Water))
}

func (p *setting) filled(day *study.Installation) string {
	if day.Fills == nil {
		return p.say("not known")
	}
	return p.sayf("%s from the first clean permeate, nobody rinsing", p.fig(day.Fills))
}

func (p *setting) permits() []string {
	all := []string{
		"discharge of concentrate allowed in writing, or its reuse agreed", "plumbing permit, and the backflow assembly tested", "electrical permit; electrician booked for the pump",
		"wall and floor carry the full tank; door wide enough", "parts list ticked, fittings tried on the bench", "customer knows the hours without water, temporary bottle agreed",
	}
	return p.sayAll(all)
}

// order lists the work with a clock that starts at nought.
func (p *setting) order(day *study.Installation) {
	var steps []layout.Step
	clock := quantity.Time(0)
	for _, t := range day.Work {
		note := p.say("bays open")
		if t.BaysShut {
			note = p.say("bays shut")
		}
		caution := ""
		if t.Caution != "" {
			caution = p.say(t.Caution)
		}
		steps = append(steps, layout.Step{
			Text: p.sentence(t.Does), Note: p.sayf("from %s", p.clock(clock)) + " · " + note, Figure: p.span(t.Takes), Caution: caution,
		})
		clock += t.Takes
	}
	p.Steps(steps)
}

func (p *setting) clock(t quantity.Time) string {
	minutes := int(t.Minutes() + 0.5)
	return fmt.Sprintf("%d:%02d", minutes/60, minutes%60)
}

// takeOff counts tube and fittings.
func (p *setting) takeOff(day *study.Installation) {
	p.Head(p.say("Tube and fittings"))
	var rows []layout.Row
	for _, k := range day.Kit {
		if k.Supplier == study.Suppliers[3] {
			rows = append(rows, layout.Row{Cells: []string{"☐", p.pieces(k), upperFirst(p.part(k.Name)), p.sentence(k.Why)}})
		}
	}
	p.Table([]layout.Column{{Share: 0.3}, {Head: p.say("how many"), Share: 1}, {Head: p.say("what"), Share: 3}, {Head: p.say("counted from"), Share: 4}}, rows)
}
