package web

import (
	"cmp"
	"context"
	"fmt"
	"html/template"
	"math"
	"net/http"
	"slices"
	"strings"
	"time"

	"rinsewright/internal/say"
	"rinsewright/internal/scene"
	"rinsewright/internal/store"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
	"rinsewright/water"
)

// trendsView is the page of what was read over time.
type trendsView struct {
	Site   store.Site
	Series []trendView
	Slow   bool   // the bands are not ready yet
	Why    string // there is no model to hold the readings against

	Foreseen template.HTML // what the log foresees
	AsOf     string
	Untold   string // why it foresees nothing
}

func (p trendsView) unfinished() bool { return p.Slow }

// trendView is one chart with its table.
type trendView struct {
	ID, Title, Note string
	Wide, Narrow    template.HTML
	Rows            []trendRow
	Band            string // in words
	Tracked         bool   // it is the tracker's, through time
	Outside         int    // readings outside the band
}

type trendRow struct{ When, Read, Value, Says, Who string }

// series is what was read of one thing at one place.
type series struct {
	place, name string
	points      []seriesPoint
}

type seriesPoint struct {
	at    time.Time // by the clock of whoever read it
	si    float64   // S/m, or K
	typed string
	scale string
	from  string // the survey, or who took it
	said  string // what had to be taken for it
}

// promiseOf names the promise that a series is held against.
var promiseOf = map[string]string{"permeate.strength": "strength_after_membrane", "polished.strength": "strength_after_resin", "permeate.flow": "permeate_flow"}

// gauged are the gauges of a visit that are shown, and the series they belong to.
var gauged = map[plant.Gauge][2]string{
	plant.FeedStrength: {"raw", "strength"}, plant.FeedTemperature: {"raw", "temperature"}, plant.PermeateFlow: {"permeate", "flow"},
	plant.PermeateStrength: {"permeate", "strength"}, plant.PolishStrength: {"polished", "strength"}, plant.TankStrength: {"tank", "strength"},
}

func (v *visit) trends() error {
	kept, record, _, err := v.found()
	if err != nil {
		return err
	}
	reads, err := v.reader()
	if err != nil {
		return err
	}
	all, err := v.read(kept, record)
	if err != nil {
		return err
	}
	page := trendsView{Site: kept}
	checked, err := v.model(&page, kept, record, reads)
	if err != nil {
		return err
	}
	_, again, locale, err := v.found() // the check may still look at the other
	if err != nil {
		return err
	}
	wear, err := v.foresee(&page, kept, again, locale, reads)
	if err != nil {
		return err
	}
	for i, s := range all {
		one, err := s.view(fmt.Sprintf("series-%d", i+1), checked, wear.gauges, record, reads, v.speaker())
		if err != nil {
			return err
		}
		page.Series = append(page.Series, one)
	}
	return v.show(http.StatusOK, "trends.html", "Trends at "+kept.Name, "sites", page)
}

// model asks for the check of the survey as it stands, for the bands.
func (v *visit) model(page *trendsView, kept store.Site, record *site.Site, reads reader) (*study.Checked, error) {
	ctx, stop := context.WithTimeout(v.r.Context(), patience)
	defer stop()
	found, err := v.views.ask(ctx, question{hash: kept.Hash, reader: reads, looks: siteLooks}, func() *site.Site { return record })
	switch {
	case v.r.Context().Err() != nil:
		return nil, v.r.Context().Err()
	case err != nil:
		page.Slow = true
		return nil, nil
	case found.err != nil:
		page.Why = "As the survey stands there is no model to hold the readings against."
		return nil, nil
	}
	return found.checked, nil
}

// read gathers what the survey and the phones say, in path order.
func (v *visit) read(kept store.Site, record *site.Site) ([]series, error) {
	samples, err := v.store.Samples(v.r.Context(), kept.ID, 1000)
	if err != nil {
		return nil, err
	}
	people, err := v.store.People(v.r.Context())
	if err != nil {
		return nil, err
	}
	names, corrected := map[string]string{}, map[string]bool{}
	for _, p := range people {
		names[p.ID] = p.Name
	}
	for _, x := range samples {
		corrected[x.Corrects] = true
	}
	found := map[string]*series{}
	add := func(place, name string, p seriesPoint) {
		key := place + "." + name
		if found[key] == nil {
			found[key] = &series{place: place, name: name}
		}
		found[key].points = append(found[key].points, p)
	}
	for _, w := range record.Samples {
		if at, err := time.Parse(time.DateOnly, w.Date); err == nil {
			surveyPoints(w, at, add)
		}
	}
	for _, x := range record.Log {
		visitPoints(x, add)
	}
	for _, x := range samples {
		if !corrected[x.ID] {
			loggedPoints(x, names[x.Person], add)
		}
	}
	return inPathOrder(found), nil
}

