package scene

import "math"

// Measures of the narrow path.
const (
	narrowMargin = 16.0
	narrowLine   = 58.0  // x of the line
	narrowText   = 116.0 // x of the texts
	narrowPipe   = 22.0
	narrowPad    = 14.0
	narrowBlock  = 92.0 // a station is at least this high
)

// block is the room of one station on a narrow path.
type block struct {
	top, height      float64
	name, read       []row
	state, due       []row
	why              []row
	symbolW, symbolH float64
}

func (b block) centre() float64 { return b.top + b.height/2 }

type narrowSheet struct {
	sheet
	path   Path
	style  Style
	width  float64
	scale  flowScale
	faces  faces
	blocks []block
	drainY float64 // top of the room kept for the drain
}

func (p Path) narrow(style Style, width float64) Drawing {
	n := &narrowSheet{path: p, style: style, width: width, faces: facesFor(1), scale: p.flowScale(style, narrowPipe)}
	small := face{size: 20, weight: 600, step: 25, tone: Ink}
	y := n.setBlocks(n.headerTo(p, style, width, narrowMargin, small))
	n.line()
	n.drain()
	n.stations()
	if !style.Bare {
		n.rule(narrowMargin, width-narrowMargin, y)
		y = n.legend(p, n.scale, narrowMargin, y+26, width-narrowMargin)
	}
	return Drawing{Width: width, Height: math.Ceil(y + 12), Shapes: n.shapes}
}

// narrowDrain is the room below a station that its drain takes.
func (n *narrowSheet) narrowDrain() float64 {
	var s sheet
	return s.drainText(n.path, n.scale, 0, 0, n.drainRoom(), Start) + 16
}

func (n *narrowSheet) drainRoom() float64 { return n.width - narrowMargin - narrowText - 12 }

func (n *narrowSheet) setBlocks(y float64) float64 {
	n.blocks = make([]block, len(n.path.Stations))
	drain := n.path.drainAt()
	for i, s := range n.path.Stations {
		n.blocks[i] = n.block(s, y)
		y += n.blocks[i].height
		if i == drain {
			n.drainY = y
			y += n.narrowDrain()
		}
	}
	return y
}

func (n *narrowSheet) block(s Station, y float64) block {
	room := n.width - narrowMargin - narrowText
	if s.Suspect {
		room -= 14
	}
	b := block{
		top:   y,
		name:  n.faces.name.wrap(s.Name, room, 3),
		read:  n.faces.read.wrap(joined(s.Read), room, 4),
		state: s.stateFace().wrap(s.wording(), room-s.vesselRoom(), 3),
		due:   n.faces.due.wrap(joined(s.Due), room, 5),
	}
	if s.Suspect {
		b.why = plainFace.wrap(s.Why, room, 5)
	}
	b.symbolW, b.symbolH = s.Kind.narrowSize()
	b.height = max(narrowBlock, n.text(nil, s, b, 0)+2*narrowPad, b.symbolH+24)
	return b
}

// narrowSize is the room of a symbol beside the text of a phone.
func (k Kind) narrowSize() (w, h float64) {
	switch k {
	case Membrane:
		return 34, 76
	case SedimentFilter:
		return 46, 36
	case VentedTank:
		return 70, 70
	case PressurisedTank:
		return 44, 72
	case Well, IronFilter, Carbon, Softener, ResinLead, ResinLag:
		w, _ = k.size()
		return min(w, 36), 72
	case BoosterPump, DeliveryPump:
		return 38, 38
	case Line:
		return 34, 40
	case SupplyTap, Restrictor:
		return 28, 28
	}
	return k.size()
}

// text writes a station's texts from y, or only measures them when s is nil,
// and gives their height.
func (n *narrowSheet) text(s *sheet, st Station, b block, y float64) float64 {
	if s == nil {
		s = &sheet{}
	}
	start := y
	y += 11
	y = s.write(n.faces.name, b.name, narrowText, y, Start) + 3
	y = s.write(n.faces.read, b.read, narrowText, y, Start) + 1
	y = s.state(st, b.state, narrowText, y, false) + 1
	y = s.write(n.faces.due, b.due, narrowText, y, Start)
	if mark := st.mark(); mark != "" {
		s.say(st.markFace(), mark, narrowText, y+5, Start)
		y = s.write(plainFace, b.why, narrowText, y+5+warnFace.step, Start)
	}
	return y - start - 13
}

func (n *narrowSheet) line() {
	var lengths []length
	for i, b := range n.blocks {
		if i == 0 && n.path.Stations[0].Kind != SupplyTap && n.path.Stations[0].Kind != Well {
			in := stretch{n.path.Stations[0].FlowLitresPerDay, math.NaN()}
			lengths = append(lengths, length{in, []Step{move(narrowLine, b.top), line(narrowLine, b.centre())}})
		}
		if i+1 < len(n.blocks) {
			end := n.blocks[i+1].centre()
			if n.path.Stations[i+1].Kind == Gun {
				end -= 8
			}
			lengths = append(lengths, length{n.path.between(i), []Step{move(narrowLine, b.centre()-seam), line(narrowLine, end)}})
		}
	}
	n.pipes(n.scale, lengths)
}

// drain turns off to the right below its station and falls beside its words.
func (n *narrowSheet) drain() {
	k := n.path.drainAt()
	if k < 0 {
		return
	}
	run, b := n.path.Drain.run(), n.blocks[k]
	half := run.span(n.scale) / 2
	x := narrowText - half - 10
	from := b.centre() + b.symbolH/2 - half - 4
	end := n.drainY + 22
	n.pipe(run, n.scale, []Step{
		move(narrowLine, from), curve(Point{x - 12, from}, Point{x, from + 8}, Point{x, from + 26}), line(x, end),
	})
	n.arrow(run, x, end, half)
	n.drainText(n.path, n.scale, narrowText+12, n.drainY+16, n.drainRoom(), Start)
	if k+1 < len(n.blocks) {
		n.rule(narrowText, n.width-narrowMargin, n.blocks[k+1].top)
	}
}

func (n *narrowSheet) stations() {
	for i, st := range n.path.Stations {
		var g sheet
		b := n.blocks[i]
		if n.style.link(st) != "" {
			g.add(Rect{X: 0, Y: b.top, W: n.width, H: b.height, Paint: Paint{Fill: Clear}})
		}
		if i+1 < len(n.path.Stations) && i != n.path.drainAt() {
			g.rule(narrowText, n.width-narrowMargin, b.top+b.height)
		}
		g.symbol(st, narrowLine, b.centre(), b.symbolW, b.symbolH, true)
		height := n.text(nil, st, b, 0)
		n.text(&g, st, b, b.centre()-height/2)
		if st.Suspect {
			g.bracket(6, n.width-6, b.top+5, b.top+b.height-5)
		}
		n.add(n.style.group(st, g.shapes))
	}
}
