package cli

import (
	"errors"
	"fmt"
	"io"
	"os"

	"rinsewright/faults"
	"rinsewright/internal/paper"
	"rinsewright/internal/sitefile"
	"rinsewright/site"
	"rinsewright/study"
)

// FaultsCommand says what may be wrong with a rig and what to test next.
type FaultsCommand struct {
	Site   string   `arg:"" optional:"" help:"Site file; may be left out with --ask." type:"path"`
	Said   []string `name:"said" placeholder:"WORDS" sep:"none" help:"What people say is wrong, in their words, English or Spanish; as often as needed."`
	Read   []string `name:"read" placeholder:"LINE" sep:"none" help:"A reading of today, as the log has it: \"permeate_strength = 34 ppm NaCl, after 10 min\"."`
	Ask    bool     `help:"The call: the five readings to ask for, the parts to load, whether to come."`
	Priors string   `name:"priors" placeholder:"FILE" type:"path" help:"Table of how often each cause is met, cause,weight, in place of the usual one."`
	HTML   string   `name:"html" placeholder:"FILE" help:"Write a page with the suspect station marked on the path."`
	JSON   bool     `name:"json" help:"Print one JSON object instead."`
	Units
	Spoken
}

// Help is the long help with examples.
func (FaultsCommand) Help() string {
	return `Reads the last visit of the log against the first one. Examples:
  rinsewright faults site.toml
  rinsewright faults site.toml --said "spots since May" --read "gun 3 63 ppm NaCl"
  rinsewright faults --ask --said "the tank takes forever to fill"
  rinsewright faults site.toml --html page.html

Exit code 0 with an answer, 2 when the site file or a reading cannot be used.`
}

const faultsSchema = "rinsewright.faults/1"

// Run answers.
func (c FaultsCommand) Run(desk Desk) error {
	found, options, err := c.find(desk)
	if err != nil {
		return refuseAs(faultsSchema, c.JSON, desk, err)
	}
	if c.HTML != "" {
		o := paper.Options{Language: c.Language, Units: options.Units, Locale: options.Locale, Version: desk.Version}
		if err := writePage(c.HTML, func(w io.Writer) error { return paper.FaultsPage(w, found, o) }); err != nil {
			return refuseAs(faultsSchema, c.JSON, desk, bad(err, ""))
		}
	}
	if c.JSON {
		return printJSON(desk.Out, faultedJSON(found))
	}
	t := newTerminal(desk.Out, options).in(c.Language)
	if c.Ask {
		t.call(found)
	} else {
		t.faulted(found)
	}
	return t.err
}

func (c FaultsCommand) find(desk Desk) (*study.Faulted, study.Options, error) {
	options := study.Options{Units: c.System(), Seed: 1}
	weights, err := c.weights()
	if err != nil {
		return nil, options, err
	}
	if c.Site == "" {
		if !c.Ask || len(c.Said) == 0 {
			return nil, options, bad(errors.New("faults: no site given"), `name the site file, or ask from words alone: rinsewright faults --ask --said "slow to fill"`)
		}
		found, err := study.FaultsFromWords(c.Said, weights)
		if err != nil {
			err = bad(err, "")
		}
		return found, options, err
	}
	data, s, err := readSite(c.Site)
	if err != nil {
		return nil, options, err
	}
	options.Locale = sitefile.Locale(data)
	q := study.FaultQuestion{Options: options, Words: c.Said, Weights: weights, Path: c.HTML != ""}
	for _, line := range c.Read {
		r, err := site.ParseReading(line, options.Locale)
		if err != nil {
			return nil, options, bad(fmt.Errorf("--read: %w", err), "")
		}
		if r.Skipped == "" {
			q.Read = append(q.Read, r.Reading)
		}
	}
	found, err := study.Faults(desk.Context, s, q)
	if errors.Is(err, faults.ErrRange) {
		return nil, options, bad(err, "read that gauge again, and give the unit")
	}
	if err != nil {
		return nil, options, unanswered(err, c.Site)
	}
	return found, options, nil
}

// weights reads the table of --priors, nil without one.
func (c FaultsCommand) weights() (faults.Weights, error) {
	if c.Priors == "" {
		return nil, nil
	}
	file, err := os.Open(c.Priors)
	if err != nil {
		return nil, bad(fmt.Errorf("--priors: %w", err), "")
	}
	defer file.Close()
	w, err := faults.ParseWeights(file)
	if err != nil {
		return nil, bad(fmt.Errorf("--priors %s: %w", c.Priors, err), "a table like: cause,weight on the first line, then 12,2 where cause 12 is met twice as often")
	}
	return w, nil
}

// How much is told in one look.
const (
	toldCauses = 6
	toldTests  = 5
)