func inPathOrder(found map[string]*series) (all []series) {
	for _, place := range []string{"raw", "feed", "permeate", "tank", "polished", "gun"} {
		for _, name := range []string{"strength", "flow", "temperature"} {
			if s := found[place+"."+name]; s != nil {
				slices.SortStableFunc(s.points, func(a, b seriesPoint) int { return a.at.Compare(b.at) })
				all = append(all, *s)
			}
		}
	}
	return all
}

func surveyPoints(w water.Sample, at time.Time, add func(place, name string, p seriesPoint)) {
	if s := w.Strength; s.Conductivity.Known {
		add(w.Place, "strength", seriesPoint{at: at, si: float64(s.Conductivity.Value), typed: s.Conductivity.Typed, from: "survey"})
	} else if s.PPM.Known {
		add(w.Place, "strength", penPoint(seriesPoint{at: at, typed: s.PPM.Typed, scale: s.Scale, from: "survey"}, s.PPM.Value))
	}
	if w.Temperature.Known {
		add(w.Place, "temperature", seriesPoint{at: at, si: float64(w.Temperature.Value), typed: w.Temperature.Typed, from: "survey"})
	}
}

func visitPoints(x site.Visit, add func(place, name string, p seriesPoint)) {
	at, err := time.Parse(time.DateOnly, x.Date)
	if err != nil {
		return
	}
	for _, r := range x.Gauged() {
		if to, shown := gauged[r.Of]; shown {
			add(to[0], to[1], seriesPoint{at: at, si: r.SI, from: "visit"})
		}
	}
}

func loggedPoints(x store.Sample, who string, add func(place, name string, p seriesPoint)) {
	at := x.Taken.UTC().Add(time.Duration(x.OffsetMinutes) * time.Minute)
	scale := ""
	for _, r := range x.Readings {
		if r.Name == "scale" {
			scale = r.Typed
		}
	}
	for _, r := range x.Readings {
		p := seriesPoint{at: at, si: r.SI, typed: r.Typed, from: who}
		switch {
		case r.Typed == "" || r.Skipped != "":
		case r.Name == "conductivity":
			add(x.Place, "strength", p)
		case r.Name == "strength":
			p.scale = scale
			add(x.Place, "strength", penPoint(p, quantity.MassConc(r.SI)))
		case r.Name == "temperature":
			add(x.Place, "temperature", p)
		case x.Place == ofTheRig:
			if to, shown := gauged[plant.Gauge(r.Name)]; shown {
				add(to[0], to[1], p)
			}
		}
	}
}

// penPoint turns what a pen shows in ppm into conductivity, by its scale.
func penPoint(p seriesPoint, ppm quantity.MassConc) seriesPoint {
	scale, err := water.ScaleNamed(p.scale)
	if err != nil || !scale.Valid() {
		scale, p.said = water.ScaleNaCl, "scale not known, taken as NaCl"
	}
	k, err := scale.Conductivity(ppm)
	if err != nil {
		p.said = "past what a pen can show"
	}
	p.si = float64(k)
	return p
}

// view draws a series, on the band of the tracker where it has one, otherwise on
// that of the survey as it stands.
func (s series) view(id string, checked *study.Checked, wear []study.GaugeTrend, record *site.Site, reads reader, speaker *say.Speaker) (trendView, error) {
	out := trendView{ID: id, Title: capital(placeWords(s.place)) + ": " + s.name}
	trend := scene.Readings{Value: math.NaN(), Low: math.NaN(), High: math.NaN()}
	if !s.through(&trend, &out, wear, reads) {
		s.band(&trend, &out, checked, reads)
	}
	for _, p := range s.points {
		value, unit := s.plain(p.si, reads)
		trend.Unit = unit
		text := s.text(p.si, reads)
		trend.Points = append(trend.Points, scene.ReadingPoint{At: p.at, Value: value, Words: cmp.Or(p.typed, text)})
		row := trendRow{When: speaker.Clock(p.at), Read: p.typed, Value: text, Says: p.said, Who: p.from}
		if p.from == "survey" || p.from == "visit" {
			row.When = speaker.Date(p.at)
		}
		if low, high := bandOn(trend, p.at); value < low || value > high {
			row.Says = strings.TrimPrefix(row.Says+", outside the band", ", ")
			out.Outside++
		}
		out.Rows = append(out.Rows, row)
	}
	trend.Events = eventsOf(record)
	var err error
	if out.Wide, err = drawn(speaker, trend, 720, id+"-wide"); err != nil {
		return out, err
	}
	out.Narrow, err = drawn(speaker, trend, 340, id+"-narrow")
	return out, err
}

