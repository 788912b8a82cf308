package paper

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"rinsewright/internal/paper/layout"
	"rinsewright/quantity"
	"rinsewright/study"
	"rinsewright/water"
)

// quote is what a customer decides by: what was found, the options side by
// side, each with its parts and promises, what is not in the price, a place
// to sign, and how the numbers came about.
func (p *setting) quote() error {
	if p.Offer == nil || len(p.options()) == 0 {
		return ErrNothing
	}
	q, picks := p.Offer, p.options()
	p.Lead(p.sayf("An offer for spot-free rinse water. Options: %d. Prices hold until %s.", len(q.Options), p.date(p.job.Date.AddDate(0, 0, q.ValidFor))))
	p.parties()
	p.designed()
	p.found()
	p.compared(picks)
	for i, o := range q.Options {
		p.option(o, picks[i])
	}
	p.Head(p.say("Not in the price"))
	p.Points(p.sayAll(q.Excluded))
	p.Head(p.say("What you provide"))
	p.Points(p.sayAll(q.Customer))
	p.programme()
	p.Head(p.say("Terms"))
	terms := q.Terms
	if p.job.Issue != nil {
		terms = slices.DeleteFunc(slices.Clone(terms), func(s string) bool { return s == study.OfficeNote })
	}
	p.Points(p.sayAll(terms))
	p.cautions(q.Cautions)
	p.accept(q)
	p.assumptions(p.Sized.Assumed)
	if x, letter, ok := p.taken(); ok {
		p.working(p.sayf("The working of option %s", letter), x.Working)
	}
	return nil
}

func letter(i int) string { return string(rune('A' + i)) }

// parties are the two sides of a paper; what nobody said is left to write in.
func (p *setting) parties() {
	p.Pairs([]layout.Pair{
		{Name: p.say("for"), Value: p.job.For},
		{Name: p.say("prepared by"), Value: strings.Join(some(p.job.By, p.job.From), ", ")},
		{Name: p.say("strength wanted at the gun"), Value: p.wanted()},
	})
}

// wanted is what the record asks for, or what a sizing took for want of it.
func (p *setting) wanted() string {
	switch {
	case p.Site.Target.Known:
		return told(p, p.Site.Target)
	case p.Sized != nil && p.Sized.Target != nil:
		return p.fig(p.Sized.Target)
	}
	return p.say("not said")
}

func (p *setting) aboveWanted() string {
	if !p.Site.Target.Known && p.Sized == nil {
		return p.say("above what was agreed")
	}
	return p.sayf("above %s", p.wanted())
}

func some(all ...string) (kept []string) {
	for _, s := range all {
		if s != "" {
			kept = append(kept, s)
		}
	}
	return kept
}

// found tells the readings of the survey and what matters in what hangs there.
func (p *setting) found() {
	p.Head(p.say("What was found"))
	p.readings(p.Site.Samples)
	if p.Hangs != nil {
		p.findings(p.Hangs.Findings, false)
	}
}

var placeWords = map[string]string{
	"raw": "raw water", "feed": "feed of the membrane", "permeate": "after the membrane", "concentrate": "concentrate",
	"polished": "after the resin", "tank": "tank", "gun": "gun",
}

// readings is a table of what meters said, with their day.
func (p *setting) readings(samples []water.Sample) {
	if len(samples) == 0 {
		p.Para(p.say("No readings were taken yet."))
		return
	}
	var rows []layout.Row
	for _, s := range samples {
		rows = append(rows, layout.Row{Cells: []string{p.say(placeWords[s.Place]), p.day(s.Date), p.strength(s.Strength), told(p, s.Temperature), p.others(s)}})
	}
	p.Table([]layout.Column{
		{Head: p.say("where"), Share: 2.2},
		{Head: p.say("when"), Share: 1.9},
		{Head: p.say("strength"), Share: 2},
		{Head: p.say("temperature"), Share: 1.3, Right: true},
		{Head: p.say("other readings"), Share: 4},
	}, rows)
}

func (p *setting) strength(s water.Strength) string {
	switch {
	case s.PPM.Known && s.PPM.Value == 0: // half a digit, never nothing
		return p.units(strings.TrimSuffix("below half a ppm, "+s.Scale+" scale", ",  scale"))
	case s.Conductivity.Known:
		return told(p, s.Conductivity)
	case s.PPM.Known && s.Scale != "":
		return p.units(told(p, s.PPM) + ", " + s.Scale + " scale")
	case s.PPM.Known:
		return told(p, s.PPM)
	}
	return ""
}

