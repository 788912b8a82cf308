package scene

import (
	"fmt"
	"math"
	"strings"
	"time"
)

// Trend is one number of a site through its log: the model's line with its 5 to
// 95 % band, the readings that bear on it as points, and what was changed.
type Trend struct {
	Title, Note string
	Unit        string
	Days        []float64 // since 1970, rising; a day may stand twice
	Likely      []float64 // NaN is not known
	Low, High   []float64
	Reads       []float64 // on the same scale; NaN where nothing was read
	Events      []TrendEvent
	// Steps makes a group of each day, "point-1" the first, so that a page can
	// step through them; Words are what each says then.
	Steps bool
	Words []string
}

// TrendEvent is something done on a day.
type TrendEvent struct {
	Day   float64
	Words string
}

const mostTrend = 2000

// Draw draws the trend at a width of 240 to 2000 units; 0 is 520. The error
// wraps [ErrChart] when a number is infinite or past all use, the runs differ in
// length, hold fewer than two or more than 2000 days, or days do not rise.
func (t Trend) Draw(width float64) (Drawing, error) {
	width, err := chartWidth(width, 520)
	if err == nil {
		err = t.check()
	}
	if err != nil {
		return Drawing{}, fmt.Errorf("draw trend: %w", err)
	}
	s := trendSheet{trend: t}
	low, high := t.span()
	s.frameY(low, high, s.heading(t.Title, t.Note, width)+18, 150, tidy(t.Unit), width, 16)
	s.x = axis{low: t.Days[0], high: max(t.Days[len(t.Days)-1], t.Days[0]+1), from: s.left, to: s.right}
	s.months()
	s.events()
	s.band()
	s.lines()
	s.points()
	y := s.marks(s.keys(), s.bottom+46, width)
	return Drawing{Width: width, Height: math.Ceil(y + 10), Title: or(tidy(t.Title), "Trend"), Desc: t.spoken(), Shapes: s.shapes}, nil
}

func (t Trend) check() error {
	n := len(t.Days)
	if n < 2 || n > mostTrend || len(t.Likely) != n || len(t.Low) != n || len(t.High) != n || len(t.Reads) != n {
		return fmt.Errorf("%d days, want 2 to %d and as many of each: %w", n, mostTrend, ErrChart)
	}
	for i, d := range t.Days {
		if !(math.Abs(d) < 1e6) || i > 0 && d < t.Days[i-1] {
			return fmt.Errorf("day %g: %w", d, ErrChart)
		}
	}
	for _, run := range [][]float64{t.Likely, t.Low, t.High, t.Reads} {
		if !reading(run...) {
			return fmt.Errorf("a number is infinite: %w", ErrChart)
		}
	}
	return nil
}

// span is what the scale has to hold: all lines and points, bands as far as they
// are not absurd.
func (t Trend) span() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for i := range t.Days {
		for _, v := range []float64{t.Likely[i], t.Reads[i], t.Low[i], t.High[i]} {
			if !math.IsNaN(v) {
				low, high = min(low, v), max(high, v)
			}
		}
	}
	if !(low <= high) {
		return 0, 1
	}
	if low > 0 && low < 0.6*high {
		low = 0
	}
	return low, high
}

type trendSheet struct {
	plot
	trend Trend
}

// months rules the year: a tick at the first of as many months as fit.
func (s *trendSheet) months() {
	first := time.Unix(int64(s.x.low)*86400, 0).UTC()
	months := int((s.x.high-s.x.low)/30.4) + 1
	every := max(1, int(math.Ceil(float64(months)*46/max(s.right-s.left, 1))))
	at := time.Date(first.Year(), first.Month(), 1, 0, 0, 0, 0, time.UTC)
	for i := 0; i <= months+1; i++ {
		day := float64(at.Unix()) / 86400
		if x := s.x.place(day); day >= s.x.low && day <= s.x.high && i%every == 0 {
			s.line(x, s.bottom, x, s.bottom+4, Paint{Stroke: Muted, Width: 1})
			words := at.Format("Jan")
			if at.Month() <= time.Month(every) {
				words = at.Format("Jan 06")
			}
			s.say(tickFace, words, x, s.bottom+17, Middle)
		}
		at = at.AddDate(0, 1, 0)
	}
}

