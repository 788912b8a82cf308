//go:build !js

// Papers are printed by the server: the browser carries neither fonts nor PDF.

package scene

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"strconv"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// Document is drawings on sheets of paper. Lengths are points, 72 to the inch.
type Document struct {
	Title, Subject, Author string
	Language               string // "en", "es"
	Program                string // and its version
	Made                   time.Time
	Sheets                 []Sheet
}

// Sheet is one page: a drawing as large as the paper, and the entries of the
// list of contents that lie on it.
type Sheet struct {
	Drawing
	Marks []Mark
}

// Mark is an entry of the list of contents beside the pages; Level 0 is the
// highest.
type Mark struct {
	Title string
	Level int
	Y     float64
}

// PDF writes the document: vectors, the embedded family cut to the letters in
// use, text that can be searched and copied, title, language and contents. The
// same document gives the same bytes. The error wraps [ErrDrawing] when there
// is no sheet or a number is not finite, and is the writer's own otherwise.
func (d Document) PDF(w io.Writer) error {
	if len(d.Sheets) == 0 {
		return fmt.Errorf("write pdf: no sheet: %w", ErrDrawing)
	}
	p := newPress(d)
	for _, s := range d.Sheets {
		if err := s.check(); err != nil {
			return fmt.Errorf("write pdf: %w", err)
		}
		p.sheet(s)
	}
	whole, err := p.finished(len(d.Sheets))
	if err == nil {
		_, err = w.Write(whole)
	}
	if err != nil {
		return fmt.Errorf("write pdf: %w", err)
	}
	return nil
}

// finished is the whole file. The library numbers its pages 3, 5, 7, …, each
// followed by what stands on it.
func (p *press) finished(pages int) ([]byte, error) {
	var b bytes.Buffer
	if err := p.Output(&b); err != nil {
		return nil, err
	}
	f, err := apart(b.Bytes())
	if err != nil {
		return nil, err
	}
	for i := range pages {
		f.contents(4 + 2*i)
	}
	return f.whole(), nil
}

// press prints shapes as vectors. What was set last is remembered, so that a
// long table does not say its colour in every cell.
type press struct {
	*fpdf.Fpdf
	weight       int
	size         float64
	fill, stroke Role
	tone         Role
	pictures     map[string]string
}

const family = "paper"

func newPress(d Document) *press {
	f := fpdf.NewCustom(&fpdf.InitType{UnitStr: "pt", Size: fpdf.SizeType{Wd: d.Sheets[0].Width, Ht: d.Sheets[0].Height}})
	f.SetCatalogSort(true)
	f.SetCreationDate(d.Made)
	f.SetModificationDate(d.Made)
	f.SetAutoPageBreak(false, 0)
	f.SetCompression(false) // done at the end, but for the hash
	f.SetTitle(d.Title, true)
	f.SetSubject(d.Subject, true)
	f.SetAuthor(d.Author, true)
	f.SetCreator(d.Program, true)
	f.SetProducer(d.Program, true)
	f.SetLang(d.Language)
	f.AddUTF8FontFromBytes(family, "", regularFont)
	f.AddUTF8FontFromBytes(family, "B", semiboldFont)
	return &press{Fpdf: f, pictures: map[string]string{}}
}

func (p *press) sheet(s Sheet) {
	p.AddPageFormat("P", fpdf.SizeType{Wd: s.Width, Ht: s.Height})
	p.weight, p.size, p.fill, p.stroke, p.tone = 0, 0, None, None, None
	p.SetFont(family, "", 10) // so that contents are written as the font's own letters
	for _, m := range s.Marks {
		p.Bookmark(Printable(m.Title), m.Level, m.Y)
	}
	p.shapes(s.Shapes)
}

func (p *press) shapes(shapes []Shape) {
	for _, s := range shapes {
		p.shape(s)
	}
}

func (p *press) shape(s Shape) {
	switch s := s.(type) {
	case Rect:
		p.rect(s)
	case Circle:
		if style := p.paint(s.Paint); style != "" {
			p.Circle(s.X, s.Y, max(s.R, 0), style)
		}
	case Polyline:
		p.polyline(s)
	case Outline:
		p.outline(s)
	case Text:
		p.text(s)
	case Picture:
		p.picture(s)
	case Group:
		p.shapes(s.Shapes)
	}
}