// told prints a value as the person typed it, or in the reader's units.
func told[Q quantity.Quantity](p *setting, e quantity.Entry[Q]) string {
	if !e.Known {
		return ""
	}
	if e.Typed != "" {
		return p.units(e.Typed)
	}
	return p.units(quantity.FormatLocale(e.Value, p.job.Units, p.job.Locale))
}

func inUnits[Q quantity.Quantity](p *setting, q Q) string {
	return p.units(quantity.FormatLocale(q, p.job.Units, p.job.Locale))
}

func (p *setting) others(s water.Sample) string {
	var all []string
	add := func(name, value string) {
		if value != "" {
			all = append(all, p.say(name)+" "+value)
		}
	}
	add("pH", told(p, s.PH))
	add("hardness", told(p, s.Hardness))
	add("alkalinity", told(p, s.Alkalinity))
	for c := range water.NComponents {
		add(c.String(), told(p, s.Ions[c]))
	}
	add("sulphide", told(p, s.Sulphide))
	add("free chlorine", told(p, s.FreeChlorine))
	add("total chlorine", told(p, s.TotalChlorine))
	return strings.Join(all, " · ")
}

// findings says what matters; what is fine only when asked for.
func (p *setting) findings(all []study.Finding, fine bool) {
	var rows []layout.Row
	for _, f := range all {
		if f.State != study.Fine || fine {
			rows = append(rows, layout.Row{Cells: []string{p.say(string(f.State)), p.sentence(f.Says)}})
		}
	}
	if len(rows) > 0 {
		p.Table([]layout.Column{{Share: 1}, {Head: p.say("What matters in what hangs there"), Share: 7}}, rows)
	}
}

// sentence gives one of the engine's sentences.
func (p *setting) sentence(s string) string { return p.units(p.say(s)) }

// compared sets the options side by side.
func (p *setting) compared(picks []study.Pick) {
	p.Head(p.say("The options side by side"))
	columns := []layout.Column{{Share: 2.6}}
	line := func(name string, value func(study.Pick) string) layout.Row {
		cells := []string{name}
		for _, x := range picks {
			cells = append(cells, value(x))
		}
		return layout.Row{Cells: cells}
	}
	for i, x := range picks {
		columns = append(columns, layout.Column{Head: letter(i) + "  " + p.say(x.Says), Share: 2, Right: true})
	}
	rows := []layout.Row{
		line(p.say("price, fitted and started"), func(x study.Pick) string { return p.fig(x.First) }),
		line(p.say("cost of a year"), func(x study.Pick) string { return p.fig(x.Yearly) }),
		line(p.sayf("cost over %d years", p.Sized.Years), func(x study.Pick) string { return p.fig(x.Over) }),
		line(p.say("room left of what binds"), func(x study.Pick) string {
			return quantity.FormatLocale(x.Headroom, p.job.Units, p.job.Locale)
		}),
	}
	rows = append(rows,
		line(p.say("work at the site, one person"), func(x study.Pick) string { work, _ := p.onSite(x); return work }),
		line(p.say("bays shut for"), func(x study.Pick) string { _, shut := p.onSite(x); return shut }),
	)
	rows[0].Strong = true
	for _, promise := range p.Offer.Options[0].Promise {
		rows = append(rows, line(p.say(promise.Says), func(x study.Pick) string { return p.promised(x, promise.Name) }))
	}
	p.Table(columns, rows)
	p.Small(p.sayf("Numbers in brackets are the 5 to 95 %% band. Money over the years is discounted at %s a year.", quantity.FormatLocale(p.Sized.Discount, p.job.Units, p.job.Locale)))
}

func (p *setting) promised(x study.Pick, name string) string {
	for _, promise := range x.Promises {
		if promise.Name == name {
			return p.band(promise.Band)
		}
	}
	return "–"
}

// option is one system: its path, its parts, what it uses in a year, what
// stops a cheaper one.
func (p *setting) option(o study.QuoteOption, x study.Pick) {
	p.Keep(380)
	p.Head(p.sayf("Option %s: %s", o.Letter, p.say(o.Says)))
	p.Para(upperFirst(p.described(o.Short)))
	p.path(x.Path, x.Drain, x.BindsAt)
	p.priced(o)
	p.uses(o.Uses)
	p.binds(x.Binds)
}