func (s *trendSheet) events() {
	for _, e := range s.trend.Events {
		if e.Day >= s.x.low && e.Day <= s.x.high {
			x := s.x.place(e.Day)
			s.line(x, s.top, x, s.bottom, Paint{Stroke: Muted, Width: 1, Dash: []float64{3, 3}})
		}
	}
}

func (s *trendSheet) at(i int, v float64) Point {
	return Point{s.x.place(s.trend.Days[i]), s.y.place(v)}
}

func (s *trendSheet) banded(i int) bool {
	return allKnown(s.trend.Low[i], s.trend.High[i])
}

func (s *trendSheet) band() {
	s.bandAt(len(s.trend.Days), s.banded, func(i int) Point { return s.at(i, s.trend.High[i]) }, func(i int) Point { return s.at(i, s.trend.Low[i]) })
}

func (s *trendSheet) lines() {
	for _, run := range unbroken(len(s.trend.Days), func(i int) bool { return allKnown(s.trend.Likely[i]) }) {
		var points []Point
		for _, i := range run {
			points = append(points, s.at(i, s.trend.Likely[i]))
		}
		s.add(Polyline{Points: points, Paint: modelPaint})
	}
}

func (s *trendSheet) points() {
	if s.trend.Steps {
		s.steps()
		return
	}
	for i, v := range s.trend.Reads {
		if allKnown(v) {
			p := s.at(i, v)
			s.add(Circle{X: p.X, Y: p.Y, R: 3.5, Paint: readingPaint})
		}
	}
}

// steps marks every day: where it was read, otherwise on the line.
func (s *trendSheet) steps() {
	for i, v := range s.trend.Reads {
		mark := Circle{R: 3.5, Paint: readingPaint}
		if !allKnown(v) {
			v, mark = s.trend.Likely[i], Circle{R: 1.6, Paint: Paint{Fill: Accent}}
		}
		if !allKnown(v) {
			continue
		}
		p := s.at(i, v)
		mark.X, mark.Y = p.X, p.Y
		words := ""
		if i < len(s.trend.Words) {
			words = tidy(s.trend.Words[i])
		}
		s.add(Group{ID: fmt.Sprintf("point-%d", i+1), Label: words, Shapes: []Shape{mark}})
	}
}

func (s *trendSheet) keys() []mark {
	list := []mark{
		{"as tracked", func(x, y float64) { s.line(x, y, x+22, y, modelPaint) }},
		{"5 to 95 % band", func(x, y float64) {
			s.add(Rect{X: x, Y: y - 5, W: 22, H: 10, Paint: Paint{Fill: Fill, Stroke: Accent, Width: 0.8, Dash: []float64{2, 2}}})
		}},
	}
	for _, v := range s.trend.Reads {
		if allKnown(v) {
			list = append(list, mark{"a reading, put on this scale", func(x, y float64) { s.add(Circle{X: x + 11, Y: y, R: 3.5, Paint: readingPaint}) }})
			break
		}
	}
	if len(s.trend.Events) > 0 {
		list = append(list, mark{"changed", func(x, y float64) {
			s.line(x+11, y-6, x+11, y+6, Paint{Stroke: Muted, Width: 1, Dash: []float64{3, 3}})
		}})
	}
	return list
}

// spoken tells the first, the last and what was changed.
func (t Trend) spoken() string {
	var words strings.Builder
	date := func(day float64) string { return time.Unix(int64(day)*86400, 0).UTC().Format("2 January 2006") }
	for _, i := range []int{0, len(t.Days) - 1} {
		fmt.Fprintf(&words, "%s %s, band %s to %s; ", date(t.Days[i]), valued(t.Likely[i], tidy(t.Unit)), short(known(t.Low[i])), short(known(t.High[i])))
	}
	for _, e := range t.Events {
		fmt.Fprintf(&words, "%s: %s; ", date(e.Day), tidy(e.Words))
	}
	return strings.TrimSuffix(words.String(), "; ")
}
