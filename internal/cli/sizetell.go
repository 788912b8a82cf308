package cli

import (
	"fmt"
	"strings"

	"rinsewright/quantity"
	"rinsewright/study"
)

// sized prints the picks for a person at 80 columns: first what to decide,
// then each system.
func (t *terminal) sized(s *study.Sized) {
	t.heading(s.Site)
	t.now(s.Now)
	if len(s.Picks) == 0 {
		t.ways(s)
	} else {
		t.compare(s)
		for i, p := range s.Picks {
			t.pick(i+1, p, s.Picks)
		}
		t.turns(s.Turns)
		t.frontier(s)
	}
	t.assumed(s.Assumed)
	t.cautions(s.Cautions)
	t.line("")
	if s.Cut {
		t.wrap("", "The search for what binds ended early: more may bind than is told.")
	}
	t.wrap("", fmt.Sprintf("Searched %s systems by judging %d, whole or in part; bands from %d looks. How the numbers came about: --working. A page to keep: --html FILE.",
		roundCount(s.Systems), s.Judged, s.Looks))
}

// roundCount prints a large count as people say it.
func roundCount(x float64) string {
	switch {
	case x >= 1e9:
		return fmt.Sprintf("%.2g billion", x/1e9)
	case x >= 1e6:
		return fmt.Sprintf("%.3g million", x/1e6)
	case x >= 1e4:
		return fmt.Sprintf("%.3g thousand", x/1e3)
	}
	return fmt.Sprintf("%.0f", x)
}

func (t *terminal) now(n *study.Now) {
	if n == nil {
		return
	}
	t.head("What hangs there now")
	if len(n.Breaks) == 0 {
		t.wrap("", "It holds every constraint below. A year of it costs "+t.text(n.Yearly)+".")
		return
	}
	t.wrap("", "A year of it costs "+t.text(n.Yearly)+", and it breaks:")
	for _, b := range n.Breaks {
		t.wrap("- ", b.Constraint+": "+b.Says)
	}
}

func (t *terminal) compare(s *study.Sized) {
	t.head("Three systems")
	over := fmt.Sprintf("%d years", s.Years)
	t.line(pad("", 32) + fmt.Sprintf("%12s%12s%12s%10s", "first cost", "a year", over, "headroom"))
	for i, p := range s.Picks {
		t.line(pad(fmt.Sprintf("%d  %s", i+1, p.Says), 32) + fmt.Sprintf("%12s%12s%12s%10s", t.text(p.First), t.text(p.Yearly), t.text(p.Over), quantity.FormatLocale(p.Headroom, t.units, t.locale)))
	}
	t.wrap("", fmt.Sprintf("Money over the years is discounted at %s a year. Headroom is what is left of the limit that a system uses most.", quantity.FormatLocale(s.Discount, t.units, t.locale)))
}

const pickLead = 10

func (t *terminal) pick(number int, p study.Pick, all []study.Pick) {
	t.head(fmt.Sprintf("%d  %s: %s", number, p.Says, t.text(p.First)))
	if p.SameAs != "" {
		for i, other := range all {
			if other.Name == p.SameAs {
				t.wrap("", fmt.Sprintf("The same system as %d.", i+1))
			}
		}
		t.why(p)
		return
	}
	for _, x := range p.Parts {
		if !x.Kept {
			t.line(pad(pad("buy", pickLead)+counted(x), 64) + fmt.Sprintf("%14s", t.text(x.Amount)))
		}
	}
	for _, x := range p.Parts {
		if x.Kept {
			t.line(pad(pad("keep", pickLead)+counted(x), 64))
		}
	}
	t.wrap(pad("path", pickLead), t.pathLine(p))
	for _, x := range p.Promises {
		if told[x.Name] {
			t.wrap(pad("promise", pickLead), x.Says+": "+x.Band.Text(t.units, t.locale))
		}
	}
	t.wrap(pad("drain", pickLead), fmt.Sprintf("%s on a mean open day, at %s recovery", quantity.FormatLocale(p.Drain.PerDay, t.units, t.locale), quantity.FormatLocale(p.Drain.Recovery, t.units, t.locale)))
	t.why(p)
}

// told are the promises that decide; the others are in --json and on the page.
var told = map[string]bool{"permeate_flow_coldest": true, "strength_after_membrane": true, "strength_after_resin": true, "resin_days": true, "run_dry_risk": true, "cost_per_rinse": true}

