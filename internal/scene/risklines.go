package scene

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// RiskLines is a map of two things one can buy, with a line for each risk: more
// of either moves up or to the right, where the risk is less.
type RiskLines struct {
	Title, Note  string
	XName, XUnit string
	YName, YUnit string
	Lines        []RiskLine // often first, seldom last
	Today        Point      // X or Y NaN for none
	TodayWords   string     // what stands beside it, such as "today"
}

// RiskLine is one risk: the Y it asks for at each X, by rising X. NaN is not
// known.
type RiskLine struct {
	Words  string // such as "dry one year in ten"
	Points []Point
}

// mostRisks are told apart by dash and width without colour.
const mostRisks = 4

var riskPaints = [mostRisks]Paint{
	{Stroke: Ink, Width: 1.2, Dash: []float64{1.5, 3}},
	{Stroke: Ink, Width: 1.4, Dash: []float64{6, 4}},
	{Stroke: Ink, Width: 1.6, Dash: []float64{11, 3, 2, 3}},
	{Stroke: Ink, Width: 2.4},
}

// Draw draws the map at a width of 240 to 2000 units; 0 is 520. The error wraps
// [ErrChart] when a number is infinite or past all use, there are no lines or
// more than four, a line has fewer than two points or its X do not rise.
func (r RiskLines) Draw(width float64) (Drawing, error) {
	width, err := chartWidth(width, 520)
	if err == nil {
		err = r.check()
	}
	if err != nil {
		return Drawing{}, fmt.Errorf("draw risk lines: %w", err)
	}
	s := riskSheet{risk: r}
	low, high := r.reach()
	s.frameY(0, high.Y*1.05, s.heading(r.Title, r.Note, width)+18, plotHeight*1.3, named(r.YName, r.YUnit), width, 4)
	s.frameX(low.X, high.X)
	s.beyond()
	for i, l := range r.Lines {
		s.risk1(l, s.paint(i))
	}
	s.today()
	s.write(tickFace, tickFace.wrap(tidy(named(r.XName, r.XUnit)), s.right-s.left, 1), s.right, s.bottom+34, End)
	y := s.marks(s.keys(), s.bottom+58, width)
	return Drawing{Width: width, Height: math.Ceil(y + 10), Title: or(tidy(r.Title), "What more tank or more make-up buys"), Desc: r.spoken(), Shapes: s.shapes}, nil
}

func named(name, unit string) string {
	if name, unit = tidy(name), tidy(unit); unit != "" && name != "" {
		return name + ", " + unit
	}
	return tidy(name + unit)
}

func (r RiskLines) check() error {
	if n := len(r.Lines); n < 1 || n > mostRisks {
		return fmt.Errorf("%d lines, want 1 to %d: %w", n, mostRisks, ErrChart)
	}
	if !reading(r.Today.X, r.Today.Y) {
		return fmt.Errorf("a number is infinite: %w", ErrChart)
	}
	for _, l := range r.Lines {
		if len(l.Points) < 2 || len(l.Points) > mostTimes {
			return fmt.Errorf("line %q has %d points: %w", l.Words, len(l.Points), ErrChart)
		}
		for i, p := range l.Points {
			if !reading(p.X, p.Y) || math.IsNaN(p.X) || p.Y < 0 || i > 0 && !(p.X > l.Points[i-1].X) {
				return fmt.Errorf("line %q: point %g, %g: %w", l.Words, p.X, p.Y, ErrChart)
			}
		}
	}
	return nil
}

// reach gives the corners of what there is to show. A line that shoots up beyond
// three times today's Y leaves the map at its top.
func (r RiskLines) reach() (low, high Point) {
	low, high = Point{math.Inf(1), 0}, Point{math.Inf(-1), 0}
	for _, l := range r.Lines {
		for _, p := range l.Points {
			low.X, high.X, high.Y = min(low.X, p.X), max(high.X, p.X), max(high.Y, known(p.Y))
		}
	}
	if r.Today.Y > 0 {
		high.Y = min(high.Y, 3*r.Today.Y)
		high.Y = max(high.Y, 1.2*r.Today.Y)
	}
	if allKnown(r.Today.X, r.Today.Y) {
		low.X, high.X = min(low.X, r.Today.X), max(high.X, r.Today.X)
	}
	if !(high.Y > 0) {
		high.Y = 1
	}
	return low, high
}

type riskSheet struct {
	plot
	risk RiskLines
}

