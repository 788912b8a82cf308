package paper

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"strings"

	"rinsewright/internal/pathscene"
	"rinsewright/internal/scene"
	"rinsewright/quantity"
	"rinsewright/study"
	"rinsewright/working"
)

// Options is how a document speaks to its reader.
type Options struct {
	Units   quantity.System
	Locale  quantity.Locale
	Version string // of the program, for the foot
	// Language is one of [Languages]; empty is English.
	Language string
	// Steps gives the charts of a forecast a place for a page's script to step
	// through them, and the same as a table.
	Steps bool
	// Points begins the address of a point of a sizing's frontier, which its
	// number ends; empty links none.
	Points string
}

//go:embed page.html
var pageSource string

//go:embed page.css
var pageStyle string

// CheckPage writes the page of a check: the path drawn for desk and phone,
// what matters, promises, resin, money, assumptions, cautions and working. It
// needs nothing from outside and runs no script.
func CheckPage(w io.Writer, c *study.Checked, o Options) error { return write(w, "page", c, o) }

// CheckBody writes what stands between head and foot of [CheckPage], for a page
// that has its own and carries [StyleSheet].
func CheckBody(w io.Writer, c *study.Checked, o Options) error { return write(w, "body", c, o) }

// StyleSheet is how pages look: colours in light, dark and print, type, tables
// and figures.
func StyleSheet() string { return scene.StyleSheet() + pageStyle }

// Path is the drawing of a check's path, for any layout.
func Path(c *study.Checked, o Options) scene.Path { return page{checked: c, options: o}.path() }

func write(w io.Writer, part string, c *study.Checked, o Options) error {
	p := page{checked: c, options: o}
	view, err := p.view()
	if err != nil {
		return fmt.Errorf("check page: %w", err)
	}
	t, err := p.options.template("page", pageSource)
	if err != nil {
		return fmt.Errorf("check page: %w", err)
	}
	if err := t.ExecuteTemplate(w, part, view); err != nil {
		return fmt.Errorf("check page: %w", err)
	}
	return nil
}

// page turns one check into what the template shows.
type page struct {
	checked *study.Checked
	options Options
}

type view struct {
	Title, About, Origin string
	Style                template.CSS
	Wide, Narrow         template.HTML
	Findings             []study.Finding
	Promises             []row
	Settles              []row
	Resin                *resinView
	Beds                 []bedRow
	Busy                 *busyView
	Rig                  *rigView
	Months               template.HTML
	MonthsNarrow         template.HTML
	Costs                []row
	Assumed              []study.Assumption
	Cautions             []study.Caution
	Steps                []step
	Looks                int
	Version              string
}

type row struct{ Name, Value, Band, Read, Working string }

// mostSettles is how many readings a person is asked to think of at once.
const mostSettles = 4

type resinView struct {
	Days, Label, Ends string
	Bars, BarsNarrow  template.HTML
	Changes           []changeRow
}

type changeRow struct{ Name, Days, Times, Note string }

type step struct {
	working.Step
	Shown  string
	Inputs []inputRow
}

type inputRow struct{ Symbol, Name, Value, From string }

func (p page) text(f study.Figure) string { return f.Text(p.options.Units, p.options.Locale) }

func (p page) view() (view, error) {
	c := p.checked
	v := view{
		Title: c.Site.Name, About: c.Site.About, Origin: c.Site.Origin, Findings: c.Findings, Assumed: c.Assumed, Cautions: c.Cautions,
		Style: template.CSS(StyleSheet()), Looks: c.Looks, Version: p.options.Version,
	}
	var err error
	path := p.path()
	if v.Wide, err = p.options.draw(path, scene.Style{Layout: scene.Wide, Gallons: p.gallons()}, "wide"); err != nil {
		return v, err
	}
	if v.Narrow, err = p.options.draw(path, scene.Style{Layout: scene.Narrow, Gallons: p.gallons()}, "narrow"); err != nil {
		return v, err
	}
	if v.Resin, err = p.resin(); err != nil {
		return v, err
	}
	v.Beds = p.beds()
	if v.Rig, err = p.rig(); err != nil {
		return v, err
	}
	if v.Busy, err = p.busy(); err != nil {
		return v, err
	}
	if v.Months, err = p.months(560); err != nil {
		return v, err
	}
	if v.MonthsNarrow, err = p.months(340); err != nil {
		return v, err
	}
	for _, promise := range c.Promises {
		v.Promises = append(v.Promises, p.promise(promise))
	}
	for _, s := range c.Settles[:min(len(c.Settles), mostSettles)] {
		v.Settles = append(v.Settles, row{Name: s.Reading, Value: quantity.FormatLocale(s.Minutes, p.options.Units, p.options.Locale), Band: s.Gain()})
	}
	for _, cost := range c.Costs {
		v.Costs = append(v.Costs, row{Name: cost.Name, Value: p.text(cost.Amount)})
	}
	for _, s := range c.Working {
		v.Steps = append(v.Steps, p.step(s))
	}
	return v, nil
}