func (t *terminal) faulted(f *study.Faulted) {
	t.heading(f.Site)
	t.fromWhere(f)
	t.head("What may be wrong")
	for i, s := range f.Finding.Ranked {
		if i >= toldCauses || i > 0 && s.Probability < 0.02 {
			break
		}
		t.wrap(pad(fmt.Sprintf("%3.0f %%", 100*s.Probability), 7), suspectText(s))
	}
	for _, line := range study.FaultDoubts(f.Finding) {
		t.wrap("       ", line)
	}
	t.evidence(f)
	t.tests(f, toldTests)
	t.remedy(f)
	if len(f.Finding.Heard) > 0 {
		t.head("What was made of the words")
		for _, h := range f.Finding.Heard {
			t.wrap("", h.Concept+": speaks for "+study.CauseNames(h.Speaks, 4))
		}
	}
}

func suspectText(s faults.Suspect) string {
	text := s.Cause.Name
	if s.Form != "" {
		text += ", " + s.Form
	}
	if s.Cause.Nothing {
		text += " (nothing wrong with the rig)"
	}
	return fmt.Sprintf("%s · %s · no. %d", text, s.Cause.Station, s.Cause.Number)
}

func (t *terminal) fromWhere(f *study.Faulted) {
	switch {
	case f.Finding.Used == 0:
		t.wrap("", "Nobody has read anything yet: told from age, water and words alone.")
	case f.Baseline != "":
		t.wrap("", fmt.Sprintf("%d readings of %s, held against %s.", f.Finding.Used, f.From, f.Baseline))
	default:
		t.wrap("", fmt.Sprintf("%d readings of %s, held against nameplates: no baseline.", f.Finding.Used, f.From))
	}
}

// evidence puts the first cause's readings beside what it foresees.
func (t *terminal) evidence(f *study.Faulted) {
	first := f.Finding.Ranked[0]
	if len(first.Points) == 0 {
		return
	}
	t.head("Why " + first.Cause.Name)
	t.line(pad("", 32) + pad("read", 13) + pad("foreseen", 13) + "says")
	for _, p := range first.Points {
		title := p.Of.Title()
		if p.Number > 0 {
			title += fmt.Sprintf(" %d", p.Number)
		}
		row := pad(shorten(title, 31), 32) + pad(t.gauge(p, p.Read), 13) + pad(t.gauge(p, p.Predicted), 13)
		t.line(row + study.PointSays(p))
	}
}

func (t *terminal) gauge(p faults.Point, si float64) string {
	return study.GaugeText(p.Of, si, t.units, t.locale)
}

func shorten(s string, n int) string {
	if r := []rune(s); len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return s
}

func (t *terminal) tests(f *study.Faulted, most int) {
	t.head("Test next")
	for i, x := range f.Finding.Next {
		if i >= most {
			break
		}
		do := x.Do
		if kit := f.Kit(x); kit != nil {
			do += ", kit about " + t.text(kit)
		}
		t.wrap(pad(fmt.Sprintf("%3.0f min", x.Minutes), 9), do)
		t.outcomes(x)
	}
}

func (t *terminal) outcomes(x faults.Test) {
	if len(x.Outcomes) < 2 { // it tells little which way
		return
	}
	told := 0
	for _, o := range x.Outcomes {
		if o.Share < 0.03 || told == 3 {
			continue
		}
		told++
		about := o.Says
		if about == "" {
			about = "about " + study.GaugeText(x.Of, o.Reads, t.units, t.locale)
		}
		t.wrap("           ", about+": "+study.CauseNames(o.Causes, 3))
	}
}

func (t *terminal) remedy(f *study.Faulted) {
	first := f.Finding.Ranked[0]
	t.head("If it is " + first.Cause.Name)
	for i, s := range first.Remedy.Do {
		t.wrap(fmt.Sprintf("%d. ", i+1), s)
	}
	for _, p := range [][2]string{{"Parts: ", study.Listed(first.Remedy.Parts)}, {"Minutes: ", fmt.Sprint(first.Remedy.Minutes)}} {
		if p[1] != "" && p[1] != "0" {
			t.wrap(p[0], p[1])
		}
	}
	for _, c := range study.FaultCautions(f) {
		t.wrap("Caution: ", c)
	}
	for _, m := range f.Money {
		t.line(pad(m.Name, 40) + t.text(m.Amount))
	}
}

// call is what to say on the phone.
func (t *terminal) call(f *study.Faulted) {
	if f.Site.Name != "" {
		t.heading(f.Site)
	}
	t.head("Ask for these, in this order")
	for i, x := range f.Call.Ask {
		t.wrap(fmt.Sprintf("%d. ", i+1), x.Do)
		t.outcomes(x)
	}
	t.head("It may be")
	for i, s := range f.Finding.Ranked {
		if i >= toldCauses {
			break
		}
		t.wrap(pad(fmt.Sprintf("%3.0f %%", 100*s.Probability), 7), suspectText(s))
	}
	t.head("Load")
	t.wrap("", study.Listed(f.Call.Parts))
	t.head("Come?")
	t.wrap("", f.Call.Visit)
	for _, c := range f.Finding.Traps {
		t.wrap("Caution: ", c)
	}
}
