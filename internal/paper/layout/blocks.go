package layout

import (
	"math"

	"rinsewright/internal/scene"
)

// Drawing sets a drawing across the page, smaller if it would not fit.
func (f *Flow) Drawing(d scene.Drawing) { f.DrawingIn(d, f.Width()) }

// DrawingIn sets a drawing no wider than width.
func (f *Flow) DrawingIn(d scene.Drawing, width float64) {
	scale := min(width/d.Width, (f.bottom()-runningTop)/d.Height)
	f.room(d.Height * scale)
	scale = min(scale, (f.bottom()-f.y)/d.Height)
	f.add(d.Placed(side+(f.Width()-d.Width*scale)/2, f.y, scale)...)
	f.y += d.Height*scale + 6
}

// Caution warns where the work can hurt someone: the step in bold, then what
// to mind. It is not broken over pages.
func (f *Flow) Caution(step, text string) { f.caution(side, step, text) }

func (f *Flow) caution(x float64, step, text string) {
	inner := x + 12
	wide := f.right() - inner
	heads, lines := warnFace.wrap(step, wide), bodyFace.wrap(text, wide)
	height := float64(len(heads)+len(lines))*bodyFace.step + 6
	f.room(height + 4)
	f.add(scene.Rect{X: x, Y: f.y, W: 3, H: height, Paint: scene.Paint{Fill: scene.Rust}})
	y := f.lines(warnFace, heads, inner, f.y+2, scene.Start)
	f.lines(bodyFace, lines, inner, y, scene.Start)
	f.y += height + 6
	f.note(step, text)
}

// Step is one thing to do and tick. Caution is said before it. Figure is how
// long or how much; Fill asks for a reading beside it.
type Step struct {
	Text, Note   string
	Figure, Fill string
	Caution      string
}

const (
	boxSize    = 9.0
	figureRoom = 108.0
)

// Steps is a list to tick off, in order.
func (f *Flow) Steps(all []Step) {
	for _, s := range all {
		if s.Caution != "" {
			f.caution(side+18, f.frame.Say("Take care"), s.Caution)
		}
		f.step(s)
	}
	f.y += 4
}

func (f *Flow) step(s Step) {
	x, wide := side+18, f.Width()-18-figureRoom-gutter
	text, note := bodyFace.wrap(s.Text, wide), smallFace.wrap(s.Note, wide)
	right := kept(s.Figure, s.Fill)
	height := max(float64(len(text))*bodyFace.step+float64(len(note))*smallFace.step, float64(len(right))*16) + 5
	f.room(height)
	f.add(scene.Rect{X: side, Y: f.y + 1.5, W: boxSize, H: boxSize, Paint: scene.Paint{Stroke: scene.Ink, Width: 0.8}})
	y := f.lines(bodyFace, text, x, f.y, scene.Start)
	f.lines(smallFace, note, x, y, scene.Start)
	y = f.y
	if s.Figure != "" {
		f.say(boldFace, boldFace.shorten(s.Figure, figureRoom), f.right(), y+bodyFace.size, scene.End)
		y += 16
	}
	if s.Fill != "" {
		f.say(smallFace, smallFace.shorten(s.Fill, figureRoom), f.right(), y+bodyFace.size+1, scene.End)
		w := smallFace.of(smallFace.shorten(s.Fill, figureRoom)) + 4
		f.rule(f.right()-figureRoom, f.right()-w, y+bodyFace.size+3, scene.Muted, 0.6)
	}
	f.y += height
	f.rule(x, f.right(), f.y-2.5, scene.Hairline, 0.5)
	f.note(s.Text, s.Figure)
}

// Signatures leaves a place for each to sign.
func (f *Flow) Signatures(who []string) {
	f.room(float64((len(who)+1)/2)*62 + 4)
	wide := (f.Width() - 24) / 2
	for i := 0; i < len(who); i += 2 {
		for k := 0; k < 2 && i+k < len(who); k++ {
			x := side + float64(k)*(wide+24)
			f.say(boldFace, boldFace.shorten(who[i+k], wide), x, f.y+10, scene.Start)
			f.rule(x, x+wide, f.y+42, scene.Muted, 0.7)
			f.say(smallFace, f.frame.Say("name and signature"), x, f.y+51, scene.Start)
			f.say(smallFace, f.frame.Say("date"), x+wide*0.7, f.y+51, scene.Start)
		}
		f.y += 62
	}
}

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
			f.photo(p, side+float64(k)*(wide+14), wide, tall)
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
		f.rule(side, f.right(), f.y, scene.Hairline, 0.8)
	}
	f.y += 6
}
