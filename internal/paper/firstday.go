package paper

import (
	"strings"

	"rinsewright/commissioning"
	"rinsewright/internal/paper/layout"
	"rinsewright/site"
	"rinsewright/study"
)

// firstDay is the record as it stands: who read and with what, what was done,
// the verdict of each promise, and every reading.
func (p *setting) firstDay(x *study.Proved) {
	r := x.Record
	p.Pairs(told2(
		layout.Pair{Name: p.say("day"), Value: p.day(r.Date)},
		layout.Pair{Name: p.say("read by"), Value: r.By},
		layout.Pair{Name: p.say("takes the place of the record of"), Value: p.day(r.Corrects)},
		layout.Pair{Name: p.say("because"), Value: r.Reason},
		layout.Pair{Name: p.say("what else was seen"), Value: r.Words},
		layout.Pair{Name: p.say("seal of the record"), Value: r.Seal},
	))
	p.instruments(r.Instruments)
	p.judged(x)
	p.wasRead(r.Read)
	if len(r.Done) > 0 {
		p.Head(p.say("What was done"))
		p.Points(p.doneWords(r.Done))
	}
}

// told2 leaves out pairs without a value: a record is not filled in by hand.
func told2(all ...layout.Pair) (some []layout.Pair) {
	for _, x := range all {
		if x.Value != "" {
			some = append(some, x)
		}
	}
	return some
}

func (p *setting) instruments(all []site.Instrument) {
	if len(all) == 0 {
		return
	}
	p.Head(p.say("Instruments"))
	var lines []string
	for _, i := range all {
		lines = append(lines, i.Typed)
	}
	p.Points(lines)
}

// wasRead lists the readings of a record as they were typed.
func (p *setting) wasRead(all []site.Reading) {
	if len(all) == 0 {
		return
	}
	p.Head(p.say("Read on the day"))
	var rows []layout.Row
	for _, r := range all {
		after := ""
		if r.Timed {
			after = r.After
		}
		rows = append(rows, layout.Row{Cells: []string{
			upperFirst(p.say(commissioning.Asked{Of: r.Of, Number: r.Number}.Title())), p.readingTold(r), after, r.Instrument,
		}})
	}
	p.Table([]layout.Column{
		{Head: p.say("reading"), Share: 4},
		{Head: p.say("read"), Share: 2.6, Right: true},
		{Head: p.say("after running"), Share: 1.6, Right: true},
		{Head: p.say("instrument"), Share: 2},
	}, rows)
}

func (p *setting) readingTold(r site.Reading) string {
	if r.Skipped != "" {
		return p.sayf("skipped: %s", p.say(r.Skipped))
	}
	if r.On != "" {
		return p.units(r.Typed + ", " + r.On + " scale")
	}
	return p.units(r.Typed)
}

// doneWords says each step of the sheet that was done, and what was written of
// it.
func (p *setting) doneWords(all []string) (said []string) {
	for _, d := range all {
		step, words := partedStep(d)
		said = append(said, strings.Join(some(p.say(step), words), ": "))
	}
	return said
}

// partedStep parts what a record keeps of a step, its name or its title in small letters, and
// what was written of it.
func partedStep(kept string) (title, words string) {
	for _, step := range commissioning.Sheet(commissioning.Has{
		Filters: 1, Carbon: true, Softener: true, Booster: true, Membrane: true, Housings: 1, Resin: 1, Vented: true, Bays: 1,
	}) {
		for _, called := range []string{step.Name, strings.ToLower(step.Title)} {
			if kept == called {
				return step.Title, ""
			}
			if words, ok := strings.CutPrefix(kept, called+", "); ok {
				return step.Title, words
			}
		}
	}
	return "", kept
}
