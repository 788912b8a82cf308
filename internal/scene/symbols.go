package scene

import "math"

// The line weight of a symbol's outline, and of what is drawn inside it.
const (
	outlineWidth = 1.5
	textureWidth = 0.9
)

var (
	wall    = Paint{Stroke: Ink, Width: outlineWidth, Round: true}
	body    = Paint{Fill: Paper, Stroke: Ink, Width: outlineWidth, Round: true}
	texture = Paint{Stroke: Muted, Width: textureWidth}
	medium  = Paint{Stroke: Ink, Width: 1.2, Dash: []float64{4, 3}}
)

// symbol draws one station about a centre. Vessels stand upright whichever
// way the water runs; what has a direction (pump, membrane, tap) turns with it.
type symbol struct {
	*sheet
	x, y, w, h float64
	down       bool
	station    Station
}

// size gives the room of a symbol, w across the page and h down it, when
// water runs to the right. A phone shows it smaller.
func (k Kind) size() (w, h float64) {
	switch k {
	case SupplyTap:
		return 34, 34
	case Well:
		return 34, 104
	case SedimentFilter:
		return 32, 76
	case IronFilter, Carbon:
		return 42, 100
	case Softener:
		return 42, 100
	case BoosterPump, DeliveryPump:
		return 42, 42
	case Membrane:
		return 104, 44
	case Restrictor:
		return 30, 30
	case VentedTank:
		return 88, 116
	case PressurisedTank:
		return 60, 116
	case ResinLead, ResinLag:
		return 42, 110
	case Line:
		return 44, 34
	}
	return 66, 40
}

func (s *sheet) symbol(station Station, x, y, w, h float64, down bool) {
	g := symbol{sheet: s, x: x, y: y, w: w, h: h, down: down, station: station}
	switch station.Kind {
	case SupplyTap:
		g.tap()
	case Well:
		g.well()
	case SedimentFilter:
		g.filter()
	case IronFilter:
		g.bed(func(l, t, r, b float64) { g.grains(l, t, r, b, false) })
	case Carbon:
		g.bed(func(l, t, r, b float64) { g.grains(l, t, r, b, true) })
	case Softener:
		g.bed(func(l, t, r, b float64) { g.hatch(l, t, r, b, 7, false); g.hatch(l, t, r, b, 7, true) })
	case ResinLead, ResinLag:
		g.bed(func(l, t, r, b float64) { g.hatch(l, t, r, b, 7, true) })
	case BoosterPump, DeliveryPump:
		g.pump()
	case Membrane:
		g.membrane()
	case Restrictor:
		g.restrictor()
	case VentedTank:
		g.ventedTank()
	case PressurisedTank:
		g.pressurisedTank()
	case Line:
		g.hose()
	case Gun:
		g.gun()
	}
}

// at gives the point u along the water's way and v to its right hand.
func (g symbol) at(u, v float64) Point {
	if g.down {
		return Point{g.x - v, g.y + u}
	}
	return Point{g.x + u, g.y + v}
}

func (g symbol) shape(p Paint, closed bool, uv ...float64) {
	points := make([]Point, 0, len(uv)/2)
	for i := 0; i+1 < len(uv); i += 2 {
		points = append(points, g.at(uv[i], uv[i+1]))
	}
	g.add(Polyline{Points: points, Closed: closed, Paint: p})
}

// tap is a valve: two triangles tip to tip, with a hand wheel.
func (g symbol) tap() {
	r := g.h / 2
	g.shape(body, true, -r, -r, 0, 0, -r, r)
	g.shape(body, true, r, -r, 0, 0, r, r)
	g.shape(wall, false, 0, 0, 0, -r-5)
	g.shape(wall, false, -8, -r-5, 8, -r-5)
}

// well is a casing through the ground, slotted where the water stands.
func (g symbol) well() {
	half := 9.0
	if g.down {
		half = 14 // wider than the line that leaves it below
	}
	l, t, r, b := g.x-half, g.y-g.h*0.3, g.x+half, g.y+g.h/2
	ground := t + 9
	g.line(l-9, ground, l, ground, wall)
	g.line(r, ground, r+9, ground, wall)
	for _, x := range []float64{l - 7, l - 2.5, r + 4, r + 9} {
		g.line(x+4, ground, x, ground+5, texture)
	}
	g.add(Rect{X: l, Y: t, W: r - l, H: b - t, Paint: Paint{Fill: Paper}})
	g.add(Rect{X: l, Y: g.y, W: r - l, H: b - g.y, Paint: Paint{Fill: g.water()}})
	g.line(l, g.y, r, g.y, Paint{Stroke: Accent, Width: 1.5})
	g.line(l, t, l, b, wall)
	g.line(r, t, r, b, wall)
	g.line(l, t, r, t, wall)
	if g.down {
		g.line(l, b, r, b, wall)
	}
	for y := b - 4; y > g.y+8; y -= 6 {
		g.line(l-3, y, l+3, y, texture)
		g.line(r-3, y, r+3, y, texture)
	}
}

