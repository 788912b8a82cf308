package cli

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"rinsewright/internal/paper"
	"rinsewright/internal/sitefile"
	"rinsewright/quantity"
	"rinsewright/study"
)

// WaterCommand shows the water sheet.
type WaterCommand struct {
	Site    string `arg:"" help:"Site file." type:"path"`
	HTML    string `name:"html" placeholder:"FILE" help:"Write the sheet as a page."`
	JSON    bool   `name:"json" help:"Print one JSON object instead."`
	Working bool   `help:"Print how every number came about."`
	Seed    uint64 `default:"1" help:"Seed of the bands: the same seed gives the same answer."`
	Units
}

// Help is the long help with examples.
func (WaterCommand) Help() string {
	return `Examples:
  rinsewright water site.toml
  rinsewright water site.toml --html water.html
  rinsewright water site.toml --units si --json`
}

// Run shows the sheet.
func (c WaterCommand) Run(desk Desk) error {
	data, s, err := readSite(c.Site)
	if err != nil {
		return c.refuse(desk, err)
	}
	options := study.Options{Seed: c.Seed, Units: c.System(), Locale: sitefile.Locale(data)}
	sheet, err := study.Water(desk.Context, s, options)
	if err != nil {
		return c.refuse(desk, unanswered(err, filepath.Base(c.Site)))
	}
	if c.HTML != "" {
		o := paper.Options{Units: options.Units, Locale: options.Locale, Version: desk.Version}
		if err := writePage(c.HTML, func(w io.Writer) error { return paper.WaterPage(w, sheet, o) }); err != nil {
			return c.refuse(desk, bad(err, ""))
		}
	}
	if c.JSON {
		return printJSON(desk.Out, sheetJSON(sheet))
	}
	t := newTerminal(desk.Out, options)
	t.sheet(sheet)
	if c.Working {
		t.working(sheet.Working)
	}
	return t.err
}

func (c WaterCommand) refuse(desk Desk, err error) error {
	return refuseAs("rinsewright.water/1", c.JSON, desk, err)
}

func (t *terminal) sheet(w *study.WaterSheet) {
	t.heading(w.Site)
	t.head("Water sheet: " + strings.TrimSpace(w.Place+" water "+w.Date))
	for _, c := range w.Contradictions {
		t.wrap("!  ", c+".")
	}
	if w.Full {
		t.wrap("", fmt.Sprintf("A full analysis, as printed; its charges are off by %+.1f %%.", 100*float64(w.Imbalance)))
	}
	for _, r := range w.Rows {
		t.wrap(pad(r.Name, 28), pad(r.Band.Text(t.units, t.locale), 40)+" "+string(r.From))
	}
	t.wrap("hardness is  ", t.facts(w.Hardness))
	t.scaling(w)
	t.head("What it loads on resin")
	t.line(pad("", 28) + pad("no membrane", 14) + "behind a membrane")
	for i, s := range w.Eats {
		behind := ""
		if i < len(w.Behind) {
			behind = quantity.FormatLocale(w.Behind[i].Share, t.units, t.locale)
		}
		t.line(pad(s.Name, 28) + pad(quantity.FormatLocale(s.Share, t.units, t.locale), 14) + behind)
	}
	t.troubles(w)
	t.head("The trade's indices, raw water")
	for _, r := range w.Indices {
		t.wrap(pad(r.Name, 28), fmt.Sprintf("%+.2f  %s", r.Value, r.Says))
	}
	t.assumed(w.Assumed)
	t.next(w.Next)
}

func (t *terminal) facts(all []study.Fact) string {
	parts := make([]string, len(all))
	for i, f := range all {
		parts[i] = t.text(f.Figure)
	}
	return strings.Join(parts, " · ")
}

func (t *terminal) scaling(w *study.WaterSheet) {
	t.head("What it does at the membrane's end, by recovery")
	for _, s := range w.Scaling {
		t.line(pad(quantity.FormatLocale(s.Recovery, t.units, t.locale), 8) + pad(s.First, 18) + pad(fmt.Sprintf("%+.1f (%+.1f to %+.1f)", s.Index, s.Low, s.High), 24) + s.Verdict)
	}
	t.wrap("", heldText(w.Holds, t.units, t.locale))
	if len(w.Unjudged) > 0 {
		t.wrap("", "Not judged, since an ion was not looked for: "+strings.Join(w.Unjudged, ", ")+".")
	}
}

// heldText says up to which recovery nothing settles.
func heldText(h study.Held, units quantity.System, loc quantity.Locale) string {
	text := func(r quantity.Ratio) string { return quantity.FormatLocale(r, units, loc) }
	switch {
	case h.Likely == 0:
		return "Nothing keeps it from settling at any recovery without a softener, acid or an antiscalant."
	case h.Surely == 0:
		return fmt.Sprintf("Nothing should settle up to %s, but it stays in doubt at any recovery.", text(h.Likely))
	case h.Surely == h.Likely:
		return fmt.Sprintf("Nothing settles up to %s.", text(h.Surely))
	}
	return fmt.Sprintf("Nothing settles up to %s, within the doubt; by the best guess up to %s.", text(h.Surely), text(h.Likely))
}

func (t *terminal) troubles(w *study.WaterSheet) {
	t.head("Disinfectant and what harms a membrane")
	for _, s := range w.Disinfectant {
		t.wrap("- ", s)
	}
	for _, x := range w.Troubles {
		if !x.Over {
			t.wrap("- ", fmt.Sprintf("%s: %s, below the limit of %s.", x.Of, quantity.FormatLocale(x.Read, t.units, t.locale), quantity.FormatLocale(x.Limit, t.units, t.locale)))
			continue
		}
		t.wrap("! ", fmt.Sprintf("%s: %s, above %s. It %s. %s.", x.Of, quantity.FormatLocale(x.Read, t.units, t.locale),
			quantity.FormatLocale(x.Limit, t.units, t.locale), x.Harms, upperFirst(x.Do)))
		if x.Caution != "" {
			t.wrap("  ", "Take care: "+x.Caution+".")
		}
	}
	if len(w.NotLooked) > 0 {
		t.wrap("- ", "Nobody looked for: "+strings.Join(w.NotLooked, ", ")+".")
	}
	t.head("What the made water attacks")
	for _, s := range w.Permeate {
		t.wrap("- ", s)
	}
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func (t *terminal) next(all []study.NextReading) {
	if len(all) == 0 {
		return
	}
	t.head("What to read next")
	for i, n := range all {
		lead := "- "
		if i == 0 {
			lead = "1 "
		}
		t.wrap(lead, fmt.Sprintf("%s: %.0f min, narrows the bands by %s, most of all %s; it %s.", n.Name, max(n.Minutes, 1), quantity.FormatLocale(n.Narrows, t.units, t.locale), n.Most, n.Why))
	}
}
