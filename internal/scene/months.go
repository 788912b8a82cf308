package scene

import (
	"fmt"
	"math"
	"strings"
)

// Months is a year as a line: twelve monthly values with their band, what was
// read on top, and a promise across if there is one.
type Months struct {
	Title, Note string
	Unit        string
	Values      [12]float64 // January first; NaN is not known
	Low, High   [12]float64 // the band; NaN for none
	Readings    []MonthReading
	Points      string  // what the readings are, in the legend; empty is "read"
	Promise     float64 // a level to hold; NaN or 0 for none
	FromZero    bool    // the axis begins at zero
}

// MonthReading is a value read at a point in the year: 1 is the start of
// January, 13 the end of December.
type MonthReading struct{ Month, Value float64 }

var monthWords = [12]string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}

// mostReadings keeps a chart small enough for a page.
const mostReadings = 2000

// Draw draws the year at a width of 240 to 2000 units; 0 is 520. The error
// wraps [ErrChart] when a number is infinite or past all use, a reading lies outside the year,
// or there are more than 2000 of them.
func (m Months) Draw(width float64) (Drawing, error) {
	width, err := chartWidth(width, 520)
	if err == nil {
		err = m.check()
	}
	if err != nil {
		return Drawing{}, fmt.Errorf("draw months: %w", err)
	}
	m.Unit = tidy(m.Unit)
	s := monthSheet{months: m, width: width}
	s.frame(s.heading(m.Title, m.Note, width) + 18)
	s.band()
	s.promise()
	s.model()
	s.readings()
	y := s.keys(s.bottom + 46)
	return Drawing{Width: width, Height: math.Ceil(y + 10), Title: or(tidy(m.Title), "Through the year"), Desc: m.spoken(), Shapes: s.shapes}, nil
}

func (m Months) check() error {
	if !reading(m.Values[:]...) || !reading(m.Low[:]...) || !reading(m.High[:]...) || !reading(m.Promise) {
		return fmt.Errorf("a number is infinite: %w", ErrChart)
	}
	if n := len(m.Readings); n > mostReadings {
		return fmt.Errorf("%d readings, want at most %d: %w", n, mostReadings, ErrChart)
	}
	for _, r := range m.Readings {
		if !(1 <= r.Month && r.Month <= 13) || !reading(r.Value) {
			return fmt.Errorf("reading %g at month %g: %w", r.Value, r.Month, ErrChart)
		}
	}
	return nil
}

func (m Months) banded(i int) bool { return m.High[i] > m.Low[i] }

func (m Months) promised() bool { return m.Promise != 0 && !math.IsNaN(m.Promise) }

// spread gives the least and most of all there is to show.
func (m Months) spread() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	see := func(v float64) {
		if !math.IsNaN(v) {
			low, high = min(low, v), max(high, v)
		}
	}
	for i := range m.Values {
		see(m.Values[i])
		if m.banded(i) {
			see(m.Low[i])
			see(m.High[i])
		}
	}
	for _, r := range m.Readings {
		see(r.Value)
	}
	if m.promised() {
		see(m.Promise)
	}
	if m.FromZero {
		see(0)
	}
	if !(low <= high) {
		return 0, 1
	}
	return low, high
}

type monthSheet struct {
	sheet
	months      Months
	width       float64
	left, right float64
	bottom      float64
	y           axis
}

const plotHeight = 150.0

// frame draws the grid, the ticks and the names of the months.
func (s *monthSheet) frame(top float64) {
	s.bottom = top + 10 + plotHeight
	low, high := s.months.spread()
	s.y = newAxis(low, high, s.bottom, top+10, 4)
	widest := 0.0
	for _, v := range s.y.ticks() {
		widest = max(widest, tickFace.width(s.y.words(v)))
	}
	s.left, s.right = chartPad+widest+10, s.width-chartPad
	s.write(tickFace, tickFace.wrap(s.months.Unit, s.width/2, 1), chartPad, top-6, Start)
	for _, v := range s.y.ticks() {
		at := s.y.place(v)
		s.rule(s.left, s.right, at)
		s.say(tickFace, s.y.words(v), s.left-8, at+4, End)
	}
	for i, name := range monthWords {
		if tickFace.width("May")+8 > (s.right-s.left)/12 {
			name = name[:1]
		}
		s.say(tickFace, name, s.x(float64(i)+1.5), s.bottom+18, Middle)
	}
}