// water is the tint of what leaves the station.
func (g symbol) water() Role {
	if math.IsNaN(g.station.StrengthMicrosiemens) {
		return Fill
	}
	return tint(g.station.StrengthMicrosiemens)
}

// filter is a vessel with the medium dashed across the water's way.
func (g symbol) filter() {
	g.add(Rect{X: g.x - g.w/2, Y: g.y - g.h/2, W: g.w, H: g.h, Radius: 3, Paint: body})
	if g.down {
		g.line(g.x-g.w/2, g.y, g.x+g.w/2, g.y, medium)
		return
	}
	g.line(g.x, g.y-g.h/2, g.x, g.y+g.h/2, medium)
}

// bed is a domed pressure vessel, shaded to what is left, with a bed inside.
func (g symbol) bed(contents func(l, t, r, b float64)) {
	l, t, r, b := g.x-g.w/2, g.y-g.h/2, g.x+g.w/2, g.y+g.h/2
	dome := min(g.w/4, g.h/6)
	vessel := domed(l, t, r, b, dome)
	g.add(Outline{Steps: vessel, Paint: Paint{Fill: Paper}})
	top, bottom := t+dome, b-dome
	if left := g.station.Fill; left > 0 {
		level := bottom - left*(bottom-top)
		g.add(Rect{X: l, Y: level, W: g.w, H: bottom - level, Paint: Paint{Fill: Fill}})
	}
	contents(l+0.8, top, r-0.8, bottom)
	g.line(l, top, r, top, texture)
	g.line(l, bottom, r, bottom, texture)
	g.add(Outline{Steps: vessel, Paint: wall})
}

func domed(l, t, r, b, dome float64) []Step {
	k := dome * 1.33 // control points that make the dome as high as dome
	return []Step{
		move(l, t+dome), curve(Point{l, t + dome - k}, Point{r, t + dome - k}, Point{r, t + dome}),
		line(r, b-dome), curve(Point{r, b - dome + k}, Point{l, b - dome + k}, Point{l, b - dome}), shut(),
	}
}

// hatch fills a box with lines at 45 degrees, rising to the right or falling.
func (s *sheet) hatchWith(p Paint, l, t, r, b, gap float64, rising bool) {
	var steps []Step
	h := b - t
	for c := l - h + gap/2; c < r; c += gap {
		// From (c, bottom) to (c+h, top), cut at the sides.
		x1, x2 := max(c, l), min(c+h, r)
		if x2-x1 < 0.5 {
			continue
		}
		y1, y2 := b-(x1-c), b-(x2-c)
		if !rising {
			y1, y2 = t+(x1-c), t+(x2-c)
		}
		steps = append(steps, move(x1, y1), line(x2, y2))
	}
	if len(steps) > 0 {
		s.add(Outline{Steps: steps, Paint: p})
	}
}

func (g symbol) hatch(l, t, r, b, gap float64, rising bool) {
	g.hatchWith(texture, l, t, r, b, gap, rising)
}

// grains fills a box with staggered grains: solid for carbon, open for sand.
func (g symbol) grains(l, t, r, b float64, solid bool) {
	paint := Paint{Stroke: Muted, Width: 0.8}
	radius := 1.7
	if solid {
		paint = Paint{Fill: Muted}
		radius = 1.3
	}
	const gap = 7.0
	for j, y := 0, t+gap/2+0.5; y < b-2; j, y = j+1, y+gap {
		for x := l + 4 + float64(j%2)*gap/2; x < r-2; x += gap {
			g.add(Circle{X: x, Y: y, R: radius, Paint: paint})
		}
	}
}

// pump is a circle with a triangle that points the way the water goes.
func (g symbol) pump() {
	r := g.h / 2
	g.add(Circle{X: g.x, Y: g.y, R: r, Paint: body})
	a := r * 0.5
	c := math.Sqrt(r*r - a*a)
	g.shape(wall, false, -a, -c, r, 0, -a, c)
}

// membrane is a long module with the membrane across it.
func (g symbol) membrane() {
	along, across := g.w/2, g.h/2
	if g.down {
		along, across = across, along
	}
	g.add(Rect{X: g.x - g.w/2, Y: g.y - g.h/2, W: g.w, H: g.h, Radius: 5, Paint: body})
	g.shape(wall, false, -along, across, along, -across)
}

