package scene

import (
	"bufio"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// ErrDrawing is wrapped when a drawing cannot be written.
var ErrDrawing = errors.New("drawing not usable")

// SVGOptions are the choices of the page that shows a drawing.
type SVGOptions struct {
	// Prefix keeps ids apart when a page shows several drawings.
	Prefix string
	// Standalone adds size, ground, font and [StyleSheet], for a file of its
	// own. On a page these come from the page.
	Standalone bool
}

const standaloneFont = `system-ui, -apple-system, "Segoe UI", "Noto Sans", "Open Sans", Helvetica, Arial, sans-serif`

// SVG writes the drawing as one svg element: the same bytes each time, every
// colour a custom property with the light colour as fallback. The error
// wraps [ErrDrawing] when a number in it is not finite or the size is not
// above zero, and is the writer's own otherwise.
func (d Drawing) SVG(w io.Writer, opts SVGOptions) error {
	if err := d.check(); err != nil {
		return err
	}
	p := &pen{w: bufio.NewWriter(w), prefix: plainID(opts.Prefix), used: map[string]int{}}
	p.open(d, opts)
	p.shapes(d.Shapes)
	p.put("</svg>\n")
	if err := p.w.Flush(); err != nil {
		return fmt.Errorf("write svg: %w", err)
	}
	return nil
}

func (d Drawing) check() error {
	if !(d.Width > 0 && d.Height > 0) {
		return fmt.Errorf("write svg: size %g by %g: %w", d.Width, d.Height, ErrDrawing)
	}
	sound := finite(d.Width, d.Height)
	d.Each(func(s Shape) { sound = sound && soundShape(s) })
	if !sound {
		return fmt.Errorf("write svg: a number is not finite: %w", ErrDrawing)
	}
	return nil
}

func soundShape(s Shape) bool {
	switch s := s.(type) {
	case Rect:
		return finite(s.X, s.Y, s.W, s.H, s.Radius, s.Width)
	case Circle:
		return finite(s.X, s.Y, s.R, s.Width)
	case Polyline:
		return finite(s.Width) && soundPoints(s.Points...)
	case Outline:
		for _, t := range s.Steps {
			if !soundPoints(t.A, t.B, t.To) {
				return false
			}
		}
		return finite(s.Width)
	case Text:
		return finite(s.X, s.Y, s.Size, s.Turn)
	case Picture:
		return finite(s.X, s.Y, s.W, s.H)
	}
	return true
}

func soundPoints(points ...Point) bool {
	for _, p := range points {
		if !finite(p.X, p.Y) {
			return false
		}
	}
	return true
}

func finite(values ...float64) bool {
	for _, v := range values {
		if !(math.Abs(v) <= math.MaxFloat64) {
			return false
		}
	}
	return true
}

// pen writes SVG; bufio keeps the first error until Flush.
type pen struct {
	w      *bufio.Writer
	prefix string
	used   map[string]int
}

func (p *pen) put(parts ...string) {
	for _, s := range parts {
		_, _ = p.w.WriteString(s)
	}
}

func (p *pen) open(d Drawing, opts SVGOptions) {
	title, desc := p.id("title"), p.id("desc")
	p.put(`<svg xmlns="http://www.w3.org/2000/svg" class="scene" viewBox="0 0 `, num(d.Width), " ", num(d.Height), `"`)
	if opts.Standalone {
		p.put(` width="`, num(d.Width), `" height="`, num(d.Height), `" font-family="`, escape(standaloneFont), `"`)
	}
	// An image hides what it holds; a drawing with links must not.
	role := "img"
	if d.linked() {
		role = "group"
	}
	p.put(` role="`, role, `" aria-labelledby="`, title, `" aria-describedby="`, desc, "\">\n")
	p.put(`<title id="`, title, `">`, escape(d.Title), "</title>\n")
	p.put(`<desc id="`, desc, `">`, escape(d.Desc), "</desc>\n")
	if opts.Standalone {
		p.put("<style>", StyleSheet(), "</style>\n")
		p.shapes([]Shape{Rect{W: d.Width, H: d.Height, Paint: Paint{Fill: Paper}}})
	}
}

func (d Drawing) linked() bool {
	found := false
	d.Each(func(s Shape) {
		if g, ok := s.(Group); ok && localLink(g.Link) {
			found = true
		}
	})
	return found
}

func (p *pen) shapes(shapes []Shape) {
	for _, s := range shapes {
		p.shape(s)
	}
}

func (p *pen) shape(s Shape) {
	switch s := s.(type) {
	case Rect:
		p.put(`<rect x="`, num(s.X), `" y="`, num(s.Y), `" width="`, num(max(s.W, 0)), `" height="`, num(max(s.H, 0)), `"`)
		if s.Radius > 0 {
			p.put(` rx="`, num(s.Radius), `"`)
		}
		p.paint(s.Paint)
	case Circle:
		p.put(`<circle cx="`, num(s.X), `" cy="`, num(s.Y), `" r="`, num(max(s.R, 0)), `"`)
		p.paint(s.Paint)
	case Polyline:
		p.polyline(s)
	case Outline:
		p.put(`<path d="`, steps(s.Steps), `"`)
		p.paint(s.Paint)
	case Text:
		p.text(s)
	case Picture:
		p.picture(s)
	case Group:
		p.group(s)
	}
}

func (p *pen) polyline(s Polyline) {
	element := "polyline"
	if s.Closed {
		element = "polygon"
	}
	points := make([]string, len(s.Points))
	for i, pt := range s.Points {
		points[i] = num(pt.X) + "," + num(pt.Y)
	}
	p.put("<", element, ` points="`, strings.Join(points, " "), `"`)
	p.paint(s.Paint)
}

func steps(list []Step) string {
	var b strings.Builder
	for _, s := range list {
		switch s.Op {
		case 'M', 'L':
			b.WriteString(string(rune(s.Op)) + num(s.To.X) + "," + num(s.To.Y))
		case 'C':
			b.WriteString("C" + num(s.A.X) + "," + num(s.A.Y) + " " + num(s.B.X) + "," + num(s.B.Y) + " " + num(s.To.X) + "," + num(s.To.Y))
		case 'Z':
			b.WriteString("Z")
		}
	}
	return b.String()
}

func (p *pen) paint(t Paint) {
	p.put(` fill="`, colour(t.Fill), `"`)
	if t.Stroke != None && t.Width > 0 {
		p.put(` stroke="`, colour(t.Stroke), `" stroke-width="`, num(t.Width), `"`)
		if len(t.Dash) > 0 {
			dash := make([]string, len(t.Dash))
			for i, d := range t.Dash {
				dash[i] = num(d)
			}
			p.put(` stroke-dasharray="`, strings.Join(dash, " "), `"`)
		}
		if t.Round {
			p.put(` stroke-linecap="round" stroke-linejoin="round"`)
		}
	}
	p.put("/>\n")
}

func (p *pen) text(t Text) {
	p.put(`<text x="`, num(t.X), `" y="`, num(t.Y), `" font-size="`, num(t.Size), `"`)
	if t.Weight > 400 {
		p.put(` font-weight="`, strconv.Itoa(t.Weight), `"`)
	}
	switch t.Anchor {
	case Middle:
		p.put(` text-anchor="middle"`)
	case End:
		p.put(` text-anchor="end"`)
	}
	if t.Turn != 0 {
		p.put(` transform="rotate(`, num(-t.Turn), " ", num(t.X), " ", num(t.Y), `)"`)
	}
	p.put(` fill="`, colour(t.Tone), `">`)
	if t.Full != "" && t.Full != t.Content {
		p.put("<title>", escape(t.Full), "</title>")
	}
	p.put(escape(t.Content), "</text>\n")
}

func (p *pen) group(g Group) {
	linked := localLink(g.Link)
	if linked {
		p.put(`<a href="`, escape(g.Link), `"`)
	} else {
		p.put("<g")
	}
	if g.ID != "" {
		p.put(` id="`, p.id(g.ID), `"`)
	}
	if g.Label != "" {
		if !linked {
			p.put(` role="group"`)
		}
		p.put(` aria-label="`, escape(g.Label), `"`)
	}
	p.put(">\n")
	p.shapes(g.Shapes)
	if linked {
		p.put("</a>\n")
		return
	}
	p.put("</g>\n")
}

// id gives a name that is plain, prefixed and used once.
func (p *pen) id(name string) string {
	id := plainID(name)
	if p.prefix != "" {
		id = p.prefix + "-" + id
	}
	for {
		p.used[id]++
		if p.used[id] == 1 {
			return id
		}
		id += "-" + strconv.Itoa(p.used[id])
	}
}

func plainID(name string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case 'a' <= r && r <= 'z', 'A' <= r && r <= 'Z', '0' <= r && r <= '9', r == '_', r == '-':
			return r
		}
		return '-'
	}, name)
}

// localLink accepts a fragment or a path on this server. "//host" and "/\host"
// lead elsewhere in a browser, so they are refused, and so is any scheme.
func localLink(link string) bool {
	if strings.ContainsFunc(link, func(r rune) bool { return r < ' ' || r == '\\' || r == 0x7f }) {
		return false
	}
	return strings.HasPrefix(link, "#") || strings.HasPrefix(link, "/") && !strings.HasPrefix(link, "//")
}

func colour(r Role) string {
	if r == Clear {
		return "transparent"
	}
	fallback, ok := Light(r)
	if !ok {
		return "none"
	}
	return "var(--" + string(r) + ", " + fallback + ")"
}

// num prints to a hundredth of a unit, finer than any screen shows.
func num(v float64) string {
	s := strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64)
	if s == "-0" {
		return "0"
	}
	return s
}

// escape makes any string safe as XML text or attribute; what XML cannot
// hold becomes U+FFFD.
func escape(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a strings.Builder never fails
	return b.String()
}
