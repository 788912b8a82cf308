package door

import (
	"bytes"
	"context"
	"slices"
	"strings"

	"rinsewright/internal/pathscene"
	"rinsewright/internal/say"
	"rinsewright/internal/scene"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

// Path is what a rig does, ready to be shown: the drawing for a desk and in
// one row, the same station by station for a phone, and what follows.
type Path struct {
	Wide     string    `json:"wide"` // svg
	Mini     string    `json:"mini"` // svg
	Stations []Station `json:"stations"`
	Findings []Finding `json:"findings"`
	Promises []Promise `json:"promises"`
	Costs    []Line    `json:"costs"`
	Bands    bool      `json:"bands"` // the promises have theirs
}

// Station is one stage of the path with what can be changed there.
type Station struct {
	ID    string `json:"id"` // of its group in the drawing
	Name  string `json:"name"`
	State string `json:"state"`
	Word  string `json:"word,omitempty"`
	Facts []Fact `json:"facts"`
	Knobs []Knob `json:"knobs,omitempty"`
}

// Fact is one labelled figure.
type Fact struct {
	Label string `json:"label,omitempty"`
	Says  string `json:"says"`
	Was   string `json:"was,omitempty"`
}

// Knob is a number of the survey that can be turned here.
type Knob struct {
	Key     string `json:"key"`
	Label   string `json:"label"`
	Says    string `json:"says"`
	Example string `json:"example"`
}

// Finding is one thing worth saying.
type Finding struct {
	State string `json:"state"`
	Says  string `json:"says"`
	New   bool   `json:"new,omitempty"` // it was not said before
}

// Promise is a predicted number, as it is and as it was.
type Promise struct {
	Name  string  `json:"name"`
	Says  string  `json:"says"`
	Value string  `json:"value"`
	Band  string  `json:"band,omitempty"`
	Was   string  `json:"was,omitempty"`
	SI    float64 `json:"si"`   // the value as a plain number
	Unit  string  `json:"unit"` // of it
}

// Line is one line of the cost of a year.
type Line struct {
	Name string `json:"name"`
	Says string `json:"says"`
	Was  string `json:"was,omitempty"`
}

func (d *Door) path(ctx context.Context, q Question, changed *site.Site, o study.Options) (*Path, error) {
	if d.drawn == nil { // a site that does not work yet has no before
		if before, err := study.Sketch(ctx, d.site, o); err == nil {
			d.drawn = before
		}
	}
	look := study.Sketch
	if q.Ask == Check {
		look, o.Looks = study.Check, checkLooks
	}
	now, err := look(ctx, changed, o)
	if err != nil {
		return nil, err
	}
	v := view{now: now, before: d.drawn, site: changed, file: d.loc, options: o, words: say.Shared(q.Language, d.reads.DecimalComma)}
	if v.before == nil || !sameStations(v.before.Path, now.Path) {
		v.before = now // nothing to hold it against
	}
	return v.path(q.Ask == Check)
}

func sameStations(a, b []study.Station) bool {
	return slices.EqualFunc(a, b, func(x, y study.Station) bool { return x.Kind == y.Kind })
}

// view shows one answer beside what was before.
type view struct {
	now, before *study.Checked
	site        *site.Site
	file        quantity.Locale
	options     study.Options
	words       *say.Speaker
}

func (v view) path(bands bool) (*Path, error) {
	out := &Path{Bands: bands, Findings: v.findings(), Promises: v.promises(bands), Costs: v.costs()}
	reads := pathscene.Reader{Units: v.options.Units, Locale: v.options.Locale}
	drawn, old := pathscene.Of(v.now.Path, v.now.Drain, reads).In(v.words), pathscene.Of(v.before.Path, v.before.Drain, reads).In(v.words)
	counted := counter{}
	for i, s := range v.now.Path {
		st := Station{ID: "now-" + drawn.Stations[i].ID, Name: s.Name, State: string(s.State), Word: s.Word, Knobs: v.knobs(s, counted)}
		st.Facts = v.facts(slices.Concat(s.Above, s.Below), slices.Concat(v.before.Path[i].Above, v.before.Path[i].Below))
		out.Stations = append(out.Stations, st)
		drawn.Stations[i].Read = v.withWas(s.Above, drawn.Stations[i].Read, old.Stations[i].Read)
		drawn.Stations[i].Due = v.withWas(s.Below, drawn.Stations[i].Due, old.Stations[i].Due)
	}
	var err error
	gallons := v.options.Units == quantity.US
	if out.Wide, err = v.svg(drawn, scene.Style{Layout: scene.Wide, Gallons: gallons, Bare: true}, "now"); err != nil {
		return nil, err
	}
	out.Mini, err = v.svg(drawn, scene.Style{Layout: scene.Mini, Gallons: gallons, Bare: true}, "mini")
	return out, err
}

func (v view) svg(p scene.Path, style scene.Style, prefix string) (string, error) {
	style.Say = v.words.Say
	drawing, err := p.Draw(style)
	if err != nil {
		return "", err
	}
	var b bytes.Buffer
	err = drawing.In(v.words).SVG(&b, scene.SVGOptions{Prefix: prefix})
	return b.String(), err
}

// withWas puts under each line what it said before, where that is another.
// The label of its fact is not said twice.
func (v view) withWas(facts []study.Fact, now, before []string) (lines []string) {
	for i, line := range now {
		lines = append(lines, line)
		if len(now) == len(before) && before[i] != line {
			lines = append(lines, scene.Was+strings.TrimPrefix(before[i], v.words.Say(facts[i].Label)+" "))
		}
	}
	return lines
}

func (v view) facts(now, before []study.Fact) (all []Fact) {
	for i, f := range now {
		fact := Fact{Label: f.Label, Says: v.text(f.Figure)}
		if len(now) == len(before) && before[i].Label == f.Label {
			fact.Was = other(v.text(before[i].Figure), fact.Says)
		}
		all = append(all, fact)
	}
	return all
}

func (v view) text(f study.Figure) string { return f.Text(v.options.Units, v.options.Locale) }

// other is a text where it differs from what is said now.
func other(text, now string) string {
	if text == now {
		return ""
	}
	return text
}

func (v view) findings() (all []Finding) {
	said := map[string]bool{}
	for _, f := range v.before.Findings {
		said[f.About+string(f.State)] = true
	}
	for _, f := range v.now.Findings {
		all = append(all, Finding{string(f.State), f.Says, !said[f.About+string(f.State)]})
	}
	return all
}

func (v view) promises(bands bool) (all []Promise) {
	old := map[string]string{}
	for _, p := range v.before.Promises {
		old[p.Name] = v.text(p.Band.Value)
	}
	for _, p := range v.now.Promises {
		out := Promise{Name: p.Name, Says: p.Says}
		out.Value, out.Band = split(p.Band, v.options)
		if !bands {
			out.Band = ""
		}
		out.Was = other(old[p.Name], out.Value)
		out.SI, out.Unit = p.Band.Value.Plain(quantity.SI)
		all = append(all, out)
	}
	return all
}

func (v view) costs() (all []Line) {
	old := map[string]string{}
	for _, c := range v.before.Costs {
		old[c.Name] = v.text(c.Amount)
	}
	for _, c := range v.now.Costs {
		says := v.text(c.Amount)
		all = append(all, Line{c.Name, says, other(old[c.Name], says)})
	}
	return all
}
