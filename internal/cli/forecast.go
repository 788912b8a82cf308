package cli

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"time"

	"rinsewright/internal/paper"
	"rinsewright/internal/sitefile"
	"rinsewright/study"
)

// ForecastCommand foresees what comes due on a site from its log.
type ForecastCommand struct {
	Site []string `arg:"" help:"Site file; several tell what they have in common." type:"path"`
	On   string   `placeholder:"DATE" help:"As of this day, from visits up to it; the day of the last visit when not given."`
	HTML string   `name:"html" placeholder:"FILE" help:"Write a page with the trends drawn."`
	JSON bool     `name:"json" help:"Print one JSON object instead."`
	Units
	Spoken
}

// Help is the long help with examples.
func (ForecastCommand) Help() string {
	return `Reads the visits of a site file and tells what comes due, when, and what that
hangs on. The past is told in the light of all visits up to the day asked for.

Examples:
  rinsewright forecast site.toml
  rinsewright forecast site.toml --on 2026-09-01
  rinsewright forecast site.toml --html trends.html
  rinsewright forecast north.toml south.toml depot.toml

Exit code 0 when nothing is due today, 1 when something is,
2 when the site file cannot be used or holds no visit.`
}

const forecastSchema = "rinsewright.forecast/1"

// Run foresees.
func (c ForecastCommand) Run(desk Desk) error {
	asOf, err := c.day()
	if err != nil {
		return refuseAs(forecastSchema, c.JSON, desk, err)
	}
	if len(c.Site) > 1 {
		return c.several(desk, asOf)
	}
	f, options, err := c.one(c.Site[0], asOf)
	if err != nil {
		return refuseAs(forecastSchema, c.JSON, desk, err)
	}
	if c.HTML != "" {
		o := paper.Options{Language: c.Language, Units: options.Units, Locale: options.Locale, Version: desk.Version}
		if err := writePage(c.HTML, func(w io.Writer) error { return paper.ForecastPage(w, f, o) }); err != nil {
			return refuseAs(forecastSchema, c.JSON, desk, bad(err, ""))
		}
	}
	if c.JSON {
		err = printJSON(desk.Out, forecastedJSON(f))
	} else {
		t := newTerminal(desk.Out, options).in(c.Language)
		t.forecast(f)
		err = t.err
	}
	if err != nil {
		return err
	}
	return dueToday(f)
}

// one forecasts one site file.
func (c ForecastCommand) one(file string, asOf time.Time) (*study.Forecasted, study.Options, error) {
	data, s, err := readSite(file)
	if err != nil {
		return nil, study.Options{}, err
	}
	options := study.Options{Units: c.System(), Locale: sitefile.Locale(data)}
	f, err := study.Forecast(s, options, asOf)
	if errors.Is(err, study.ErrNoLog) {
		err = bad(err, "add a [[visit]] with a date and what was read to "+filepath.Base(file))
	} else if err != nil {
		err = unanswered(err, filepath.Base(file))
	}
	return f, options, err
}

// several forecasts site files one by one and says what they share.
func (c ForecastCommand) several(desk Desk, asOf time.Time) error {
	if c.HTML != "" {
		return bad(errors.New("forecast --html: several sites, wanted one"), "leave the others out")
	}
	var all []*study.Forecasted
	var options study.Options
	for _, file := range c.Site {
		f, o, err := c.one(file, asOf)
		if err != nil {
			return refuseAs(forecastSchema, c.JSON, desk, err)
		}
		all, options = append(all, f), o
	}
	shared := study.SharedCauses(all)
	if c.JSON {
		out := forecastsJSON{Schema: "rinsewright.forecasts/1", Shared: []sharedJSON{}, Errors: []sitefile.Problem{}}
		for _, f := range all {
			out.Sites = append(out.Sites, forecastedJSON(f))
		}
		for _, s := range shared {
			out.Shared = append(out.Shared, sharedJSON{s.What, s.Says, s.Sites, s.Odds})
		}
		if err := printJSON(desk.Out, out); err != nil {
			return err
		}
	} else {
		t := newTerminal(desk.Out, options).in(c.Language)
		t.forecasts(all, shared)
		if t.err != nil {
			return t.err
		}
	}
	return dueToday(all...)
}

// dueToday is exit code 1 where something needs a person today.
func dueToday(all ...*study.Forecasted) error {
	for _, f := range all {
		for _, d := range f.Dues {
			if d.State == study.Today {
				return no("")
			}
		}
	}
	return nil
}