func (p *setting) binds(all []study.Bind) {
	var told []string
	for _, b := range all {
		told = append(told, p.say(b.Constraint)+" ("+p.sentence(b.Says)+")")
	}
	if len(told) > 0 {
		p.Para(p.sayf("What binds: %s.", strings.Join(told, "; ")))
	}
}

// described translates a system in one line, part by part.
func (p *setting) described(short string) string {
	parts := strings.Split(short, ", ")
	for i, x := range parts {
		parts[i] = p.part(x)
	}
	return strings.Join(parts, ", ")
}

func (p *setting) priced(o study.QuoteOption) {
	var rows []layout.Row
	for _, x := range o.Parts {
		amount := p.say("stays")
		if !x.Kept {
			amount = p.fig(x.Amount)
		}
		name := upperFirst(p.part(x.Name))
		if x.Old {
			name = p.sayf("%s, in place of the old", name)
		}
		rows = append(rows, layout.Row{Cells: []string{p.counted(x), name, amount}})
	}
	rows = append(rows, layout.Row{Cells: []string{"", p.say("Price, fitted and started"), p.fig(o.Price)}, Strong: true})
	p.Table([]layout.Column{{Head: p.say("how many"), Share: 1}, {Head: p.say("what"), Share: 5}, {Head: p.say("price, with fitting"), Share: 1.6, Right: true}}, rows)
	p.taxed(o)
	p.plan(o)
}

// taxed tells tax, loan and the drain's water where there are any.
func (p *setting) taxed(o study.QuoteOption) {
	if o.Tax != nil {
		p.Para(p.sayf("With tax of %s: %s.", p.fig(o.Tax), p.fig(o.Total)))
	} else {
		p.Para(p.say("Without tax: the price list tells none."))
	}
	if o.Monthly != nil {
		p.Para(p.sayf("Or %s a month.", p.fig(o.Monthly)))
	}
	if o.Drain != nil {
		p.Para(p.sayf("To the drain each year: %s.", p.fig(o.Drain)))
	}
}

func (p *setting) plan(o study.QuoteOption) {
	p.Para(p.sayf("Service, %.0f visits a year, travel and work: %s.", o.Plan.Visits, p.fig(o.Plan.Price)))
	for _, does := range o.Plan.Does {
		p.Para("– " + p.say(does))
	}
}

// counted is how many of a part, with its unit.
func (p *setting) counted(x study.PartLine) string {
	switch x.Kind {
	case "labour":
		return fmt.Sprintf("%g h", x.Count)
	case "tube":
		if !x.Kept {
			return fmt.Sprintf("%g m", x.Count)
		}
	}
	return fmt.Sprintf("%g", x.Count)
}

func (p *setting) uses(all []study.Cost) {
	var rows []layout.Row
	for i, c := range all {
		rows = append(rows, layout.Row{Cells: []string{upperFirst(p.say(c.Name)), p.fig(c.Amount)}, Strong: i == len(all)-1})
	}
	p.Table([]layout.Column{{Head: p.say("what a year uses"), Share: 6}, {Head: p.say("a year"), Share: 1.6, Right: true}}, rows)
}

func (p *setting) accept(q *study.Quoted) {
	p.Head(p.say("Accepted"))
	var steps []layout.Step
	for _, o := range q.Options {
		steps = append(steps, layout.Step{Text: p.sayf("Option %s: %s", o.Letter, p.say(o.Says)), Figure: p.fig(o.Price)})
	}
	p.Steps(steps)
	p.Signatures([]string{p.say("for the customer"), p.say("for the supplier")})
}

func (p *setting) assumptions(all []study.Assumption) {
	if len(all) == 0 {
		return
	}
	p.Head(p.say("Assumed, because nobody said"))
	var rows []layout.Row
	for i, a := range all {
		rows = append(rows, layout.Row{Cells: []string{fmt.Sprint(i + 1), p.say(a.What), p.each(a.Value), p.say(a.Why)}})
	}
	p.Table([]layout.Column{{Share: 0.4}, {Head: p.say("what"), Share: 2.4}, {Head: p.say("taken as"), Share: 3}, {Head: p.say("why, and what would tell"), Share: 3}}, rows)
}

// each says a list of short phrases one by one.
func (p *setting) each(list string) string {
	parts := strings.Split(list, "; ")
	for i, x := range parts {
		parts[i] = p.units(p.say(x))
	}
	return strings.Join(parts, "; ")
}

func upperFirst(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 || strings.HasPrefix(s, "pH") {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}
