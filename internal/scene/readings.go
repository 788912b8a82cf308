package scene

import (
	"fmt"
	"math"
	"strings"
	"time"
)

// Readings is what was read of one thing over time, as points on the band that
// the model gives it, with what happened meanwhile.
type Readings struct {
	Title, Note string
	Unit        string
	Points      []ReadingPoint // the first in time first
	Value       float64        // the model's; NaN for none
	Low, High   float64        // its band; NaN for none
	Model       []ReadingModel // in its place, the model's through time; the first in time first
	Events      []ReadingEvent
}

// ReadingModel is what the model says of one day, with its band.
type ReadingModel struct {
	At               time.Time
	Value, Low, High float64
}

// ReadingPoint is one reading. Under says that the meter could not tell so
// little: the value is its least, and the point is hollow.
type ReadingPoint struct {
	At    time.Time
	Value float64
	Words string // as it was read, for whoever steps through the points
	Under bool
}

// ReadingEvent is something that happened: a change of resin, a visit.
type ReadingEvent struct {
	At    time.Time
	Words string
}

// mostVisits keeps their words apart.
const mostVisits = 60

// Draw draws the trend at a width of 240 to 2000 units; 0 is 720. Each point is
// a group of its own, "point-1" the first, so that a page can step through them.
// The error wraps [ErrChart] when there is no point, a number is not finite, the
// points are out of order, or there are more than 2000 of them.
func (t Readings) Draw(width float64) (Drawing, error) {
	width, err := chartWidth(width, 720)
	if err == nil {
		err = t.check()
	}
	if err != nil {
		return Drawing{}, fmt.Errorf("draw readings: %w", err)
	}
	t.Unit = tidy(t.Unit)
	s := readingsSheet{trend: t, width: width}
	s.frame(s.heading(t.Title, t.Note, width) + 18)
	s.model()
	s.events()
	s.points()
	y := s.keys(s.bottom + 46)
	return Drawing{Width: width, Height: math.Ceil(y + 10), Title: or(tidy(t.Title), "Over time"), Desc: t.spoken(), Shapes: s.shapes}, nil
}

func (t Readings) check() error {
	if n := len(t.Points); n < 1 || n > mostReadings || len(t.Model) > mostReadings || len(t.Events) > mostVisits {
		return fmt.Errorf("%d readings and %d events, want 1 to %d and at most %d: %w", n, len(t.Events), mostReadings, mostVisits, ErrChart)
	}
	if !reading(t.Value, t.Low, t.High) {
		return fmt.Errorf("a number is infinite: %w", ErrChart)
	}
	for i, m := range t.Model {
		if !reading(m.Value, m.Low, m.High) || !allKnown(m.Value, m.Low, m.High) || i > 0 && m.At.Before(t.Model[i-1].At) {
			return fmt.Errorf("model %d of %g at %v: %w", i+1, m.Value, m.At, ErrChart)
		}
	}
	for i, p := range t.Points {
		if !reading(p.Value) || math.IsNaN(p.Value) || i > 0 && p.At.Before(t.Points[i-1].At) {
			return fmt.Errorf("reading %d of %g at %v: %w", i+1, p.Value, p.At, ErrChart)
		}
	}
	return nil
}

func (t Readings) banded() bool { return t.High >= t.Low || len(t.Model) > 0 }

// modelled tells whether there is a model to draw.
func (t Readings) modelled() bool { return !math.IsNaN(t.Value) || len(t.Model) > 0 }

// spread is the least and most of all there is to show.
func (t Readings) spread() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range t.Points {
		low, high = min(low, p.Value), max(high, p.Value)
	}
	for _, v := range []float64{t.Value, t.Low, t.High} {
		if !math.IsNaN(v) {
			low, high = min(low, v), max(high, v)
		}
	}
	for _, m := range t.Model {
		low, high = min(low, m.Low), max(high, m.High)
	}
	return low, high
}

// span is the time that is shown: all points, and some days around a single one.
func (t Readings) span() (from, to time.Time) {
	from, to = t.Points[0].At, t.Points[len(t.Points)-1].At
	room := to.Sub(from) / 20
	if room < 36*time.Hour {
		room = 72 * time.Hour
	}
	return from.Add(-room), to.Add(room)
}

type readingsSheet struct {
	sheet
	trend       Readings
	width       float64
	left, right float64
	top, bottom float64
	y           axis
	from, to    time.Time
}

func (s *readingsSheet) x(at time.Time) float64 {
	share := float64(at.Sub(s.from)) / float64(s.to.Sub(s.from))
	return s.left + min(max(share, 0), 1)*(s.right-s.left)
}

func (s *readingsSheet) frame(top float64) {
	s.top, s.bottom = top+10, top+10+plotHeight
	low, high := s.trend.spread()
	s.y = newAxis(low, high, s.bottom, s.top, 4)
	widest := 0.0
	for _, v := range s.y.ticks() {
		widest = max(widest, tickFace.width(s.y.words(v)))
	}
	s.left, s.right = chartPad+widest+10, s.width-chartPad
	s.from, s.to = s.trend.span()
	s.write(tickFace, tickFace.wrap(s.trend.Unit, s.width/2, 1), chartPad, top-6, Start)
	for _, v := range s.y.ticks() {
		at := s.y.place(v)
		s.rule(s.left, s.right, at)
		s.say(tickFace, s.y.words(v), s.left-8, at+4, End)
	}
	s.days()
}

