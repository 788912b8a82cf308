package scene

import (
	"fmt"
	"math"
	"strings"
)

// Curves are a few lines on common scales with one point marked: what a pump
// gives and what the line takes, and where the two meet. Lines differ by dash
// and by their name at the end, so that no colour has to tell them apart.
type Curves struct {
	Title, Note  string
	Across, Up   string // what the scales are
	AcrossUnit   string
	UpUnit       string
	Lines        []Curve
	Mark         Point  // in the scales' units; NaN for none
	MarkWords    string // "settles at 8.4 L/min, 3.1 bar"
	FromZeroOnly bool   // both scales begin at zero and cut off what lies below
}

// Curve is one line; its points go from left to right.
type Curve struct {
	Name   string
	Points []Point
}

const (
	mostCurves   = 6
	curvesHeight = 190.0
)

// dashes of the lines, in their order.
var dashes = [mostCurves][]float64{nil, {8, 4}, {2, 3}, {10, 3, 2, 3}, {5, 2}, {1, 2}}

// Draw draws the curves at a width of 240 to 2000 units; 0 is 520. The error
// wraps [ErrChart] for no line or more than six, a line of fewer than two points
// or more than 2000, or a number past all use.
func (c Curves) Draw(width float64) (Drawing, error) {
	width, err := chartWidth(width, 520)
	if err == nil {
		err = c.check()
	}
	if err != nil {
		return Drawing{}, fmt.Errorf("draw curves: %w", err)
	}
	s := curveSheet{curves: c, width: width}
	s.frame(s.heading(c.Title, c.Note, width) + 22)
	for i, line := range c.Lines {
		s.trace(line, i)
	}
	s.mark()
	y := s.keys(s.bottom + 50)
	return Drawing{Width: width, Height: math.Ceil(y + 10), Title: or(tidy(c.Title), "Pump and line"), Desc: c.spoken(), Shapes: s.shapes}, nil
}

func (c Curves) check() error {
	if n := len(c.Lines); n < 1 || n > mostCurves {
		return fmt.Errorf("%d lines, want 1 to %d: %w", n, mostCurves, ErrChart)
	}
	for _, l := range c.Lines {
		if n := len(l.Points); n < 2 || n > mostPlaces {
			return fmt.Errorf("line %q of %d points, want 2 to %d: %w", l.Name, n, mostPlaces, ErrChart)
		}
		for _, p := range l.Points {
			if !reading(p.X, p.Y) || math.IsNaN(p.X) || math.IsNaN(p.Y) {
				return fmt.Errorf("line %q has a point past all use: %w", l.Name, ErrChart)
			}
		}
	}
	if !reading(c.Mark.X, c.Mark.Y) {
		return fmt.Errorf("mark past all use: %w", ErrChart)
	}
	return nil
}

func (c Curves) marked() bool { return !math.IsNaN(c.Mark.X) && !math.IsNaN(c.Mark.Y) }

type curveSheet struct {
	sheet
	curves      Curves
	width       float64
	left, right float64
	bottom      float64
	x, y        axis
}

func (s *curveSheet) frame(top float64) {
	low, high := Point{0, 0}, Point{math.Inf(-1), math.Inf(-1)}
	see := func(p Point) {
		high.X, high.Y = max(high.X, p.X), max(high.Y, p.Y)
		if !s.curves.FromZeroOnly {
			low.X, low.Y = min(low.X, p.X), min(low.Y, p.Y)
		}
	}
	for _, l := range s.curves.Lines {
		for _, p := range l.Points {
			see(p)
		}
	}
	if s.curves.marked() {
		see(s.curves.Mark)
	}
	s.bottom = top + curvesHeight
	s.y = newAxis(low.Y, max(high.Y, low.Y), s.bottom, top, 5)
	widest := 0.0
	for _, v := range s.y.ticks() {
		widest = max(widest, tickFace.width(s.y.words(v)))
	}
	s.left, s.right = chartPad+widest+10, s.width-chartPad-6
	s.x = newAxis(low.X, max(high.X, low.X), s.left, s.right, 6)
	s.write(tickFace, tickFace.wrap(joinedUnit(s.curves.Up, s.curves.UpUnit), airy*(s.width-2*chartPad), 1), chartPad, top-10, Start)
	for _, v := range s.y.ticks() {
		s.rule(s.left, s.right, s.y.place(v))
		s.say(tickFace, s.y.words(v), s.left-8, s.y.place(v)+4, End)
	}
	for _, v := range s.x.ticks() {
		s.say(tickFace, s.x.words(v), s.x.place(v), s.bottom+16, Middle)
	}
	s.write(tickFace, tickFace.wrap(joinedUnit(s.curves.Across, s.curves.AcrossUnit), airy*(s.right-s.left), 1), s.left, s.bottom+32, Start)
}

