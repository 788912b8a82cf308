package scene

import (
	"fmt"
	"math"
	"strings"
)

// BusyDay is a tank's level through one day: the middle of many simulated years
// as a line, 5 to 95 % of them as a band, and the levels at which floats switch.
type BusyDay struct {
	Title, Note       string
	Unit              string
	Median, Low, High []float64 // evenly from midnight on; NaN is not known
	Full              float64   // make-up stops
	Start             float64   // make-up starts; NaN for none
	CutOff            float64   // the pump stops; NaN for none
}

// mostTimes of a day keeps a chart small.
const mostTimes = 1500

// Draw draws the day at a width of 240 to 2000 units; 0 is 520. The error wraps
// [ErrChart] when a number is infinite or past all use, the three runs differ in
// length, hold fewer than two or more than 1500 levels, or full is not above 0.
func (b BusyDay) Draw(width float64) (Drawing, error) {
	width, err := chartWidth(width, 520)
	if err == nil {
		err = b.check()
	}
	if err != nil {
		return Drawing{}, fmt.Errorf("draw busy day: %w", err)
	}
	b.Unit = tidy(b.Unit)
	s := daySheet{day: b}
	marks := b.floats()
	room := marginWidth(marks, width)
	s.frameY(0, b.Full, s.heading(b.Title, b.Note, width)+18, plotHeight, b.Unit, width, room+16)
	s.hours()
	s.dry()
	s.band()
	s.line24()
	s.floatLines(marks, room)
	y := s.marks(s.keys(), s.bottom+46, width)
	return Drawing{Width: width, Height: math.Ceil(y + 10), Title: or(tidy(b.Title), "Level through the busiest day"), Desc: b.spoken(), Shapes: s.shapes}, nil
}

func (b BusyDay) check() error {
	n := len(b.Median)
	switch {
	case !reading(b.Median...) || !reading(b.Low...) || !reading(b.High...) || !reading(b.Full, b.Start, b.CutOff):
		return fmt.Errorf("a number is infinite: %w", ErrChart)
	case n < 2 || n > mostTimes || len(b.Low) != n || len(b.High) != n:
		return fmt.Errorf("%d, %d and %d levels, want as many of each, 2 to %d: %w", n, len(b.Low), len(b.High), mostTimes, ErrChart)
	case !(b.Full > 0):
		return fmt.Errorf("full at %g: %w", b.Full, ErrChart)
	}
	return nil
}

// floats are the levels with a name; their y is the level until it is placed.
func (b BusyDay) floats() []marginLabel {
	list := []marginLabel{{"full", b.Full}}
	if !math.IsNaN(b.Start) && b.Start < b.Full {
		list = append(list, marginLabel{"make-up starts", b.Start})
	}
	if !math.IsNaN(b.CutOff) {
		list = append(list, marginLabel{"pump stops", b.CutOff})
	}
	return list
}

type daySheet struct {
	plot
	day BusyDay
}

func (s *daySheet) at(i int, level float64) Point {
	return Point{s.left + float64(i)/float64(len(s.day.Median))*(s.right-s.left), s.y.place(level)}
}

// dry hatches the water the pump can't reach.
func (s *daySheet) dry() {
	if c := s.day.CutOff; c > 0 {
		s.hatchWith(Paint{Stroke: Muted, Width: 0.7}, s.left, s.y.place(c), s.right, s.bottom, 7, true)
	}
}

func (s *daySheet) banded(i int) bool { return allKnown(s.day.Low[i], s.day.High[i]) }

func (s *daySheet) band() {
	s.bandAt(len(s.day.Median), s.banded, func(i int) Point { return s.at(i, s.day.High[i]) }, func(i int) Point { return s.at(i, s.day.Low[i]) })
}

func (s *daySheet) line24() {
	for _, run := range unbroken(len(s.day.Median), func(i int) bool { return allKnown(s.day.Median[i]) }) {
		var points []Point
		for _, i := range run {
			points = append(points, s.at(i, s.day.Median[i]))
		}
		s.add(Polyline{Points: points, Paint: modelPaint})
	}
}

func (s *daySheet) floatLines(marks []marginLabel, room float64) {
	for i, m := range marks {
		y := s.y.place(m.y)
		dash := [][]float64{nil, {7, 4}, {2, 3}}[min(i, 2)]
		s.line(s.left, y, s.right, y, Paint{Stroke: Ink, Width: 1.1, Dash: dash})
		marks[i].y = y
	}
	s.margin(marks, s.right+2, room, s.top, s.bottom-2)
}

func (s *daySheet) keys() []mark {
	list := []mark{{"level, the middle of the years", func(x, y float64) { s.line(x, y, x+22, y, modelPaint) }}}
	if len(unbroken(len(s.day.Median), s.banded)) > 0 {
		list = append(list, mark{"5 to 95 % band", func(x, y float64) {
			s.add(Rect{X: x, Y: y - 5, W: 22, H: 10, Paint: Paint{Fill: Fill, Stroke: Accent, Width: 0.8, Dash: []float64{2, 2}}})
		}})
	}
	if s.day.CutOff > 0 {
		list = append(list, mark{"out of the pump's reach", func(x, y float64) {
			s.add(Rect{X: x, Y: y - 5, W: 22, H: 10, Paint: Paint{Stroke: Muted, Width: 0.7}})
			s.hatchWith(Paint{Stroke: Muted, Width: 0.7}, x, y-5, x+22, y+5, 5, true)
		}})
	}
	return list
}

// spoken tells every third hour, and the lowest.
func (b BusyDay) spoken() string {
	var words strings.Builder
	n := len(b.Median)
	lowest := 0
	for i, v := range b.Low {
		if v < b.Low[lowest] || math.IsNaN(b.Low[lowest]) {
			lowest = i
		}
	}
	for h := 0; h < 24; h += 3 {
		i := h * n / 24
		fmt.Fprintf(&words, "%d o'clock %s, band %s to %s; ", h, valued(b.Median[i], b.Unit), short(known(b.Low[i])), short(known(b.High[i])))
	}
	at := float64(lowest) / float64(n) * 24
	fmt.Fprintf(&words, "lowest end of the band %s at %d:%02d; full at %s", valued(b.Low[lowest], b.Unit), int(at), int(at*60)%60, valued(b.Full, b.Unit))
	if !math.IsNaN(b.CutOff) {
		words.WriteString(", the pump stops at " + valued(b.CutOff, b.Unit))
	}
	return words.String() + "."
}
