package paper

import (
	"fmt"
	"math"
	"slices"

	"rinsewright/internal/scene"
	"rinsewright/quantity"
	"rinsewright/study"
)

// frontier draws systems by first cost and the cost of a year, the picks
// marked.
type frontier struct {
	points   []study.FrontierPoint
	picks    []study.Pick
	currency string
	link     string // begins the address of a point, "" for none
}

func (p sizePage) frontier() frontier {
	f := frontier{points: p.sized.Frontier, picks: p.sized.Picks, link: p.options.Points}
	if len(f.picks) > 0 {
		_, f.currency = f.picks[0].First.Plain(quantity.SI)
	}
	return f
}

// Draw draws the frontier at a width.
func (f frontier) Draw(width float64) (scene.Drawing, error) {
	const height, left, right, top, bottom = 300.0, 64.0, 24.0, 28.0, 44.0
	d := scene.Drawing{Width: width, Height: height, Title: "First cost against the cost of a year", Desc: f.spoken()}
	x, y := f.spans()
	at := func(first, yearly float64) scene.Point {
		return scene.Point{X: left + (first-x[0])/(x[1]-x[0])*(width-left-right), Y: height - bottom - (yearly-y[0])/(y[1]-y[0])*(height-top-bottom)}
	}
	label := func(px, py float64, anchor scene.Anchor, tone scene.Role, weight int, text string) {
		d.Shapes = append(d.Shapes, scene.Text{X: px, Y: py, Anchor: anchor, Size: 12, Weight: weight, Tone: tone, Content: text})
	}
	for _, v := range ticks(y) {
		q := at(x[0], v)
		d.Shapes = append(d.Shapes, scene.Polyline{Points: []scene.Point{q, {X: width - right, Y: q.Y}}, Paint: scene.Paint{Stroke: scene.Hairline, Width: 1}})
		label(left-8, q.Y+4, scene.End, scene.Muted, 400, fmt.Sprintf("%.0f", v))
	}
	for _, v := range ticks(x) {
		label(at(v, y[0]).X, height-bottom+18, scene.Middle, scene.Muted, 400, fmt.Sprintf("%.0f", v))
	}
	label(8, 16, scene.Start, scene.Muted, 400, f.currency+" a year")
	label(width-right, height-8, scene.End, scene.Muted, 400, "first cost, "+f.currency)
	var steps []scene.Point
	for _, p := range f.points {
		if p.Beaten {
			continue // it stands beside the line for its risk or its drain
		}
		q := f.place(at, p.First, p.Yearly)
		if len(steps) > 0 {
			steps = append(steps, scene.Point{X: q.X, Y: steps[len(steps)-1].Y})
		}
		steps = append(steps, q)
	}
	if len(steps) > 1 {
		d.Shapes = append(d.Shapes, scene.Polyline{Points: steps, Paint: scene.Paint{Stroke: scene.Accent, Width: 1.5}})
	}
	f.dots(&d, at, label)
	f.mark(&d, at, label)
	return d, nil
}

// dots are the systems: none where another stands already, and a number where it
// hides no other. Systems beaten in both costs have theirs in the table alone.
func (f frontier) dots(d *scene.Drawing, at func(a, b float64) scene.Point, label func(x, y float64, anchor scene.Anchor, tone scene.Role, weight int, text string)) {
	var drawn, numbered []scene.Point
	for _, beaten := range []bool{false, true} {
		for i, p := range f.points {
			q := f.place(at, p.First, p.Yearly)
			if p.Beaten != beaten || near(drawn, q, 4, 4) {
				continue
			}
			drawn = append(drawn, q)
			d.Shapes = append(d.Shapes, f.point(i, q))
			if !beaten && !near(numbered, q, 20, 14) {
				numbered = append(numbered, q)
				label(q.X-7, q.Y+14, scene.End, scene.Muted, 400, fmt.Sprint(i+1))
			}
		}
	}
}

// near says that one of some points is closer to a place than so much each way.
func near(some []scene.Point, at scene.Point, across, up float64) bool {
	return slices.ContainsFunc(some, func(p scene.Point) bool { return math.Abs(p.X-at.X) < across && math.Abs(p.Y-at.Y) < up })
}