// restrictor is a throat: two wedges that narrow the line.
func (g symbol) restrictor() {
	r := g.h / 2
	g.shape(Paint{Fill: Paper}, true, -r, -r, r, -r, r, r, -r, r)
	g.add(Outline{Steps: g.throat(-r), Paint: wall})
	g.add(Outline{Steps: g.throat(r), Paint: wall})
}

func (g symbol) throat(side float64) []Step {
	from, in, to := g.at(-math.Abs(side), side), g.at(0, side*-0.35), g.at(math.Abs(side), side)
	return []Step{{Op: 'M', To: from}, curve(in, in, to)}
}

// ventedTank is open at the top, with its level and the float's two marks.
func (g symbol) ventedTank() {
	l, t, r, b := g.x-g.w/2, g.y-g.h/2, g.x+g.w/2, g.y+g.h/2
	g.add(Rect{X: l, Y: t, W: g.w, H: g.h, Paint: Paint{Fill: Paper}})
	height := g.h - 8
	if level := g.station.Fill; level >= 0 {
		top := b - level*height
		g.add(Rect{X: l, Y: top, W: g.w, H: b - top, Paint: Paint{Fill: g.water()}})
		g.line(l, top, r, top, Paint{Stroke: Accent, Width: 2})
	}
	for _, mark := range []float64{g.station.Stop, g.station.Start} {
		if mark > 0 {
			y := b - mark*height
			g.line(l-7, y, l+7, y, Paint{Stroke: Ink, Width: 1.2})
		}
	}
	g.add(Polyline{Points: []Point{{l, t}, {l, b}, {r, b}, {r, t}}, Paint: wall})
}

// pressurisedTank is a capsule; the diaphragm parts water below from air above.
func (g symbol) pressurisedTank() {
	l, t, r, b := g.x-g.w/2, g.y-g.h/2, g.x+g.w/2, g.y+g.h/2
	dome := g.w / 2.4
	capsule := domed(l, t, r, b, dome)
	top, bottom := t+dome, b-dome
	level := g.station.Fill
	middle := bottom - 0.5*(bottom-top)
	if level >= 0 {
		middle = bottom - level*(bottom-top)
	}
	sag := min(6, bottom-middle+dome/2)
	diaphragm := curve(Point{l + g.w/3, middle + sag}, Point{r - g.w/3, middle - sag}, Point{r, middle})
	g.add(Outline{Steps: capsule, Paint: Paint{Fill: Paper}})
	if level >= 0 {
		k := dome * 1.33
		g.add(Outline{Steps: []Step{
			move(l, middle), diaphragm, line(r, bottom),
			curve(Point{r, bottom + k}, Point{l, bottom + k}, Point{l, bottom}), shut(),
		}, Paint: Paint{Fill: g.water()}})
	}
	g.add(Outline{Steps: []Step{move(l, middle), diaphragm}, Paint: Paint{Stroke: Accent, Width: 1.8}})
	g.add(Outline{Steps: capsule, Paint: wall})
}

// hose is a run of line between two couplings.
func (g symbol) hose() {
	along := g.w / 2
	if g.down {
		along = g.h / 2
	}
	across := 17.0
	g.shape(wall, false, -along, -across, -along, across)
	g.shape(wall, false, along, -across, along, across)
	g.shape(wall, false, -along+4, -across, -along+4, across)
	g.shape(wall, false, along-4, -across, along-4, across)
}

// gunHandle is where the line ends, short of the gun's middle.
const gunHandle = 20.0

// gun is the trigger gun at the end of the path, with its spray.
func (g symbol) gun() {
	x, y := g.x-4, g.y
	g.add(Polyline{Closed: true, Paint: body, Points: []Point{
		{x - 18, y - 7}, {x + 12, y - 7}, {x + 12, y - 4}, {x + 19, y - 4}, {x + 19, y + 3}, {x + 12, y + 3}, {x + 2, y + 6}, {x - 4, y + 6}, {x - 9, y + 22}, {x - 20, y + 22}, {x - 16, y + 6}, {x - 18, y + 6},
	}})
	g.line(x-1, y+6, x-4, y+14, wall)
	spray := Paint{Stroke: Accent, Width: 1.4, Round: true, Dash: []float64{4, 3}}
	for _, dy := range []float64{-9, 0, 9} {
		g.line(x+23, y-0.5+dy*0.25, x+36, y-0.5+dy, spray)
	}
}
