package scene

// Role says what a stroke, an area or a text is for. The page decides the
// colour, see [StyleSheet].
type Role string

// Roles of lines, texts and areas. None draws nothing; Clear draws nothing
// but can be pressed.
const (
	None     Role = ""
	Clear    Role = "clear"
	Ink      Role = "ink"
	Muted    Role = "muted"
	Hairline Role = "hairline"
	Accent   Role = "accent"
	Rust     Role = "rust"
	Paper    Role = "paper"
	Fill     Role = "fill"
	ToDrain  Role = "drain"
)

// Anchor says which point of a text its x names.
type Anchor int

// Anchors of a text.
const (
	Start Anchor = iota
	Middle
	End
)

// Point is a place in the drawing, in user units.
type Point struct{ X, Y float64 }

// Paint is how a shape is filled and outlined. A zero Width with a Stroke
// draws no line.
type Paint struct {
	Fill   Role
	Stroke Role
	Width  float64   // of the line, user units
	Dash   []float64 // lengths on, off, on, …; empty for a whole line
	Round  bool      // round caps and joins
}

// Shape is one of [Rect], [Circle], [Polyline], [Outline], [Text], [Picture]
// and [Group].
type Shape interface{ isShape() }

// Rect is an upright rectangle with corners rounded by Radius.
type Rect struct {
	X, Y, W, H, Radius float64
	Paint
}

// Circle is a circle about X, Y.
type Circle struct {
	X, Y, R float64
	Paint
}

// Polyline is a run of straight lines; Closed joins the last to the first.
type Polyline struct {
	Points []Point
	Closed bool
	Paint
}

// Outline is a run of moves, lines and cubic curves.
type Outline struct {
	Steps []Step
	Paint
}

// Step is one piece of an [Outline]: Op 'M' and 'L' use To, 'C' uses the
// control points A and B as well, 'Z' closes and uses none.
type Step struct {
	Op       byte
	A, B, To Point
}

// Text is one line of text on a baseline. Full is the whole wording when
// Content had to be shortened, and empty otherwise.
type Text struct {
	X, Y    float64
	Anchor  Anchor
	Size    float64
	Weight  int // 400 or 600
	Tone    Role
	Turn    float64 // degrees against the clock, about X, Y
	Content string
	Full    string
}

// Group holds shapes that belong together. ID names it for links from
// outside, Label says what it is to a screen reader, Link is where pressing
// it goes: a fragment ("#lead") or a path ("/site/3") on the same server; any
// other link is left out when the drawing is written.
type Group struct {
	ID, Label, Link string
	Shapes          []Shape
}

func (Rect) isShape()     {}
func (Circle) isShape()   {}
func (Polyline) isShape() {}
func (Outline) isShape()  {}
func (Text) isShape()     {}
func (Group) isShape()    {}

// Drawing is an ordered list of shapes; later ones lie on top. Title and
// Desc are read aloud in place of the picture.
type Drawing struct {
	Width, Height float64
	Title, Desc   string
	Shapes        []Shape
}

// Each calls visit for every shape in drawing order. Groups are visited
// before what they hold.
func (d Drawing) Each(visit func(Shape)) { each(d.Shapes, visit) }

func each(shapes []Shape, visit func(Shape)) {
	for _, s := range shapes {
		visit(s)
		if g, ok := s.(Group); ok {
			each(g.Shapes, visit)
		}
	}
}

// sheet collects shapes as a drawing grows.
type sheet struct{ shapes []Shape }

func (s *sheet) add(shapes ...Shape) { s.shapes = append(s.shapes, shapes...) }

func (s *sheet) line(x1, y1, x2, y2 float64, p Paint) {
	s.add(Polyline{Points: []Point{{x1, y1}, {x2, y2}}, Paint: p})
}

func (s *sheet) rule(x1, x2, y float64) {
	s.line(x1, y, x2, y, Paint{Stroke: Hairline, Width: 1})
}

func move(x, y float64) Step { return Step{Op: 'M', To: Point{x, y}} }
func line(x, y float64) Step { return Step{Op: 'L', To: Point{x, y}} }
func curve(a, b, to Point) Step {
	return Step{Op: 'C', A: a, B: b, To: to}
}
func shut() Step { return Step{Op: 'Z'} }
