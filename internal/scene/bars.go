package scene

import (
	"fmt"
	"math"
	"strings"
)

// Bars compares amounts as lengths from one line: single bars, or bars made
// of parts (what ate the resin, what a litre costs).
type Bars struct {
	Title, Note string
	Unit        string
	Rows        []BarRow
}

// BarRow is one bar. Low and High are its band, both NaN or equal for none.
type BarRow struct {
	Label     string
	Parts     []BarPart
	Low, High float64
	Words     string // printed in place of the sum and its unit
}

// BarPart is a piece of a bar. Parts of the same name share colour and
// texture from row to row.
type BarPart struct {
	Name  string
	Value float64
	Words string // printed in place of the value and its unit
}

// total is the sum of what is known.
func (r BarRow) total() float64 {
	sum := 0.0
	for _, p := range r.Parts {
		sum += known(p.Value)
	}
	return sum
}

func (r BarRow) anyKnown() bool {
	for _, p := range r.Parts {
		if !math.IsNaN(p.Value) {
			return true
		}
	}
	return false
}

func (r BarRow) banded() bool { return r.High > r.Low }

func (r BarRow) words(unit string) string {
	switch {
	case r.Words != "":
		return tidy(r.Words)
	case !r.anyKnown():
		return "not known"
	}
	return valued(r.total(), unit)
}

func (p BarPart) words(unit string) string {
	if p.Words != "" {
		return tidy(p.Words)
	}
	return valued(p.Value, unit)
}

// Draw draws the bars at a width of 240 to 2000 units; 0 is 520. The error
// wraps [ErrChart] when there are no rows or more than 40, a row has more than
// 40 parts, or a value is negative or not a sane number; NaN is not known.
func (b Bars) Draw(width float64) (Drawing, error) {
	width, err := chartWidth(width, 520)
	if err == nil {
		err = b.check()
	}
	if err != nil {
		return Drawing{}, fmt.Errorf("draw bars: %w", err)
	}
	b.Unit = tidy(b.Unit)
	s := barSheet{bars: b, width: width, names: b.names()}
	y := s.heading(b.Title, b.Note, width)
	s.measure()
	for _, r := range b.Rows {
		y = s.row(r, y)
	}
	if len(s.names) > 1 {
		y = s.keys(y + 12)
	}
	return Drawing{Width: width, Height: math.Ceil(y + 8), Title: or(tidy(b.Title), "Bars"), Desc: b.spoken(), Shapes: s.shapes}, nil
}

func or(s, instead string) string {
	if s == "" {
		return instead
	}
	return s
}

func (b Bars) check() error {
	if n := len(b.Rows); n < 1 || n > mostRows {
		return fmt.Errorf("%d rows, want 1 to %d: %w", n, mostRows, ErrChart)
	}
	for _, r := range b.Rows {
		if len(r.Parts) > mostRows || !reading(r.Low, r.High) || r.Low < 0 {
			return fmt.Errorf("row %q has %d parts and band %g to %g: %w", r.Label, len(r.Parts), r.Low, r.High, ErrChart)
		}
		for _, p := range r.Parts {
			if !amount(p.Value) {
				return fmt.Errorf("row %q, part %q is %g: %w", r.Label, p.Name, p.Value, ErrChart)
			}
		}
	}
	return nil
}

// names lists the parts in the order they first appear.
func (b Bars) names() []string {
	var names []string
	seen := map[string]bool{}
	for _, r := range b.Rows {
		for _, p := range r.Parts {
			if n := tidy(p.Name); !seen[n] {
				seen[n] = true
				names = append(names, n)
			}
		}
	}
	return names
}

type barSheet struct {
	sheet
	bars       Bars
	width      float64
	names      []string
	left, long float64 // where bars begin, and how long the longest is
	most       float64 // its value
}

const barHeight = 20.0

func (s *barSheet) measure() {
	label, value := 0.0, 0.0
	for _, r := range s.bars.Rows {
		label = max(label, chartLabel.width(tidy(r.Label)))
		value = max(value, chartValue.width(r.words(s.bars.Unit)))
		s.most = max(s.most, r.total())
		if r.banded() {
			s.most = max(s.most, r.High)
		}
	}
	s.left = chartPad + min(label, s.width*0.32) + 12
	if label == 0 {
		s.left = chartPad
	}
	s.long = s.width - chartPad - s.left - min(value, s.width*0.3) - 12
}

