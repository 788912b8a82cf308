package layout

import (
	"math"
	"strings"

	"rinsewright/internal/scene"
)

// Drawing sets a drawing across the page, smaller if it would not fit.
func (f *Flow) Drawing(d scene.Drawing) { f.DrawingIn(d, f.Width()) }

// DrawingIn sets a drawing no wider than width.
func (f *Flow) DrawingIn(d scene.Drawing, width float64) {
	scale := min(width/d.Width, (f.bottom()-runningTop)/d.Height)
	f.room(d.Height * scale)
	scale = min(scale, (f.bottom()-f.y)/d.Height)
	f.add(d.Placed(f.side()+(f.Width()-d.Width*scale)/2, f.y, scale)...)
	f.y += d.Height*scale + 6
}

// Caution warns where the work can hurt someone: the step in bold, then what
// to mind. It is not broken over pages.
func (f *Flow) Caution(step string, texts ...string) { f.caution(f.side(), step, texts...) }

func (f *Flow) caution(x float64, step string, texts ...string) {
	if len(texts) == 0 {
		return
	}
	inner := x + 12
	wide := f.right() - inner
	heads, lines := warnFace.wrap(step, wide), []string(nil)
	for _, t := range texts {
		lines = append(lines, bodyFace.wrap(t, wide)...)
	}
	f.room(min(float64(len(heads)+len(lines))*bodyFace.step+10, f.bottom()-runningTop))
	f.y += 2
	for i, l := range append(heads, lines...) {
		t := bodyFace
		if i < len(heads) {
			t = warnFace
		}
		f.room(t.step)
		f.add(scene.Rect{X: x, Y: f.y - 2, W: 3, H: t.step + 4, Paint: scene.Paint{Fill: scene.Rust}})
		f.say(t, l, inner, f.y+t.size, scene.Start)
		f.y += t.step
	}
	f.y += 8
	f.note(step, strings.Join(texts, " "))
}

// Step is one thing to do and tick. Caution is said with it. Figure is how
// long or how much; Fill asks for a reading beside it.
type Step struct {
	Text, Note   string
	Figure, Fill string
	Caution      string
}

const (
	boxSize   = 9.0
	mostLines = 12 // of a step: more is no step
)

// figureRoom is kept at the right of a step.
func (f *Flow) figureRoom() float64 { return min(132, f.Width()*0.3) }

// Steps is a list to tick off, in order.
func (f *Flow) Steps(all []Step) {
	for _, s := range all {
		f.step(s)
	}
	f.y += 4
}

// step keeps what is to be done, its caution and its figure together.
func (f *Flow) step(s Step) {
	x, wide := f.side()+18, f.Width()-18-f.figureRoom()-gutter
	text, note := first(bodyFace.wrap(s.Text, wide), mostLines), first(smallFace.wrap(s.Note, wide), mostLines)
	figure, warn := first(boldFace.wrap(s.Figure, f.figureRoom()), mostLines), boldFace.wrap(s.Caution, f.Width()-18-12)
	height := max(float64(len(text))*bodyFace.step+float64(len(note))*smallFace.step, float64(len(figure))*boldFace.step+fillRoom(s)) + 5
	f.room(min(height+float64(len(warn)+1)*bodyFace.step+10, f.bottom()-runningTop))
	f.add(scene.Rect{X: f.side(), Y: f.y + 1.5, W: boxSize, H: boxSize, Paint: scene.Paint{Stroke: scene.Ink, Width: 0.8}})
	f.lines(smallFace, note, x, f.lines(bodyFace, text, x, f.y, scene.Start), scene.Start)
	f.fill(s.Fill, f.lines(boldFace, figure, f.right(), f.y, scene.End))
	f.note(s.Text, s.Figure)
	f.y += height
	if s.Caution != "" {
		f.caution(x, f.frame.Say("Take care"), s.Caution)
	}
	f.rule(x, f.right(), f.y-2.5, scene.Hairline, 0.5)
}

func fillRoom(s Step) float64 {
	if s.Fill == "" {
		return 0
	}
	return 16
}

// fill leaves a line to write a reading on, with what is to be written.
func (f *Flow) fill(what string, y float64) {
	if what == "" {
		return
	}
	what = smallFace.shorten(what, f.figureRoom()*0.6)
	f.say(smallFace, what, f.right(), y+bodyFace.size+1, scene.End)
	f.rule(f.right()-f.figureRoom(), f.right()-smallFace.of(what)-4, y+bodyFace.size+3, scene.Muted, 0.6)
}

