package study

import "rinsewright/site"

// cautionsOf returns the usual cautions for the stations that hang there, each
// at the step where a person could be hurt. They defer to local codes and
// licensed trades.
func cautionsOf(s *site.Site) []Caution {
	all := []Caution{
		{"before opening a housing or loosening a fitting", "Shut the feed, stop the pumps and let the pressure off. A housing, a tube or a tank under pressure can throw its cap."},
		{"connecting to the supply", "Drinking water must be protected from backflow by an air gap or an approved assembly; a licensed plumber and the local code decide which, and often a yearly test."},
		{"pumps, floats and lights", "Water and electricity: residual-current (GFCI) protection, bonded enclosures, locked off before opening. A licensed electrician connects it."},
		{"the drain", "Concentrate, softener brine and wash water go where the sewer authority allows, never to a storm drain."},
		{"the gun", "Low-TDS water is not for drinking: label the outlets. It eats copper, brass and galvanised steel; use plastic or stainless."},
	}
	if s.Rig.Carbon != nil || s.Supply.Disinfectant != site.NoDisinfectant {
		all = append(all, Caution{"sanitising", "Bleach must never reach the membrane or the resin, and never meet acid or ammonia: the gases can kill. Gloves, eye protection, and a test below 0.1 mg/L before the membrane is put back."})
	}
	if len(s.Rig.Resin) > 0 {
		all = append(all, Caution{"changing resin", "A wet bottle of 1 cubic foot weighs about 30 kg (65 lb): two people or a trolley. Spilled beads are as slippery as ball bearings. Regeneration chemicals stay off site."})
	}
	if t := s.Rig.Tank; t == nil || t.Kind != "pressurised" {
		all = append(all, Caution{"cleaning the tank", "Do not enter a tank: it is a confined space, with its own law. Clean it from outside. Warm standing water can grow legionella: keep it below 20 °C, closed, and turned over."})
	} else {
		all = append(all, Caution{"the pressurised tank", "Drain it before touching its precharge; never charge it above its rating."})
	}
	return all
}
