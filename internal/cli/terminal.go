package cli

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"rinsewright/internal/say"
	"rinsewright/quantity"
	"rinsewright/study"
	"rinsewright/working"
)

// width is the room on a terminal that every line must fit.
const width = 80

// terminal prints results for a person, wrapped, without colour: a state is a
// word. The first write error stops everything and is kept.
type terminal struct {
	w      io.Writer
	units  quantity.System
	locale quantity.Locale
	words  *say.Speaker
	err    error
}

func newTerminal(w io.Writer, o study.Options) *terminal {
	return &terminal{w: w, units: o.Units, locale: o.Locale, words: say.Shared("en", false)}
}

func (t *terminal) line(s string) { t.put(t.columns(s)) }

// put prints a line that is said already.
func (t *terminal) put(s string) {
	if t.err == nil {
		_, t.err = fmt.Fprintln(t.w, strings.TrimRight(s, " "))
	}
}

func (t *terminal) head(s string) {
	s = t.words.Say(s)
	t.line("")
	t.line(s)
	t.line(strings.Repeat("-", utf8.RuneCountInString(s)))
}

// wrap prints text behind a lead; further lines are indented to its width.
func (t *terminal) wrap(lead, text string) {
	for _, line := range wrapped(t.columns(lead), t.words.Say(text), width) {
		t.put(line)
	}
}

func wrapped(lead, text string, width int) (lines []string) {
	indent := strings.Repeat(" ", utf8.RuneCountInString(lead))
	line := lead
	empty := true
	for _, word := range strings.Fields(text) {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			lines = append(lines, line)
			line, empty = indent, true
		}
		if !empty {
			line += " "
		}
		line += word
		empty = false
	}
	return append(lines, line)
}

func (t *terminal) text(f study.Figure) string { return f.Text(t.units, t.locale) }

func pad(s string, n int) string {
	if missing := n - utf8.RuneCountInString(s); missing > 0 {
		return s + strings.Repeat(" ", missing)
	}
	return s
}

func (t *terminal) heading(h study.Heading) {
	title := h.Name
	if h.Use != "" {
		title += " · " + h.Use
	}
	if h.Origin != "" {
		title += " · " + h.Origin
	}
	t.line(title)
	if h.About != "" {
		t.wrap("", h.About)
	}
}

// summary is what fits one screen: the site, what matters, the path.
func (t *terminal) summary(c *study.Checked) {
	t.heading(c.Site)
	t.findings(c.Findings)
	t.path(c)
}

func (t *terminal) checked(c *study.Checked) {
	t.summary(c)
	t.promises(c)
	t.rig(c.Rig)
	t.resin(c.Resin)
	t.beds(c.Beds)
	t.busy(c.Busy)
	t.costs(c.Costs)
	t.assumed(c.Assumed)
	t.cautions(c.Cautions)
}

func (t *terminal) findings(all []study.Finding) {
	t.head("What matters")
	for _, f := range all {
		t.wrap(pad(string(f.State), 7), f.Says)
		if f.State == study.Fine {
			continue
		}
		for _, b := range f.Because {
			t.wrap("         ", b)
		}
	}
}

func (t *terminal) path(c *study.Checked) {
	t.head("The path, from the supply to the guns")
	for _, s := range c.Path {
		var facts []string
		for _, f := range s.Above {
			facts = append(facts, t.fact(f))
		}
		for _, f := range s.Below {
			facts = append(facts, t.fact(f))
		}
		state := t.words.Say(string(s.State))
		if s.Word != "" {
			state += ": " + t.words.Say(s.Word)
		}
		t.wrap(pad(t.words.Say(s.Name), 17), strings.Join(facts, " · ")+" · "+state)
		if s.Kind == "membrane" && c.Drain.First != "" {
			t.drain(c.Drain)
		}
	}
}

func (t *terminal) fact(f study.Fact) string {
	label := t.words.Say(f.Label)
	if label != "" {
		label += " "
	}
	return label + t.words.Say(t.text(f.Figure))
}

