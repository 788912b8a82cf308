package paper

import (
	"fmt"

	"rinsewright/quantity"
	"rinsewright/study"
)

// BusyRows are the answers about the busiest day, each a name and its words.
func BusyRows(b *study.Busy, units quantity.System, loc quantity.Locale) [][2]string {
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
