package study

import (
	"fmt"
	"slices"

	"rinsewright/carbon"
	"rinsewright/membrane"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/water"
)

// findings says what matters, what needs someone today first.
func (c *checking) findings(r *Checked) ([]Finding, error) {
	var all []Finding
	add := func(f Finding, ok bool) {
		if ok {
			all = append(all, f)
		}
	}
	add(c.resinFinding(r.Resin))
	add(c.backPressureFinding())
	add(c.storageFinding())
	add(c.coldFinding())
	add(c.heatFinding())
	add(c.silicaFinding(r.Resin))
	add(c.crossOverFinding())
	add(c.chlorineFinding())
	add(c.scalingFinding(r.Drain))
	add(c.ironFinding())
	add(c.softenerFinding())
	add(c.gunFinding())
	add(c.rinseFinding())
	add(c.deliveryFinding())
	add(c.contradictionFinding())
	all = append(all, c.controlFindings()...)
	margins, err := c.marginFindings()
	if err != nil {
		return nil, err
	}
	all = append(all, margins...)
	for i := range all {
		for j, because := range all[i].Because {
			all[i].Because[j] = capital(because)
		}
	}
	rank := map[State]int{Today: 0, Due: 1, NotKnown: 2, Fine: 3}
	slices.SortStableFunc(all, func(a, b Finding) int { return rank[a.State] - rank[b.State] })
	return all, nil
}

// text prints a quantity in the units that the question was asked in.
func text[Q quantity.Quantity](c *checking, q Q) string {
	return quantity.FormatLocale(q, c.options.Units, c.options.Locale)
}

// words prints a figure in the same units.
func (c *checking) words(f interface {
	Text(quantity.System, quantity.Locale) string
},
) string {
	return f.Text(c.options.Units, c.options.Locale)
}

// shortLife is how long a bottle of resin should last before someone calls it
// a nuisance. Source: [TradeDefaults]: weeks to months.
const shortLife = quantity.Time(30 * 86400)

func (c *checking) resinFinding(r *Resin) (Finding, bool) {
	if r == nil {
		return Finding{}, false
	}
	days := quantity.Time(resinDays(c, c.base))
	f := Finding{State: Fine, About: "resin", Says: "A bottle of resin lasts " + c.words(r.Days) + "."}
	if days < shortLife {
		f.State = Due
	}
	if label, ok := r.LabelDays.(life); ok && float64(label.t) > 1.5*float64(days) {
		f.Says = fmt.Sprintf("A bottle of resin lasts %s, not the %s that its label and the pen promise.", c.words(r.Days), c.words(r.LabelDays))
	}
	if len(r.Eats) > 0 {
		f.Because = append(f.Because, fmt.Sprintf("Of its places, %s takes %s.", r.Eats[0].Name, text(c, r.Eats[0].Share)))
	}
	if c.base.life.Shares.CO2 > 0.3 {
		f.Because = append(f.Because, c.carbonDioxideReason())
	}
	if len(r.Changes) > 0 && r.Changes[0].Times > 1.5 {
		f.Because = append(f.Because, fmt.Sprintf("It would last %[2]s with %[1]s: %[3]s.", r.Changes[0].Name, c.words(r.Changes[0].Days), r.Changes[0].Note))
	}
	return f, true
}

func (c *checking) carbonDioxideReason() string {
	l := c.base
	raw := water.CarbonDioxideMass(l.raw.Solution.CO2())
	pen, err := penNaCl(l.permeate.at25)
	if err != nil {
		return ""
	}
	return fmt.Sprintf("The raw water holds %s of carbon dioxide at pH %.1f. The membrane does not hold it back, and the pen hardly sees it: %s on the pen, %s of carbon dioxide in the same water.",
		text(c, raw), l.raw.Solution.PH, ppm(pen), text(c, water.CarbonDioxideMass(l.permeate.solution.CO2())))
}

// ppm prints a pen's reading in its own digits.
func ppm(c quantity.MassConc) string { return fmt.Sprintf("%.0f ppm", c.MilligramsPerLitre()) }

// backPressureFinding runs the rig against no tank pressure and tells what the
// tank's costs.
func (c *checking) backPressureFinding() (Finding, bool) {
	l := c.base
	if l.store.back < quantity.PSI(5) || len(l.rig.plant.Train.Housings) == 0 {
		return Finding{}, false
	}
	free, err := l.rig.plant.Serve(plant.Conditions{Feed: l.feed})
	if err != nil {
		return Finding{}, false
	}
	open, err := strengthOf(free.Product().Water)
	if err != nil || !(free.Product().Flow > 0) {
		return Finding{}, false
	}
	lost := 1 - float64(l.today.Product().Flow)/float64(free.Product().Flow)
	return Finding{
		State: Due, About: "tank", Says: fmt.Sprintf("The pressurised tank takes %.0f %% of what the membrane could make.", 100*lost),
		Because: []string{fmt.Sprintf("It pushes back with %s on average. Into an open tank the same membrane would make %s instead of %s, at %s instead of %s.",
			text(c, l.store.back), text(c, free.Product().Flow), text(c, l.today.Product().Flow), text(c, open.at25), text(c, l.permeate.at25))},
	}, true
}

