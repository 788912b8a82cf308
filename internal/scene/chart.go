package scene

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// ErrChart is wrapped when a chart cannot be drawn as asked.
var ErrChart = errors.New("chart not drawable")

// Limits of a chart.
const (
	leastChart = 240.0
	mostChart  = 2000.0
	mostRows   = 40
	chartPad   = 12.0
)

var (
	chartTitle = face{size: 15, weight: 600, step: 20, tone: Ink}
	chartNote  = face{size: 12.5, weight: 400, step: 16, tone: Muted}
	chartLabel = face{size: 13, weight: 400, step: 16, tone: Ink}
	chartValue = face{size: 13, weight: 600, step: 16, tone: Ink}
	tickFace   = face{size: 11.5, weight: 400, step: 14, tone: Muted}
)

func chartWidth(width, usual float64) (float64, error) {
	if width == 0 {
		return usual, nil
	}
	if !(leastChart <= width && width <= mostChart) {
		return 0, fmt.Errorf("width %g is not %g to %g: %w", width, leastChart, mostChart, ErrChart)
	}
	return width, nil
}

// reading accepts what a chart can show: a number of sane size, or NaN for
// not known.
func reading(values ...float64) bool {
	for _, v := range values {
		if !(math.IsNaN(v) || math.Abs(v) <= mostAmount) {
			return false
		}
	}
	return true
}

// heading writes a chart's title and note and gives the y below them.
func (s *sheet) heading(title, note string, width float64) float64 {
	y := 22.0
	room := airy * (width - 2*chartPad)
	if title = tidy(title); title != "" {
		y = s.write(chartTitle, chartTitle.wrap(title, room, 2), chartPad, y, Start)
	}
	if note = tidy(note); note != "" {
		y = s.write(chartNote, chartNote.wrap(note, room, 3), chartPad, y-1, Start)
	}
	return y - 8
}

// axis maps values to places along a line, with ticks at round numbers.
type axis struct {
	low, high   float64 // values at the ends
	from, to    float64 // places of the ends
	tick        float64 // distance between ticks
	first, last float64 // ticks
}

// newAxis spans at least low to high with about count ticks.
func newAxis(low, high, from, to float64, count int) axis {
	// Numbers closer than this are one number; the axis opens around it.
	if least := max(math.Abs(low), math.Abs(high)) * 1e-6; !(high-low > max(least, 1e-9)) {
		pad := max(math.Abs(low)*0.1, 1e-6)
		low, high = low-pad, high+pad
	}
	tick := roundUp((high - low) / float64(count))
	a := axis{from: from, to: to, tick: tick}
	a.first, a.last = math.Floor(low/tick+1e-9)*tick, math.Ceil(high/tick-1e-9)*tick
	a.low, a.high = a.first, a.last
	return a
}

// roundUp gives the 1, 2 or 5 times a power of ten at or above v.
func roundUp(v float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, step := range []float64{1, 2, 5} {
		if step*power >= v*(1-1e-9) {
			return step * power
		}
	}
	return 10 * power
}

func (a axis) place(v float64) float64 {
	return a.from + (min(max(v, a.low), a.high)-a.low)/(a.high-a.low)*(a.to-a.from)
}

func (a axis) ticks() []float64 {
	n := int(math.Round((a.last - a.first) / a.tick))
	out := make([]float64, 0, n+1)
	for i := 0; i <= n; i++ {
		out = append(out, a.first+float64(i)*a.tick)
	}
	return out
}

// words prints a tick with as many decimals as the ticks need.
func (a axis) words(v float64) string {
	if math.Abs(v) < a.tick/2 {
		return "0"
	}
	decimals := int(max(0, math.Ceil(-math.Log10(a.tick)-1e-9)))
	if decimals == 0 {
		return grouped(math.Round(v))
	}
	return strings.Replace(strconv.FormatFloat(v, 'f', decimals, 64), "-", "−", 1)
}

// valued joins a number and its unit.
func valued(v float64, unit string) string {
	if math.IsNaN(v) {
		return "not known"
	}
	if unit == "" {
		return short(v)
	}
	return short(v) + noBreak + unit
}

// short prints to three figures, or whole from a hundred up.
func short(v float64) string {
	if math.Abs(v) >= 100 {
		return grouped(v)
	}
	s := strconv.FormatFloat(v, 'g', 3, 64)
	if strings.Contains(s, "e") {
		if math.Abs(v) < 1e-6 {
			return "0"
		}
		s = strconv.FormatFloat(v, 'f', 6, 64)
	}
	return strings.Replace(s, "-", "−", 1)
}

// swatch fills a box with the colour and the texture of the nth part, so that
// parts can be told apart without colour.
func (s *sheet) swatch(n int, x, y, w, h float64) {
	if w <= 0 {
		return
	}
	s.add(Rect{X: x, Y: y, W: w, H: h, Paint: Paint{Fill: Series(n)}})
	t := Paint{Stroke: Ink, Width: 0.8}
	l, r, b := x+0.5, x+w-0.5, y+h
	switch n % serieses {
	case 1:
		s.hatchWith(t, l, y, r, b, 6, true)
	case 2:
		s.hatchWith(t, l, y, r, b, 6, false)
	case 3:
		s.hatchWith(t, l, y, r, b, 8, true)
		s.hatchWith(t, l, y, r, b, 8, false)
	case 4:
		s.stripes(t, l, y, r, b, 5, false)
	case 5:
		s.stripes(t, l, y, r, b, 5, true)
	case 6:
		s.dots(l, y, r, b)
	}
	s.add(Rect{X: x, Y: y, W: w, H: h, Paint: Paint{Stroke: Ink, Width: 0.8}})
}

func (s *sheet) stripes(p Paint, l, t, r, b, gap float64, upright bool) {
	var steps []Step
	if upright {
		for x := l + gap/2; x < r; x += gap {
			steps = append(steps, move(x, t), line(x, b))
		}
	} else {
		for y := t + gap/2; y < b; y += gap {
			steps = append(steps, move(l, y), line(r, y))
		}
	}
	if len(steps) > 0 {
		s.add(Outline{Steps: steps, Paint: p})
	}
}

func (s *sheet) dots(l, t, r, b float64) {
	for j, y := 0, t+3.5; y < b-1; j, y = j+1, y+5 {
		for x := l + 3 + float64(j%2)*3; x < r-1; x += 6 {
			s.add(Circle{X: x, Y: y, R: 0.9, Paint: Paint{Fill: Ink}})
		}
	}
}
