package paper

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"strings"

	"rinsewright/internal/scene"
	"rinsewright/quantity"
	"rinsewright/study"
)

//go:embed water.html
var waterSource string

// WaterPage writes the page of a water sheet: what is known and how surely,
// what settles at which recovery, what loads the resin, what harms, and which
// reading to take next. It needs nothing from outside and runs no script.
func WaterPage(w io.Writer, sheet *study.WaterSheet, o Options) error {
	view, err := waterPage{sheet, o}.view()
	if err != nil {
		return fmt.Errorf("water page: %w", err)
	}
	t, err := o.template("water", waterSource)
	if err != nil {
		return fmt.Errorf("water page: %w", err)
	}
	if err := t.Execute(w, view); err != nil {
		return fmt.Errorf("water page: %w", err)
	}
	return nil
}

type waterPage struct {
	sheet   *study.WaterSheet
	options Options
}

type waterView struct {
	Title, Origin, Taken   string
	Style                  template.CSS
	Findings               []study.Finding
	Rows                   []row
	Charges, ChargesNarrow template.HTML
	Hardness               string
	Holds                  string
	Scaling                []scalingRow
	Unjudged               string
	Indices                []row
	Eats, EatsNarrow       template.HTML
	Behind, BehindNarrow   template.HTML
	Disinfectant, Permeate []string
	Troubles               []troubleRow
	NotLooked              string
	Next                   []nextRow
	Steps                  []step
	Assumed                []study.Assumption
	Looks                  int
	Version                string
}

type scalingRow struct{ Recovery, First, Index, Band, Verdict string }

type troubleRow struct {
	Over                     bool
	Head, Harms, Do, Caution string
}

type nextRow struct{ Name, Minutes, Narrows, Most, Why string }

func (p waterPage) ratio(r quantity.Ratio) string {
	return quantity.FormatLocale(r, p.options.Units, p.options.Locale)
}

func (p waterPage) view() (waterView, error) {
	s, o := p.sheet, p.options
	v := waterView{
		Title: s.Site.Name, Origin: s.Site.Origin, Taken: strings.TrimSpace(s.Place + " water " + s.Date), Style: template.CSS(scene.StyleSheet() + pageStyle),
		Findings: p.findings(), Holds: p.holds(), Unjudged: strings.Join(s.Unjudged, ", "), Disinfectant: s.Disinfectant, Permeate: s.Permeate,
		NotLooked: strings.Join(s.NotLooked, ", "), Assumed: s.Assumed, Looks: s.Looks, Version: o.Version,
	}
	for _, r := range s.Rows {
		value := r.Band.Value.Text(o.Units, o.Locale)
		v.Rows = append(v.Rows, row{Name: r.Name, Value: value, Band: bandOnly(r.Band, value, o), Read: string(r.From)})
	}
	var hard []string
	for _, f := range s.Hardness {
		hard = append(hard, f.Figure.Text(o.Units, o.Locale))
	}
	v.Hardness = strings.Join(hard, " · ")
	for _, r := range s.Scaling {
		v.Scaling = append(v.Scaling, scalingRow{p.ratio(r.Recovery), r.First, fmt.Sprintf("%+.1f", r.Index), fmt.Sprintf("%+.1f to %+.1f", r.Low, r.High), r.Verdict})
	}
	for _, i := range s.Indices {
		v.Indices = append(v.Indices, row{Name: i.Name, Value: fmt.Sprintf("%+.2f", i.Value), Read: i.Says})
	}
	for _, x := range s.Troubles {
		v.Troubles = append(v.Troubles, p.trouble(x.Of, x.Read, x.Limit, x.Over, x.Harms, x.Do, x.Caution))
	}
	for _, n := range s.Next {
		v.Next = append(v.Next, nextRow{n.Name, fmt.Sprintf("%.0f", math.Max(n.Minutes, 1)), p.ratio(n.Narrows), n.Most, n.Why})
	}
	for _, x := range s.Working {
		v.Steps = append(v.Steps, page{options: o}.step(x))
	}
	return v, p.draw(&v)
}

// bandOnly is a band without its value.
func bandOnly(b study.Band, value string, o Options) string {
	full := b.Text(o.Units, o.Locale)
	if full == value {
		return ""
	}
	return strings.TrimSuffix(strings.TrimPrefix(strings.TrimPrefix(full, value), " ("), ")")
}

func (p waterPage) trouble(of string, read, limit quantity.MassConc, over bool, harms, do, caution string) troubleRow {
	text := func(c quantity.MassConc) string { return quantity.FormatLocale(c, p.options.Units, p.options.Locale) }
	head := fmt.Sprintf("%s: %s, below the limit of %s.", of, text(read), text(limit))
	if over {
		head = fmt.Sprintf("%s: %s, above %s.", of, text(read), text(limit))
	}
	return troubleRow{over, head, harms, strings.ToUpper(do[:1]) + do[1:], caution}
}

