package scene

import "math"

// Measures of the wide path.
const (
	margin      = 32.0
	headGutter  = 76.0 // for the words at the left that say what a row is
	widestPipe  = 28.0
	halfSymbols = 60.0 // the symbols' band reaches this far from the line
)

// wideSheet is a wide path while it is drawn; the y of each row comes from
// the longest text above it.
type wideSheet struct {
	sheet
	path  Path
	style Style
	width float64
	faces faces
	scale flowScale
	cols  []column

	top, nameY, readY, lineY, stateY, dueY, dueEnd float64
	drainX                                         float64
}

func (p Path) wide(style Style, width float64) Drawing {
	width = max(width, 2*margin+headGutter+widestPipe+16+float64(len(p.Stations))*(smallestCol+columnAir))
	w := &wideSheet{path: p, style: style, width: width, faces: facesFor(len(p.Stations)), scale: p.flowScale(style, widestPipe)}
	w.setColumns()
	y := w.header()
	w.setRows(y)
	w.grid()
	w.line()
	y = w.drain()
	w.stations()
	y = w.suspects(y)
	if !style.Bare {
		y = w.legend(w.path, w.scale, margin, y+34, width-margin)
	}
	return Drawing{Width: width, Height: math.Ceil(y + 20), Shapes: w.shapes}
}

func (w *wideSheet) setColumns() {
	extra := make([]float64, len(w.path.Stations))
	k := w.path.drainAt()
	if k >= 0 {
		extra[k] = w.path.Drain.run().span(w.scale) + 14
	}
	w.cols = w.path.columns(w.faces, margin+headGutter, w.width-margin+columnAir/2, extra)
	if k >= 0 {
		w.drainX = w.cols[k].right() + extra[k]/2
	}
}

var (
	titleFace    = face{size: 22, weight: 600, step: 27, tone: Ink}
	subtitleFace = face{size: 14, weight: 400, step: 19, tone: Muted}
	headFace     = face{size: 12, weight: 400, step: 15, tone: Muted}
	warnFace     = face{size: 13, weight: 600, step: 17, tone: Rust}
	plainFace    = face{size: 13, weight: 400, step: 17, tone: Ink}
)

// header writes title and subtitle and gives the y below them.
func (w *wideSheet) header() float64 {
	return w.headerTo(w.path, w.style, w.width, margin, titleFace)
}

func (s *sheet) headerTo(p Path, style Style, width, margin float64, title face) float64 {
	if style.Bare || p.Title == "" && p.Subtitle == "" {
		return 4
	}
	y := 40.0
	if p.Title != "" {
		y = s.write(title, title.wrap(p.Title, airy*(width-2*margin), 2), margin, y, Start) - 3
	}
	if p.Subtitle != "" {
		y = s.write(subtitleFace, subtitleFace.wrap(p.Subtitle, airy*(width-2*margin), 3), margin, y, Start)
	}
	s.rule(margin, width-margin, y-2)
	return y
}

// setRows finds the baseline of each row from the most lines any station has.
func (w *wideSheet) setRows(y float64) {
	names, reads, states, dues := 1, 0, 1, 0
	marked := false
	for i, c := range w.cols {
		names, reads = max(names, len(c.name)), max(reads, len(c.read))
		states, dues = max(states, len(c.state)), max(dues, len(c.due))
		marked = marked || w.path.Stations[i].mark() != ""
	}
	w.top = y + 10
	y = w.top + 16
	if marked {
		y += 20
	}
	w.nameY = y + float64(names-1)*w.faces.name.step
	w.readY = w.nameY + w.faces.read.step + 3
	w.lineY = w.readY + float64(max(reads-1, 0))*w.faces.read.step + 20 + halfSymbols
	w.stateY = w.lineY + halfSymbols + 38
	w.dueY = w.stateY + float64(states-1)*17 + 22
	w.dueEnd = w.dueY - 10
	if dues > 0 {
		w.dueEnd = w.dueY + float64(dues-1)*w.faces.due.step + 12
	}
}

