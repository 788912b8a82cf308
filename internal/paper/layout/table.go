package layout

import (
	"slices"
	"strings"
	"unicode"

	"rinsewright/internal/scene"
)

// Column is one column of a table. Share is its part of the width, against the
// shares of the others.
type Column struct {
	Head  string
	Share float64
	Right bool // numbers stand to the right
	Blank bool // to be filled in by hand: a line is drawn
}

// Row is one row of a table. A Group row has one cell and heads those below it;
// a Strong one is a total.
type Row struct {
	Cells  []string
	Strong bool
	Group  bool
	Tall   bool // room to write by hand
}

// Rows makes plain rows.
func Rows(all ...[]string) (rows []Row) {
	for _, c := range all {
		rows = append(rows, Row{Cells: c})
	}
	return rows
}

const (
	gutter    = 10.0
	cellAir   = 2.8 // above and below a row
	tallExtra = 8.0
)

// Table sets rows under their heads. It breaks between rows, and inside one
// only when that is taller than a page; heads are repeated on each page.
func (f *Flow) Table(columns []Column, rows []Row) {
	t := table{Flow: f, columns: columns, left: f.edges(columns)}
	heads := false
	for _, c := range columns {
		heads = heads || c.Head != ""
	}
	f.room(t.headHeight() + 19*float64(min(3, len(rows)))) // a table does not begin with a lonely row
	if heads {
		t.heads()
	}
	for i, r := range rows {
		if i > 1 && i == len(rows)-2 && f.y+t.height(r)+t.height(rows[i+1]) > f.bottom() && f.y > runningTop+60 { // nor does it end with one
			f.Break()
			if heads {
				t.heads()
			}
		}
		t.row(r, heads, i+1 < len(rows) && r.Group)
		t.remember(r)
	}
	f.y += 6
}

type table struct {
	*Flow
	columns []Column
	left    []float64 // of each column, and of one past the last
}

// edges shares the width out.
func (f *Flow) edges(columns []Column) []float64 {
	total := 0.0
	for _, c := range columns {
		total += c.Share
	}
	left := []float64{f.side()}
	for _, c := range columns {
		left = append(left, left[len(left)-1]+(f.Width()+gutter)*c.Share/total)
	}
	return left
}

func (t *table) width(i int) float64 { return t.left[i+1] - t.left[i] - gutter }

func (t *table) cell(style face, i int, lines []string, y float64) {
	if t.columns[i].Right {
		t.lines(style, lines, t.left[i+1]-gutter, y, scene.End)
		return
	}
	t.lines(style, lines, t.left[i], y, scene.Start)
}

func (t *table) headLines(i int) []string {
	return first(smallFace.bold().wrap(t.columns[i].Head, t.width(i)), 6)
}

func (t *table) headHeight() float64 {
	tallest := 0
	for i := range t.columns {
		tallest = max(tallest, len(t.headLines(i)))
	}
	return float64(tallest)*smallFace.step + 2.5
}

func (t *table) heads() {
	style, height := smallFace.bold(), t.headHeight()
	for i := range t.columns {
		lines := t.headLines(i)
		t.cell(style, i, lines, t.y+height-2.5-float64(len(lines))*style.step)
	}
	t.y += height
	t.rule(t.side(), t.right(), t.y, scene.Accent, 0.9)
}

// height of a row as it will be set.
func (t *table) height(r Row) float64 {
	tallest := 1
	for i := range t.columns {
		if i < len(r.Cells) && !r.Group {
			tallest = max(tallest, len(cellFace.wrap(r.Cells[i], t.width(i))))
		}
	}
	height := float64(tallest)*cellFace.step + 2*cellAir
	if r.Tall {
		height += tallExtra
	}
	return height
}

func (t *table) row(r Row, heads, keep bool) {
	if r.Group {
		t.group(r, keep)
		return
	}
	style := cellFace
	if r.Strong {
		style = style.bold()
	}
	cells, tallest := make([][]string, len(t.columns)), 1
	for i := range t.columns {
		if i < len(r.Cells) {
			cells[i] = style.wrap(r.Cells[i], t.width(i))
		}
		tallest = max(tallest, len(cells[i]))
	}
	for done := 0; done < tallest; {
		done += t.part(style, r, cells, done, tallest, heads)
	}
}

// part sets as many lines of a row as the page holds.
func (t *table) part(style face, r Row, cells [][]string, done, tallest int, heads bool) int {
	extra := 2 * cellAir
	if r.Tall {
		extra += tallExtra
	}
	if need := float64(tallest-done)*style.step + extra; t.y+need > t.bottom() && (need < t.bottom()-runningTop-60 || t.y > t.bottom()-60) {
		t.Break()
		if heads {
			t.heads()
		}
	}
	fit := min(tallest-done, max(1, int((t.bottom()-t.y-extra)/style.step)))
	if r.Strong {
		t.rule(t.side(), t.right(), t.y, scene.Ink, 0.6)
	}
	for i, lines := range cells {
		if done < len(lines) {
			t.cell(style, i, lines[done:min(done+fit, len(lines))], t.y+cellAir+(extra-2*cellAir))
		}
	}
	t.y += float64(fit)*style.step + extra
	t.under()
	return fit
}

// under draws the hairline below a row, darker where a hand will write.
func (t *table) under() {
	t.rule(t.side(), t.right(), t.y, scene.Hairline, 0.6)
	for i, c := range t.columns {
		if c.Blank {
			t.rule(t.left[i], t.left[i+1]-gutter, t.y, scene.Muted, 0.6)
		}
	}
}

func (t *table) group(r Row, keep bool) {
	if keep {
		t.room(48)
	}
	t.y += 5
	t.y = t.lines(cellFace.bold(), cellFace.bold().wrap(strings.Join(r.Cells, " "), t.Width()), t.side(), t.y, scene.Start)
	t.y += 1
	t.rule(t.side(), t.right(), t.y, scene.Hairline, 0.6)
}

// remember keeps a row as a fact: its first cell with a word in it names it.
func (t *table) remember(r Row) {
	if r.Group {
		return
	}
	at := slices.IndexFunc(r.Cells, func(c string) bool { return strings.ContainsFunc(c, unicode.IsLetter) })
	if at < 0 {
		return
	}
	rest := kept(append(slices.Clone(r.Cells[:at]), r.Cells[at+1:]...)...)
	t.note(r.Cells[at], strings.Join(slices.DeleteFunc(rest, func(c string) bool { return c == "☐" }), " · "))
}

// Pair is a name and its value. An empty value is a line to write on.
type Pair struct{ Name, Value string }

// Pairs sets names beside their values.
func (f *Flow) Pairs(all []Pair) {
	const share = 0.36
	x, wide := f.side()+f.Width()*share, f.Width()*(1-share)
	for _, p := range all {
		names, values := first(bodyFace.wrap(p.Name, f.Width()*share-gutter), mostLines), first(boldFace.wrap(p.Value, wide), mostLines)
		height := float64(max(len(names), len(values), 1))*bodyFace.step + 2
		if p.Value == "" {
			height += 5
		}
		f.room(height)
		y := f.y
		if p.Value == "" {
			y += 5
			f.rule(x, f.right(), f.y+height-1, scene.Muted, 0.6)
		}
		f.lines(bodyFace.quiet(), names, f.side(), y, scene.Start)
		f.lines(boldFace, values, x, y, scene.Start)
		f.y += height
		f.note(p.Name, p.Value)
	}
	f.y += 4
}