// findings puts what needs a person first.
func (p waterPage) findings() (all []study.Finding) {
	s := p.sheet
	for _, c := range s.Contradictions {
		all = append(all, study.Finding{State: study.NotKnown, Says: "The readings do not fit each other.", Because: []string{c + "."}})
	}
	if s.Full {
		state, says := study.Fine, fmt.Sprintf("A full analysis, as printed: its charges are off by %+.1f %%.", 100*float64(s.Imbalance))
		if math.Abs(float64(s.Imbalance)) > 0.05 {
			state = study.NotKnown
		}
		all = append(all, study.Finding{State: state, Says: says})
	}
	for _, x := range s.Troubles {
		if x.Over && !x.Carbon {
			all = append(all, study.Finding{State: study.Due, Says: p.trouble(x.Of, x.Read, x.Limit, true, x.Harms, x.Do, "").Head, Because: []string{"It " + x.Harms + "."}})
		}
	}
	state := study.Fine
	switch h := s.Holds; {
	case h.Likely < 0.25:
		state = study.Due
	case h.Surely < 0.25:
		state = study.NotKnown
	}
	all = append(all, study.Finding{State: state, Says: p.holds()})
	if len(s.Next) > 0 {
		n := s.Next[0]
		all = append(all, study.Finding{
			State: study.NotKnown, Says: fmt.Sprintf("One more reading would help most: %s.", n.Name),
			Because: []string{fmt.Sprintf("It takes %.0f min, and narrows the bands of scaling and resin load by %s.", math.Max(n.Minutes, 1), p.ratio(n.Narrows))},
		})
	}
	return all
}

// holds says up to which recovery nothing settles.
func (p waterPage) holds() string {
	h := p.sheet.Holds
	switch {
	case h.Likely == 0:
		return "Nothing keeps it from settling at any recovery without a softener, acid or an antiscalant."
	case h.Surely == 0:
		return fmt.Sprintf("Nothing should settle up to %s, but it stays in doubt at any recovery.", p.ratio(h.Likely))
	case h.Surely == h.Likely:
		return fmt.Sprintf("Nothing settles up to %s recovery.", p.ratio(h.Surely))
	}
	return fmt.Sprintf("Nothing settles up to %s recovery, within the doubt; by the best guess up to %s.", p.ratio(h.Surely), p.ratio(h.Likely))
}

func (p waterPage) draw(v *waterView) (err error) {
	charges := scene.Bars{Title: "Its ions by charge", Unit: "meq/L"}
	for _, c := range p.sheet.Charges {
		value, unit := c.Band.Value.Plain(quantity.SI)
		low, _ := c.Band.Low.Plain(quantity.SI)
		high, _ := c.Band.High.Plain(quantity.SI)
		charges.Unit = unit
		name := "anions"
		if c.Cation {
			name = "cations"
		}
		charges.Rows = append(charges.Rows, scene.BarRow{
			Label: c.Name, Low: low, High: high, Words: c.Band.Value.Text(p.options.Units, p.options.Locale),
			Parts: []scene.BarPart{{Name: name, Value: value}},
		})
	}
	eats := p.load("Without a membrane", p.sheet.Eats)
	behind := p.load("Behind a common membrane", p.sheet.Behind)
	for _, d := range []struct {
		bars   scene.Bars
		width  float64
		prefix string
		to     *template.HTML
	}{
		{charges, 560, "charges", &v.Charges},
		{charges, 340, "charges-narrow", &v.ChargesNarrow},
		{eats, 560, "eats", &v.Eats},
		{eats, 340, "eats-narrow", &v.EatsNarrow},
		{behind, 560, "behind", &v.Behind},
		{behind, 340, "behind-narrow", &v.BehindNarrow},
	} {
		if len(d.bars.Rows) == 0 {
			continue
		}
		if *d.to, err = p.options.chart(d.bars, d.width, d.prefix); err != nil {
			return err
		}
	}
	return nil
}

func (p waterPage) load(title string, shares []study.Share) scene.Bars {
	bars := scene.Bars{Title: title, Unit: "%"}
	for _, s := range shares {
		bars.Rows = append(bars.Rows, scene.BarRow{
			Label: s.Name, Low: math.NaN(), High: math.NaN(), Words: p.ratio(s.Share),
			Parts: []scene.BarPart{{Name: "share", Value: 100 * float64(s.Share)}},
		})
	}
	return bars
}
