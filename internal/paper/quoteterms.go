package paper

import (
	"fmt"

	"rinsewright/internal/paper/layout"
	"rinsewright/study"
)

// designed tells the demand that the systems are for, as the survey has it; what
// nobody said stands among the assumptions.
func (p *setting) designed() {
	d := p.Site.Demand
	var all []layout.Pair
	add := func(name, value string) {
		if value != "" {
			all = append(all, layout.Pair{Name: p.say(name), Value: value})
		}
	}
	count := func(n int) string {
		if n <= 0 {
			return ""
		}
		return fmt.Sprint(n)
	}
	add("rinses on a normal day", count(d.NormalDay))
	busiest := count(d.BusiestDay)
	if busiest != "" && d.BusiestWeekday != "" {
		busiest += ", " + p.say(d.BusiestWeekday)
	}
	add("rinses on the busiest day", busiest)
	add("bays", count(d.Bays))
	switch {
	case d.PerVehicle.Known:
		add("water of one rinse", told(p, d.PerVehicle))
	case d.VendTime.Known && d.GunFlow.Known:
		add("one rinse", p.sayf("%s at %s", told(p, d.VendTime), told(p, d.GunFlow)))
	}
	if len(all) > 0 {
		p.Head(p.say("What it is designed for"))
		p.Pairs(all)
	}
}

// onSite is the work at the site that a pick brings, and how long bays stand.
func (p *setting) onSite(x study.Pick) (work, shut string) {
	day := study.Install(p.Site, x, p.Parts)
	return p.span(day.Takes), p.span(day.BaysShut)
}

// programme leaves room for what two people agree on.
func (p *setting) programme() {
	p.Head(p.say("Programme, payment, warranty"))
	p.Pairs([]layout.Pair{{Name: p.say("work can begin")}, {Name: p.say("payment")}, {Name: p.say("warranty of the parts, of the work")}})
	p.Small(p.say("A maker's warranty asks for the start-up record and the log of the water: keep both."))
}
