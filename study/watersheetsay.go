package study

import (
	"fmt"

	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/water"
)

// disinfectant says what the utility leaves in the water and what was read.
func (w *sheet) disinfectant() (says []string) {
	supply := w.site.Supply
	switch supply.Disinfectant {
	case site.Chlorine:
		says = append(says, "Free chlorine, says the survey. A polyamide membrane needs it below 0.1 mg/L: carbon with 2 minutes of contact or more, tested at its outlet.")
	case site.Chloramine:
		says = append(says, "Chloramine, says the survey. Ordinary carbon wants 7 to 10 minutes of contact, catalytic 3 to 5; test total chlorine, not free.")
		if supply.SwitchWeeks > 0 {
			says = append(says, fmt.Sprintf("For about %d weeks a year the utility doses free chlorine instead: test more often then.", supply.SwitchWeeks))
		}
	case site.NoDisinfectant:
		says = append(says, "None, says the survey: tanks and carbon can grow films, and warm standing water legionella. Test again after a utility's work.")
	default:
		if supply.Source == site.Well {
			says = append(says, "Nobody said. A private well is seldom chlorinated; a strip for total chlorine tells in a minute.")
		} else {
			says = append(says, "Nobody said. A city's water holds chlorine or chloramine unless it says otherwise: test free and total chlorine before trusting a membrane to it.")
		}
	}
	s := w.sample
	if s.FreeChlorine.Known {
		says = append(says, "Free chlorine was read as "+quantity.FormatLocale(s.FreeChlorine.Value, w.options.Units, w.options.Locale)+".")
	}
	if s.TotalChlorine.Known {
		says = append(says, "Total chlorine was read as "+quantity.FormatLocale(s.TotalChlorine.Value, w.options.Units, w.options.Locale)+".")
	}
	return says
}

// permeate says how the water that a common membrane makes of this one attacks
// what it touches. The calcite index is the measure for concrete and lime; for
// metals its low alkalinity and carbon dioxide count.
func (w *sheet) permeate() (says []string) {
	made, err := behindMembrane(w.base)
	if err != nil {
		return nil
	}
	solution, err := water.Equilibrate(made)
	if err != nil {
		return nil
	}
	pH := func(c water.Completion) float64 {
		made, err := behindMembrane(c)
		if err != nil {
			return c.Solution.PH
		}
		s, err := water.Equilibrate(made)
		if err != nil {
			return c.Solution.PH
		}
		return s.PH
	}
	low, high := w.span(pH, solution.PH)
	says = append(says, fmt.Sprintf("Behind a membrane that lets 3 %% of the ions pass: pH %.1f (%.1f to %.1f), %s of carbon dioxide, alkalinity %s, calcite index %+.1f.",
		solution.PH, low, high, quantity.FormatLocale(water.CarbonDioxideMass(solution.CO2()), w.options.Units, w.options.Locale),
		quantity.FormatLocale(made.Alkalinity.AsCaCO3(), w.options.Units, w.options.Locale), solution.SaturationIndex(water.Calcite)))
	says = append(says, "It dissolves copper, brass, galvanised steel, lead solder and fresh concrete: plastic or stainless from the membrane to the gun. It is not for drinking; label the outlets.")
	if solution.PH < 6 {
		says = append(says, "Most of that acid is carbon dioxide. A vented tank, aerated, lets it go, and what is left attacks less and loads less resin.")
	}
	return says
}
