package paper

import (
	"fmt"
	"strings"

	"rinsewright/internal/scene"
	"rinsewright/quantity"
	"rinsewright/study"
)

// path draws the water's way across the page.
func (p *setting) path(stations []study.Station, drain study.Drain, binds int) {
	d, err := p.pathDrawing(stations, drain, binds, max(800, 120*float64(len(stations))))
	if err != nil {
		return // a path of more stations than one drawing holds stands in the tables
	}
	p.Drawing(d)
	p.Small(p.say("The line's width is water a day, its tint is strength: pale is pure. Above stands what was read or computed, below what is promised or due."))
}

// pathDrawing draws a path with what was read and what is promised.
func (p *setting) pathDrawing(stations []study.Station, drain study.Drain, binds int, width float64) (scene.Drawing, error) {
	shown := page{checked: &study.Checked{Path: stations, Drain: drain}, options: p.job.Options}.path()
	shown.Title, shown.Subtitle = "", ""
	for i := range shown.Stations {
		s := &shown.Stations[i]
		s.Name, s.ID, s.Binds = upperFirst(p.part(s.Name)), "", i == binds
		if s.Word != "" {
			s.Word = p.sentence(s.Word)
		}
		s.Read, s.Due = p.facts(stations[i].Above), p.facts(stations[i].Below)
	}
	if shown.Drain != nil {
		shown.Drain.Notes = []string{
			p.sayf("recovery %s", quantity.FormatLocale(drain.Recovery, p.job.Units, p.job.Locale)),
			p.sayf("nearest to scaling: %s, %s", p.say(drain.First), fmt.Sprintf("%.1f", drain.Index)),
		}
	}
	d, err := shown.Draw(scene.Style{Width: width, Bare: true, Gallons: p.job.Units == quantity.US})
	if err != nil {
		return d, fmt.Errorf("draw path: %w", err)
	}
	return p.spoken(d), nil
}

func (p *setting) facts(all []study.Fact) (texts []string) {
	for _, f := range all {
		text := p.fig(f.Figure)
		if f.Label != "" {
			text = p.say(f.Label) + " " + text
		}
		texts = append(texts, text)
	}
	return texts
}

// part is the name of a part, translated by its shape.
func (p *setting) part(name string) string { return strings.ReplaceAll(p.say(name), " ft3", " ft³") }

// spoken puts the drawing's own words into the paper's language.
func (p *setting) spoken(d scene.Drawing) scene.Drawing { return d.In(p.Speaker) }