// forecasts is what several sites share, and what comes due first at each.
func (t *terminal) forecasts(all []*study.Forecasted, shared []study.Shared) {
	if len(shared) > 0 {
		t.head("One cause at several sites")
		for _, s := range shared {
			t.wrap("- ", strings.Join(s.Sites, ", ")+": "+s.Says+".")
		}
	}
	t.head("What comes due first (band 5 to 95 %)")
	for _, f := range all {
		t.line(f.Site.Name + ", as of " + dayWords(f.AsOf))
		for _, d := range f.Dues[:min(len(f.Dues), 3)] {
			t.line("  " + pad(string(d.State), 10) + pad(d.Name, 20) + dueWhen(d))
		}
	}
}

func (c ForecastCommand) day() (time.Time, error) {
	if c.On == "" {
		return time.Time{}, nil
	}
	d, err := time.Parse(time.DateOnly, c.On)
	if err != nil || d.Year() < 1970 || d.Year() > 2200 {
		return d, bad(fmt.Errorf("--on: read %q, wanted a date", c.On), "--on 2026-09-01")
	}
	return d, nil
}

func dayWords(d time.Time) string { return d.Format("2 Jan 2006") }

func (t *terminal) forecast(f *study.Forecasted) {
	title := f.Site.Name
	if f.Site.Origin != "" {
		title += " · " + f.Site.Origin
	}
	t.line(title)
	visits := "one visit"
	if f.Visits != 1 {
		visits = fmt.Sprintf("%d visits", f.Visits)
	}
	t.wrap("", fmt.Sprintf("As of %s, from %s, the last on %s. Drawn on an open day: %s (%s to %s).",
		dayWords(f.AsOf), visits, dayWords(f.LastVisit), t.text(f.PerDay.Value), t.text(f.PerDay.Low), t.text(f.PerDay.High)))
	t.head("What comes due, soonest first (band 5 to 95 %)")
	for _, d := range f.Dues {
		t.due(d)
	}
	if f.Salt != nil {
		t.wrap(pad("", 10), fmt.Sprintf("softener: regenerates every %s (%s to %s); a 40 lb (18 kg) bag of salt lasts %s (%s to %s)",
			t.text(f.Salt.EachDays.Value), t.text(f.Salt.EachDays.Low), t.text(f.Salt.EachDays.High), t.text(f.Salt.BagDays.Value), t.text(f.Salt.BagDays.Low), t.text(f.Salt.BagDays.High)))
	}
	t.head("Trends")
	for _, x := range f.Trends {
		p := x.Points[len(x.Points)-1]
		t.line(fmt.Sprintf("%s %s  (%s to %s)", pad(x.Name, 34), pad(shareWords(p.Likely), 6), shareWords(p.Low), shareWords(p.High)))
	}
	if len(f.Surprises) > 0 {
		t.head("Readings that do not fit")
		for _, s := range f.Surprises {
			t.wrap("- ", fmt.Sprintf("%s, %s: read %s, expected about %s", dayWords(s.On), s.What, t.text(s.Read), t.text(s.Expected)))
		}
	}
	t.assumed(f.Assumed)
}

func (t *terminal) due(d study.DueRow) {
	t.line(pad(string(d.State), 10) + pad(d.Name, 21) + dueWhen(d))
	lead := pad("", 12)
	used := fmt.Sprintf("%s used", shareWords(float64(d.Used)))
	if !d.Beyond {
		used += fmt.Sprintf("; after another %s (%s to %s)", t.text(d.Volume.Value), t.text(d.Volume.Low), t.text(d.Volume.High))
	}
	t.wrap(lead, used)
	if d.State != study.Fine {
		t.wrap(lead, upperFirst(d.Do)+".")
	}
	if len(d.Eats) > 0 {
		t.wrap(lead, "Taken up by "+sharesWords(d.Eats, 3)+".")
	}
	if len(d.Narrows) > 0 && (d.Beyond || d.High.Sub(d.Low).Hours() > 24*28) {
		t.wrap(lead, "To know the day better: "+study.NarrowWords(d.Narrows)+".")
	}
	if len(d.Drives) > 0 && !d.Beyond {
		t.wrap(lead, "The date hangs on "+sharesWords(d.Drives, 3)+".")
	}
}

func dueWhen(d study.DueRow) string {
	if d.Beyond {
		return fmt.Sprintf("beyond three years (5 %% by %s)", dayWords(d.Low))
	}
	return fmt.Sprintf("%s (%s to %s)", dayWords(d.Likely), dayWords(d.Low), dayWords(d.High))
}

func shareWords(x float64) string { return fmt.Sprintf("%.0f %%", 100*x) }

func sharesWords(all []study.Share, most int) string {
	var words []string
	for _, s := range all[:min(len(all), most)] {
		words = append(words, fmt.Sprintf("%s %s", s.Name, shareWords(float64(s.Share))))
	}
	return strings.Join(words, ", ")
}

