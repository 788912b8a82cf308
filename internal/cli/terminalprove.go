package cli

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"rinsewright/commissioning"
	"rinsewright/internal/paper"
	"rinsewright/study"
)

// proved prints the verdicts of a first day.
func (t *terminal) proved(p *study.Proved, unsigned bool) {
	t.heading(p.Site)
	t.line("")
	t.wrap("", t.recordWords(p, unsigned))
	if p.Changed {
		t.wrap("", "This record was changed after it was sealed. A correction is a record of its own: --corrects DAY --reason WHY.")
	}
	t.balances(p)
	t.head("Promises")
	for _, x := range p.Proofs {
		t.proof(x)
	}
	if len(p.Later) > 0 {
		t.head("Only time will tell")
		for _, l := range p.Later {
			t.wrap(pad("  "+l.Says, 42), l.By)
		}
	}
	t.head("Verdict")
	t.wrap("", p.VerdictWords())
	t.wrap("", study.Rule)
}

func (t *terminal) recordWords(p *study.Proved, unsigned bool) string {
	r := p.Record
	var words []string
	switch {
	case unsigned && r.Signed == "":
		words = append(words, "Readings of "+r.Date+", not on record.")
	default:
		words = append(words, "Record of "+r.Date+".")
	}
	if r.By != "" {
		words = append(words, "Read by "+r.By+".")
	}
	if r.Signed != "" {
		words = append(words, "Signed "+r.Signed+".")
	}
	if r.Corrects != "" {
		words = append(words, "It corrects the record of "+r.Corrects+": "+r.Reason+".")
	}
	switch {
	case p.Day.Temperature != nil && p.Day.Strength != nil:
		words = append(words, fmt.Sprintf("Promises for its water: %s, %s.", t.text(p.Day.Temperature), t.text(p.Day.Strength)))
	case p.Day.Temperature != nil:
		words = append(words, fmt.Sprintf("Promises for its water, %s; the strength is the survey's.", t.text(p.Day.Temperature)))
	default:
		words = append(words, "Nobody read the feed's temperature: promises stand for the survey's water.")
	}
	return strings.Join(words, " ")
}

func (t *terminal) balances(p *study.Proved) {
	t.head("Balances first")
	if len(p.Balances) == 0 {
		t.wrap("", "None can be made: permeate and concentrate flow, and three strengths (feed, permeate, concentrate), would make one.")
	}
	for _, b := range p.Balances {
		state := "closes"
		if !b.Closes {
			state = "does not close"
		}
		t.wrap(pad(b.Name, 10), state+": "+b.Says+".")
		for _, s := range b.Suspects {
			words := s.Says
			if s.By != "" {
				words += " (" + s.By + ")"
			}
			t.wrap("            ", upperFirst(words)+".")
		}
	}
	for _, r := range p.Repeats {
		t.wrap("", "Two readings are not one: "+r+". Read it again.")
	}
}

// proof prints one promise: verdict, bracket, reading.
func (t *terminal) proof(x study.Proven) {
	promised := x.Promised(t.units, t.locale)
	if x.Read == nil {
		t.wrap(pad("not read", 20), x.Says+": "+promised+".")
		return
	}
	t.wrap(pad(string(x.Verdict), 20), fmt.Sprintf("%s: read %s ± %s, %s (%s).", x.Says, t.text(x.Read), t.text(x.Doubt), promised, study.ChanceWords(x.Chance)))
	if x.Why != "" {
		t.wrap(strings.Repeat(" ", 20), upperFirst(x.Why)+".")
	}
	if len(x.Better) > 0 && x.Verdict == commissioning.CannotTell {
		t.wrap(strings.Repeat(" ", 20), "What would decide: "+strings.Join(x.Better, "; ")+".")
	}
}

// sheet prints the blank start-up sheet.
func (t *terminal) startSheet(s study.Sheet) {
	t.line("START-UP SHEET")
	t.heading(s.Site)
	t.line("")
	t.line("Date ______________   Read by ____________________   Signed ___________________")
	t.line("")
	for range 4 {
		t.line("Instrument ____________________  scale ________  calibrated ____________________")
	}
	for i, step := range s.Steps {
		t.head(fmt.Sprintf("%d. %s", i+1, step.Title))
		for _, c := range step.Cautions {
			t.wrap("  TAKE CARE  ", c)
		}
		for _, d := range step.Do {
			t.wrap("  [ ] ", d)
		}
		if step.Dose > 0 {
			t.wrap("  [ ] ", "Plain bleach, 5.25 %, into the full tank: "+paper.Cup(step.Dose, t.units, t.locale)+". A strip confirms it: bleach loses strength on the shelf.")
		}
		for _, stop := range step.Stop {
			t.wrap("  until ", stop.Words()+"   ____ min")
		}
		for _, a := range step.Read {
			t.asked(s, a)
		}
	}
	t.line("")
	t.wrap("", "Where the maker's sheet or the local code says otherwise, they win.")
	t.wrap("", s.Rule)
}

func (t *terminal) asked(s study.Sheet, a commissioning.Asked) {
	blank := "_________"
	if a.Twice {
		blank = "_________ _________"
	}
	should := ""
	if f, ok := s.Should[a.Key()]; ok {
		should = "about " + t.text(f)
	}
	name := a.Title()
	if a.Twice {
		name += ", twice"
	}
	if utf8.RuneCountInString(name) > 40 {
		t.line("  " + name)
		name = ""
	}
	t.line(fmt.Sprintf("  %s %s %s", pad(name, 40), pad(should, 17), blank))
}

// estimated prints a baseline that was rebuilt.
func (t *terminal) estimated(e *study.Estimated) {
	t.heading(e.Site)
	t.line("")
	t.wrap("", "ESTIMATED. Nobody put the first day on record, so this baseline is rebuilt from "+strings.Join(e.From, ", ")+". The next full visit takes its place.")
	t.head("The rig, over its plates")
	for _, p := range e.Parts {
		state, times := "", "×"
		if !p.Told {
			state = "  plate only"
		}
		if p.Name == "filters" {
			times = ""
			p.Now, p.Low, p.High = max(p.Now, 0), max(p.Low, 0), max(p.High, 0)
		}
		t.line(pad("  "+p.Says, 40) + fmt.Sprintf("%s%.2f (%.2f to %.2f)%s", times, p.Now, p.Low, p.High, state))
	}
	t.head("What the gauges should read")
	for _, g := range e.Gauges {
		t.line("  " + g.Says)
		t.line("    as its plates  " + g.New.Text(t.units, t.locale))
		t.line("    as it is now   " + g.Now.Text(t.units, t.locale))
		if g.Read != nil {
			t.line("    read           " + t.text(g.Read))
		}
	}
	t.line("")
	t.wrap("", "Put a first day on record with: rinsewright prove SITE --sheet")
}