func counted(x study.PartLine) string {
	switch {
	case x.Kind == "labour":
		return fmt.Sprintf("%g h of %s", x.Count, x.Name)
	case x.Kind == "tube" && !x.Kept:
		return fmt.Sprintf("%g m of %s", x.Count, x.Name)
	case x.Old:
		return x.Name + " in place of the old"
	case x.Count == 1 || x.Kept:
		return x.Name
	}
	return fmt.Sprintf("%g × %s", x.Count, x.Name)
}

func (t *terminal) pathLine(p study.Pick) string {
	var names []string
	for i, s := range p.Path {
		name := s.Name
		if i == 0 || s.Kind == "membrane" || s.Kind == "resin" || s.Kind == "gun" || strings.HasSuffix(s.Kind, "tank") {
			name += " " + quantity.FormatLocale(s.Strength, t.units, t.locale)
		}
		names = append(names, name)
	}
	return strings.Join(names, " → ")
}

// why says what binds and why the cheaper neighbour fails.
func (t *terminal) why(p study.Pick) {
	for _, b := range p.Binds {
		t.wrap(pad("binds", pickLead), b.Constraint+": "+b.Says)
	}
	if len(p.Binds) == 0 {
		t.wrap(pad("binds", pickLead), "no single constraint was found: what is cheaper breaks two or more at once")
	}
	if f := p.Fails; f != nil {
		verb := "saves"
		if p.Name == "most_headroom" {
			t.wrap(pad("cheaper", pickLead), fmt.Sprintf("%s %s %s, with less room: %s, %s", f.Instead, verb, t.text(f.Saves), f.Fails.Constraint, f.Fails.Says))
			return
		}
		t.wrap(pad("cheaper", pickLead), fmt.Sprintf("%s %s %s and fails: %s, %s", f.Instead, verb, t.text(f.Saves), f.Fails.Constraint, f.Fails.Says))
	}
}

func (t *terminal) frontier(s *study.Sized) {
	if len(s.Frontier) < 2 {
		return
	}
	t.head("Systems that no other beats")
	t.line(fmt.Sprintf("%10s%12s%10s%14s", "first cost", "a year", "short", "to drain"))
	shown := 0
	for _, f := range s.Frontier {
		if f.Beaten && f.Pick == "" {
			continue
		}
		shown++
		t.wrap(pad(fmt.Sprintf("%10s%12s%10s%14s", t.text(f.First), t.text(f.Yearly), t.text(f.Risk), t.text(f.Drain)), frontierLead), f.Short)
	}
	if more := len(s.Frontier) - shown; more > 0 {
		t.wrap("", fmt.Sprintf("%d more cost more, first and yearly, and send less to the drain or run short less: --json and the page list them.", more))
	}
}

const frontierLead = 48

// turns says which prices would turn the choice.
func (t *terminal) turns(all []study.Turn) {
	if len(all) == 0 {
		return
	}
	t.head("What would change the least cost over the years")
	for _, x := range all[:min(len(all), mostTurns)] {
		t.wrap("- ", fmt.Sprintf("if %s cost %s: %s", x.Price, times(x.Times), x.Other))
	}
}

const mostTurns = 5

// times is how much a price changes, in words.
func times(x float64) string {
	if x >= 1 {
		return fmt.Sprintf("%.3g times as much", x)
	}
	return fmt.Sprintf("%.0f %% less", 100*(1-x))
}

// ways says what to relax when nothing holds.
func (t *terminal) ways(s *study.Sized) {
	t.head("No system of the catalogue holds every constraint")
	if len(s.Ways) == 0 {
		t.wrap("", "No single constraint is in the way. The cheapest system breaks: "+s.Together)
		return
	}
	if s.Ways[0].Together > 1 {
		t.wrap("", "No single constraint is in the way. Relax two together, the least relaxation first:")
	} else {
		t.wrap("", "Relax one of these, the least relaxation first:")
	}
	for _, w := range s.Ways {
		t.wrap("- ", w.Constraint+": "+w.Says)
		t.wrap("  ", fmt.Sprintf("then %s: first cost %s, %s over %d years", w.Short, t.text(w.First), t.text(w.Over), s.Years))
	}
}
