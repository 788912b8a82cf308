package scene

import (
	"math"
	"slices"
)

// marginLabel is a few words at the right of a plot, beside the y they name.
type marginLabel struct {
	words string
	y     float64
}

// marginWidth is the room that labels take, at most a share of the width.
func marginWidth(labels []marginLabel, width float64) float64 {
	widest := 0.0
	for _, l := range labels {
		widest = max(widest, tickFace.width(l.words))
	}
	return min(widest, width*0.3)
}

// margin writes labels from x on, each as near its own y as the others let it,
// with a hair to that y where it had to move.
func (s *sheet) margin(labels []marginLabel, x, room, top, bottom float64) {
	sorted := slices.Clone(labels)
	slices.SortStableFunc(sorted, func(a, b marginLabel) int {
		switch {
		case a.y < b.y:
			return -1
		case a.y > b.y:
			return 1
		}
		return 0
	})
	at := make([]float64, len(sorted))
	for i, l := range sorted {
		at[i] = max(l.y, top)
		if i > 0 {
			at[i] = max(at[i], at[i-1]+tickFace.step)
		}
	}
	for i := len(at) - 1; i >= 0; i-- {
		limit := bottom
		if i < len(at)-1 {
			limit = at[i+1] - tickFace.step
		}
		at[i] = min(at[i], limit)
	}
	for i, l := range sorted {
		s.line(x, l.y, x+8, at[i], Paint{Stroke: Muted, Width: 0.8})
		s.write(tickFace, tickFace.wrap(l.words, room, 1), x+12, at[i]+4, Start)
	}
}

// plot is a chart's frame: axes with round ticks.
type plot struct {
	sheet
	x, y                     axis
	left, right, top, bottom float64
}

// frameY draws the rules and ticks of the y axis and says where the plot's left
// edge is.
func (p *plot) frameY(low, high, top, height float64, unit string, width, rightRoom float64) {
	p.top, p.bottom = top+10, top+10+height
	p.y = newAxis(low, high, p.bottom, p.top, 4)
	widest := 0.0
	for _, v := range p.y.ticks() {
		widest = max(widest, tickFace.width(p.y.words(v)))
	}
	p.left, p.right = chartPad+widest+10, width-chartPad-rightRoom
	p.write(tickFace, tickFace.wrap(tidy(unit), width/2, 1), chartPad, top-6, Start)
	for _, v := range p.y.ticks() {
		p.rule(p.left, p.right, p.y.place(v))
		p.say(tickFace, p.y.words(v), p.left-8, p.y.place(v)+4, End)
	}
}

// hours writes clock hours under the plot, as many as there is room for.
func (p *plot) hours() {
	every := 3
	if (p.right-p.left)/8 < tickFace.width("24:00")+6 {
		every = 6
	}
	for h := 0; h <= 24; h += every {
		x := p.left + float64(h)/24*(p.right-p.left)
		p.line(x, p.bottom, x, p.bottom+4, Paint{Stroke: Muted, Width: 1})
		p.say(tickFace, grouped(float64(h)), x, p.bottom+18, Middle)
	}
}

// mark is one entry of a chart's legend.
type mark struct {
	words string
	draw  func(x, y float64)
}

// marks writes a legend of entries and gives the y below.
func (s *sheet) marks(list []mark, y, width float64) float64 {
	x := chartPad
	for _, m := range list {
		w := 30 + keyFace.width(m.words)
		if x > chartPad && x+w > width-chartPad {
			x, y = chartPad, y+20
		}
		m.draw(x, y)
		s.write(keyFace, keyFace.wrap(m.words, width-2*chartPad-30, 1), x+30, y+4, Start)
		x += w + 20
	}
	return y + 8
}

// known values only, as runs of places without a gap.
func unbroken(n int, has func(int) bool) (out [][]int) {
	for i := range n {
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

// bandAt draws a band of n places between a low and a high line, broken where
// it is not known.
func (s *sheet) bandAt(n int, known func(int) bool, high, low func(int) Point) {
	for _, run := range unbroken(n, known) {
		var up, down []Point
		for _, i := range run {
			up = append(up, high(i))
			down = append(down, low(i))
		}
		outline := append([]Point{}, up...)
		for i := len(down) - 1; i >= 0; i-- {
			outline = append(outline, down[i])
		}
		s.add(Polyline{Points: outline, Closed: true, Paint: Paint{Fill: Fill}})
		for _, side := range [][]Point{up, down} {
			s.add(Polyline{Points: side, Paint: Paint{Stroke: Accent, Width: 0.8, Dash: []float64{2, 2}}})
		}
	}
}

func allKnown(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) {
			return false
		}
	}
	return true
}