func joinedUnit(name, unit string) string {
	return strings.Trim(tidy(name)+", "+tidy(unit), ", ")
}

// trace draws a line, cut where it falls below the scale.
func (s *curveSheet) trace(c Curve, i int) {
	var points []Point
	for k, p := range c.Points {
		if p.Y >= s.y.low {
			points = append(points, Point{s.x.place(p.X), s.y.place(p.Y)})
			continue
		}
		if k > 0 && len(points) > 0 { // down to the edge
			was := c.Points[k-1]
			x := was.X + (p.X-was.X)*(was.Y-s.y.low)/(was.Y-p.Y)
			points = append(points, Point{s.x.place(x), s.y.place(s.y.low)})
			break
		}
	}
	if len(points) > 1 {
		s.add(Polyline{Points: points, Paint: curvePaint(i)})
	}
}

func curvePaint(i int) Paint {
	role := Accent
	if i > 0 {
		role = Ink
	}
	return Paint{Stroke: role, Width: 2, Dash: dashes[i%mostCurves]}
}

var markPaint = Paint{Fill: Paper, Stroke: Ink, Width: 2.2}

func (s *curveSheet) mark() {
	if !s.curves.marked() {
		return
	}
	x, y := s.x.place(s.curves.Mark.X), s.y.place(s.curves.Mark.Y)
	for _, at := range []Point{{s.left, y}, {x, s.bottom}} { // to both scales
		s.line(x, y, at.X, at.Y, Paint{Stroke: Muted, Width: 0.8, Dash: []float64{2, 3}})
	}
	s.add(Circle{X: x, Y: y, R: 5, Paint: markPaint})
}

func (s *curveSheet) keys(y float64) float64 {
	x := chartPad
	put := func(words string, draw func(x, y float64)) {
		room := airy * (s.width - 2*chartPad - 30)
		lines := keyFace.wrap(words, room, 1)
		w := 30 + min(keyFace.width(words), room)
		if x > chartPad && x+w > s.width-chartPad {
			x, y = chartPad, y+20
		}
		draw(x, y)
		s.write(keyFace, lines, x+30, y+4, Start)
		x += w + 20
	}
	for i, line := range s.curves.Lines {
		put(or(tidy(line.Name), "line"), func(x, y float64) { s.line(x, y, x+22, y, curvePaint(i)) })
	}
	if s.curves.marked() {
		put(or(tidy(s.curves.MarkWords), "settles here"), func(x, y float64) { s.add(Circle{X: x + 11, Y: y, R: 5, Paint: markPaint}) })
	}
	return y + 8
}

func (c Curves) spoken() string {
	var b strings.Builder
	for _, l := range c.Lines {
		first, last := l.Points[0], l.Points[len(l.Points)-1]
		fmt.Fprintf(&b, "%s: %s at %s to %s at %s; ", tidy(l.Name), valued(first.Y, c.UpUnit), valued(first.X, c.AcrossUnit), valued(last.Y, c.UpUnit), valued(last.X, c.AcrossUnit))
	}
	if c.marked() {
		fmt.Fprintf(&b, "%s.", or(tidy(c.MarkWords), "settles at "+valued(c.Mark.X, c.AcrossUnit)+", "+valued(c.Mark.Y, c.UpUnit)))
	}
	return strings.TrimSuffix(b.String(), "; ")
}
