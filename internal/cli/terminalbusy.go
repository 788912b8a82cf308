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
	for _, row := range busyRows(b, t.units, t.locale) {
		t.wrap(pad(row[0], 40), row[1])
	}
	t.wrap("", "Short rinses on that day,")
	for _, w := range b.WhatIf {
		t.wrap("- ", fmt.Sprintf("%s: %.1f", w.Name, w.Short.Mean))
	}
}

// busyRows are the answers about the busiest day, each a name and its words.
func busyRows(b *study.Busy, units quantity.System, loc quantity.Locale) [][2]string {
	share := func(r quantity.Ratio) string { return quantity.FormatLocale(r, units, loc) }
	rows := [][2]string{
		{"chance of a year with a short rinse", fmt.Sprintf("%s (%s to %s)", share(b.Years.RunDry.Mean), share(b.Years.RunDry.Low), share(b.Years.RunDry.High))},
		{"on the busiest day, " + b.BusiestDay.Format("2 January"), share(b.Years.RunDryBusiest.Mean)},
	}
	if b.Years.Short.Mean > 0 {
		rows = append(rows, [2]string{"the hour most rinses run short", fmt.Sprintf("%02d:00 to %02d:00, %s of them", b.Years.DryHour, b.Years.DryHour+1, share(quantity.Ratio(b.Years.DryHourShare)))})
	}
	rows = append(rows, [2]string{"good until", growth(b)})
	kept := fmt.Sprintf("water for %.0f years of 10", 10*(1-float64(b.Risk)))
	if b.MoreTank > 0 {
		rows = append(rows, [2]string{"a tank with " + kept, quantity.FormatLocale(b.MoreTank, units, loc) + " usable; this one has " + quantity.FormatLocale(b.Case.Tank.Usable(), units, loc)})
	}
	more := "more than twice what it makes today"
	if b.MoreMakeUp > 0 {
		more = fmt.Sprintf("×%.3g of what it makes today", float64(b.MoreMakeUp))
	}
	rows = append(rows, [2]string{"a membrane with " + kept, more})
	return rows
}

func growth(b *study.Busy) string {
	switch g := b.Good; {
	case g.AtLeast:
		return "more than 16 times today's demand"
	case !(g.Times > 0):
		return "less than today's demand at any rate"
	case g.Times < 1:
		return fmt.Sprintf("%.0f vehicles a day, %.0f on the busiest: less than come today", g.PerDay, g.BusiestDay)
	default:
		return fmt.Sprintf("%.0f vehicles a day, %.0f on the busiest (×%.3g of today's)", g.PerDay, g.BusiestDay, float64(g.Times))
	}
}

// rig tells what a start does and what the tubes that hang there cost.
func (t *terminal) rig(r *study.Rigged) {
	if r == nil {
		return
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
