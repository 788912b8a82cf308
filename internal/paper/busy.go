package paper

import (
	"fmt"
	"html/template"
	"math"

	"rinsewright/internal/scene"
	"rinsewright/quantity"
	"rinsewright/study"
)

// busyView is whether the busiest day keeps up, as the page shows it.
type busyView struct {
	Rows       []row
	WhatIf     []row
	Day, Week  template.HTML
	Risk       template.HTML
	DayNarrow  template.HTML
	WeekNarrow template.HTML
	RiskNarrow template.HTML
}

// bedRow is the first bottle's life to one endpoint.
type bedRow struct{ Name, Volume, Days, Front string }

func (p page) beds() (rows []bedRow) {
	if p.checked.Beds == nil {
		return nil
	}
	for _, e := range p.checked.Beds.Ends {
		if e.Never {
			rows = append(rows, bedRow{Name: e.Name, Volume: "the water that meets the bottle is within it already"})
			continue
		}
		rows = append(rows, bedRow{e.Name, e.Volume.Text(p.options.Units, p.options.Locale), p.text(e.Days), e.Front})
	}
	return rows
}

func (p page) busy() (*busyView, error) {
	b := p.checked.Busy
	if b == nil {
		return nil, nil
	}
	v := &busyView{}
	for _, r := range BusyRows(b, p.options.Units, p.options.Locale) {
		v.Rows = append(v.Rows, row{Name: r[0], Value: r[1]})
	}
	for _, w := range b.WhatIf {
		v.WhatIf = append(v.WhatIf, row{Name: w.Name, Value: fmt.Sprintf("%.1f", w.Short.Mean)})
	}
	return v, p.busyCharts(b, v)
}

func (p page) litres(v quantity.Volume) float64 {
	if p.gallons() {
		return v.Gallons()
	}
	return v.Litres()
}

func (p page) volumeUnit() string {
	if p.gallons() {
		return "gal"
	}
	return "L"
}

func (p page) busyCharts(b *study.Busy, v *busyView) error {
	day := scene.BusyDay{
		Title: "The level through the busiest day", Unit: p.volumeUnit(),
		Full: p.litres(b.Case.Tank.Stop), Start: p.litres(b.Case.Tank.Start), CutOff: p.litres(b.Case.Tank.CutOff),
	}
	for _, level := range b.Years.BusyDay {
		day.Median = append(day.Median, p.litres(level.Median))
		day.Low = append(day.Low, p.litres(level.Low))
		day.High = append(day.High, p.litres(level.High))
	}
	week := scene.BusyWeek{Title: "The tank through the week"}
	week.Fill, week.Short = b.Week()
	for _, c := range []struct {
		drawing drawable
		wide    *template.HTML
		narrow  *template.HTML
		name    string
	}{{day, &v.Day, &v.DayNarrow, "busy-day"}, {week, &v.Week, &v.WeekNarrow, "busy-week"}, {p.riskLines(b), &v.Risk, &v.RiskNarrow, "risk"}} {
		var err error
		if *c.wide, err = p.options.chart(c.drawing, 560, c.name); err != nil {
			return err
		}
		if *c.narrow, err = p.options.chart(c.drawing, 340, c.name+"-narrow"); err != nil {
			return err
		}
	}
	return nil
}

// riskLines is what more tank or more membrane buys.
func (p page) riskLines(b *study.Busy) scene.RiskLines {
	unit, flow := "L/min", quantity.Flow.LitresPerMinute
	if p.gallons() {
		unit, flow = "gpd", func(f quantity.Flow) float64 { return f.GallonsPerMinute() * 1440 }
	}
	r := scene.RiskLines{
		Title: "What more tank or more membrane buys", XName: "membrane makes, coldest", XUnit: unit, YName: "usable water", YUnit: p.volumeUnit(),
		Today: scene.Point{X: flow(b.Coldest), Y: p.litres(b.Case.Tank.Usable())}, TodayWords: "today",
	}
	for _, line := range b.Lines {
		if !line.Told {
			continue
		}
		drawn := scene.RiskLine{Words: fmt.Sprintf("short in %s of years", quantity.FormatLocale(line.Risk, p.options.Units, p.options.Locale))}
		for j, usable := range line.Usable {
			y := p.litres(usable)
			if !(usable > 0) {
				y = math.NaN()
			}
			drawn.Points = append(drawn.Points, scene.Point{X: flow(b.Coldest) * float64(b.Map.Rows[j].Times), Y: y})
		}
		r.Lines = append(r.Lines, drawn)
	}
	return r
}
