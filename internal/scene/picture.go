package scene

import "encoding/base64"

// Picture is a photograph, already scaled: JPEG is its whole file. Label says
// what it shows.
type Picture struct {
	X, Y, W, H float64
	JPEG       []byte
	Label      string
}

func (Picture) isShape() {}

func (p *pen) picture(s Picture) {
	p.put(`<image x="`, num(s.X), `" y="`, num(s.Y), `" width="`, num(max(s.W, 0)), `" height="`, num(max(s.H, 0)), `"`)
	if s.Label != "" {
		p.put(` role="img" aria-label="`, escape(s.Label), `"`)
	}
	p.put(` href="data:image/jpeg;base64,`, base64.StdEncoding.EncodeToString(s.JPEG), "\"/>\n")
}

// Placed gives the shapes of a drawing scaled and moved, for a place on a page.
func (d Drawing) Placed(x, y, scale float64) []Shape { return moved(d.Shapes, placing{x, y, scale}) }

// placing takes a place in a drawing to its place on the page.
type placing struct{ x, y, scale float64 }

func (m placing) point(p Point) Point { return Point{m.x + m.scale*p.X, m.y + m.scale*p.Y} }

func (m placing) points(list []Point) []Point {
	out := make([]Point, len(list))
	for i, p := range list {
		out[i] = m.point(p)
	}
	return out
}

func (m placing) paint(p Paint) Paint {
	p.Width *= m.scale
	dash := make([]float64, len(p.Dash))
	for i, v := range p.Dash {
		dash[i] = v * m.scale
	}
	p.Dash = dash
	return p
}

func moved(shapes []Shape, m placing) []Shape {
	out := make([]Shape, len(shapes))
	for i, s := range shapes {
		out[i] = m.shape(s)
	}
	return out
}

func (m placing) shape(s Shape) Shape {
	switch s := s.(type) {
	case Rect:
		at := m.point(Point{s.X, s.Y})
		return Rect{at.X, at.Y, s.W * m.scale, s.H * m.scale, s.Radius * m.scale, m.paint(s.Paint)}
	case Circle:
		at := m.point(Point{s.X, s.Y})
		return Circle{at.X, at.Y, s.R * m.scale, m.paint(s.Paint)}
	case Polyline:
		return Polyline{m.points(s.Points), s.Closed, m.paint(s.Paint)}
	case Outline:
		steps := make([]Step, len(s.Steps))
		for i, t := range s.Steps {
			steps[i] = Step{t.Op, m.point(t.A), m.point(t.B), m.point(t.To)}
		}
		return Outline{steps, m.paint(s.Paint)}
	case Text:
		at := m.point(Point{s.X, s.Y})
		s.X, s.Y, s.Size = at.X, at.Y, s.Size*m.scale
		return s
	case Picture:
		at := m.point(Point{s.X, s.Y})
		s.X, s.Y, s.W, s.H = at.X, at.Y, s.W*m.scale, s.H*m.scale
		return s
	case Group:
		s.Shapes = moved(s.Shapes, m)
		return s
	}
	return s
}
