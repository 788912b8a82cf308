package paper

import (
	"fmt"

	"rinsewright/internal/paper/layout"
	"rinsewright/quantity"
	"rinsewright/study"
	"rinsewright/water"
)

// ownerPage is one page for whoever stands beside the rig: what to look at in
// two minutes a week, what is usual, what kills it, when to call.
func (p *setting) ownerPage() error {
	s, err := p.system()
	if err != nil {
		return err
	}
	p.Head(p.say("Two minutes a week"))
	p.Steps(p.weekly(s))
	p.Head(p.say("What is usual, and when to call"))
	p.usual(s)
	p.coming(s, true)
	p.Head(p.say("Three things that end it early"))
	p.Points(p.killers(s))
	if p.Site.Demand.FirstMonth > 0 {
		p.Head(p.say("Winter"))
		p.Para(p.say("Call before the first frost: a frozen membrane is scrap. Drained and preserved it keeps until spring; the first water of the season goes to the drain."))
	}
	p.Caution(p.say("Not for drinking"), p.say("This water is for rinsing. Label the taps. Never enter a tank. Lights, pumps and floats are an electrician's work."))
	p.Pairs([]layout.Pair{{Name: p.say("call"), Value: p.job.From}})
	return nil
}

func (p *setting) weekly(s system) []layout.Step {
	all := []layout.Step{
		{Text: p.say("Look: no drips, no wet floor, tank lid closed, water in the tank clear.")},
		{Text: p.say("Listen: the pump runs only while a gun is open; the drain runs only while the membrane makes water.")},
	}
	if s.has("membrane") {
		all = append(all, layout.Step{Text: p.say("Read the pen after the membrane, after ten minutes of running, and write it down."), Fill: p.penUnit()})
	}
	all = append(all, layout.Step{Text: p.say("Read the pen at the gun and write it down."), Fill: p.penUnit()})
	if s.has("softener") {
		all = append(all, layout.Step{Text: p.say("Salt stands above the water in the softener's brine tank.")})
	}
	return all
}

func (p *setting) penUnit() string { return "ppm" }

// usual are the promised numbers a layman can check, each with its band and
// when to call.
func (p *setting) usual(s system) {
	var rows []layout.Row
	for _, name := range []string{"strength_after_membrane", "strength_after_resin", "permeate_flow", "refill_time"} {
		if x, ok := s.promise(name); ok {
			rows = append(rows, layout.Row{Cells: []string{p.say(x.Says), p.onPen(x.Band.Value), p.callOnPen(x)}})
		}
	}
	rows = append(rows, layout.Row{Cells: []string{p.say("strength at the gun"), p.gunStrength(s), p.aboveWanted()}})
	p.Table([]layout.Column{{Head: p.say("what"), Share: 3}, {Head: p.say("usual"), Share: 2}, {Head: p.say("call when it is"), Share: 2.4}}, rows)
	p.Small(p.sayf("ppm as a pen shows them on the scale %s.", p.scaleName()))
}

// onPen prints a strength with what a pen shows of it, for whoever has only a
// pen.
func (p *setting) onPen(f study.Figure) string {
	if f == nil {
		return ""
	}
	value, unit := f.Plain(quantity.SI)
	if unit != "uS/cm" {
		return p.fig(f)
	}
	return p.fig(f) + " (" + p.ppmOf(quantity.MicrosiemensPerCm(value)) + ")"
}

// callOnPen is [setting.callAt] with what a pen shows.
func (p *setting) callOnPen(x study.Promise) string {
	if x.Name == "permeate_flow" {
		return p.callAt(x)
	}
	return p.sayf("above %s", p.onPen(x.Band.High))
}

// scaleName is that of the site's pen, sodium chloride when nobody said.
func (p *setting) scaleName() string {
	for _, s := range p.Site.Samples {
		if s.Strength.Scale != "" {
			return s.Strength.Scale
		}
	}
	return "NaCl"
}

// ppmOf is what the site's pen shows of a conductivity, to its own digits.
func (p *setting) ppmOf(k quantity.Conductivity) string {
	scale, err := water.ScaleNamed(p.scaleName())
	if err != nil {
		scale = water.ScaleNaCl
	}
	c, err := scale.Reading(k)
	if err != nil {
		return ""
	}
	if c.MilligramsPerLitre() < 10 {
		return inLocale(fmt.Sprintf("%.1f ppm", c.MilligramsPerLitre()), p.job.Locale)
	}
	return fmt.Sprintf("%.0f ppm", c.MilligramsPerLitre())
}

// callAt is the end of the band on the side that is bad.
func (p *setting) callAt(x study.Promise) string {
	if x.Name == "permeate_flow" {
		return p.sayf("below %s", p.fig(x.Band.Low))
	}
	return p.sayf("above %s", p.fig(x.Band.High))
}

// gunStrength is what the path says of the guns.
func (p *setting) gunStrength(s system) string {
	if len(s.path) == 0 {
		return ""
	}
	return p.ppmOf(s.path[len(s.path)-1].Strength)
}

// dueTable tells of each station that uses something up how it stands.
func (p *setting) dueTable(s system) (rows []layout.Row) {
	for _, x := range s.path {
		if x.State == study.Due || x.State == study.Today || x.Left >= 0 && x.Word != "" {
			word := p.say(string(x.State))
			if x.Word != "" {
				word += ": " + p.sentence(x.Word)
			}
			rows = append(rows, layout.Row{Cells: []string{upperFirst(p.part(x.Name)), word}})
		}
	}
	return rows
}

func (p *setting) killers(s system) []string {
	all := []string{
		p.say("Bleach or hot water in the membrane or the resin."),
		p.say("Shutting the permeate line, or opening the bypass to keep washing when the pen says no."),
	}
	if s.has("carbon") {
		return append(all, p.say("Leaving the carbon too long: chlorine that passes it eats the membrane, and nothing shows until the salt comes through."))
	}
	return append(all, p.say("Letting it freeze, or stand for more than a week without a flush."))
}
