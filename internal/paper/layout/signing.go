package layout

import "rinsewright/internal/scene"

// Signature is a place to sign, or what was signed there.
type Signature struct {
	Who     string // "for the customer"
	Name    string
	Date    string
	Strokes [][]scene.Point // signed on glass, in widths of the place
}

// Signatures leaves a place for each to sign.
func (f *Flow) Signatures(who []string) {
	var all []Signature
	for _, w := range who {
		all = append(all, Signature{Who: w})
	}
	f.Signed(all)
}

const (
	signRoom = 42.0 // from what is signed to the line
	signStep = 62.0
)

// Approved closes a document in little room: its status, and beside each other
// who prepared, checked and approved it, with a line to sign on.
func (f *Flow) Approved(status string, all []Signature) {
	const line, between = 27.0, 18.0
	words := smallFace.wrap(status, f.Width())
	f.room(8 + float64(len(words))*smallFace.step + line + 6)
	f.y += 6
	f.rule(f.side(), f.right(), f.y, scene.Hairline, 0.7)
	f.y = f.lines(smallFace, words, f.side(), f.y+2, scene.Start)
	wide := (f.Width() - between*float64(len(all)-1)) / float64(len(all))
	for i, s := range all {
		x, who := f.side()+float64(i)*(wide+between), smallFace.bold()
		f.say(who, s.Who, x, f.y+10, scene.Start)
		said := nameAndDay(s.Name, s.Date)
		if said == "" {
			said = f.frame.Say("name, date")
		}
		f.say(smallFace, smallFace.shorten(said, wide-who.of(s.Who)-6), x+wide, f.y+10, scene.End)
		f.rule(x, x+wide, f.y+line, scene.Muted, 0.7)
	}
	f.y += line + 4
}

// Signed sets signatures two to a row: what was signed, or a line to sign on.
func (f *Flow) Signed(all []Signature) {
	const across = 2
	f.room(float64((len(all)+across-1)/across)*signStep + 4)
	const between = 24.0
	wide := (f.Width() - between*float64(across-1)) / float64(across)
	for i, s := range all {
		f.sign(s, f.side()+float64(i%across)*(wide+between), wide)
		if i%across == across-1 || i == len(all)-1 {
			f.y += signStep
		}
		f.note(s.Who, nameAndDay(s.Name, s.Date))
	}
}

func nameAndDay(name, date string) string {
	if name != "" && date != "" {
		return name + ", " + date
	}
	return name + date
}

// sign sets one: who, the strokes above the line, name and day under it. What
// is not known is left to be written.
func (f *Flow) sign(s Signature, x, wide float64) {
	f.say(boldFace, boldFace.shorten(s.Who, wide), x, f.y+10, scene.Start)
	f.strokes(s.Strokes, x, f.y+13, wide)
	f.rule(x, x+wide, f.y+signRoom, scene.Muted, 0.7)
	name, date := f.frame.Say("name and signature"), f.frame.Say("date")
	tone := smallFace
	if s.Name != "" {
		name, tone = s.Name, face{8, 10.5, 400, scene.Ink}
	}
	if s.Date != "" {
		date = s.Date
	}
	day := smallFace.of(date)
	f.say(tone, tone.shorten(name, wide-day-6), x, f.y+signRoom+9, scene.Start)
	if s.Date == "" && s.Name == "" {
		f.say(smallFace, date, x+min(wide*0.7, wide-day), f.y+signRoom+9, scene.Start)
		return
	}
	f.say(smallFace, date, x+wide, f.y+signRoom+9, scene.End)
}

// strokes draws a signature as it was made, no higher than its place.
func (f *Flow) strokes(all [][]scene.Point, x, y, wide float64) {
	high := 0.0
	for _, stroke := range all {
		for _, p := range stroke {
			high = max(high, p.Y)
		}
	}
	if high == 0 {
		return
	}
	scale := min(wide, (signRoom-15)/high)
	for _, stroke := range all {
		var points []scene.Point
		for _, p := range stroke {
			points = append(points, scene.Point{X: x + p.X*scale, Y: y + p.Y*scale})
		}
		if len(points) == 1 {
			points = append(points, scene.Point{X: points[0].X + 0.6, Y: points[0].Y})
		}
		f.add(scene.Polyline{Points: points, Paint: scene.Paint{Stroke: scene.Ink, Width: 1, Round: true}})
	}
}