// days names days along the foot, as many as have room.
func (s *readingsSheet) days() {
	form := "2 Jan"
	if s.from.Year() != s.to.Year() {
		form = "Jan 2006"
	}
	room := tickFace.width("30 Sep 2026") + 24
	n := max(int((s.right-s.left)/room), 1)
	last := ""
	for i := range n + 1 {
		at := s.from.Add(time.Duration(float64(s.to.Sub(s.from)) * float64(i) / float64(n)))
		if i > 0 && i < n {
			at = at.Truncate(24 * time.Hour)
		}
		words := at.Format(form)
		anchor := Middle
		switch i {
		case 0:
			anchor = Start
		case n:
			anchor = End
		}
		if words != last {
			s.say(tickFace, words, s.x(at), s.bottom+18, anchor)
		}
		last = words
	}
}

// model lays the band and its middle across: what the survey as it stands lets
// one expect.
func (s *readingsSheet) model() {
	if m := s.trend.Model; len(m) > 0 {
		s.through(m)
		return
	}
	if s.trend.banded() {
		high, low := s.y.place(s.trend.High), s.y.place(s.trend.Low)
		s.add(Rect{X: s.left, Y: high, W: s.right - s.left, H: max(low-high, 1), Paint: Paint{Fill: Fill}})
		for _, at := range []float64{high, low} {
			s.line(s.left, at, s.right, at, Paint{Stroke: Accent, Width: 0.8, Dash: []float64{2, 2}})
		}
	}
	if !math.IsNaN(s.trend.Value) {
		at := s.y.place(s.trend.Value)
		s.line(s.left, at, s.right, at, modelPaint)
	}
}

// through lays the band along the days; one day alone is laid across.
func (s *readingsSheet) through(m []ReadingModel) {
	at := func(i int, v float64) Point { return Point{s.x(m[i].At), s.y.place(v)} }
	if len(m) == 1 {
		m = []ReadingModel{m[0], m[0]}
		m[0].At, m[1].At = s.from, s.to
	}
	s.bandAt(len(m), func(int) bool { return true }, func(i int) Point { return at(i, m[i].High) }, func(i int) Point { return at(i, m[i].Low) })
	var line []Point
	for i := range m {
		line = append(line, at(i, m[i].Value))
	}
	s.add(Polyline{Points: line, Paint: modelPaint})
}

var visitPaint = Paint{Stroke: Muted, Width: 1.2, Dash: []float64{1, 3}, Round: true}

func (s *readingsSheet) events() {
	for i, e := range s.trend.Events {
		if e.At.Before(s.from) || e.At.After(s.to) {
			continue
		}
		x := s.x(e.At)
		mark := Polyline{Points: []Point{{x - 5, s.top - 6}, {x + 5, s.top - 6}, {x, s.top + 2}}, Closed: true, Paint: Paint{Fill: Muted}}
		fall := Polyline{Points: []Point{{x, s.top}, {x, s.bottom}}, Paint: visitPaint}
		s.add(Group{ID: fmt.Sprintf("event-%d", i+1), Label: e.At.Format("2 January 2006") + ": " + tidy(e.Words), Shapes: []Shape{fall, mark}})
	}
}

func (s *readingsSheet) points() {
	for i, p := range s.trend.Points {
		paint := readingPaint
		if p.Under {
			paint = Paint{Fill: Paper, Stroke: Ink, Width: 1.4}
		}
		dot := Circle{X: s.x(p.At), Y: s.y.place(p.Value), R: 4, Paint: paint}
		s.add(Group{ID: fmt.Sprintf("point-%d", i+1), Label: p.At.Format("2 January 2006") + ": " + tidy(p.Words), Shapes: []Shape{dot}})
	}
}

// keys says what is drawn, and only that.
func (s *readingsSheet) keys(y float64) float64 {
	x := chartPad
	put := func(words string, draw func(x, y float64)) {
		w := 30 + keyFace.width(words)
		if x > chartPad && x+w > s.width-chartPad {
			x, y = chartPad, y+20
		}
		draw(x, y)
		s.write(keyFace, keyFace.wrap(words, s.width-2*chartPad-30, 1), x+30, y+4, Start)
		x += w + 20
	}
	put("read", func(x, y float64) { s.add(Circle{X: x + 11, Y: y, R: 4, Paint: readingPaint}) })
	if s.trend.modelled() {
		put("model", func(x, y float64) { s.line(x, y, x+22, y, modelPaint) })
	}
	if s.trend.banded() {
		put("5 to 95 % band", func(x, y float64) {
			s.add(Rect{X: x, Y: y - 5, W: 22, H: 10, Paint: Paint{Fill: Fill, Stroke: Accent, Width: 0.8, Dash: []float64{2, 2}}})
		})
	}
	if len(s.trend.Events) > 0 {
		put("visit", func(x, y float64) {
			s.add(Polyline{Points: []Point{{x + 6, y - 4}, {x + 16, y - 4}, {x + 11, y + 4}}, Closed: true, Paint: Paint{Fill: Muted}})
		})
	}
	return y + 8
}

func (t Readings) spoken() string {
	var b strings.Builder
	for _, p := range t.Points {
		fmt.Fprintf(&b, "%s %s; ", p.At.Format("2 January 2006"), valued(p.Value, t.Unit))
	}
	if n := len(t.Model); n > 0 {
		for _, m := range []ReadingModel{t.Model[0], t.Model[n-1]} {
			fmt.Fprintf(&b, "model on %s %s, band %s to %s; ", m.At.Format("2 January 2006"), valued(m.Value, t.Unit), short(m.Low), short(m.High))
		}
		return b.String()
	}
	if !math.IsNaN(t.Value) {
		b.WriteString("model " + valued(t.Value, t.Unit))
		if t.banded() {
			b.WriteString(", band " + short(t.Low) + " to " + short(t.High))
		}
		b.WriteString(".")
	}
	return b.String()
}
