package paper

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"strings"

	"rinsewright/internal/scene"
	"rinsewright/study"
)

//go:embed forecast.html
var forecastSource string

// ForecastPage writes the page of a forecast: what comes due and when, and the
// trends drawn with their bands, readings and changes. It needs nothing from
// outside and runs no script.
func ForecastPage(w io.Writer, f *study.Forecasted, o Options) error {
	return forecastPart(w, f, o, "forecast")
}

// ForecastBody writes what stands on that page below its heading, for a page
// that has its own.
func ForecastBody(w io.Writer, f *study.Forecasted, o Options) error {
	return forecastPart(w, f, o, "body")
}

func forecastPart(w io.Writer, f *study.Forecasted, o Options, part string) error {
	view, err := forecastPage{f, o}.view()
	if err != nil {
		return fmt.Errorf("forecast page: %w", err)
	}
	t, err := o.template("forecast", forecastSource)
	if err != nil {
		return fmt.Errorf("forecast page: %w", err)
	}
	if err := t.ExecuteTemplate(w, part, view); err != nil {
		return fmt.Errorf("forecast page: %w", err)
	}
	return nil
}

type forecastPage struct {
	forecast *study.Forecasted
	options  Options
}

type forecastView struct {
	Title, Origin, AsOf, Last, PerDay string
	Visits                            int
	Style                             template.CSS
	Due                               []dueView
	Trends                            []trendView
	Surprises                         []string
	Salt                              string
	Assumed                           []study.Assumption
	Version                           string
}

type dueView struct {
	State                                        study.State
	Name, When, Band, After, Used, Do, Eats, Why string
}

type trendView struct {
	ID, Name     string
	Wide, Narrow template.HTML
	Rows         []trendRow // none where nobody steps
}

// trendRow is one day of a trend in words.
type trendRow struct{ On, Likely, Band, Read, Changed string }

const dayForm = "2 Jan 2006"

func (p forecastPage) band(b study.Band) string {
	o := p.options
	return fmt.Sprintf("%s (%s to %s)", b.Value.Text(o.Units, o.Locale), b.Low.Text(o.Units, o.Locale), b.High.Text(o.Units, o.Locale))
}

func (p forecastPage) view() (forecastView, error) {
	f := p.forecast
	v := forecastView{
		Title: f.Site.Name, Origin: f.Site.Origin, AsOf: f.AsOf.Format(dayForm), Last: f.LastVisit.Format(dayForm), PerDay: p.band(f.PerDay), Visits: f.Visits,
		Style: template.CSS(scene.StyleSheet() + pageStyle), Assumed: f.Assumed, Version: p.options.Version,
	}
	for _, d := range f.Dues {
		v.Due = append(v.Due, p.due(d))
	}
	for i, t := range f.Trends {
		if len(t.Points) < 2 {
			continue
		}
		view := trendView{ID: fmt.Sprintf("tracked-%d", i+1), Name: t.Name}
		drawn := trendOf(t)
		if p.options.Steps {
			view.Rows = trendRows(t)
			drawn.Steps = true
			for _, r := range view.Rows {
				drawn.Words = append(drawn.Words, r.words())
			}
		}
		var err error
		if view.Wide, err = p.options.chart(drawn, 560, fmt.Sprintf("trend-%d", i)); err != nil {
			return v, err
		}
		if view.Narrow, err = p.options.chart(drawn, 340, fmt.Sprintf("trend-%d-narrow", i)); err != nil {
			return v, err
		}
		v.Trends = append(v.Trends, view)
	}
	o := p.options
	for _, s := range f.Surprises {
		v.Surprises = append(v.Surprises, fmt.Sprintf("%s, %s: read %s, expected about %s", s.On.Format(dayForm), s.What, s.Read.Text(o.Units, o.Locale), s.Expected.Text(o.Units, o.Locale)))
	}
	if f.Salt != nil {
		v.Salt = fmt.Sprintf("The softener regenerates every %s; a 40 lb (18 kg) bag of salt lasts %s.", p.band(f.Salt.EachDays), p.band(f.Salt.BagDays))
	}
	return v, nil
}

func (p forecastPage) due(d study.DueRow) dueView {
	v := dueView{State: d.State, Name: d.Name, Used: wholePercent(float64(d.Used)), Do: d.Do, Eats: listed(d.Eats), Why: listed(d.Drives)}
	if d.Beyond {
		v.When, v.Band = "likely beyond three years", "5 % by "+d.Low.Format(dayForm)
		v.Why = ""
		return v
	}
	v.When, v.Band, v.After = d.Likely.Format(dayForm), d.Low.Format(dayForm)+" to "+d.High.Format(dayForm), p.band(d.Volume)
	return v
}

func wholePercent(x float64) string { return fmt.Sprintf("%.0f %%", 100*x) }

func listed(all []study.Share) (words string) {
	for i, s := range all[:min(len(all), 3)] {
		if i > 0 {
			words += ", "
		}
		words += s.Name + " " + wholePercent(float64(s.Share))
	}
	return words
}

// trendOf draws shares as percent.
func trendOf(t study.Trend) scene.Trend {
	out := scene.Trend{Title: t.Name, Note: t.Says, Unit: "%"}
	for _, p := range t.Points {
		read := math.NaN()
		if p.Read > 0 {
			read = 100 * p.Read
		}
		out.Days = append(out.Days, float64(p.On.Unix())/86400)
		out.Likely, out.Low, out.High = append(out.Likely, 100*p.Likely), append(out.Low, 100*p.Low), append(out.High, 100*p.High)
		out.Reads = append(out.Reads, read)
	}
	for _, e := range t.Events {
		out.Events = append(out.Events, scene.TrendEvent{Day: float64(e.On.Unix()) / 86400, Words: e.Words})
	}
	return out
}

// trendRows are the days of a trend in words, in percent.
func trendRows(t study.Trend) (rows []trendRow) {
	for _, p := range t.Points {
		row := trendRow{On: p.On.Format(dayForm), Likely: wholePercent(p.Likely), Band: wholePercent(p.Low) + " to " + wholePercent(p.High)}
		if p.Read > 0 {
			row.Read = wholePercent(p.Read)
		}
		for _, e := range t.Events {
			if e.On.Equal(p.On) && !strings.Contains(row.Changed, e.Words) {
				row.Changed = strings.TrimPrefix(row.Changed+", "+e.Words, ", ")
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// words is a row as a chart says it.
func (r trendRow) words() string {
	words := fmt.Sprintf("%s: %s, band %s", r.On, r.Likely, r.Band)
	if r.Read != "" {
		words += ", read " + r.Read
	}
	if r.Changed != "" {
		words += ", " + r.Changed
	}
	return words
}
