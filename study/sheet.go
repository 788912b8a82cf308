package study

import (
	"slices"

	"rinsewright/commissioning"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
)

// Sheet is a site's start-up sheet: its steps in the order the valves are
// touched, with what each gauge should read where the model knows.
type Sheet struct {
	Site    Heading
	Steps   []commissioning.Step
	Should  map[string]Figure // by reading key, as "gun_flow 2"
	Assumed []Assumption
	Rule    string
}

// StartUp returns the start-up sheet of a site. What is not known of it makes a
// sheet without figures, never none.
func StartUp(s *site.Site, o Options) Sheet {
	out := Sheet{Site: Heading{s.Name, s.About, s.Origin, string(s.Use)}, Rule: Rule, Should: map[string]Figure{}}
	has := hasOf(s)
	e, err := Expect(s, Under{})
	if err == nil {
		out.Assumed = e.Assumed
		for _, r := range e.Readings(quantity.Hours(1)) {
			out.Should[r.Key()] = kindFigure{r.Of.Kind(), r.SI, 0}
		}
		if bed := e.look.rig.carbon; bed != nil {
			if f, err := bed.Flush(e.look.supplied(), vesselFor(bed.Volume)); err == nil {
				has.CarbonFlush = f.Time
			}
		}
		has.Chlorine = e.look.chlorine
	}
	out.Steps = commissioning.Sheet(has)
	for _, step := range out.Steps { // a limit says more than what is left below it
		for _, stop := range step.Stop {
			if stop.Kind == commissioning.Below {
				delete(out.Should, string(stop.Of))
			}
		}
	}
	delete(out.Should, string(plant.TankDrop))
	return out
}

func hasOf(s *site.Site) commissioning.Has {
	r := s.Rig
	h := commissioning.Has{
		Filters: len(r.Filters), Carbon: r.Carbon != nil, Softener: r.Softener != nil, Booster: r.Booster != nil, Membrane: r.Membrane != nil,
		Needle: r.Restrictor != nil && r.Restrictor.Kind == "needle", Resin: len(r.Resin), Bays: max(s.Demand.Bays, 1),
		Vented:      r.Tank != nil && r.Tank.Kind != "pressurised",
		Pressurised: r.Tank != nil && r.Tank.Kind == "pressurised",
		Chlorine:    s.Supply.Disinfectant != site.NoDisinfectant && s.Supply.Source != site.Well,
	}
	if r.Carbon != nil {
		h.LooseCarbon = r.Carbon.Kind == "granular" || r.Carbon.Kind == "catalytic"
	}
	if t := r.Tank; h.Vented && t.Volume.Known {
		h.Bleach = SanitiseDose(t.Volume.Value)
	}
	if r.Membrane != nil {
		h.Housings = max(r.Membrane.Count, 1)
	}
	h.ResinAfter = slices.ContainsFunc(r.Resin, func(v site.Vessel) bool { return v.Place == "after tank" })
	return h
}

// Settled tells whether the strengths read one after another since the start are
// steady: the slope test of the sheet, for readings that say their minutes. It
// is cheap enough for every key stroke.
func Settled(readings []site.Reading) (commissioning.Steadiness, error) {
	var series []commissioning.Timed
	floor := 0.0
	for _, r := range readings {
		if r.Of == plant.PermeateStrength && r.Timed && r.Skipped == "" {
			series = append(series, commissioning.Timed{At: r.Running, Y: r.SI})
			floor = max(floor, r.Digit/3.4641016151377544) // half a digit either way, rectangular
		}
	}
	state, _, err := commissioning.StrengthSteady().Settle(series, floor)
	return state, err
}
