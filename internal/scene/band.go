package scene

import (
	"fmt"
	"math"
)

// Band is a promise beside what was measured: a bracket for the promised
// band, a dot for the reading, a whisker for the meter's doubt. The dot is
// hollow when the whisker is wider than the bracket, for then nothing can be told.
type Band struct {
	Label     string
	Unit      string
	Low, High float64 // the promise; NaN leaves that side open
	Value     float64 // the reading; NaN is not read
	Doubt     float64 // of the meter, to each side; 0 or NaN for none
	Verdict   string  // the word that stands with it
	// Axis, when its ends differ, is what the line spans, so that bands one
	// under another compare; otherwise it is found from the numbers.
	AxisLow, AxisHigh float64
}

// Draw draws the band at a width of 240 to 2000 units; 0 is 360. The error
// wraps [ErrChart] when a number is infinite or past all use, the doubt is
// negative, or High is below Low.
func (b Band) Draw(width float64) (Drawing, error) {
	width, err := chartWidth(width, 360)
	if err == nil {
		err = b.check()
	}
	if err != nil {
		return Drawing{}, fmt.Errorf("draw band: %w", err)
	}
	b.Label, b.Unit, b.Verdict = tidy(b.Label), tidy(b.Unit), tidy(b.Verdict)
	var s sheet
	y := s.bandHeading(b, width)
	a := b.axis(chartPad+10, width-chartPad-10)
	y += 26
	s.rule(chartPad, width-chartPad, y)
	s.promise(b, a, y)
	s.dot(b, a, y)
	s.bandNumbers(b, a, y, width)
	return Drawing{Width: width, Height: math.Ceil(y + 36), Title: or(b.Label, "Promise"), Desc: b.spoken(), Shapes: s.shapes}, nil
}

func (b Band) check() error {
	switch {
	case !reading(b.Low, b.High, b.Value, b.Doubt, b.AxisLow, b.AxisHigh):
		return fmt.Errorf("a number is infinite: %w", ErrChart)
	case b.Doubt < 0:
		return fmt.Errorf("doubt %g: %w", b.Doubt, ErrChart)
	case b.High < b.Low:
		return fmt.Errorf("band %g to %g: %w", b.Low, b.High, ErrChart)
	}
	return nil
}

// tone is rust when the reading is told to be outside the promise.
func (b Band) tone() Role {
	if !b.hollow() && (b.Value < b.Low || b.Value > b.High) {
		return Rust
	}
	return Ink
}

func (b Band) hollow() bool { return 2*b.Doubt > b.High-b.Low }

func (s *sheet) bandHeading(b Band, width float64) float64 {
	verdict := chartValue
	verdict.tone = b.tone()
	words := verdict.wrap(b.Verdict, (width-2*chartPad)/2, 1)
	below := s.write(verdict, words, width-chartPad, 20, End)
	room := width - 2*chartPad - verdict.widest(words) - 14
	return max(below, s.write(chartLabel, chartLabel.wrap(b.Label, room, 2), chartPad, 20, Start), 36)
}

// axis spans what there is to show, with air on both sides.
func (b Band) axis(from, to float64) axis {
	if b.AxisHigh > b.AxisLow {
		return axis{low: b.AxisLow, high: b.AxisHigh, from: from, to: to}
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range []float64{b.Low, b.High, b.Value - known(b.Doubt), b.Value + known(b.Doubt)} {
		if !math.IsNaN(v) {
			low, high = min(low, v), max(high, v)
		}
	}
	if !(low <= high) {
		low, high = 0, 1
	}
	air := max((high-low)*0.25, math.Abs(high)*0.02, 1e-9)
	return axis{low: low - air, high: high + air, from: from, to: to}
}

// promise draws the bracket; an open side runs to the end of the line.
func (s *sheet) promise(b Band, a axis, y float64) {
	if math.IsNaN(b.Low) && math.IsNaN(b.High) {
		return
	}
	l, r := a.from, a.to
	if !math.IsNaN(b.Low) {
		l = a.place(b.Low)
	}
	if !math.IsNaN(b.High) {
		r = a.place(b.High)
	}
	s.add(Rect{X: l, Y: y - 10, W: r - l, H: 20, Paint: Paint{Fill: Fill}})
	p := Paint{Stroke: Accent, Width: 2}
	if !math.IsNaN(b.Low) {
		s.add(Polyline{Points: []Point{{l + 6, y - 10}, {l, y - 10}, {l, y + 10}, {l + 6, y + 10}}, Paint: p})
	}
	if !math.IsNaN(b.High) {
		s.add(Polyline{Points: []Point{{r - 6, y - 10}, {r, y - 10}, {r, y + 10}, {r - 6, y + 10}}, Paint: p})
	}
}

func (s *sheet) dot(b Band, a axis, y float64) {
	if math.IsNaN(b.Value) {
		return
	}
	x, tone := a.place(b.Value), b.tone()
	if b.Doubt > 0 {
		l, r := a.place(b.Value-b.Doubt), a.place(b.Value+b.Doubt)
		s.add(Outline{Steps: []Step{move(l, y-5), line(l, y+5), move(l, y), line(r, y), move(r, y-5), line(r, y+5)}, Paint: Paint{Stroke: tone, Width: 1.5}})
	}
	paint := Paint{Fill: tone, Stroke: Paper, Width: 1.5}
	if b.hollow() {
		paint = Paint{Fill: Paper, Stroke: tone, Width: 1.8}
	}
	s.add(Circle{X: x, Y: y, R: 5.5, Paint: paint})
}

// bandNumbers writes the reading above the line and the promise below.
func (s *sheet) bandNumbers(b Band, a axis, y, width float64) {
	value := chartValue
	value.tone = b.tone()
	words, x := "not read", width/2
	if math.IsNaN(b.Value) {
		value = chartNote
	} else {
		words, x = valued(b.Value, b.Unit), a.place(b.Value)
	}
	s.held(value, words, x, y-16, width)
	switch {
	case math.IsNaN(b.Low) && math.IsNaN(b.High):
		s.held(tickFace, "no promise", width/2, y+25, width)
	case math.IsNaN(b.Low):
		s.held(tickFace, "up to "+valued(b.High, b.Unit), a.place(b.High), y+25, width)
	case math.IsNaN(b.High):
		s.held(tickFace, "from "+valued(b.Low, b.Unit), a.place(b.Low), y+25, width)
	default:
		s.held(tickFace, short(b.Low)+" to "+valued(b.High, b.Unit), (a.place(b.Low)+a.place(b.High))/2, y+25, width)
	}
}

// held writes one line centred on x, moved in where it would leave the drawing.
func (s *sheet) held(f face, words string, x, y, width float64) {
	fit := f.wrap(words, width-2*chartPad, 1)
	half := f.widest(fit) / 2
	s.write(f, fit, min(max(x, chartPad+half), width-chartPad-half), y, Middle)
}

func (b Band) spoken() string {
	out := "Promised "
	switch {
	case math.IsNaN(b.Low) && math.IsNaN(b.High):
		out = "No promise"
	case math.IsNaN(b.Low):
		out += "up to " + valued(b.High, b.Unit)
	case math.IsNaN(b.High):
		out += "from " + valued(b.Low, b.Unit)
	default:
		out += short(b.Low) + " to " + valued(b.High, b.Unit)
	}
	if math.IsNaN(b.Value) {
		return out + "; not read."
	}
	out += "; read " + valued(b.Value, b.Unit)
	if b.Doubt > 0 {
		out += " give or take " + short(b.Doubt)
	}
	if b.Verdict != "" {
		out += "; " + b.Verdict
	}
	return out + "."
}