// Ticks is a short list to tick off, in two columns that read downwards.
func (f *Flow) Ticks(all []string) {
	half := (len(all) + 1) / 2
	wide := (f.Width() - gutter) / 2
	for i := range half {
		pair := []string{all[i]}
		if i+half < len(all) {
			pair = append(pair, all[i+half])
		}
		tallest := 1
		for _, s := range pair {
			tallest = min(max(tallest, len(bodyFace.wrap(s, wide-18))), mostLines)
		}
		f.room(float64(tallest)*bodyFace.step + 3)
		for k, s := range pair {
			x := f.side() + float64(k)*(wide+gutter)
			f.add(scene.Rect{X: x, Y: f.y + 1.5, W: boxSize, H: boxSize, Paint: scene.Paint{Stroke: scene.Ink, Width: 0.8}})
			f.lines(bodyFace, first(bodyFace.wrap(s, wide-18), mostLines), x+16, f.y, scene.Start)
		}
		f.y += float64(tallest)*bodyFace.step + 3
	}
	f.y += 4
}

// Aside sets a drawing at the right of what follows, no wider than width, and
// gives how far down it reaches. The text beside it is the caller's.
func (f *Flow) Aside(d scene.Drawing, width float64) (bottom float64) {
	scale := width / d.Width
	f.add(d.Placed(f.right()-width, f.y, scale)...)
	return f.y + d.Height*scale
}

// Below goes on under y, if the text has not come so far.
func (f *Flow) Below(y float64) { f.y = max(f.y, y) }

// Here is how far down the page the text has come.
func (f *Flow) Here() float64 { return f.y }

// Photo is a photograph that was scaled, with what it shows.
type Photo struct {
	JPEG          []byte
	Width, Height int // pixels
	Caption       string
}

// Photos sets photographs two to a row.
func (f *Flow) Photos(all []Photo) {
	wide := (f.Width() - 14) / 2
	for i := 0; i < len(all); i += 2 {
		pair := all[i:min(i+2, len(all))]
		tall := 0.0
		for _, p := range pair {
			tall = max(tall, min(wide*float64(p.Height)/float64(p.Width), 250))
		}
		f.room(tall + 30)
		for k, p := range pair {
			f.photo(p, f.side()+float64(k)*(wide+14), wide, tall)
		}
		f.y += tall + 30
	}
}

func (f *Flow) photo(p Photo, x, wide, tall float64) {
	scale := min(wide/float64(p.Width), tall/float64(p.Height))
	w, h := float64(p.Width)*scale, float64(p.Height)*scale
	if math.IsNaN(scale) || math.IsInf(scale, 0) {
		return
	}
	f.add(scene.Picture{X: x, Y: f.y, W: w, H: h, JPEG: p.JPEG, Label: p.Caption})
	f.lines(smallFace, first(smallFace.wrap(p.Caption, wide), 2), x, f.y+tall+3, scene.Start)
}

// Lines leaves ruled lines to write on.
func (f *Flow) Lines(n int) {
	for range n {
		f.room(20)
		f.y += 20
		f.rule(f.side(), f.right(), f.y, scene.Hairline, 0.8)
	}
	f.y += 6
}

// Narrow leaves so much room free at the right, for a drawing set [Flow.Aside].
func (f *Flow) Narrow(by float64) { f.page().narrow = by }

// Warn is one line that must not be missed.
func (f *Flow) Warn(text string) {
	t := face{8.5, 11, 600, scene.Rust}
	f.text(t, text, f.side(), f.Width())
	f.y += 3
}

// Tight sets names beside their values, small, for a label.
func (f *Flow) Tight(all []Pair) {
	t := face{8, 10, 400, scene.Muted}
	for _, p := range all {
		x := f.side() + f.Width()*0.36
		names, values := first(t.wrap(p.Name, f.Width()*0.36-4), 2), first(t.bold().wrap(p.Value, f.Width()*0.64), 3)
		height := float64(max(len(names), len(values), 1))*t.step + 2
		f.room(height)
		ink := t.bold()
		ink.tone = scene.Ink
		f.lines(t, names, f.side(), f.y, scene.Start)
		f.lines(ink, values, x, f.y, scene.Start)
		if p.Value == "" {
			f.rule(x, f.right(), f.y+height-1, scene.Muted, 0.6)
		}
		f.y += height
		f.note(p.Name, p.Value)
	}
	f.y += 2
}