func (s *barSheet) place(v float64) float64 {
	if s.most <= 0 {
		return s.left
	}
	return s.left + v/s.most*s.long
}

// row draws one bar with its label before, its value behind and the values of
// its parts below where they fit.
func (s *barSheet) row(r BarRow, y float64) float64 {
	label := chartLabel.wrap(tidy(r.Label), s.left-chartPad-11, 2)
	y += 10 + 8*float64(max(len(label)-1, 0))
	baseline := y + barHeight/2 + 4.5
	s.write(chartLabel, label, chartPad, baseline-8*float64(max(len(label)-1, 0)), Start)
	from, noted, free := 0.0, false, s.left
	for _, p := range r.Parts {
		to := from + known(p.Value)
		l, w := s.place(from), s.place(to)-s.place(from)
		s.swatch(s.series(p.Name), l, y, w, barHeight)
		if words := p.words(s.bars.Unit); len(s.bars.Rows) > 1 && len(r.Parts) > 1 && tickFace.width(words) < w-2 && l+w/2-tickFace.width(words)/2 > free {
			s.say(tickFace, words, l+w/2, y+barHeight+13, Middle)
			noted, free = true, l+w/2+tickFace.width(words)/2+4
		}
		from = to
	}
	end := s.place(from)
	s.line(s.left, y-4, s.left, y+barHeight+4, Paint{Stroke: Ink, Width: 1})
	if r.banded() {
		end = max(end, s.whisker(r, y+barHeight/2))
	}
	words := chartValue.wrap(r.words(s.bars.Unit), s.width-chartPad-end-8, 1)
	s.write(chartValue, words, end+8, baseline, Start)
	y += barHeight + 8*float64(max(len(label)-1, 0))
	if noted {
		y += 14
	}
	return y
}

// whisker draws the band across a bar's end and gives where it ends.
func (s *barSheet) whisker(r BarRow, y float64) float64 {
	l, h := s.place(max(known(r.Low), 0)), s.place(r.High)
	for _, p := range []Paint{{Stroke: Paper, Width: 4}, {Stroke: Ink, Width: 1.6}} {
		s.add(Outline{Steps: []Step{move(l, y-5), line(l, y+5), move(l, y), line(h, y), move(h, y-5), line(h, y+5)}, Paint: p})
	}
	return h
}

func (s *barSheet) series(name string) int {
	name = tidy(name)
	for i, n := range s.names {
		if n == name {
			return i
		}
	}
	return 0
}

// keys names the parts under the bars; with a single bar, each with its value.
func (s *barSheet) keys(y float64) float64 {
	x := chartPad
	y += 14
	room := s.width - 2*chartPad
	for i, name := range s.names {
		words := or(name, "other")
		if len(s.bars.Rows) == 1 {
			words += " · " + s.bars.Rows[0].sumOf(name, s.bars.Unit)
		}
		fit := chartNote.wrap(words, room-24, 1)
		w := 24 + chartNote.width(fit[0].text)
		if x > chartPad && x+w > s.width-chartPad {
			x, y = chartPad, y+22
		}
		s.swatch(i, x, y-11, 16, 14)
		s.write(chartNote, fit, x+24, y, Start)
		x += w + 20
	}
	return y + 8
}

// sumOf says the value of the parts of one name.
func (r BarRow) sumOf(name, unit string) string {
	for _, p := range r.Parts {
		if tidy(p.Name) == name && p.Words != "" {
			return tidy(p.Words)
		}
	}
	sum := math.NaN()
	for _, p := range r.Parts {
		if tidy(p.Name) == name && !math.IsNaN(p.Value) {
			sum = known(sum) + p.Value
		}
	}
	return valued(sum, unit)
}

func (b Bars) spoken() string {
	var out strings.Builder
	for _, r := range b.Rows {
		if label := tidy(r.Label); label != "" {
			out.WriteString(label + ": ")
		}
		out.WriteString(r.words(b.Unit))
		if r.banded() {
			out.WriteString(", band " + short(known(r.Low)) + " to " + valued(r.High, b.Unit))
		}
		for _, p := range r.Parts {
			if len(r.Parts) > 1 {
				out.WriteString("; " + or(tidy(p.Name), "other") + " " + p.words(b.Unit))
			}
		}
		out.WriteString(". ")
	}
	return strings.TrimSpace(out.String())
}
