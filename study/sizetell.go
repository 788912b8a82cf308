package study

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"rinsewright/catalog"
	"rinsewright/cost"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/sizing"
	"rinsewright/working"
)

// telling turns what a search found into what a person reads.
type telling struct {
	*sizer
	currency string
	annuity  float64
}

func (z *sizer) result(ctx context.Context, s *site.Site, found *sizing.Outcome, n *notes) (*Sized, error) {
	t := telling{z, pricesOf(s.Prices, n).Currency, found.Annuity}
	o := z.options
	r := &Sized{
		Site: Heading{s.Name, s.About, s.Origin, string(s.Use)}, Target: pen{z.target}, Years: o.Years, Discount: o.Discount, Within: o.Within,
		Systems: found.Combinations / float64(len(z.choices[deliveryStage])) * float64(z.pumps), Judged: found.Trials, Cut: found.Cut, Looks: o.Looks,
	}
	var err error
	if r.Now, err = t.now(ctx, s); err != nil {
		return nil, err
	}
	if found.LeastOver == nil {
		t.ways(r, found)
	} else if r.Picks, err = t.picks(ctx, found, n); err != nil {
		return nil, err
	}
	r.Frontier, r.telling = t.frontier(found, r.Picks), &t
	if found.LeastOver != nil {
		r.Turns = t.turns(found, r.Picks)
	}
	r.Assumed = n.assumed
	cautioned := *s
	if len(r.Picks) > 0 {
		cautioned = *r.Picks[0].rigged
	}
	r.Cautions = cautionsOf(&cautioned)
	return r, nil
}

// pen is a strength as the NaCl scale shows it.
type pen struct{ c quantity.MassConc }

func (p pen) Text(quantity.System, quantity.Locale) string { return ppm(p.c) + " on the pen" }

func (p pen) Plain(quantity.System) (float64, string) { return p.c.MilligramsPerLitre(), "ppm" }

func (t telling) picks(ctx context.Context, found *sizing.Outcome, n *notes) ([]Pick, error) {
	all := []Pick{
		{Name: "least_first_cost", Says: "Least first cost", system: found.LeastFirst},
		{Name: "least_cost_over_years", Says: fmt.Sprintf("Least cost over %d years", t.options.Years), system: found.LeastOver},
		{Name: "most_headroom", Says: fmt.Sprintf("Most headroom for %.0f %% more", 100*t.options.Within), system: found.MostHeadroom},
	}
	same := make([]int, len(all)) // the first pick that is the same system
	for i := range all {
		same[i] = slices.IndexFunc(all, func(p Pick) bool { return slices.Equal(p.system.Chosen, all[i].system.Chosen) })
	}
	if err := t.fillAll(ctx, all, same, n); err != nil {
		return nil, err
	}
	for i := range all {
		p := &all[i]
		if first := all[same[i]]; same[i] != i {
			first.Name, first.Says, first.SameAs = p.Name, p.Says, first.Name
			*p = first
		}
		t.binds(p, found)
	}
	return all, nil
}

// fillAll fills the picks side by side, each system once, and notes what they
// assume in their order.
func (t telling) fillAll(ctx context.Context, all []Pick, same []int, n *notes) error {
	errs, assumed := make([]error, len(all)), make([]notes, len(all))
	var wait sync.WaitGroup
	for i := range all {
		if same[i] == i {
			wait.Go(func() { errs[i] = t.fill(ctx, &all[i], &assumed[i]) })
		}
	}
	wait.Wait()
	for i := range all {
		for _, a := range assumed[i].assumed {
			n.assume(a.What, a.Value, a.Why)
		}
	}
	return errors.Join(errs...)
}

