package paper

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"

	"rinsewright/internal/scene"
	"rinsewright/quantity"
	"rinsewright/study"
)

//go:embed size.html
var sizeSource string

//go:embed size.css
var sizeStyle string

// SizePage writes the page of a sizing: three paths one under another on one
// scale, with what binds each and its money, the frontier, where the money
// goes, and the working. It needs nothing from outside and runs no script.
func SizePage(w io.Writer, s *study.Sized, o Options) error { return writeSize(w, "size", s, o) }

// SizeBody writes what stands between head and foot of [SizePage], for a page
// that has its own and carries [StyleSheet] and [SizeStyle].
func SizeBody(w io.Writer, s *study.Sized, o Options) error { return writeSize(w, "body", s, o) }

// SizeStyle is what a sizing adds to [StyleSheet].
func SizeStyle() string { return sizeStyle }

func writeSize(w io.Writer, part string, s *study.Sized, o Options) error {
	p := sizePage{page{options: o}, s}
	v, err := p.view()
	if err != nil {
		return fmt.Errorf("size page: %w", err)
	}
	t, err := o.template("size", sizeSource)
	if err != nil {
		return fmt.Errorf("size page: %w", err)
	}
	if err := t.ExecuteTemplate(w, part, v); err != nil {
		return fmt.Errorf("size page: %w", err)
	}
	return nil
}

// sizePage turns one sizing into what the template shows.
type sizePage struct {
	page
	sized *study.Sized
}

type sizeView struct {
	Title, About, Origin     string
	Style                    template.CSS
	Now                      *study.Now
	NowYearly                string
	Ways                     []wayView
	Picks                    []pickView
	Stack, StackNarrow       template.HTML
	Frontier, FrontierNarrow template.HTML
	Points                   []pointView
	Turns                    []row
	Years                    int
	Discount                 string
	Assumed                  []study.Assumption
	Cautions                 []study.Caution
	Searched, Version        string
	PointLink                string
}

type pointView struct{ Number, First, Yearly, Risk, Drain, Short string }

type wayView struct{ Constraint, Says, Short, First, Over string }

type pickView struct {
	ID, Says, Same, Short   string
	First, Yearly, Over     string
	Headroom                string
	Wide, Narrow            template.HTML
	Binds                   []study.Bind
	Fails                   string
	Parts, Promises, Limits []row
	Steps                   []step
}

func (p sizePage) view() (sizeView, error) {
	s := p.sized
	v := sizeView{
		Title: s.Site.Name, About: s.Site.About, Origin: s.Site.Origin, Style: template.CSS(StyleSheet() + sizeStyle), Now: s.Now,
		Years: s.Years, Discount: quantity.FormatLocale(s.Discount, p.options.Units, p.options.Locale), Assumed: s.Assumed, Cautions: s.Cautions,
		Searched: fmt.Sprintf("%.2g systems searched by %d judgements", s.Systems, s.Judged), Version: p.options.Version, PointLink: p.options.Points,
	}
	if s.Cut {
		v.Searched += "; the search for what binds ended early, so more may bind than is told"
	}
	if s.Now != nil {
		v.NowYearly = p.text(s.Now.Yearly)
	}
	for _, w := range s.Ways {
		v.Ways = append(v.Ways, wayView{w.Constraint, w.Says, w.Short, p.text(w.First), p.text(w.Over)})
	}
	if len(s.Picks) == 0 {
		return v, nil
	}
	full := p.fullWidth()
	for i, pick := range s.Picks {
		shown, err := p.pick(i, pick, full)
		if err != nil {
			return v, err
		}
		v.Picks = append(v.Picks, shown)
	}
	return v, p.charts(&v)
}

func (p sizePage) charts(v *sizeView) (err error) {
	if v.Stack, err = p.options.chart(p.stack(), 720, "stack"); err != nil {
		return err
	}
	if v.StackNarrow, err = p.options.chart(p.stack(), 340, "stack-narrow"); err != nil {
		return err
	}
	if v.Frontier, err = p.options.chart(p.frontier(), 560, "frontier"); err != nil {
		return err
	}
	if v.FrontierNarrow, err = p.options.chart(p.frontier(), 340, "frontier-narrow"); err != nil {
		return err
	}
	for i, f := range p.sized.Frontier {
		v.Points = append(v.Points, pointView{fmt.Sprint(i + 1), p.text(f.First), p.text(f.Yearly), p.text(f.Risk), p.text(f.Drain), f.Short})
	}
	for _, x := range p.sized.Turns {
		times := fmt.Sprintf("× %.3g", x.Times)
		v.Turns = append(v.Turns, row{Name: x.Price, Value: times, Read: x.Other})
	}
	return nil
}

// fullWidth is the largest flow of all the paths, so that they share a scale.
func (p sizePage) fullWidth() float64 {
	most := 0.0
	for _, pick := range p.sized.Picks {
		for _, s := range pick.Path {
			most = max(most, s.Entering.Litres())
		}
	}
	return most
}