func (c *checking) storageFinding() (Finding, bool) {
	share := float64(c.years.ShortShare.Mean)
	years := fmt.Sprint(c.years.Years, " simulated years")
	if c.years.Years == 1 {
		years = "a simulated year"
	}
	f := Finding{State: Fine, About: "storage", Says: "The tank keeps up: no rinse in " + years + " runs short of water."}
	if share > 0 {
		f.Says = fmt.Sprintf("About %.0f of %.0f rinses a year run short of water (%s).", c.years.Short.Mean, c.years.Wanted.Mean, text(c, quantity.Ratio(share)))
	}
	switch {
	case share > 0.05:
		f.State = Today
	case share > 0.005:
		f.State = Due
	}
	make := c.base.today.Product().Flow.Over(quantity.Days(1))
	f.Because = []string{fmt.Sprintf("The membrane makes up to %s a day; the busiest day asks for about %s, a mean open day for %s. The tank gives %s between full and empty.",
		text(c, make), text(c, c.base.demand.BusyDay), text(c, c.base.demand.OpenDay), text(c, c.base.store.tank.Usable()))}
	return f, true
}

func (c *checking) coldFinding() (Finding, bool) {
	l := c.base
	if l.cold != nil {
		return Finding{State: Today, About: "cold", Says: "In the coldest month the membrane makes nothing.", Because: []string{l.cold.Error()}}, true
	}
	cold, now := float64(l.coldest.Product().Flow), float64(l.today.Product().Flow)
	if !(cold < 0.85*now) {
		return Finding{}, false
	}
	if len(l.rig.plant.Train.Housings) == 0 {
		return Finding{}, false
	}
	return Finding{State: Fine, About: "cold", Says: fmt.Sprintf("In the coldest month the membrane makes %s, %.0f %% less than today.",
		text(c, l.coldest.Product().Flow), 100*(1-cold/now))}, true
}

func (c *checking) chlorineFinding() (Finding, bool) {
	l := c.base
	if !l.chlorine {
		return Finding{}, false
	}
	f := Finding{State: Fine, About: "chlorine", Says: "The carbon holds the chlorine off the membrane."}
	if l.rig.carbon == nil {
		f = Finding{State: Today, About: "chlorine", Says: "Nothing takes the chlorine out ahead of the membrane."}
	}
	for _, v := range l.contact {
		if !v.Holds {
			f.State = Due
			f.Says = fmt.Sprintf("The carbon's contact with %s is too short: %s, where %s is asked for.", v.Of, text(c, v.Have), text(c, v.Asked))
			f.Because = append(f.Because, v.Advice)
		}
	}
	if ruin := l.clock.Ruin; ruin.Reached && c.site.Rig.Membrane != nil {
		if f.State = Today; ruin.Time > quantity.Days(2*365) {
			f.State = Due
		}
		f.Because = append(f.Because, fmt.Sprintf("At this leak the membrane has had %.0f mg/L-hours in %s, the dose at which it commonly passes twice its salt.",
			carbon.Ruin.MilligramHoursPerLitre(), c.words(life{ruin.Time})))
	} else if len(l.clock.PerYear) > 0 && c.site.Rig.Membrane != nil {
		f.Because = append(f.Because, fmt.Sprintf("It lets %.0f mg/L-hours a year through; harm shows from about %.0f.",
			l.clock.PerYear[0].MilligramHoursPerLitre(), carbon.FirstHarm.MilligramHoursPerLitre()))
	}
	return f, true
}

func (c *checking) scalingFinding(d Drain) (Finding, bool) {
	f := Finding{State: Fine, About: "scaling", Says: fmt.Sprintf("Nothing scales in the membrane at %s recovery; %s is nearest, at a saturation index of %.1f.", text(c, d.Recovery), d.First, d.Index)}
	if d.First == "" {
		return Finding{}, false
	}
	if d.Index > 0 {
		f.State = Due
		f.Says = fmt.Sprintf("The concentrate is oversaturated with %s at %s recovery: saturation index %.1f.", d.First, text(c, d.Recovery), d.Index)
		f.Because = []string{"A softener, an antiscalant within its supplier's limits, acid, or a restrictor that lets more to drain keeps it below 0."}
	}
	return f, true
}

// Limits at the membrane. Source: [TradeDefaults]: iron and manganese below
// 0.05 mg/L, hydrogen sulphide out before it meets air or an oxidant.
const ironLimit = quantity.MassConc(5e-5)

