package paper

import (
	"fmt"
	"strings"

	"rinsewright/internal/paper/layout"
	"rinsewright/quantity"
	"rinsewright/study"
)

// startUp is the checklist of the first start, in the order the valves are
// touched, with the cautions at their steps and a place for each reading.
func (p *setting) startUp() error {
	s, err := p.system()
	if err != nil {
		return err
	}
	p.Small(p.sayf("For the system %s. Times are least times. Write the hour beside each step.", s.name))
	p.Head(p.say("Before water"))
	p.Steps([]layout.Step{
		{Text: p.say("Feed shut, power locked off, tank clean and empty, lid and vent screen on")},
		{Text: p.say("Flow direction of check valve, restrictor and every filter looked at"), Note: p.say("A check valve the wrong way round shuts the permeate in and breaks the membrane.")},
		{Text: p.say("Nothing of copper, brass or galvanised steel behind the membrane")},
		{Text: p.say("Air gap at the drain; backflow assembly tested"), Caution: p.say("Drinking water must be protected from backflow; a licensed plumber and the local code decide how.")},
	})
	p.Head(p.say("Flush"))
	p.Steps(p.flushSteps(s))
	p.sanitiseSteps(s)
	p.Head(p.say("First water"))
	p.Steps(p.firstWater(s))
	p.Head(p.say("Settings"))
	p.Steps(p.settingSteps(s))
	p.Signatures([]string{p.say("started up by"), p.say("seen by the customer")})
	return nil
}

func (p *setting) flushSteps(s system) []layout.Step {
	all := []layout.Step{
		{Text: p.say("Open the feed slowly and vent each housing"), Figure: "", Fill: p.say("o'clock"), Caution: p.say("No more than 10 psi (0.7 bar) in a second. Stand clear of caps and unions; a housing can throw its cap.")},
		{Text: p.say("Hold the pressure and look for leaks"), Figure: "30 min", Fill: p.say("o'clock")},
		{Text: p.say("Filters flushed to the drain until clear"), Figure: "5 min", Fill: p.say("o'clock")},
	}
	if s.has("carbon") {
		all = append(all, layout.Step{Text: p.say("Carbon flushed to the drain until the water is clear, before the membrane gets any"), Figure: "15 min", Fill: p.say("o'clock")},
			layout.Step{Text: p.say("Total chlorine behind the carbon"), Note: p.say("below 0.1 mg/L, or the membrane waits"), Fill: "mg/L"})
	}
	if s.has("softener") {
		all = append(all, layout.Step{Text: p.say("Softener regenerated once; hardness behind it"), Fill: p.say("hardness")})
	}
	return all
}

// sanitiseSteps are for a tank that is open to air.
func (p *setting) sanitiseSteps(s system) {
	tank := s.site.Rig.Tank
	if tank == nil || tank.Kind == "pressurised" {
		return
	}
	p.Head(p.say("Sanitise the tank and the lines"))
	dose := ""
	if tank.Volume.Known {
		dose = p.measure(study.SanitiseDose(tank.Volume.Value))
	}
	p.Steps([]layout.Step{
		{
			Text: p.say("Membrane and resin shut off from the tank"), Fill: p.say("o'clock"),
			Caution: p.say("Bleach must never reach the membrane or the resin, and never meet acid or ammonia: the gases can kill. Gloves, eye protection, open air. Nobody enters the tank."),
		},
		{
			Text: p.sayf("Plain bleach (5.25 %%) into the full tank for %s of free chlorine", inUnits(p, study.SanitiseChlorine)),
			Note: p.say("stir with the pump; a strip confirms it, for bleach loses strength on the shelf"), Figure: dose, Fill: "mg/L",
		},
		{Text: p.say("Each gun run until it smells of chlorine, then left to stand"), Figure: inUnits(p, study.SanitiseContact), Fill: p.say("o'clock")},
		{Text: p.say("Drained and rinsed"), Note: p.say("to the sewer where it is allowed, never to a storm drain"), Fill: p.say("o'clock")},
		{Text: p.sayf("Free chlorine at the tank and at each gun below %s", inUnits(p, study.SanitiseResidual)), Note: p.say("only then come membrane and resin back"), Fill: "mg/L"},
	})
}

// measure is a small volume as a measuring cup shows it.
func (p *setting) measure(v quantity.Volume) string {
	text := fmt.Sprintf("%.0f mL", v.Litres()*1000)
	if v.Litres() >= 1 {
		text = inLocale(fmt.Sprintf("%.2f L", v.Litres()), p.job.Locale)
	}
	if p.job.Units == quantity.US {
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

func (p *setting) firstWater(s system) []layout.Step {
	var all []layout.Step
	if s.has("membrane") {
		all = append(all, layout.Step{Text: p.say("First permeate to the drain: it carries the preservative"), Figure: "30 min", Fill: p.say("o'clock"), Caution: p.say("The permeate stays open all the time: shut in, it breaks the membrane.")},
			layout.Step{Text: p.say("Strength after the membrane, steady over two readings"), Figure: p.flow(s, "strength_after_membrane"), Fill: p.say("read")})
	}
	if s.has("resin") {
		all = append(all, layout.Step{
			Text: p.say("Resin rinsed to the drain"), Figure: "10 min", Fill: p.say("o'clock"),
			Caution: p.say("A wet bottle of 1 cubic foot weighs about 30 kg (65 lb): two people or a trolley."),
		}, layout.Step{Text: p.say("Strength after the resin"), Figure: p.flow(s, "strength_after_resin"), Fill: p.say("read")})
	}
	return append(all, layout.Step{Text: p.say("Water to the tank"), Fill: p.say("o'clock")})
}

func (p *setting) settingSteps(s system) []layout.Step {
	var all []layout.Step
	if s.has("membrane") {
		all = append(all, layout.Step{Text: p.say("Restrictor set to the recovery"), Figure: p.flow(s, "recovery"), Fill: p.say("read")},
			layout.Step{Text: p.say("Permeate flow, bucket and timer"), Figure: p.flow(s, "permeate_flow"), Fill: p.say("read")})
	}
	if t := s.site.Rig.Tank; t != nil && t.Kind != "pressurised" {
		all = append(all, layout.Step{Text: p.say("Float stops the membrane, and starts it again"), Figure: told(p, t.Stop) + " / " + told(p, t.Start), Fill: p.say("heights")},
			layout.Step{Text: p.say("Pump cut off at low level"), Figure: told(p, t.LowCut), Fill: p.say("height")})
	}
	all = append(all, layout.Step{
		Text:    p.say("Residual-current (GFCI) protection tripped by its button, and reset"),
		Caution: p.say("Water and electricity: a licensed electrician has connected and tested it before anyone touches it."),
	})
	return append(all, layout.Step{Text: p.say("Every gun open at once: flow at the weakest"), Fill: p.say("read")})
}