// fill runs the chosen system through the whole chain, bands and all.
func (t telling) fill(ctx context.Context, p *Pick, n *notes) error {
	chosen := p.system.Chosen
	s, _, err := t.stored(chosen, t.pathOf(chosen))
	if err != nil {
		return err
	}
	tank := s.Rig.Tank
	s = t.siteOf(chosen)
	s.Rig.Tank = tank
	p.rigged = s
	o := t.options.Options
	o.brief = true
	c, err := Check(ctx, s, o)
	if err != nil {
		return err
	}
	for _, a := range c.Assumed {
		n.assume(a.What, a.Value, a.Why)
	}
	p.Path, p.Drain, p.Promises, p.Months, p.Findings, p.Working, p.Costs = c.Path, c.Drain, c.Promises, c.Months, c.Findings, c.Working, c.Costs
	p.Short, p.Parts = t.shortOf(chosen), t.parts(chosen)
	p.First, p.Yearly, p.Over = money(p.system.First, t.currency), money(p.system.Yearly, t.currency), money(p.system.Over, t.currency)
	p.Headroom = roomOf(p.system)
	told := map[string]bool{} // earlier stages told the same limit by a bound
	for _, m := range p.system.Margins {
		if !m.Fixed && !told[m.Constraint] {
			told[m.Constraint] = true
			p.Limits = append(p.Limits, limitOf(m))
		}
	}
	t.dress(p)
	t.write(p)
	return nil
}

// roomOf is the headroom of a system, down to a thousandth: nobody chooses by less.
func roomOf(s *sizing.System) quantity.Ratio {
	return quantity.Ratio(math.Floor(1000*float64(s.Headroom)+1e-9) / 1000)
}

func limitOf(m sizing.Margin) Limit {
	says := m.Says
	if m.Used > 1 && m.Used < 1.05 { // value and limit may print alike
		says = fmt.Sprintf("%s, over by %.1f %%", says, 100*(m.Used-1))
	}
	return Limit{m.Constraint, quantity.Ratio(m.Used), says}
}

// dress tells on the path what the chain has no word for: an iron filter, air
// in the tank, filters with a date to come.
func (t telling) dress(p *Pick) {
	iron := t.at(p.system.Chosen, feedStage).iron != nil
	for i := range p.Path {
		s := &p.Path[i]
		switch {
		case s.Kind == "filter" && iron:
			s.Kind, s.Name, s.State, s.Word, iron = "iron filter", "Iron filter", Fine, "backwashes itself", false
		case s.Kind == "filter":
			s.State, s.Word = Fine, "changed twice a year"
		case s.Kind == "vented tank" && p.rigged.Rig.Tank.Aerated:
			s.Name = "Aerated tank"
		}
	}
}

// shortOf tells a system in one line.
func (t telling) shortOf(chosen []int) string {
	var parts []string
	for _, stage := range []int{feedStage, softenerStage, boosterStage, trainStage, tankStage, resinStage, deliveryStage} {
		if name := t.at(chosen, stage).name; name != "" {
			parts = append(parts, name)
		}
	}
	if !t.polished(chosen) {
		parts = append(parts, "no resin")
	}
	return strings.Join(parts, ", ")
}

func (t telling) parts(chosen []int) (all []PartLine) {
	for stage := range chosen {
		for _, b := range t.at(chosen, stage).buys {
			line := PartLine{Name: b.name, Kind: string(b.kind), Count: b.count, Kept: b.kept, listed: cmp.Or(b.listed, b.name), Amount: money(0, t.currency)}
			if !b.kept {
				line.Amount = money(cost.Money(math.Round(b.count*float64(b.each))), t.currency)
				line.Old = b.kind == catalog.Filter && len(t.rig.Filters) > 0
			}
			all = append(all, line)
		}
	}
	return append(all, PartLine{Name: "start-up, settings and first readings", Kind: "labour", Count: startUp, Amount: money(cost.Money(math.Round(startUp*float64(t.labour))), t.currency)})
}

// binds says what stops something cheaper, and shows the neighbour that fails.
func (t telling) binds(p *Pick, found *sizing.Outcome) {
	p.Binds, p.Fails, p.BindsAt = nil, nil, -1
	var all []sizing.Binding
	switch p.Name {
	case "least_first_cost":
		all = found.BindsFirst
	case "least_cost_over_years":
		all = found.BindsOver
	default:
		t.bindsHeadroom(p, found)
	}
	for _, b := range all {
		m := worstOf(b.Cheaper, b.Constraint)
		p.Binds = append(p.Binds, Bind{b.Constraint, limitOf(m).Says})
		if p.Fails == nil {
			p.Fails = &Neighbour{t.instead(p.system.Chosen, b.Cheaper.Chosen), money(b.Saves, t.currency), limitOf(m)}
		}
	}
	if len(p.Binds) > 0 {
		p.BindsAt = stationOf(p.Path, p.Binds[0].Constraint)
	}
}

