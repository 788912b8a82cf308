package paper

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"

	"rinsewright/faults"
	"rinsewright/internal/scene"
	"rinsewright/study"
)

//go:embed faults.html
var faultsSource string

//go:embed faults.css
var faultsStyle string

// FaultsStyle is what the page of a finding needs beside [StyleSheet].
func FaultsStyle() string { return faultsStyle }

// How much of a finding stands on its page.
const (
	pageCauses = 8
	pageTold   = 3
	pageTests  = 6
)

// FaultsPage writes the page of a finding: the path with the suspect station
// marked, causes with their probabilities, what each foresees beside what was
// read, what to test next and why, and the remedy. It needs nothing from outside
// and runs no script.
func FaultsPage(w io.Writer, f *study.Faulted, o Options) error {
	return faultsPart(w, f, o, "faults")
}

// FaultsBody writes what stands on that page below its heading, for a page that
// has its own.
func FaultsBody(w io.Writer, f *study.Faulted, o Options) error {
	return faultsPart(w, f, o, "body")
}

// FaultsTaken says what readings a finding is from.
func FaultsTaken(f *study.Faulted) string { return faultsPage{found: f}.taken() }

func faultsPart(w io.Writer, f *study.Faulted, o Options, part string) error {
	v, err := faultsPage{f, o}.view()
	if err != nil {
		return fmt.Errorf("faults page: %w", err)
	}
	t, err := o.template("faults", faultsSource)
	if err != nil {
		return fmt.Errorf("faults page: %w", err)
	}
	if err := t.ExecuteTemplate(w, part, v); err != nil {
		return fmt.Errorf("faults page: %w", err)
	}
	return nil
}

type faultsPage struct {
	found   *study.Faulted
	options Options
}

type faultsView struct {
	Title, Origin, Taken string
	Style                template.CSS
	Wide, Narrow         template.HTML
	Causes               []causeRow
	Doubts               []string
	Told                 []toldCause
	Tests                []testRow
	First                faults.Suspect
	Parts                string
	Money                []row
	Cautions             []string
	Ask                  []testRow
	Load, Visit          string
	Heard                []row
	Version              string
}

type causeRow struct {
	Percent, Name, Station string
	Number                 int
	Bar                    string
}

type toldCause struct {
	Name    string
	Percent string
	Rows    []row
}

type testRow struct {
	Do, Minutes, Kit string
	Means            []row
}

func (p faultsPage) view() (v faultsView, err error) {
	f := p.found
	v = faultsView{
		Title: f.Site.Name, Origin: f.Site.Origin, Style: template.CSS(StyleSheet() + faultsStyle), Version: p.options.Version,
		Doubts: study.FaultDoubts(f.Finding), First: f.Finding.Ranked[0], Parts: study.Listed(f.Finding.Ranked[0].Remedy.Parts),
		Cautions: study.FaultCautions(f), Load: study.Listed(f.Call.Parts), Visit: f.Call.Visit, Taken: p.taken(),
	}
	for i, s := range f.Finding.Ranked[:pageCauses] {
		name := s.Cause.Name
		if s.Form != "" {
			name += ", " + s.Form
		}
		v.Causes = append(v.Causes, causeRow{percent(s.Probability), name, s.Cause.Station, s.Cause.Number, fmt.Sprintf("%.0f", 100*s.Probability)})
		if i < pageTold && len(s.Points) > 0 {
			v.Told = append(v.Told, toldCause{s.Cause.Name, percent(s.Probability), p.points(s.Points)})
		}
	}
	v.Tests, v.Ask = p.tests(f.Finding.Next, pageTests), p.tests(f.Call.Ask, len(f.Call.Ask))
	for _, m := range f.Money {
		v.Money = append(v.Money, row{Name: m.Name, Value: m.Amount.Text(p.options.Units, p.options.Locale)})
	}
	for _, h := range f.Finding.Heard {
		v.Heard = append(v.Heard, row{Name: study.Listed(h.Heard), Value: h.Concept, Read: study.CauseNames(h.Speaks, 4)})
	}
	if len(f.Path) == 0 {
		return v, nil
	}
	drawn := page{checked: &study.Checked{Site: f.Site, Path: f.Path, Drain: f.Drain}, options: p.options}
	path := drawn.path()
	path.Subtitle = "what is likeliest to be wrong sits between the brackets"
	if v.Wide, err = p.options.draw(path, scene.Style{Layout: scene.Wide, Gallons: drawn.gallons()}, "wide"); err != nil {
		return v, err
	}
	v.Narrow, err = p.options.draw(path, scene.Style{Layout: scene.Narrow, Gallons: drawn.gallons()}, "narrow")
	return v, err
}

func percent(p float64) string { return fmt.Sprintf("%.0f %%", 100*p) }

func (p faultsPage) taken() string {
	f := p.found
	switch {
	case f.Finding.Used == 0:
		return "Nobody has read anything yet: told from age, water and words alone."
	case f.Baseline != "":
		return fmt.Sprintf("%d readings of %s, held against %s.", f.Finding.Used, f.From, f.Baseline)
	}
	return fmt.Sprintf("%d readings of %s, held against nameplates: no baseline.", f.Finding.Used, f.From)
}

func (p faultsPage) points(points []faults.Point) (rows []row) {
	text := func(x faults.Point, si float64) string {
		return study.GaugeText(x.Of, si, p.options.Units, p.options.Locale)
	}
	for _, x := range points {
		name := x.Of.Title()
		if x.Number > 0 {
			name += fmt.Sprintf(" %d", x.Number)
		}
		rows = append(rows, row{Name: name, Read: text(x, x.Read), Value: text(x, x.Predicted), Band: text(x, x.Sound), Working: study.PointSays(x)})
	}
	return rows
}

func (p faultsPage) tests(all []faults.Test, most int) (rows []testRow) {
	for _, t := range all[:min(most, len(all))] {
		r := testRow{Do: t.Do, Minutes: fmt.Sprintf("%.0f min", t.Minutes)}
		if kit := p.found.Kit(t); kit != nil {
			r.Kit = "kit about " + kit.Text(p.options.Units, p.options.Locale)
		}
		for _, o := range t.Outcomes {
			if o.Share < 0.03 {
				continue
			}
			about := o.Says
			if about == "" {
				about = "about " + study.GaugeText(t.Of, o.Reads, p.options.Units, p.options.Locale)
			}
			r.Means = append(r.Means, row{Name: about, Value: study.CauseNames(o.Causes, 3)})
		}
		rows = append(rows, r)
	}
	return rows
}
