package layout

import (
	"strings"

	"rinsewright/internal/scene"
)

// type faces of the papers.
type face struct {
	size, step float64
	weight     int
	tone       scene.Role
}

var (
	titleFace = face{21, 25, 600, scene.Ink}
	headFace  = face{12.5, 16, 600, scene.Accent}
	subFace   = face{10, 13, 600, scene.Ink}
	leadFace  = face{11, 15, 400, scene.Ink}
	bodyFace  = face{9.5, 13, 400, scene.Ink}
	boldFace  = face{9.5, 13, 600, scene.Ink}
	smallFace = face{8, 10.5, 400, scene.Muted}
	cellFace  = face{9, 11.5, 400, scene.Ink}
	warnFace  = face{9.5, 13, 600, scene.Rust}
)

func (t face) bold() face          { t.weight = 600; return t }
func (t face) quiet() face         { t.tone = scene.Muted; return t }
func (t face) of(s string) float64 { return scene.PrintedWidth(s, t.size, t.weight) }

// wrap breaks text into lines no wider than width; a word that is wider alone
// is broken where the line ends.
func (t face) wrap(text string, width float64) (lines []string) {
	line := ""
	for _, word := range strings.Fields(scene.Printable(text)) {
		joined := word
		if line != "" {
			joined = line + " " + word
		}
		if t.of(joined) <= width {
			line = joined
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for line = word; t.of(line) > width; {
			head := t.fitting(line, width)
			lines = append(lines, head)
			line = line[len(head):]
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// fitting is as much of a word as fits, one letter at least.
func (t face) fitting(word string, width float64) string {
	for i := range word {
		if i > 0 && t.of(word[:i]) > width {
			_, last := lastRune(word[:i])
			return word[:max(i-last, firstRune(word))]
		}
	}
	return word
}

func lastRune(s string) (rune, int) {
	at, last := 0, rune(0)
	for i, r := range s {
		at, last = i, r
	}
	return last, len(s) - at
}

func firstRune(s string) int {
	for i := range s {
		if i > 0 {
			return i
		}
	}
	return len(s)
}

// shorten gives text on one line, with an ellipsis if it had to be cut.
func (t face) shorten(text string, width float64) string {
	lines := t.wrap(text, width)
	if len(lines) < 2 {
		return strings.Join(lines, "")
	}
	cut := []rune(strings.Join(lines[:2], " "))
	for len(cut) > 0 && t.of(string(cut)+"…") > width {
		cut = cut[:len(cut)-1]
	}
	return strings.TrimRight(string(cut), " ,·") + "…"
}

func (f *Flow) say(t face, text string, x, y float64, anchor scene.Anchor) {
	if text != "" {
		f.add(scene.Text{X: x, Y: y, Anchor: anchor, Size: t.size, Weight: t.weight, Tone: t.tone, Content: text})
	}
}

// lines writes lines from y down and gives the y below them.
func (f *Flow) lines(t face, lines []string, x, y float64, anchor scene.Anchor) float64 {
	for _, l := range lines {
		f.say(t, l, x, y+t.size, anchor)
		y += t.step
	}
	return y
}

// text sets a paragraph between x and the right margin, over pages if it must.
func (f *Flow) text(t face, text string, x, width float64) {
	for _, l := range t.wrap(text, width) {
		f.room(t.step)
		f.say(t, l, x, f.y+t.size, scene.Start)
		f.y += t.step
	}
}

func (f *Flow) rule(x1, x2, y float64, role scene.Role, width float64) {
	f.add(scene.Polyline{Points: []scene.Point{{X: x1, Y: y}, {X: x2, Y: y}}, Paint: scene.Paint{Stroke: role, Width: width}})
}

// Head begins a section; it stands in the contents and keeps some lines with it.
func (f *Flow) Head(text string) {
	f.room(130) // a heading is not left alone at the foot of a page
	if f.y > runningTop+1 {
		f.y += 12
	}
	f.section = text
	f.mark(text, 0)
	f.text(headFace, text, f.side(), f.Width())
	f.y += 3
}

// Sub is a heading inside a section.
func (f *Flow) Sub(text string) {
	f.room(60)
	f.y += 5
	f.mark(text, 1)
	f.text(subFace, text, f.side(), f.Width())
	f.y += 2
}

func (f *Flow) mark(text string, level int) {
	p := f.page()
	if level > 0 && len(f.allMarks()) == 0 {
		level = 0
	}
	p.marks = append(p.marks, scene.Mark{Title: text, Level: level, Y: f.y})
}

func (f *Flow) allMarks() (all []scene.Mark) {
	for _, p := range f.pages {
		all = append(all, p.marks...)
	}
	return all
}

// Lead is a sentence that carries the page.
func (f *Flow) Lead(text string) { f.paragraph(leadFace, text) }

// Para is a paragraph.
func (f *Flow) Para(text string) { f.paragraph(bodyFace, text) }

// Small is a paragraph of lesser weight.
func (f *Flow) Small(text string) { f.paragraph(smallFace, text) }

func (f *Flow) paragraph(t face, text string) {
	if text == "" {
		return
	}
	f.text(t, text, f.side(), f.Width())
	f.y += 4
}

// Points is a list with a dot before each.
func (f *Flow) Points(all []string) {
	for _, s := range all {
		f.room(bodyFace.step)
		f.add(scene.Circle{X: f.side() + 3, Y: f.y + 6.4, R: 1.4, Paint: scene.Paint{Fill: scene.Accent}})
		f.text(bodyFace, s, f.side()+11, f.Width()-11)
		f.y += 2
	}
	f.y += 2
}