func (p sizePage) pick(i int, x study.Pick, full float64) (pickView, error) {
	v := pickView{
		ID: fmt.Sprintf("pick-%d", i+1), Says: x.Says, Short: x.Short, First: p.text(x.First), Yearly: p.text(x.Yearly), Over: p.text(x.Over),
		Headroom: quantity.FormatLocale(x.Headroom, p.options.Units, p.options.Locale), Binds: x.Binds,
	}
	for j, other := range p.sized.Picks[:i] {
		if other.Name == x.SameAs {
			v.Same, v.ID = other.Says, fmt.Sprintf("pick-%d", j+1)
		}
	}
	if f := x.Fails; f != nil {
		v.Fails = fmt.Sprintf("%s. It saves %s and fails: %s, %s.", f.Instead, p.text(f.Saves), f.Fails.Constraint, f.Fails.Says)
		if x.Name == "most_headroom" {
			v.Fails = fmt.Sprintf("%s. It saves %s and has less room: %s, %s.", f.Instead, p.text(f.Saves), f.Fails.Constraint, f.Fails.Says)
		}
	}
	if v.Same != "" {
		return v, nil
	}
	p.rows(&v, x)
	path := page{checked: &study.Checked{Path: x.Path, Drain: x.Drain}, options: p.options}.path()
	path.Title, path.Subtitle = "All three paths on one scale", ""
	for j := range path.Stations {
		path.Stations[j].Binds = j == x.BindsAt
		path.Stations[j].ID = ""
	}
	var err error
	if v.Wide, err = p.options.draw(path, scene.Style{Layout: scene.Wide, Gallons: p.gallons(), FullWidthLitresPerDay: full, Bare: i > 0}, v.ID+"-wide"); err != nil {
		return v, err
	}
	v.Narrow, err = p.options.draw(path, scene.Style{Layout: scene.Narrow, Gallons: p.gallons(), FullWidthLitresPerDay: full, Bare: i > 0}, v.ID+"-narrow")
	return v, err
}

func (p sizePage) rows(v *pickView, x study.Pick) {
	for _, part := range x.Parts {
		r := row{Name: part.Name, Value: p.text(part.Amount)}
		switch {
		case part.Kept:
			r.Value = "stays"
		case part.Kind == "labour":
			r.Name = fmt.Sprintf("%g h: %s", part.Count, part.Name)
		case part.Kind == "tube":
			r.Name = fmt.Sprintf("%g m of %s", part.Count, part.Name)
		case part.Count > 1:
			r.Name = fmt.Sprintf("%g × %s", part.Count, part.Name)
		case part.Old:
			r.Name += " in place of the old"
		}
		v.Parts = append(v.Parts, r)
	}
	for _, promise := range x.Promises {
		v.Promises = append(v.Promises, p.promise(promise))
	}
	for _, l := range x.Limits {
		v.Limits = append(v.Limits, row{Name: l.Constraint, Value: quantity.FormatLocale(l.Used, p.options.Units, p.options.Locale), Band: l.Says})
	}
	for _, s := range x.Working {
		v.Steps = append(v.Steps, p.step(s))
	}
}

// stack draws what each system costs over the years, part by part.
func (p sizePage) stack() scene.Bars {
	b := scene.Bars{Note: fmt.Sprintf("first cost, then %d years of each part of the yearly cost, discounted", p.sized.Years)}
	annuity := float64(p.sized.Years)
	if i := float64(p.sized.Discount); i > 0 {
		annuity = -math.Expm1(-float64(p.sized.Years)*math.Log1p(i)) / i
	}
	for _, x := range p.sized.Picks {
		if x.SameAs != "" {
			continue
		}
		first, unit := x.First.Plain(quantity.SI)
		b.Unit = unit
		r := scene.BarRow{Label: x.Says, Low: math.NaN(), High: math.NaN(), Words: p.text(x.Over), Parts: []scene.BarPart{{Name: "first cost", Value: first}}}
		for _, c := range x.Costs {
			if c.Name == "total" {
				continue
			}
			value, _ := c.Amount.Plain(quantity.SI)
			r.Parts = append(r.Parts, scene.BarPart{Name: group(c.Name), Value: annuity * value})
		}
		r.Parts = merged(r.Parts)
		b.Rows = append(b.Rows, r)
	}
	return b
}

// group puts lines of the yearly cost together, so that a bar has few parts.
func group(name string) string {
	switch name {
	case "resin", "labour at resin changes", "travel to change resin":
		return "resin and its changes"
	case "water", "sewer":
		return "water and sewer"
	case "filters", "carbon", "iron filter, its bed":
		return "filters and carbon"
	}
	return name
}

func merged(parts []scene.BarPart) (all []scene.BarPart) {
	at := map[string]int{}
	for _, x := range parts {
		if i, ok := at[x.Name]; ok {
			all[i].Value += x.Value
			continue
		}
		at[x.Name] = len(all)
		all = append(all, x)
	}
	return all
}
