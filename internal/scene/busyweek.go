package scene

import (
	"fmt"
	"math"
	"strings"
)

// BusyWeek is a week of 24 hours a day as a field of small tanks: each is filled
// to the level of that hour, and struck through where vends run short.
type BusyWeek struct {
	Title, Note string
	Fill        [7][24]float64 // share of the tank, Monday first; NaN is not known
	Short       [7][24]float64 // short vends a year in that hour; NaN is not known
	Filled      string         // what a fill is, in the legend; empty is "mean level"
}

var weekWords = [7]string{"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"}

// Draw draws the week at a width of 240 to 2000 units; 0 is 520. The error wraps
// [ErrChart] for a fill outside 0 to 1 or short vends below 0 or past all use.
func (b BusyWeek) Draw(width float64) (Drawing, error) {
	width, err := chartWidth(width, 520)
	if err == nil {
		err = b.check()
	}
	if err != nil {
		return Drawing{}, fmt.Errorf("draw busy week: %w", err)
	}
	var s sheet
	top := s.heading(b.Title, b.Note, width) + 6
	left := chartPad + tickFace.width("Wed") + 8
	w := (width - chartPad - left) / 24
	h := max(w*1.1, 16)
	for day := range 7 {
		y := top + float64(day)*h
		s.say(tickFace, weekWords[day], left-8, y+h/2+4, End)
		for hour := range 24 {
			s.cell(b.Fill[day][hour], b.Short[day][hour], left+float64(hour)*w, y, w, h)
		}
	}
	bottom := top + 7*h
	every := 3
	if 3*w < tickFace.width("24")+6 {
		every = 6
	}
	for hour := 0; hour <= 24; hour += every {
		x := min(left+float64(hour)*w, width-chartPad)
		s.line(x, bottom, x, bottom+4, Paint{Stroke: Muted, Width: 1})
		s.say(tickFace, grouped(float64(hour)), min(x, width-tickFace.width("24")/2), bottom+18, Middle)
	}
	y := s.marks(b.keys(&s), bottom+42, width)
	return Drawing{Width: width, Height: math.Ceil(y + 10), Title: or(tidy(b.Title), "The tank through the week"), Desc: b.spoken(), Shapes: s.shapes}, nil
}

func (b BusyWeek) check() error {
	for day := range 7 {
		for hour := range 24 {
			if f := b.Fill[day][hour]; !math.IsNaN(f) && !share(f) {
				return fmt.Errorf("fill %g on day %d at %d: %w", f, day, hour, ErrChart)
			}
			if !amount(b.Short[day][hour]) {
				return fmt.Errorf("%g short vends on day %d at %d: %w", b.Short[day][hour], day, hour, ErrChart)
			}
		}
	}
	return nil
}

// strikes are the numbers of short vends a year from which a cell gets one, two
// and three strokes.
var strikes = [3]float64{0.02, 0.5, 5}

// cell draws one hour: a tank filled from below, and its strokes.
func (s *sheet) cell(fill, short, x, y, w, h float64) {
	box := Rect{X: x + 0.75, Y: y + 0.75, W: w - 1.5, H: h - 1.5}
	if math.IsNaN(fill) {
		box.Paint = Paint{Stroke: Hairline, Width: 0.8, Dash: []float64{2, 2}}
		s.add(box)
		return
	}
	full := box.H * fill
	s.add(Rect{X: box.X, Y: box.Y + box.H - full, W: box.W, H: full, Paint: Paint{Fill: Water(5)}})
	box.Paint = Paint{Stroke: Muted, Width: 0.7}
	s.add(box)
	s.strokes(short, box.X, box.Y, box.W, box.H)
}

// strokes crosses a box by one, two or three lines.
func (s *sheet) strokes(short, x, y, w, h float64) {
	n := 0
	for _, from := range strikes {
		if short >= from {
			n++
		}
	}
	if n == 0 {
		return
	}
	var steps []Step
	if n == 3 {
		steps = append(steps, move(x, y+h/2), line(x+w, y+h/2))
	}
	if n >= 2 {
		steps = append(steps, move(x, y), line(x+w, y+h))
	}
	steps = append(steps, move(x, y+h), line(x+w, y))
	s.add(Outline{Steps: steps, Paint: Paint{Stroke: Paper, Width: 4}}) // so that it stands out of the water
	s.add(Outline{Steps: steps, Paint: Paint{Stroke: Rust, Width: 1.8}})
}

func (b BusyWeek) keys(s *sheet) []mark {
	tank := func(fill, short float64) func(x, y float64) {
		return func(x, y float64) { s.cell(fill, short, x+4, y-8, 14, 16) }
	}
	list := []mark{{or(tidy(b.Filled), "mean level"), tank(0.6, 0)}}
	words := [3]string{"a short vend in fifty years or more often", "one in two years or more often", "five a year or more"}
	most := 0.0
	for day := range 7 {
		for hour := range 24 {
			most = max(most, known(b.Short[day][hour]))
		}
	}
	for i, from := range strikes {
		if most >= from {
			list = append(list, mark{words[i], tank(0.3, from)})
		}
	}
	return list
}

// spoken tells each day's lowest hour, and where vends run short.
func (b BusyWeek) spoken() string {
	var words strings.Builder
	for day := range 7 {
		low := -1
		short := 0.0
		for hour := range 24 {
			if f := b.Fill[day][hour]; !math.IsNaN(f) && (low < 0 || f < b.Fill[day][low]) {
				low = hour
			}
			short += known(b.Short[day][hour])
		}
		words.WriteString(weekWords[day] + " ")
		if low < 0 {
			words.WriteString("not known; ")
			continue
		}
		fmt.Fprintf(&words, "lowest at %d o'clock with %.0f %%", low, 100*b.Fill[day][low])
		if short > 0 {
			fmt.Fprintf(&words, ", %.3g short vends a year", short)
		}
		words.WriteString("; ")
	}
	return strings.TrimSuffix(words.String(), "; ") + "."
}
