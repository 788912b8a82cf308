// Package layout sets a document: headings, paragraphs, pairs of a name and a
// value, tables, drawings, steps to tick, cautions, signatures and photographs
// flow down as many sheets of paper as they need. What it makes is a
// [scene.Document], so one drawing model serves screen and paper.
//
// A [Flow] remembers each pair and each row of a table as a [Fact], so that a
// new revision of a document can say what changed.
//
// Lengths are points, 72 to the inch.
package layout

import (
	"time"

	"rinsewright/internal/scene"
)

// Size is a size of paper, upright, in points.
type Size struct{ Width, Height float64 }

// The sizes that papers come in.
var (
	A4     = Size{595.28, 841.89}
	Letter = Size{612, 792}
	A6     = Size{297.64, 419.53}
)

// Frame is what stands on every page of a document.
type Frame struct {
	Size     Size
	Title    string // "Quote"
	Site     string
	From     string // who hands it over
	Number   string
	Revision string // "revision B", or empty
	Date     string // with the month in words
	Draft    bool
	Across   bool // pages lie on their side
	Program  string
	Hash     string // of what went in
	Hashed   bool   // prints its own hash at the foot of its last page
	Language string
	Made     time.Time
	Say      func(string) string // gives a phrase in the document's language
}

// Fact is one thing that a document says: under which heading, of what, what.
type Fact struct {
	Section string `json:"section,omitempty"`
	Name    string `json:"name"`
	Value   string `json:"value"`
}

// Flow is a document while it is set. Blocks are added from top to bottom.
type Flow struct {
	frame   Frame
	pages   []page
	y       float64
	section string
	facts   []Fact
}

// page is one sheet under way.
type page struct {
	width, height float64
	narrow        float64 // kept free at the right
	shapes        []scene.Shape
	marks         []scene.Mark
}

// Measures of every page.
const (
	runningTop = 62.0 // of text on pages after the first
	foot       = 60.0 // from the last line of text to the edge
)

// small says that the paper is a label: margins and title shrink.
func (f *Flow) small() bool { return f.frame.Size.Width < 400 }

// side is the margin at left and right.
func (f *Flow) side() float64 {
	if f.small() {
		return 20
	}
	return 48
}

func (f *Flow) foot() float64 {
	if f.small() {
		return 30
	}
	return foot
}

// New begins a document with the head of its first page.
func New(frame Frame) *Flow {
	if frame.Say == nil {
		frame.Say = func(s string) string { return s }
	}
	f := &Flow{frame: frame}
	f.begin(frame.Across)
	f.head()
	return f
}

// Facts returns what the document says, in order.
func (f *Flow) Facts() []Fact { return f.facts }

// Break goes on on a new page.
func (f *Flow) Break() { f.begin(f.page().width > f.page().height) }

// Across goes on on a new page that lies on its f.side().
func (f *Flow) Across() { f.begin(true) }

// Upright goes on on a new page that stands.
func (f *Flow) Upright() { f.begin(false) }

func (f *Flow) begin(across bool) {
	p := page{width: f.frame.Size.Width, height: f.frame.Size.Height}
	if across {
		p.width, p.height = p.height, p.width
	}
	f.pages = append(f.pages, p)
	f.y = runningTop
}

func (f *Flow) page() *page { return &f.pages[len(f.pages)-1] }

// Width is the room between the margins.
func (f *Flow) Width() float64 { return f.page().width - 2*f.side() - f.page().narrow }

func (f *Flow) right() float64 { return f.page().width - f.side() - f.page().narrow }

func (f *Flow) bottom() float64 { return f.page().height - f.foot() }

// room goes on on a new page unless so much of this one is left.
func (f *Flow) room(height float64) {
	if f.y+height > f.bottom() && f.y > runningTop+1 {
		f.Break()
	}
}

// Keep goes on on a new page unless so much of this one is left: for a heading
// whose drawing must not be parted from it.
func (f *Flow) Keep(height float64) { f.room(min(height, f.bottom()-runningTop)) }

func (f *Flow) add(shapes ...scene.Shape) {
	p := f.page()
	p.shapes = append(p.shapes, shapes...)
}

// Space leaves some air.
func (f *Flow) Space(height float64) { f.y += height }

func (f *Flow) note(name, value string) {
	if name != "" && value != "" {
		f.facts = append(f.facts, Fact{f.section, name, value})
	}
}

// Document finishes the pages and gives the whole.
func (f *Flow) Document() scene.Document {
	d := scene.Document{
		Title: f.frame.Title + ", " + f.frame.Site, Subject: f.frame.Number, Author: f.frame.From, Language: f.frame.Language,
		Program: f.frame.Program, Made: f.frame.Made,
	}
	for i := range f.pages {
		f.finish(i)
		p := f.pages[i]
		d.Sheets = append(d.Sheets, scene.Sheet{
			Drawing: scene.Drawing{Width: p.width, Height: p.height, Title: f.frame.Title, Shapes: p.shapes}, Marks: p.marks,
		})
	}
	return d
}