// point is one system of the frontier, which can be pressed where that leads
// somewhere.
func (f frontier) point(i int, at scene.Point) scene.Shape {
	dot := scene.Circle{X: at.X, Y: at.Y, R: 4, Paint: scene.Paint{Fill: scene.Paper, Stroke: scene.Accent, Width: 1.5}}
	if f.link == "" {
		return dot
	}
	wide := scene.Circle{X: at.X, Y: at.Y, R: 12, Paint: scene.Paint{Fill: scene.Clear}}
	return scene.Group{Label: fmt.Sprintf("point %d: %s", i+1, f.points[i].Short), Link: fmt.Sprintf("%s%d", f.link, i+1), Shapes: []scene.Shape{wide, dot}}
}

// mark puts the picks on the chart, the same place once.
func (f frontier) mark(d *scene.Drawing, at func(a, b float64) scene.Point, label func(x, y float64, anchor scene.Anchor, tone scene.Role, weight int, text string)) {
	words := map[string]string{"least_first_cost": "least first", "least_cost_over_years": "least over the years", "most_headroom": "most headroom"}
	var used []scene.Point
	for _, p := range f.picks {
		q := f.place(at, p.First, p.Yearly)
		d.Shapes = append(d.Shapes, scene.Circle{X: q.X, Y: q.Y, R: 6, Paint: scene.Paint{Fill: scene.Accent, Stroke: scene.Paper, Width: 1.5}})
		anchor, x, y := scene.Start, q.X+10, q.Y-8
		if q.X > d.Width/2 {
			anchor, x = scene.End, q.X-10
		}
		for _, u := range used {
			if math.Abs(u.Y-y) < 14 && math.Abs(u.X-x) < 140 {
				y = u.Y + 15
			}
		}
		used = append(used, scene.Point{X: x, Y: y})
		word, ok := words[p.Name]
		if !ok {
			word = p.Says
		}
		label(x, y, anchor, scene.Ink, 600, word)
	}
}

func (f frontier) place(at func(a, b float64) scene.Point, first, yearly study.Figure) scene.Point {
	a, _ := first.Plain(quantity.SI)
	b, _ := yearly.Plain(quantity.SI)
	return at(a, b)
}

// spans are what the axes cover: all points and picks with room around them.
func (f frontier) spans() (x, y [2]float64) {
	x, y = [2]float64{math.Inf(1), math.Inf(-1)}, [2]float64{math.Inf(1), math.Inf(-1)}
	take := func(first, yearly study.Figure) {
		a, _ := first.Plain(quantity.SI)
		b, _ := yearly.Plain(quantity.SI)
		x[0], x[1] = min(x[0], a), max(x[1], a)
		y[0], y[1] = min(y[0], b), max(y[1], b)
	}
	for _, p := range f.points {
		take(p.First, p.Yearly)
	}
	for _, p := range f.picks {
		take(p.First, p.Yearly)
	}
	return roomy(x), roomy(y)
}

func roomy(s [2]float64) [2]float64 {
	room := max(0.15*(s[1]-s[0]), 0.05*s[1], 1)
	return [2]float64{max(s[0]-room, 0), s[1] + room}
}

// ticks are round numbers within a span, about four of them.
func ticks(s [2]float64) (all []float64) {
	step := math.Pow(10, math.Floor(math.Log10((s[1]-s[0])/2)))
	for _, times := range []float64{2, 5, 10} {
		if (s[1]-s[0])/step > 5 {
			step = step / stepOf(times) * times
		}
	}
	for v := math.Ceil(s[0]/step) * step; v <= s[1]; v += step {
		all = append(all, v)
	}
	return all
}

// stepOf is the step before one in the row 1, 2, 5, 10.
func stepOf(times float64) float64 { return map[float64]float64{2: 1, 5: 2, 10: 5}[times] }

func (f frontier) spoken() string {
	said := fmt.Sprintf("%d systems from the least first cost to the least cost of a year.", len(f.points))
	for _, p := range f.picks {
		a, _ := p.First.Plain(quantity.SI)
		b, _ := p.Yearly.Plain(quantity.SI)
		said += fmt.Sprintf(" %s: %.0f first, %.0f a year.", p.Says, a, b)
	}
	return said
}