func (t *terminal) drain(d study.Drain) {
	t.wrap(pad("  "+t.words.Say("to the drain"), 17), fmt.Sprintf("%s a day · recovery %s · %s",
		quantity.FormatLocale(d.PerDay, t.units, t.locale), quantity.FormatLocale(d.Recovery, t.units, t.locale), quantity.FormatLocale(d.Strength, t.units, t.locale)))
}

func (t *terminal) promises(c *study.Checked) {
	t.head("What it does, with 5 to 95 % bands")
	for _, p := range c.Promises {
		value := p.Band.Text(t.units, t.locale)
		if p.Read != nil {
			value += "; read " + t.text(p.Read)
		}
		t.wrap(pad(p.Says, 38), value)
	}
	t.wrap("", fmt.Sprintf("Bands from %d looks at the same path, each within the doubt of meters, data sheets and assumptions.", c.Looks))
	t.settles(c.Settles)
}

// mostSettles is how many readings a person is asked to think of at once.
const mostSettles = 3

func (t *terminal) settles(all []study.Settling) {
	if len(all) == 0 {
		return
	}
	t.head("What would narrow these bands most")
	for _, s := range all[:min(len(all), mostSettles)] {
		t.wrap("- ", fmt.Sprintf("%s (%s): %s", t.words.Say(s.Reading), quantity.FormatLocale(s.Minutes, t.units, t.locale), t.words.Say(s.Gain())))
	}
}

const barWidth = 30

func (t *terminal) resin(r *study.Resin) {
	if r == nil {
		return
	}
	t.head("What takes the places on the resin")
	for _, s := range r.Eats {
		bar := strings.Repeat("█", int(float64(s.Share)*barWidth+0.5))
		t.line(pad(s.Name, 32) + pad(quantity.FormatLocale(s.Share, t.units, t.locale), 9) + bar)
	}
	if len(r.Changes) == 0 {
		return
	}
	t.head("What would change it, by the same model")
	for _, c := range r.Changes {
		t.wrap(pad("  "+t.text(c.Days), 14), fmt.Sprintf("%s (x%.3g): %s", t.words.Say(c.Name), c.Times, t.words.Say(c.Note)))
	}
}

func (t *terminal) costs(all []study.Cost) {
	t.head("What a year costs")
	for _, c := range all {
		t.line(pad(c.Name, 32) + fmt.Sprintf("%14s", t.text(c.Amount)))
	}
}

func (t *terminal) assumed(all []study.Assumption) {
	if len(all) == 0 {
		return
	}
	t.head("Assumed, because nobody said")
	for _, a := range all {
		text := t.words.Say(a.What)
		if a.Value != "" {
			text += ": " + t.words.Say(a.Value)
		}
		if a.Why != "" && a.Why != "nobody said" {
			text += " (" + t.words.Say(a.Why) + ")"
		}
		t.wrap("- ", text)
	}
}

func (t *terminal) cautions(all []study.Caution) {
	t.head("Take care")
	for _, c := range all {
		t.wrap("- ", t.words.Say(c.Step)+": "+t.words.Say(c.Text))
	}
}

// working prints every step: the formula in symbols, then each input.
func (t *terminal) working(steps []working.Step) {
	t.head("How every number came about")
	for _, s := range steps {
		how := s.Solved
		if s.Formula != "" {
			how = s.Symbol + " = " + s.Formula
		}
		t.wrap(pad(s.ID, 5), s.Name+": "+number(s.Value)+" "+s.Unit)
		t.wrap("     ", how)
		for _, in := range s.Inputs {
			from := string(in.Origin)
			if in.Step != "" {
				from = in.Step
			}
			t.wrap("       ", fmt.Sprintf("%s  %s = %s %s (%s)", in.Symbol, in.Name, number(in.Value), in.Unit, from))
		}
		note := "source: " + s.Source
		if s.Limits != "" {
			note += "; limits: " + s.Limits
		}
		t.wrap("     ", note)
	}
}

// number prints a working number with six significant digits: enough to repeat
// the step with a pocket calculator.
func number(x float64) string { return fmt.Sprintf("%.6g", x) }