// through takes what the tracker says of each day of the log.
func (s series) through(trend *scene.Readings, out *trendView, wear []study.GaugeTrend, reads reader) bool {
	for _, g := range wear {
		if gauged[g.Of] != [2]string{s.place, s.name} || len(g.Points) == 0 {
			continue
		}
		for _, p := range g.Points {
			m := scene.ReadingModel{At: p.On}
			m.Value, _ = s.plain(p.Likely, reads)
			m.Low, _ = s.plain(p.Low, reads)
			m.High, _ = s.plain(p.High, reads)
			trend.Model = append(trend.Model, m)
		}
		last := g.Points[len(g.Points)-1]
		out.Tracked = true
		out.Band = fmt.Sprintf("%s, %s to %s, on %s", s.text(last.Likely, reads), s.text(last.Low, reads), s.text(last.High, reads), last.On.Format("2 January 2006"))
	}
	return out.Tracked
}

// bandOn is the band of the day of the model that is nearest to a time.
func bandOn(t scene.Readings, at time.Time) (low, high float64) {
	low, high = t.Low, t.High
	nearest := time.Duration(math.MaxInt64)
	for _, m := range t.Model {
		if d := m.At.Sub(at).Abs(); d < nearest {
			nearest, low, high = d, m.Low, m.High
		}
	}
	return low, high
}

// band takes the promise that the series is held against.
func (s series) band(trend *scene.Readings, out *trendView, checked *study.Checked, reads reader) {
	if checked == nil {
		return
	}
	system := quantity.SI // strengths read the same in both
	if s.name == "flow" {
		system = reads.units
	}
	for _, p := range checked.Promises {
		if p.Name == promiseOf[s.place+"."+s.name] {
			trend.Value, _ = p.Band.Value.Plain(system)
			trend.Low, _ = p.Band.Low.Plain(system)
			trend.High, _ = p.Band.High.Plain(system)
			out.Band = p.Band.Text(reads.units, reads.locale)
		}
	}
}

// plain is a value as the chart's axis shows it.
func (s series) plain(si float64, reads reader) (float64, string) {
	if s.name == "temperature" {
		if reads.units == quantity.SI {
			return quantity.Temperature(si).Celsius(), "°C"
		}
		return quantity.Temperature(si).Fahrenheit(), "°F"
	}
	if s.name == "flow" {
		value, unit := quantity.Plain(quantity.Flow(si), reads.units)
		return value, unit
	}
	return quantity.Conductivity(si).MicrosiemensPerCm(), "µS/cm"
}

func (s series) text(si float64, reads reader) string {
	switch s.name {
	case "temperature":
		return quantity.FormatLocale(quantity.Temperature(si), reads.units, reads.locale)
	case "flow":
		return quantity.FormatLocale(quantity.Flow(si), reads.units, reads.locale)
	}
	return quantity.FormatLocale(quantity.Conductivity(si), reads.units, reads.locale)
}

// eventsOf are the visits that the site file tells of.
func eventsOf(record *site.Site) (all []scene.ReadingEvent) {
	for _, x := range record.Log {
		if at, err := time.Parse(time.DateOnly, x.Date); err == nil && len(all) < 50 {
			all = append(all, scene.ReadingEvent{At: at, Words: eventWords(x)})
		}
	}
	return all
}

func eventWords(x site.Visit) string {
	words := []string{"visit"}
	for _, c := range x.Changed {
		words = append(words, string(c))
	}
	return strings.Join(words, " · ")
}

func drawn(speaker *say.Speaker, t scene.Readings, width float64, prefix string) (template.HTML, error) {
	d, err := scene.Worded(t, speaker).Draw(width)
	if err != nil {
		return "", err
	}
	var b strings.Builder
	err = d.In(speaker).SVG(&b, scene.SVGOptions{Prefix: prefix})
	return template.HTML(b.String()), err //nolint:gosec // the scene package escapes every text
}