func (p *press) rect(s Rect) {
	style := p.paint(s.Paint)
	w, h := max(s.W, 0), max(s.H, 0)
	switch {
	case style == "":
	case s.Radius > 0:
		p.RoundedRect(s.X, s.Y, w, h, min(s.Radius, w/2, h/2), "1234", style)
	default:
		p.Rect(s.X, s.Y, w, h, style)
	}
}

func (p *press) polyline(s Polyline) {
	style := p.paint(s.Paint)
	if style == "" || len(s.Points) < 2 {
		return
	}
	p.MoveTo(s.Points[0].X, s.Points[0].Y)
	for _, pt := range s.Points[1:] {
		p.LineTo(pt.X, pt.Y)
	}
	if s.Closed {
		p.ClosePath()
	}
	p.DrawPath(style)
}

func (p *press) outline(s Outline) {
	style := p.paint(s.Paint)
	if style == "" {
		return
	}
	for _, t := range s.Steps {
		switch t.Op {
		case 'M':
			p.MoveTo(t.To.X, t.To.Y)
		case 'L':
			p.LineTo(t.To.X, t.To.Y)
		case 'C':
			p.CurveBezierCubicTo(t.A.X, t.A.Y, t.B.X, t.B.Y, t.To.X, t.To.Y)
		case 'Z':
			p.ClosePath()
		}
	}
	p.DrawPath(style)
}

// paint sets colours and line, and gives the style of what follows: "" when
// nothing is to be seen.
func (p *press) paint(t Paint) (style string) {
	if r, g, b, ok := ink(t.Fill); ok {
		if style = "F"; t.Fill != p.fill {
			p.SetFillColor(r, g, b)
			p.fill = t.Fill
		}
	}
	r, g, b, ok := ink(t.Stroke)
	if !ok || !(t.Width > 0) {
		return style
	}
	if t.Stroke != p.stroke {
		p.SetDrawColor(r, g, b)
		p.stroke = t.Stroke
	}
	p.SetLineWidth(t.Width)
	p.SetDashPattern(t.Dash, 0)
	end, join := "butt", "miter"
	if t.Round {
		end, join = "round", "round"
	}
	p.SetLineCapStyle(end)
	p.SetLineJoinStyle(join)
	return style + "D"
}

func (p *press) text(t Text) {
	content := Printable(t.Content)
	r, g, b, ok := ink(t.Tone)
	if content == "" || !ok || !(t.Size > 0) {
		return
	}
	if t.Tone != p.tone {
		p.SetTextColor(r, g, b)
		p.tone = t.Tone
	}
	p.face(t)
	x := t.X
	switch t.Anchor {
	case Middle:
		x -= PrintedWidth(content, t.Size, t.Weight) / 2
	case End:
		x -= PrintedWidth(content, t.Size, t.Weight)
	}
	if t.Turn == 0 {
		p.Text(x, t.Y, content)
		return
	}
	p.TransformBegin()
	p.TransformRotate(t.Turn, t.X, t.Y)
	p.Text(x, t.Y, content)
	p.TransformEnd()
}

func (p *press) face(t Text) {
	if t.Weight == p.weight && t.Size == p.size {
		return
	}
	style := ""
	if t.Weight >= 600 {
		style = "B"
	}
	p.SetFont(family, style, t.Size)
	p.weight, p.size = t.Weight, t.Size
}

// picture prints a photograph; the same one twice is kept once.
func (p *press) picture(s Picture) {
	sum := sha256.Sum256(s.JPEG)
	name := hex.EncodeToString(sum[:8])
	options := fpdf.ImageOptions{ImageType: "JPEG"}
	if p.pictures[name] == "" {
		p.RegisterImageOptionsReader(name, options, bytes.NewReader(s.JPEG))
		p.pictures[name] = name
	}
	p.ImageOptions(name, s.X, s.Y, s.W, s.H, false, options, 0, "")
}

// ink is the colour of a role on white paper.
func ink(r Role) (red, green, blue int, ok bool) {
	if r == Paper {
		return 255, 255, 255, true
	}
	hex, ok := Light(r)
	if !ok {
		return 0, 0, 0, false
	}
	n, err := strconv.ParseUint(hex[1:], 16, 24)
	return int(n >> 16), int(n >> 8 & 0xff), int(n & 0xff), err == nil
}
