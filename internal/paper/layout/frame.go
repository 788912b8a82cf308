package layout

import (
	"fmt"
	"math"
	"strings"

	"rinsewright/internal/scene"
)

// head writes the head of the first page.
func (f *Flow) head() {
	y, wide, titleFace := 34.0, f.Width()*0.62, titleFace
	if f.small() {
		y, titleFace = 16, face{15, 18, 600, scene.Ink}
	}
	from, about := f.frame.From, f.about(f.Width()-wide)
	if f.small() { // the label says who at its foot
		from, about = f.frame.Number, strings.Join(kept(f.frame.Revision, f.frame.Date), " · ")
	}
	f.say(smallFace, smallFace.shorten(from, f.Width()*0.5), f.right(), y+8, scene.End)
	y = f.lines(bodyFace.quiet(), first(bodyFace.wrap(f.frame.Site, f.Width()*0.48), 3), f.side(), y, scene.Start)
	y += 2
	title := first(titleFace.wrap(f.frame.Title, wide), 3)
	f.say(smallFace, smallFace.shorten(about, f.Width()-wide), f.right(), y+titleFace.size, scene.End)
	f.mark(f.frame.Title, 0)
	y = f.lines(titleFace, title, f.side(), y, scene.Start)
	f.rule(f.side(), f.right(), y+3, scene.Accent, 1.4)
	f.y = y + 14
	if f.small() {
		f.y = y + 8
	}
}

// about is number, revision and day; of these only the number is cut when it is
// too long.
func (f *Flow) about(width float64) string {
	rest := strings.Join(kept(f.frame.Revision, f.frame.Date), " · ")
	return strings.Join(kept(smallFace.shorten(f.frame.Number, width-smallFace.of(" · "+rest)), rest), " · ")
}

func first(lines []string, n int) []string { return lines[:min(n, len(lines))] }

func kept(all ...string) (some []string) {
	for _, s := range all {
		if s != "" {
			some = append(some, s)
		}
	}
	return some
}

// finish writes what can only be known at the end: the running head, the mark
// of a draft and the foot with the number of pages.
func (f *Flow) finish(i int) {
	p := &f.pages[i]
	put := Flow{frame: f.frame, pages: []page{*p}}
	if i > 0 {
		about := f.about(put.Width() * 0.4)
		put.say(smallFace, smallFace.shorten(f.frame.Title+" · "+f.frame.Site, put.Width()*0.45), f.side(), 40, scene.Start)
		put.say(smallFace, smallFace.shorten(about, put.Width()*0.4), put.right(), 40, scene.End)
		put.rule(f.side(), put.right(), 46, scene.Hairline, 0.7)
	}
	if f.frame.Draft {
		put.draft()
		put.pages[0].shapes = append(put.watermark(), put.pages[0].shapes...) // under what stands there
	}
	y := p.height - f.foot() + 18
	if f.small() {
		y = p.height - f.foot() + 8
	}
	put.rule(f.side(), put.right(), y, scene.Hairline, 0.7)
	left := strings.Join(kept(f.frame.Program, f.frame.Hash), " · ")
	put.say(smallFace, smallFace.shorten(left, put.Width()*0.7), f.side(), y+13, scene.Start)
	put.say(smallFace, fmt.Sprintf(f.frame.Say("page %d of %d"), i+1, len(f.pages)), put.right(), y+13, scene.End)
	if f.frame.Hashed && i == len(f.pages)-1 {
		put.hash(y + 23)
	}
	*p = put.pages[0]
}

// hash prints the document's hash, which is told when the whole is there.
func (f *Flow) hash(y float64) {
	t := face{7, 9, 400, scene.Muted}
	before := f.frame.Say("SHA-256 of this document") + " "
	f.say(t, before, f.side(), y, scene.Start)
	f.say(t, scene.HashPlace, f.side()+t.of(before+" "), y, scene.Start)
}

// watermark lies across a draft, paler than any line on it.
func (f *Flow) watermark() []scene.Shape {
	word := f.frame.Say("DRAFT")
	w, h := f.page().width, f.page().height
	t := face{1, 1, 400, scene.Fill}
	t.size = math.Floor(0.58 * math.Hypot(w, h) / t.of(word))
	angle := math.Atan2(h, w)
	down := 0.35 * t.size // from the middle of the letters to their foot
	return []scene.Shape{scene.Text{
		X: w/2 + down*math.Sin(angle), Y: h/2 + down*math.Cos(angle), Anchor: scene.Middle, Size: t.size, Weight: t.weight, Tone: t.tone,
		Turn: angle * 180 / math.Pi, Content: word,
	}}
}

// draft marks a page that is not to be relied on, in the middle of its head.
func (f *Flow) draft() {
	word := f.frame.Say("DRAFT")
	t := face{10, 12, 600, scene.Rust}
	w, x := t.of(word)+18, f.page().width/2
	f.add(scene.Rect{X: x - w/2, Y: 12, W: w, H: 16, Radius: 2, Paint: scene.Paint{Stroke: scene.Rust, Width: 1}})
	f.say(t, word, x, 23.6, scene.Middle)
}