func (p page) gallons() bool { return p.options.Units == quantity.US }

func (p page) promise(x study.Promise) row {
	r := row{Name: x.Says, Value: p.text(x.Band.Value), Working: x.Working}
	if full := x.Band.Text(p.options.Units, p.options.Locale); full != r.Value {
		r.Band = strings.TrimSuffix(strings.TrimPrefix(strings.TrimPrefix(full, r.Value), " ("), ")")
	}
	if x.Read != nil {
		r.Read = p.text(x.Read)
	}
	return r
}

func (p page) path() scene.Path {
	return pathscene.Of(p.checked.Path, p.checked.Drain, pathscene.Reader{Units: p.options.Units, Locale: p.options.Locale})
}

func (p page) resin() (*resinView, error) {
	r := p.checked.Resin
	if r == nil {
		return nil, nil
	}
	v := &resinView{Days: r.Days.Text(p.options.Units, p.options.Locale), Ends: r.Ends}
	if r.LabelDays != nil {
		v.Label = p.text(r.LabelDays)
	}
	bars := scene.Bars{Title: "What takes the places on the resin", Unit: "%"}
	for _, s := range r.Eats {
		bars.Rows = append(bars.Rows, scene.BarRow{
			Label: s.Name, Low: math.NaN(), High: math.NaN(),
			Words: quantity.FormatLocale(s.Share, p.options.Units, p.options.Locale), Parts: []scene.BarPart{{Name: "share", Value: 100 * float64(s.Share)}},
		})
	}
	var err error
	if v.Bars, err = p.options.chart(bars, 560, "eats"); err != nil {
		return nil, err
	}
	if v.BarsNarrow, err = p.options.chart(bars, 340, "eats-narrow"); err != nil {
		return nil, err
	}
	for _, c := range r.Changes {
		v.Changes = append(v.Changes, changeRow{c.Name, p.text(c.Days), fmt.Sprintf("×%.3g", c.Times), c.Note})
	}
	return v, nil
}

// months draws what the membrane can make in a day through the year against
// what the busiest day of each month asks for.
func (p page) months(width float64) (template.HTML, error) {
	m := scene.Months{Title: "What the membrane can make in a day", FromZero: true, Unit: "L"}
	scale := quantity.Volume.Litres
	if p.gallons() {
		m.Unit, scale = "gal", quantity.Volume.Gallons
	}
	m.Points = "asked for on the busiest day"
	for i := range 12 {
		m.Values[i] = scale(p.checked.Months.PerDay[i])
		m.Low[i], m.High[i] = scale(p.checked.Months.Low[i]), scale(p.checked.Months.High[i])
		if needed := scale(p.checked.Months.Needed[i]); needed > 0 {
			m.Readings = append(m.Readings, scene.MonthReading{Month: float64(i) + 1.5, Value: needed})
		}
	}
	return p.options.chart(m, width, fmt.Sprintf("months-%.0f", width))
}

func (p page) step(s working.Step) step {
	out := step{Step: s, Shown: strings.TrimSpace(fmt.Sprintf("%.6g %s", s.Value, s.Unit))}
	for _, in := range s.Inputs {
		from := string(in.Origin)
		if in.Step != "" {
			from = in.Step
		}
		out.Inputs = append(out.Inputs, inputRow{in.Symbol, in.Name, strings.TrimSpace(fmt.Sprintf("%.6g %s", in.Value, in.Unit)), from})
	}
	return out
}