func (c *checking) ironFinding() (Finding, bool) {
	sample, _ := sampleAt(c.site, "raw")
	iron, manganese := sample.Ions[water.Iron].Or(0), sample.Ions[water.Manganese].Or(0)
	sulphide := sample.Sulphide.Or(0)
	if iron+manganese <= ironLimit && !(sulphide > 0) {
		return Finding{}, false
	}
	f := Finding{State: Due, About: "iron", Says: fmt.Sprintf("Iron and manganese stand at %s; the membrane wants %s or less.", text(c, iron+manganese), text(c, ironLimit))}
	if iron+manganese <= ironLimit {
		f = Finding{State: Due, About: "sulphide", Says: "There is hydrogen sulphide in the raw water."}
	}
	f.Because = append(f.Because, "Oxidised and filtered before anything else, iron no longer fouls membrane or resin; oxidising must be finished ahead of the carbon.")
	if sulphide > 0 {
		f.Because = append(f.Because, fmt.Sprintf("Hydrogen sulphide (%s) passes the membrane as a gas and smells at the gun; an aerated tank lets it go, outdoors and with air moving: it is poisonous.", text(c, sulphide)))
	}
	return f, true
}

// targets by use, as a pen shows them. Source: [TradeDefaults] (TRADE's
// suggested targets): 2 ppm glass, 10 vehicles, 15 boats, 20 solar, 25 buses.
var targets = map[site.Use]quantity.MassConc{
	site.Glass: quantity.MilligramsPerLitre(2), site.Vehicles: quantity.MilligramsPerLitre(10), site.Boats: quantity.MilligramsPerLitre(15),
	site.Solar: quantity.MilligramsPerLitre(20), site.Buses: quantity.MilligramsPerLitre(25),
}

func (c *checking) target() (quantity.MassConc, bool) {
	if c.site.Target.Known {
		return c.site.Target.Value, true
	}
	t, ok := targets[c.site.Use]
	return t, ok
}

func (c *checking) gunFinding() (Finding, bool) {
	target, ok := c.target()
	pen, err := penNaCl(c.base.gun.at25)
	if !ok || err != nil {
		return Finding{}, false
	}
	f := Finding{State: Fine, About: "gun", Says: fmt.Sprintf("The gun gives %.1f ppm while the resin holds; %s is wanted.", pen.MilligramsPerLitre(), ppm(target))}
	if len(c.base.rig.beds) == 0 {
		f.Says = fmt.Sprintf("The gun gives %.1f ppm; %s is wanted.", pen.MilligramsPerLitre(), ppm(target))
	}
	if pen > target {
		f.State = Today
	}
	return f, true
}

func (c *checking) deliveryFinding() (Finding, bool) {
	l := c.base
	if !(l.alone.GunFlow > 0) {
		return Finding{
			State: Today, About: "guns", Says: fmt.Sprintf("What pushes the water cannot give one gun its %s.", text(c, l.gunFlow(c.site))),
			Because: []string{"Read the pressure at the gun while it runs; a larger tube, a pump or a smaller nozzle."},
		}, true
	}
	share := float64(l.delivery.GunFlow) / float64(l.alone.GunFlow)
	if share > 0.8 {
		return Finding{}, false
	}
	return Finding{
		State: Due, About: "guns", Says: fmt.Sprintf("With every gun open, each gets %s instead of %s.", text(c, l.delivery.GunFlow), text(c, l.alone.GunFlow)),
		Because: []string{fmt.Sprintf("The line takes %s of the %s that push it.", text(c, l.delivery.SharedLoss), text(c, l.delivery.SupplyPressure))},
	}, true
}

func (c *checking) contradictionFinding() (Finding, bool) {
	if len(c.base.raw.Contradictions) == 0 {
		return Finding{}, false
	}
	return Finding{State: NotKnown, About: "readings", Says: "The readings of the raw water do not fit each other.", Because: c.base.raw.Contradictions}, true
}

// marginFindings tells the limits that the membrane breaks.
func (c *checking) marginFindings() ([]Finding, error) {
	if len(c.base.rig.plant.Train.Housings) == 0 {
		return nil, nil
	}
	quality := membrane.SurfaceFeed
	if c.site.Supply.Source == site.Well {
		quality = membrane.WellFeed
	}
	margins, err := c.base.today.Membrane.Margins(quality)
	if err != nil {
		return nil, fmt.Errorf("limits of the membrane: %w", err)
	}
	var all []Finding
	for _, m := range margins {
		if m.Used <= 1 {
			continue
		}
		state := Due
		if m.Hard {
			state = Today
		}
		all = append(all, Finding{State: state, About: "membrane", Says: fmt.Sprintf("The membrane is over its limit of %s: %s.", m.Limit, m.Says)})
	}
	return all, nil
}