// grid draws the rules between the rows and the words that say what they are.
func (w *wideSheet) grid() {
	w.rule(margin, w.width-margin, w.lineY+halfSymbols+16)
	for i, at := range []float64{w.readY, w.stateY, w.dueY} {
		if i == 2 && w.dueY >= w.dueEnd {
			break
		}
		named := []row{{text: []string{"read", "state", "promised"}[i]}}
		switch {
		case w.style.Rows[i] != "":
			named = headFace.wrap(w.style.Rows[i], headGutter-6, 2)
		case i == 2:
			named = append(named, row{text: "or due"})
		}
		w.write(headFace, named, margin, at, Start)
		if i == 2 {
			w.dueEnd = max(w.dueEnd, w.dueY+float64(len(named)-1)*headFace.step+12)
		}
	}
}

// line draws the water from station to station.
func (w *wideSheet) line() {
	var lengths []length
	for i, c := range w.cols {
		end := math.Inf(-1)
		if i+1 < len(w.cols) {
			end = w.cols[i+1].centre()
			if w.path.Stations[i+1].Kind == Gun {
				end -= gunHandle
			}
		}
		if i == 0 && w.path.Stations[0].Kind != SupplyTap && w.path.Stations[0].Kind != Well {
			in := stretch{w.path.Stations[0].FlowLitresPerDay, math.NaN()}
			lengths = append(lengths, length{in, []Step{move(c.left, w.lineY), line(c.centre(), w.lineY)}})
		}
		if end > c.centre() {
			lengths = append(lengths, length{w.path.between(i), []Step{move(c.centre()-seam, w.lineY), line(end, w.lineY)}})
		}
	}
	w.pipes(w.scale, lengths)
}

// drain lets the water that leaves fall below the rows, its litres a day
// beside its end, and gives the y below that.
func (w *wideSheet) drain() float64 {
	k := w.path.drainAt()
	if k < 0 {
		w.rule(margin, w.width-margin, w.dueEnd)
		return w.dueEnd
	}
	c, run := w.cols[k], w.path.Drain.run()
	half := run.span(w.scale) / 2
	from := c.centre() + max(c.symbolW/2-half-5, 0)
	start, bend, end := w.lineY+min(c.symbolH/2, 22)-3, w.lineY+halfSymbols+16, w.dueEnd+34
	middle := (start + bend) / 2
	w.rule(margin, w.width-margin, w.dueEnd)
	w.pipe(run, w.scale, []Step{
		move(from, start), curve(Point{from, middle + 6}, Point{w.drainX, middle - 6}, Point{w.drainX, bend}), line(w.drainX, end),
	})
	w.arrow(run, w.drainX, end, half)
	return max(w.drainWords(half, w.dueEnd+24), end+half*1.3+4)
}

func (w *wideSheet) drainWords(half, y float64) float64 {
	air := max(half+3, 6) + 10
	x, anchor, room := w.drainX+air, Start, w.width-margin-w.drainX-air
	if left := w.drainX - air - margin; room < 330 && left > room {
		x, anchor, room = w.drainX-air, End, left
	}
	return w.drainText(w.path, w.scale, x, y, room, anchor)
}

// drainText writes what goes to drain and the notes on it.
func (s *sheet) drainText(p Path, scale flowScale, x, y, room float64, anchor Anchor) float64 {
	bold := face{size: 14, weight: 600, step: 18, tone: Ink}
	note := face{size: 12.5, weight: 400, step: 16, tone: Muted}
	y = s.write(bold, bold.wrap(scale.words(p.Drain.LitresPerDay)+" to drain", airy*room, 2), x, y, anchor)
	return s.write(note, note.wrap(joined(p.Drain.Notes), airy*room, 3), x, y, anchor)
}

func joined(list []string) string {
	out := ""
	for i, s := range list {
		if i > 0 {
			out += " · "
		}
		out += s
	}
	return out
}

