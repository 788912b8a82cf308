package cli

import (
	"fmt"

	"rinsewright/internal/paper"
	"rinsewright/quantity"
	"rinsewright/study"
)

// beds tells when the first bottle is spent, by what is asked of it.
func (t *terminal) beds(b *study.BedAnswer) {
	if b == nil || len(b.Ends) == 0 {
		return
	}
	t.head("When the first bottle is spent, by what is asked of it")
	for _, e := range b.Ends {
		if e.Never {
			t.wrap(pad(e.Name, 26), "the water that meets the bottle is within it already")
			continue
		}
		t.wrap(pad(e.Name, 26), fmt.Sprintf("%s, %s of opening; %s goes first", e.Volume.Text(t.units, t.locale), t.text(e.Days), e.Front))
	}
	for _, p := range b.Places {
		if p.Verdict != "" {
			t.wrap(pad(p.Name, 26), fmt.Sprintf("%s, %.3g bed volumes an hour: %s", t.text(p.Flow), p.PerHour, p.Verdict))
		}
	}
	if b.Doubles != nil {
		t.wrap("", "The cheapest change that doubles its life: "+b.Doubles.Name+".")
	}
}

// busy tells whether the busiest day keeps up, and what would.
func (t *terminal) busy(b *study.Busy) {
	if b == nil {
		return
	}
	t.head("Does the busiest day keep up")
	for _, row := range paper.BusyRows(b, t.units, t.locale) {
		t.wrap(pad(row[0], 40), row[1])
	}
	t.wrap("", "Short rinses on that day,")
	for _, w := range b.WhatIf {
		t.wrap("- ", fmt.Sprintf("%s: %.1f", w.Name, w.Short.Mean))
	}
}

// rig tells the rig closely: its nearest limit, its year, its controls, what a
// start does and what the tubes that hang there cost.
func (t *terminal) rig(r *study.Rigged) {
	if r == nil {
		return
	}
	t.head("The rig, closely")
	for _, row := range paper.RigRows(r, t.units, t.locale) {
		t.wrap(pad(row[0], 17)+" ", row[1])
	}
	if len(r.Moments) > 0 {
		t.head("What its controls do")
	}
	for _, m := range r.Moments {
		t.wrap(pad(string(m.State), 7), "when "+m.When+", "+m.Does+".")
		for _, because := range m.Because {
			t.wrap("         ", because)
		}
	}
	t.head("A start, and what the tubes cost")
	t.wrap("", paper.StartWords(r, t.units, t.locale))
	for _, list := range [][]study.TubeCost{r.Permeate, r.Delivery} {
		for i, tube := range list {
			if tube.Here || i > 0 && list[i-1].Here {
				t.tube(tube)
			}
		}
	}
}

func (t *terminal) tube(c study.TubeCost) {
	text := "takes " + quantity.FormatLocale(c.Loss, t.units, t.locale)
	if c.Gun > 0 {
		text += ", each gun gets " + quantity.FormatLocale(c.Gun, t.units, t.locale)
	}
	if c.Why != "" {
		text = c.Why
	}
	if c.Here {
		text += " (hangs here)"
	}
	t.wrap(pad(c.Tube, 17), text)
}