// bindsHeadroom names the limit that headroom is counted to; its neighbour is
// the least cost over the years.
func (t telling) bindsHeadroom(p *Pick, found *sizing.Outcome) {
	m, ok := p.system.Worst()
	if !ok {
		return
	}
	p.Binds = []Bind{{m.Constraint, m.Says}}
	least := found.LeastOver
	if worst, ok := least.Worst(); ok && !slices.Equal(least.Chosen, p.system.Chosen) {
		p.Fails = &Neighbour{t.instead(p.system.Chosen, least.Chosen), money(p.system.Over-least.Over, t.currency), limitOf(worst)}
	}
}

func worstOf(s *sizing.System, constraint string) (worst sizing.Margin) {
	for _, m := range s.Margins {
		if m.Constraint == constraint && m.Used >= worst.Used {
			worst = m
		}
	}
	return worst
}

// instead tells in which parts another system differs.
func (t telling) instead(pick, other []int) string {
	var parts []string
	for stage := range pick {
		if pick[stage] == other[stage] {
			continue
		}
		is, was := t.at(other, stage).name, t.at(pick, stage).name
		switch {
		case is == was || stage == outletStage: // told by tank and resin
		case is == "":
			parts = append(parts, "without "+was)
		case was == "":
			parts = append(parts, is)
		default:
			parts = append(parts, is+" instead of "+was)
		}
	}
	if len(parts) == 0 {
		return "other parts of the same names"
	}
	return strings.Join(parts, "; ")
}

// stationOf is where a constraint acts on the path.
func stationOf(path []Station, constraint string) int {
	kinds := map[string][]string{
		"iron at the membrane": {"iron filter", "filter", "membrane"}, "chlorine at the membrane": {"carbon", "membrane"}, "carbon contact": {"carbon"},
		"softener": {"softener"}, "softener flow": {"softener"}, "filter flow": {"filter", "iron filter"}, "city pressure": {"tap", "well"},
		"short rinses": {"vented tank", "pressurised tank"}, "float gap": {"vented tank", "pressurised tank"}, "standing water": {"vented tank", "pressurised tank"},
		"door": {"vented tank", "pressurised tank"}, "pressure at the gun": {"delivery pump", "gun"}, "guns together": {"delivery pump", "gun"}, "circuit": {"delivery pump", "booster pump"},
		"hydrogen sulphide": {"vented tank", "pressurised tank"}, "resin flow": {"resin"}, "strength at the gun": {"gun"},
	}[constraint]
	if kinds == nil {
		kinds = []string{"membrane"}
	}
	for _, kind := range kinds {
		for i, s := range path {
			if s.Kind == kind {
				return i
			}
		}
	}
	return -1
}

// now holds what hangs there to the same constraints.
func (t telling) now(ctx context.Context, s *site.Site) (*Now, error) {
	all := t.afresh(everyLimit) // what hangs there is told whole
	chosen, ok := all.hanging(s)
	if !ok {
		return nil, nil
	}
	rated, err := sizing.Rate(ctx, all.problem(), chosen)
	if err != nil {
		return nil, err
	}
	n := &Now{Short: "what hangs there now", Yearly: money(rated.Yearly, t.currency)}
	seen := map[string]bool{}
	for _, m := range rated.Margins {
		if m.Used > 1 && !seen[m.Constraint] {
			seen[m.Constraint] = true
			n.Breaks = append(n.Breaks, limitOf(m))
		}
	}
	return n, nil
}

// everyLimit is more limits than there are.
const everyLimit = 1000

// hanging finds the choices that are what hangs there, where it is complete.
func (t *sizer) hanging(s *site.Site) (chosen []int, ok bool) {
	if s.Rig.Membrane == nil || s.Rig.Tank == nil {
		return nil, false
	}
	chosen = make([]int, stageCount)
	for stage, choices := range t.choices {
		at := slices.IndexFunc(choices, func(c choice) bool {
			return c.kept
		})
		if at < 0 {
			return nil, false
		}
		chosen[stage] = at
	}
	return chosen, t.settled(chosen).settled && t.tankFits(chosen) && t.deliveryFits(chosen) && t.resinFits(chosen)
}