// stations draws symbol and texts of each, in a group of its own.
func (w *wideSheet) stations() {
	for i, st := range w.path.Stations {
		var g sheet
		c := w.cols[i]
		x := c.centre()
		if w.style.link(st) != "" {
			g.add(Rect{X: c.left, Y: w.top, W: c.width, H: w.dueEnd - w.top, Paint: Paint{Fill: Clear}})
		}
		g.symbol(st, x, w.lineY, c.symbolW, c.symbolH, false)
		if st.Kind == VentedTank {
			w.floatWords(&g, st, c, i)
		}
		g.write(w.faces.name, c.name, x, w.nameY-float64(len(c.name)-1)*w.faces.name.step, Middle)
		g.write(w.faces.read, c.read, x, w.readY, Middle)
		g.state(st, c.state, x, w.stateY, true)
		g.write(w.faces.due, c.due, x, w.dueY, Middle)
		if st.Suspect {
			g.bracket(c.left+2, c.right()-2, w.top+1, w.dueEnd-5)
		}
		f := st.markFace()
		g.write(f, f.wrap(st.mark(), c.width-columnAir, 1), x, w.top+15, Middle)
		w.add(w.style.group(st, g.shapes))
	}
}

// floatWords names the float's marks where they stand clear of the line.
func (w *wideSheet) floatWords(g *sheet, st Station, c column, i int) {
	f := face{size: 11, weight: 400, step: 13, tone: Muted}
	clear := w.path.between(i).span(w.scale) / 2
	if i > 0 {
		clear = max(clear, w.path.between(i-1).span(w.scale)/2)
	}
	last := math.Inf(-1)
	for _, mark := range []struct {
		level float64
		word  string
	}{{st.Stop, "stop"}, {st.Start, "start"}} {
		y := w.lineY + c.symbolH/2 - mark.level*(c.symbolH-8)
		fits := c.width-c.symbolW >= 2*(f.width(mark.word)+11) && y-last > f.step && math.Abs(y-w.lineY) > clear+9
		if mark.level > 0 && fits {
			g.say(f, mark.word, c.centre()-c.symbolW/2-11, y+4, End)
			last = y
		}
	}
}

// mark is the word that sets a station apart, empty for most.
func (s Station) mark() string {
	switch {
	case s.Suspect:
		return "suspect"
	case s.Binds:
		return "binds"
	}
	return ""
}

func (s Station) markFace() face {
	f := warnFace
	if !s.Suspect {
		f.tone = Accent
	}
	return f
}

// bracket marks a suspect on both sides.
func (s *sheet) bracket(l, r, t, b float64) {
	p := Paint{Stroke: Rust, Width: 2}
	s.add(Polyline{Points: []Point{{l + 9, t}, {l, t}, {l, b}, {l + 9, b}}, Paint: p})
	s.add(Polyline{Points: []Point{{r - 9, t}, {r, t}, {r, b}, {r - 9, b}}, Paint: p})
}

// suspects says below the path why each suspect is one.
func (w *wideSheet) suspects(y float64) float64 {
	leads, indent := map[int][]row{}, 0.0
	for i, st := range w.path.Stations {
		if st.Suspect {
			leads[i] = warnFace.wrap("suspect · "+st.Name, (w.width-2*margin)/3, 1)
			indent = max(indent, warnFace.widest(leads[i])+14)
		}
	}
	if len(leads) > 0 {
		y += 22
	}
	for i, st := range w.path.Stations {
		if !st.Suspect {
			continue
		}
		w.write(warnFace, leads[i], margin, y, Start)
		next := w.write(plainFace, plainFace.wrap(st.Why, airy*(w.width-2*margin-indent), 3), margin+indent, y, Start)
		y = max(next, y+plainFace.step) + 3
	}
	return y
}

func (s Style) link(st Station) string {
	if s.LinkBase == "" || st.ID == "" {
		return ""
	}
	return s.LinkBase + st.ID
}

func (s Style) group(st Station, shapes []Shape) Group {
	return Group{ID: st.ID, Label: st.Name + ", " + st.wording(), Link: s.link(st), Shapes: shapes}
}