// x places a time of the year; a monthly value stands at mid-month.
func (s *monthSheet) x(month float64) float64 {
	return s.left + (month-1)/12*(s.right-s.left)
}

func (s *monthSheet) at(i int, v float64) Point { return Point{s.x(float64(i) + 1.5), s.y.place(v)} }

// runs gives each unbroken run of months for which has holds.
func runs(has func(int) bool) [][]int {
	var out [][]int
	for i := range 12 {
		switch {
		case !has(i):
		case i > 0 && has(i-1):
			out[len(out)-1] = append(out[len(out)-1], i)
		default:
			out = append(out, []int{i})
		}
	}
	return out
}

func (s *monthSheet) band() {
	for _, run := range runs(s.months.banded) {
		var up, back []Point
		for _, i := range run {
			up = append(up, s.at(i, s.months.High[i]))
			back = append([]Point{s.at(i, s.months.Low[i])}, back...)
		}
		if len(run) == 1 {
			s.line(up[0].X, up[0].Y, back[0].X, back[0].Y, Paint{Stroke: Accent, Width: 1.2})
			continue
		}
		s.add(Polyline{Points: append(append([]Point{}, up...), back...), Closed: true, Paint: Paint{Fill: Fill}})
		for _, side := range [][]Point{up, back} {
			s.add(Polyline{Points: side, Paint: Paint{Stroke: Accent, Width: 0.8, Dash: []float64{2, 2}}})
		}
	}
}

func (s *monthSheet) model() {
	for _, run := range runs(func(i int) bool { return !math.IsNaN(s.months.Values[i]) }) {
		var points []Point
		for _, i := range run {
			points = append(points, s.at(i, s.months.Values[i]))
		}
		if len(points) == 1 {
			s.line(points[0].X-5, points[0].Y, points[0].X+5, points[0].Y, modelPaint)
			continue
		}
		s.add(Polyline{Points: points, Paint: modelPaint})
	}
}

var (
	modelPaint   = Paint{Stroke: Accent, Width: 2.2, Round: true}
	readingPaint = Paint{Fill: Ink, Stroke: Paper, Width: 1.2}
	promisePaint = Paint{Stroke: Ink, Width: 1.2, Dash: []float64{7, 4}}
)

func (s *monthSheet) promise() {
	if s.months.promised() {
		y := s.y.place(s.months.Promise)
		s.line(s.left, y, s.right, y, promisePaint)
	}
}

func (s *monthSheet) readings() {
	for _, r := range s.months.Readings {
		if !math.IsNaN(r.Value) {
			s.add(Circle{X: s.x(r.Month), Y: s.y.place(r.Value), R: 4, Paint: readingPaint})
		}
	}
}

// keys says what is drawn, and only that.
func (s *monthSheet) keys(y float64) float64 {
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
	put("model", func(x, y float64) { s.line(x, y, x+22, y, modelPaint) })
	if len(runs(s.months.banded)) > 0 {
		put("5 to 95 % band", func(x, y float64) {
			s.add(Rect{X: x, Y: y - 5, W: 22, H: 10, Paint: Paint{Fill: Fill, Stroke: Accent, Width: 0.8, Dash: []float64{2, 2}}})
		})
	}
	if len(s.months.Readings) > 0 {
		put(or(tidy(s.months.Points), "read"), func(x, y float64) { s.add(Circle{X: x + 11, Y: y, R: 4, Paint: readingPaint}) })
	}
	if s.months.promised() {
		put("promised "+valued(s.months.Promise, s.months.Unit), func(x, y float64) { s.line(x, y, x+22, y, promisePaint) })
	}
	return y + 8
}

func (m Months) spoken() string {
	var b strings.Builder
	for i, v := range m.Values {
		b.WriteString(monthWords[i] + " " + valued(v, m.Unit))
		if m.banded(i) {
			b.WriteString(", band " + short(m.Low[i]) + " to " + short(m.High[i]))
		}
		b.WriteString("; ")
	}
	if m.promised() {
		b.WriteString("promised " + valued(m.Promise, m.Unit) + "; ")
	}
	fmt.Fprintf(&b, "%d readings.", len(m.Readings))
	return b.String()
}