func (t telling) frontier(found *sizing.Outcome, picks []Pick) (all []FrontierPoint) {
	for _, f := range found.Frontier {
		p := FrontierPoint{First: money(f.First, t.currency), Yearly: money(f.Yearly, t.currency), Over: money(f.Over, t.currency), Headroom: roomOf(f), Short: t.shortOf(f.Chosen), system: f}
		if p.Risk, p.Drain = t.risks(f); len(all) > 0 {
			p.Beaten = slices.ContainsFunc(found.Frontier, func(g *sizing.System) bool {
				return g.First <= f.First && g.Yearly <= f.Yearly && (g.First < f.First || g.Yearly < f.Yearly)
			})
		}
		for _, pick := range picks {
			if slices.Equal(pick.system.Chosen, f.Chosen) && p.Pick == "" {
				p.Pick = pick.Name
			}
		}
		all = append(all, p)
	}
	return all
}

// risks are the rinses of a system that run short, and its water to the drain in
// a year.
func (t telling) risks(f *sizing.System) (short, drain Figure) {
	p := t.pathOf(f.Chosen)
	if _, l, err := t.stored(f.Chosen, p); err == nil {
		if share, err := t.shortShare(context.Background(), &l); err == nil {
			short = figure(share)
		}
	}
	made := t.base.demand.Year
	return short, figure(made/quantity.Volume(p.look.today.Recovery()) - made)
}

// mostWays is how many ways out are told; the list begins with the least.
const mostWays = 8

// ways tells what to relax when nothing is feasible.
func (t telling) ways(r *Sized, found *sizing.Outcome) {
	for _, x := range found.Relaxations[:min(len(found.Relaxations), mostWays)] {
		var all []string
		for _, name := range x.Constraints {
			m := worstOf(x.Least, name)
			says := m.Says
			if m.Used < impossible {
				says = fmt.Sprintf("%s: over by %.0f %%", m.Says, 100*(m.Used-1))
			}
			all = append(all, says)
		}
		r.Ways = append(r.Ways, Way{strings.Join(x.Constraints, " and "), len(x.Constraints), strings.Join(all, "; and "), t.shortOf(x.Least.Chosen), money(x.Least.First, t.currency), money(x.Least.Over, t.currency)})
	}
	var together []string
	for _, m := range found.Together {
		together = append(together, m.Constraint+" ("+m.Says+")")
	}
	r.Together = strings.Join(together, "; ")
}

// write adds how the money was counted to the working.
func (t telling) write(p *Pick) {
	b := book{steps: p.Working}
	var inputs []working.Input
	sum := ""
	for i, line := range p.Parts {
		a, ok := line.Amount.(amount)
		if line.Kept || !ok {
			continue
		}
		symbol := fmt.Sprintf("p_%d", i+1)
		if sum != "" {
			sum += " + "
		}
		sum += symbol
		inputs = append(inputs, input(symbol, fmt.Sprintf("%s, %g", line.Name, line.Count), a.minor/100, t.currency, working.Assumed, ""))
	}
	first := b.add(working.Step{
		Name: "first cost", Symbol: "C_1", Value: float64(p.system.First) / 100, Unit: t.currency, Formula: sum, Inputs: inputs,
		Source: "catalogue of parts with the hours to fit them", Limits: "typical parts at invented prices",
	})
	annuity := b.add(working.Step{Name: "present value of 1 a year", Symbol: "a", Value: t.annuity, Formula: "(1 - (1 + i)^-n) / i", Inputs: []working.Input{
		input("i", "discount a year", float64(t.options.Discount), "", working.Assumed, ""), input("n", "years", float64(t.options.Years), "", working.Assumed, ""),
	}, Source: "geometric series"})
	b.add(working.Step{Name: fmt.Sprintf("cost over %d years", t.options.Years), Symbol: "C", Value: float64(p.system.Over) / 100, Unit: t.currency, Formula: "C_1 + a * C_y", Inputs: []working.Input{
		input("C_1", "first cost", float64(p.system.First)/100, t.currency, working.Computed, first),
		input("a", "present value of 1 a year", t.annuity, "", working.Computed, annuity),
		input("C_y", "cost of a year", float64(p.system.Yearly)/100, t.currency, working.Computed, ""),
	}, Source: byArithmetic})
	p.Working = b.steps
}
