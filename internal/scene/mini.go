package scene

import "math"

// miniHeight is the height of a path in a row of a list; a row is a 44 px target.
const miniHeight = 44.0

// mini draws the line with a vessel per station that is not simply fine and a
// tick per station that is: enough to tell sites apart and see where to look.
// The words are in the row beside it.
func (p Path) mini(style Style, width float64) Drawing {
	width = max(width, 24+20*float64(len(p.Stations)-1)) // vessels side by side
	var s sheet
	scale := p.flowScale(style, 12)
	const y = 18.0
	step := (width - 24) / math.Max(float64(len(p.Stations)-1), 1)
	at := func(i int) float64 { return 12 + float64(i)*step }
	for i := range len(p.Stations) - 1 {
		s.pipe(p.between(i), scale, []Step{move(at(i), y), line(at(i+1), y)})
	}
	if k := p.drainAt(); k >= 0 {
		run := p.Drain.run()
		x := at(k) + min(step/2, 12)
		s.pipe(run, scale, []Step{move(at(k), y), curve(Point{x, y}, Point{x, y + 4}, Point{x, y + 12}), line(x, miniHeight-4)})
	}
	for i, st := range p.Stations {
		s.miniStation(st, at(i), y)
	}
	return Drawing{Width: width, Height: miniHeight, Shapes: s.shapes}
}

func (s *sheet) miniStation(st Station, x, y float64) {
	if st.Suspect {
		s.bracket(x-10, x+10, y-14, y+14)
	}
	if st.State == Fine {
		s.line(x, y-9, x, y+9, Paint{Stroke: Ink, Width: 1.3})
		return
	}
	s.add(Rect{X: x - vesselWidth/2 - 3, Y: y - vesselHeight/2 - 3, W: vesselWidth + 6, H: vesselHeight + 6, Radius: 3, Paint: Paint{Fill: Paper}})
	s.vessel(st, x-vesselWidth/2, y+vesselHeight/2-3)
}
