package study

import (
	"fmt"
	"math"

	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/site"
	"rinsewright/water"
)

// softening is what a softener on the wall does to the feed.
type softening struct{ cycle resin.Cycle }

// Softener figures where nobody said. Source: [TradeDefaults]: a cubic foot of
// resin regenerated with 8 lb of salt, a fifth kept in reserve, a bed of 26
// inches, so that a larger softener stands in a wider vessel.
const (
	softenerReserve = 0.20
	softenerDepth   = 0.66 // m
)

// vesselFor is the inside diameter of a vessel that holds resin to the usual
// depth.
func vesselFor(resin quantity.Volume) quantity.Length {
	return quantity.Length(math.Sqrt(4 * float64(resin) / (math.Pi * softenerDepth)))
}

// soften puts the softener's water in place of the raw water. The raw water
// stays beside it.
func (l *look) soften(s *site.Site, n *notes) error {
	l.feed = l.raw.Water
	if s.Rig.Softener == nil {
		return nil
	}
	bed := resin.Softener{
		Resin:   or(n, s.Rig.Softener.Resin, quantity.CubicFeet(1), "softener resin", "on its plate"),
		Salt:    or(n, s.Rig.Softener.SaltDose, quantity.Pounds(8), "salt per regeneration", "the setting of its valve"),
		Reserve: softenerReserve,
	}
	bed.Diameter = vesselFor(bed.Resin)
	hardness, err := resin.CompensatedHardness(l.raw.Water.Hardness(), water.Iron.Mass(l.raw.Water.Total[water.Iron]))
	if err != nil {
		return fmt.Errorf("softener: %w", err)
	}
	cations := water.ElectroneutralAlkalinity(l.raw.Water) + strongAnions(l.raw.Water)
	cycle, err := bed.Cycle(hardness, cations)
	if err != nil {
		return fmt.Errorf("softener: %w", err)
	}
	l.softening = &softening{cycle: cycle}
	l.feed = softened(l.raw.Water, cycle.Leak)
	return nil
}

// softened is w with its hardness exchanged for sodium but for a leak. Charge
// is kept: two sodiums for each calcium or magnesium.
func softened(w water.Water, leak quantity.CaCO3Conc) water.Water {
	kept := 0.0
	if h := float64(w.Hardness()); h > 0 {
		kept = min(float64(leak)/h, 1)
	}
	for _, c := range []water.Component{water.Calcium, water.Magnesium, water.Strontium, water.Barium, water.Iron, water.Manganese} {
		out := w.Total[c] * quantity.MolarConc(1-kept)
		w.Total[c] -= out
		w.Total[water.Sodium] += 2 * out
	}
	return w
}

// softenerFinding tells how often the softener must regenerate and what that
// takes.
func (c *checking) softenerFinding() (Finding, bool) {
	l := c.base
	if l.softening == nil {
		return Finding{}, false
	}
	feed := l.demand.OpenDay / quantity.Volume(l.today.Recovery())
	every, err := l.softening.cycle.Interval(feed)
	if err != nil {
		return Finding{}, false
	}
	f := Finding{
		State: Fine, About: "softener", Says: fmt.Sprintf("The softener regenerates every %s and lets %s of hardness through.",
			c.words(life{every}), text(c, l.softening.cycle.Leak)),
		Because: []string{fmt.Sprintf("Each time it takes %s of salt and sends %s to the drain.", text(c, l.softening.cycle.Salt), text(c, l.softening.cycle.Waste))},
	}
	if every < quantity.Days(1) {
		f.State = Due
		f.Because = append(f.Because, "More than once a day is too often: more resin, or a second one alternating.")
	}
	if l.supplied() > l.softening.cycle.MostFlow {
		f.State = Due
		f.Because = append(f.Because, fmt.Sprintf("The feed of %s is faster than its %s.", text(c, l.supplied()), text(c, l.softening.cycle.MostFlow)))
	}
	return f, true
}