type dueJSON struct {
	Name    string      `json:"name"`
	Do      string      `json:"do"`
	State   string      `json:"state"`
	Low     string      `json:"low"`
	Likely  string      `json:"likely"`
	High    string      `json:"high"`
	Reached float64     `json:"reached"`
	Volume  bandJSON    `json:"volume"`
	Used    float64     `json:"used"`
	UsedLow float64     `json:"used_low"`
	UsedTop float64     `json:"used_high"`
	Drives  []driveJSON `json:"drives"`
	Eats    []driveJSON `json:"eats,omitempty"`
	Narrows []driveJSON `json:"narrowed_by"`
}

type driveJSON struct {
	Name  string  `json:"name"`
	Share float64 `json:"share"`
}

type bandJSON struct {
	Value float64 `json:"value"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
	Unit  string  `json:"unit"`
}

type trendJSON struct {
	Name   string           `json:"name"`
	Says   string           `json:"says"`
	Points []trendPointJSON `json:"points"`
}

type trendPointJSON struct {
	Date   string   `json:"date"`
	Low    float64  `json:"low"`
	Likely float64  `json:"likely"`
	High   float64  `json:"high"`
	Read   *float64 `json:"read,omitempty"`
}

type surpriseJSON struct {
	Date     string     `json:"date"`
	What     string     `json:"what"`
	Read     numberJSON `json:"read"`
	Expected numberJSON `json:"expected"`
}

type forecastJSON struct {
	Schema    string             `json:"schema"`
	Site      study.Heading      `json:"site"`
	AsOf      string             `json:"as_of"`
	Visits    int                `json:"visits"`
	LastVisit string             `json:"last_visit"`
	PerDay    bandJSON           `json:"per_open_day"`
	Due       []dueJSON          `json:"due"`
	Trends    []trendJSON        `json:"trends"`
	Surprises []surpriseJSON     `json:"surprises"`
	Assumed   []study.Assumption `json:"assumed"`
	Errors    []sitefile.Problem `json:"errors"`
}

type sharedJSON struct {
	What  string   `json:"what"`
	Says  string   `json:"says"`
	Sites []string `json:"sites"`
	Odds  float64  `json:"odds"`
}

type forecastsJSON struct {
	Schema string             `json:"schema"`
	Shared []sharedJSON       `json:"shared"`
	Sites  []forecastJSON     `json:"sites"`
	Errors []sitefile.Problem `json:"errors"`
}

func banded(b study.Band) bandJSON {
	value, low, high := plain(b.Value), plain(b.Low), plain(b.High)
	return bandJSON{value.Value, low.Value, high.Value, value.Unit}
}

func drivesJSON(all []study.Share) []driveJSON {
	out := []driveJSON{}
	for _, s := range all {
		out = append(out, driveJSON{s.Name, float64(s.Share)})
	}
	return out
}

func narrowsJSON(all []study.Narrowing) []driveJSON {
	out := []driveJSON{}
	for _, n := range all {
		out = append(out, driveJSON{n.Read, float64(n.Share)})
	}
	return out
}

func forecastedJSON(f *study.Forecasted) forecastJSON {
	date := func(d time.Time) string { return d.Format(time.DateOnly) }
	out := forecastJSON{
		Schema: forecastSchema, Site: f.Site, AsOf: date(f.AsOf), Visits: f.Visits, LastVisit: date(f.LastVisit), PerDay: banded(f.PerDay),
		Surprises: []surpriseJSON{}, Assumed: f.Assumed, Errors: []sitefile.Problem{},
	}
	for _, d := range f.Dues {
		out.Due = append(out.Due, dueJSON{
			d.Name, d.Do, string(d.State), date(d.Low), date(d.Likely), date(d.High), float64(d.Reached), banded(d.Volume),
			float64(d.Used), float64(d.UsedLow), float64(d.UsedHigh), drivesJSON(d.Drives), drivesJSON(d.Eats), narrowsJSON(d.Narrows),
		})
	}
	for _, t := range f.Trends {
		row := trendJSON{Name: t.Name, Says: t.Says}
		for _, p := range t.Points {
			point := trendPointJSON{Date: date(p.On), Low: p.Low, Likely: p.Likely, High: p.High}
			if p.Read > 0 {
				point.Read = &p.Read
			}
			row.Points = append(row.Points, point)
		}
		out.Trends = append(out.Trends, row)
	}
	for _, s := range f.Surprises {
		out.Surprises = append(out.Surprises, surpriseJSON{date(s.On), s.What, plain(s.Read), plain(s.Expected)})
	}
	return out
}