// frameX draws the x axis with as many ticks as there is room for.
func (s *riskSheet) frameX(low, high float64) {
	widest := func() (w float64) {
		for _, v := range s.x.ticks() {
			w = max(w, tickFace.width(s.x.words(v)))
		}
		return w + 10
	}
	for _, count := range []int{6, 4, 3, 2, 1} {
		s.x = newAxis(low, high, s.left, s.right, count)
		if widest()*float64(len(s.x.ticks())) <= s.right-s.left {
			break
		}
	}
	ticks := s.x.ticks()
	every := 1
	if len(ticks) > 2 && widest()*float64(len(ticks)) > s.right-s.left {
		every = len(ticks) - 1
	}
	for i, v := range ticks {
		x := s.x.place(v)
		s.line(x, s.bottom, x, s.bottom+4, Paint{Stroke: Muted, Width: 1})
		if i%every > 0 {
			continue
		}
		words := s.x.words(v)
		half := tickFace.width(words) / 2
		s.say(tickFace, words, max(min(x, s.right+chartPad+2-half), half+2), s.bottom+18, Middle)
	}
}

// paint gives the last lines the last paints, so that the seldomest is whole.
func (s *riskSheet) paint(i int) Paint { return riskPaints[mostRisks-len(s.risk.Lines)+i] }

// runs gives a line's pieces inside the map, cut where it leaves at the top.
func (s *riskSheet) pieces(l RiskLine) (out [][]Point) {
	var piece []Point
	end := func() {
		if len(piece) > 1 {
			out = append(out, piece)
		}
		piece = nil
	}
	top := s.y.high
	for i, p := range l.Points {
		inside := allKnown(p.Y) && p.Y <= top
		if i > 0 && allKnown(p.Y, l.Points[i-1].Y) && inside != (l.Points[i-1].Y <= top) {
			before := l.Points[i-1]
			cut := Point{s.x.place(before.X + (top-before.Y)/(p.Y-before.Y)*(p.X-before.X)), s.top}
			piece = append(piece, cut)
		}
		if !inside {
			end()
			continue
		}
		piece = append(piece, Point{s.x.place(p.X), s.y.place(p.Y)})
	}
	end()
	return out
}

func (s *riskSheet) risk1(l RiskLine, p Paint) {
	for _, piece := range s.pieces(l) {
		s.add(Polyline{Points: piece, Paint: p})
	}
}

// beyond fills what lies above the seldomest line: water enough.
func (s *riskSheet) beyond() {
	for _, piece := range s.pieces(s.risk.Lines[len(s.risk.Lines)-1]) {
		first, last := piece[0], piece[len(piece)-1]
		area := append(slices.Clone(piece), Point{last.X, s.top}, Point{first.X, s.top})
		s.add(Polyline{Points: area, Closed: true, Paint: Paint{Fill: Fill}})
	}
}

func (s *riskSheet) today() {
	t := s.risk.Today
	if !allKnown(t.X, t.Y) {
		return
	}
	x, y := s.x.place(t.X), s.y.place(t.Y)
	s.add(Circle{X: x, Y: y, R: 5.5, Paint: Paint{Fill: Rust, Stroke: Paper, Width: 1.8}})
}

func (s *riskSheet) keys() []mark {
	var list []mark
	for i, l := range s.risk.Lines {
		list = append(list, mark{or(tidy(l.Words), "a risk"), func(x, y float64) { s.line(x, y, x+24, y, s.paint(i)) }})
	}
	if allKnown(s.risk.Today.X, s.risk.Today.Y) {
		list = append(list, mark{or(tidy(s.risk.TodayWords), "today"), func(x, y float64) {
			s.add(Circle{X: x + 11, Y: y, R: 5.5, Paint: Paint{Fill: Rust, Stroke: Paper, Width: 1.8}})
		}})
	}
	return append(list, mark{"more seldom still", func(x, y float64) {
		s.add(Rect{X: x, Y: y - 5, W: 22, H: 10, Paint: Paint{Fill: Fill, Stroke: Hairline, Width: 1}})
	}})
}

func (r RiskLines) spoken() string {
	var words strings.Builder
	if allKnown(r.Today.X, r.Today.Y) {
		fmt.Fprintf(&words, "%s: %s and %s. ", or(tidy(r.TodayWords), "today"), valued(r.Today.X, tidy(r.XUnit)), valued(r.Today.Y, tidy(r.YUnit)))
	}
	for _, l := range r.Lines {
		words.WriteString(or(tidy(l.Words), "a risk") + ": ")
		for _, i := range []int{0, len(l.Points) / 2, len(l.Points) - 1} {
			p := l.Points[i]
			fmt.Fprintf(&words, "%s at %s, ", valued(p.Y, tidy(r.YUnit)), valued(p.X, tidy(r.XUnit)))
		}
	}
	return strings.TrimSuffix(words.String(), ", ") + "."
}
