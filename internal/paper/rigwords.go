package paper

import (
	"fmt"
	"math"

	"rinsewright/internal/scene"
	"rinsewright/quantity"
	"rinsewright/study"
)

// RigRows tells the rig closely, label and words, in the same words on page and
// terminal.
func RigRows(r *study.Rigged, units quantity.System, loc quantity.Locale) (rows [][2]string) {
	say := sayer{units, loc}
	add := func(label, words string) { rows = append(rows, [2]string{label, words}) }
	if m, ok := r.Nearest(); ok {
		add("nearest limit", fmt.Sprintf("%s, %s used: %s (%s)", m.Limit, words(say, m.Used), m.Says, m.Source))
	}
	if p := &r.Point; p.Recycled > 0 {
		add("recycled", words(say, p.Recycled)+" comes back ahead of the booster; the membrane is fed "+words(say, p.Feed.Flow))
	}
	if p := r.Point.Second; p != nil {
		add("second pass", fmt.Sprintf("takes %s and makes %s", words(say, p.Permeate.Flow+p.Concentrate.Flow), words(say, p.Permeate.Flow)))
	}
	if s := r.Sweep; s != nil {
		add("one flush", fmt.Sprintf("%s through the channel, %.1f times what runs to the drain in service; it takes %s and changes its water %.1f times",
			words(say, s.Flow), float64(s.Speed), words(say, s.Volume), float64(s.Exchanged)))
	}
	if r.Diverted > 0 {
		add("divert", fmt.Sprintf("%s to the drain after each start; the strongest water that then reaches the tank has %s of dissolved solids", words(say, r.Start.Diverted), words(say, r.Start.Worst)))
	}
	for _, row := range seasonRows(r, say) {
		add(row[0], row[1])
	}
	if c := r.Curve; c != nil {
		add("pump and line", curveWords(c, say))
	}
	return rows
}

// seasonRows are the least and the most productive month, run free, and the
// latter throttled to the former's flow.
func seasonRows(r *study.Rigged, say sayer) (rows [][2]string) {
	least, most := -1, -1
	for m, month := range r.Season.Months {
		if !(month.Free.Flow > 0) {
			rows = append(rows, [2]string{monthNames[m], "makes nothing: " + month.Free.Why})
			continue
		}
		if least < 0 || month.Free.Flow < r.Season.Months[least].Free.Flow {
			least = m
		}
		if most < 0 || month.Free.Flow > r.Season.Months[most].Free.Flow {
			most = m
		}
	}
	if least < 0 {
		return rows
	}
	point := func(p study.SeasonPoint) string {
		return fmt.Sprintf("%s at %s, recovery %s, %s at index %.1f", words(say, p.Flow), words(say, p.Strength), words(say, p.Recovery), p.First, p.Index)
	}
	l, m := &r.Season.Months[least], &r.Season.Months[most]
	rows = append(rows, [2]string{monthNames[least] + ", least", words(say, l.Temperature) + ": " + point(l.Free)})
	if most != least {
		rows = append(rows, [2]string{monthNames[most] + ", most", words(say, m.Temperature) + ": " + point(m.Free)})
		if m.Held.Flow > 0 {
			rows = append(rows, [2]string{monthNames[most] + ", throttled", "held to the least month's flow: " + point(m.Held)})
		}
	}
	return rows
}

var monthNames = [12]string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"}

func curveWords(c *study.PumpLine, say sayer) string {
	guns := "one gun"
	if c.Guns > 1 {
		guns = fmt.Sprintf("%d guns", c.Guns)
	}
	return fmt.Sprintf("meet at %s and %s with %s open; the line takes %s of it", words(say, c.Point.TotalFlow), words(say, c.Point.SupplyPressure), guns, words(say, c.Throttle))
}

// pumpCurves draws the pump's curve and the line's, and where they meet.
func (p page) pumpCurves(c *study.PumpLine) scene.Curves {
	say := sayer{p.options.Units, p.options.Locale}
	flow, pressure := quantity.Flow.LitresPerMinute, quantity.Pressure.Bar
	out := scene.Curves{Title: "Delivery pump and line", Across: "flow", AcrossUnit: "L/min", Up: "pressure", UpUnit: "bar", FromZeroOnly: true, MarkWords: "they " + curveWords(c, say)}
	if p.options.Units == quantity.US {
		flow, pressure = quantity.Flow.GallonsPerMinute, quantity.Pressure.PSI
		out.AcrossUnit, out.UpUnit = "gpm", "psi"
	}
	pump, line := scene.Curve{Name: "pump"}, scene.Curve{Name: "line and guns"}
	for i, q := range c.Flows {
		pump.Points = append(pump.Points, scene.Point{X: flow(q), Y: pressure(c.Pump[i])})
		line.Points = append(line.Points, scene.Point{X: flow(q), Y: pressure(c.Line[i])})
	}
	out.Lines = []scene.Curve{pump, line}
	out.Mark = scene.Point{X: flow(c.Point.TotalFlow), Y: pressure(c.Point.SupplyPressure)}
	return out
}

// seasonCurves draws the strength after the membrane through the year, free and
// throttled.
func seasonCurves(s *study.Season) (scene.Curves, bool) {
	out := scene.Curves{
		Title: "Strength after the membrane through the year", Across: "month", Up: "strength", UpUnit: "µS/cm",
		Mark: scene.Point{X: math.NaN(), Y: math.NaN()},
	}
	free, held := scene.Curve{Name: "free"}, scene.Curve{Name: "throttled to the least month's flow"}
	for m, month := range s.Months {
		if month.Free.Flow > 0 {
			free.Points = append(free.Points, scene.Point{X: float64(m + 1), Y: month.Free.Strength.MicrosiemensPerCm()})
		}
		if month.Held.Flow > 0 {
			held.Points = append(held.Points, scene.Point{X: float64(m + 1), Y: month.Held.Strength.MicrosiemensPerCm()})
		}
	}
	for _, c := range []scene.Curve{free, held} {
		if len(c.Points) > 1 {
			out.Lines = append(out.Lines, c)
		}
	}
	return out, len(out.Lines) > 0
}
