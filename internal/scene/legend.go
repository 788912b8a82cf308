package scene

import "math"

// key is one entry of a legend: how wide it is, and how it is drawn from x at
// the middle line y.
type key struct {
	width float64
	below float64 // room it takes under the middle line
	draw  func(s *sheet, x, y float64)
}

var keyFace = face{size: 12, weight: 400, step: 15, tone: Muted}

// legend draws the entries from left to right, on as many rows as they take,
// and gives the y below.
func (s *sheet) legend(p Path, scale flowScale, left, y, right float64) float64 {
	x, below := left, 0.0
	for _, k := range p.keys(scale) {
		if x > left && x+k.width > right {
			x, y, below = left, y+below+22, 0
		}
		k.draw(s, x, y)
		x += k.width + 30
		below = max(below, k.below)
	}
	return y + below
}

func (p Path) keys(scale flowScale) []key {
	var keys []key
	if litres, words := scale.sample(); litres > 0 {
		keys = append(keys, widthKey(scale, litres, words))
	}
	keys = append(keys, tintKey(), vesselKey())
	if p.hasFloat() {
		keys = append(keys, floatKey())
	}
	unknown, empty := p.oddRuns()
	if unknown {
		keys = append(keys, runKey(stretch{math.NaN(), math.NaN()}, scale, "dashed: not known"))
	}
	if empty {
		keys = append(keys, runKey(stretch{0, 0}, scale, "thin: no flow"))
	}
	return keys
}

// oddRuns says whether any run is not known, and whether any is empty.
func (p Path) oddRuns() (unknown, empty bool) {
	see := func(r stretch) {
		odd := math.IsNaN(r.litresPerDay) || math.IsNaN(r.microsiemens)
		unknown = unknown || odd && r.litresPerDay != 0
		empty = empty || r.litresPerDay == 0
	}
	for i := range len(p.Stations) - 1 {
		see(p.between(i))
	}
	if p.Drain != nil {
		see(p.Drain.run())
	}
	return unknown, empty
}

func (p Path) hasFloat() bool {
	for _, s := range p.Stations {
		if s.Kind == VentedTank && s.Stop > 0 && s.Start > 0 {
			return true
		}
	}
	return false
}

func floatKey() key {
	words := "float: upper mark stops, lower starts"
	return key{width: 22 + keyFace.width(words), below: 8, draw: func(s *sheet, x, y float64) {
		s.line(x+7, y-8, x+7, y+8, wall)
		s.line(x, y-4, x+14, y-4, Paint{Stroke: Ink, Width: 1.2})
		s.line(x, y+4, x+14, y+4, Paint{Stroke: Ink, Width: 1.2})
		s.say(keyFace, words, x+22, y+4, Start)
	}}
}

func widthKey(scale flowScale, litres float64, words string) key {
	words = "width: " + words
	return key{width: 40 + 8 + keyFace.width(words), below: scale.width(litres)/2 + 4, draw: func(s *sheet, x, y float64) {
		s.pipe(stretch{litres, 30}, scale, []Step{move(x, y), line(x+40, y)})
		s.say(keyFace, words, x+48, y+4, Start)
	}}
}

func runKey(run stretch, scale flowScale, words string) key {
	return key{width: 40 + 8 + keyFace.width(words), below: 8, draw: func(s *sheet, x, y float64) {
		s.pipe(run, scale, []Step{move(x, y), line(x+40, y)})
		s.say(keyFace, words, x+48, y+4, Start)
	}}
}

// tintKey shows the nine tints with the strengths where they change.
func tintKey() key {
	const cell, high = 16.0, 10.0
	words := "tint: µS/cm at 25 °C"
	small := face{size: 11, weight: 400, step: 13, tone: Muted}
	return key{width: tints*cell + 10 + keyFace.width(words), below: 22, draw: func(s *sheet, x, y float64) {
		for i := range tints {
			s.add(Rect{X: x + float64(i)*cell, Y: y - high/2, W: cell, H: high, Paint: Paint{Fill: Water(i + 1)}})
		}
		s.add(Rect{X: x, Y: y - high/2, W: tints * cell, H: high, Paint: Paint{Stroke: Muted, Width: edge}})
		for i, label := range []string{"1", "10", "100", "1,000"} {
			at := x + float64(2+2*i)*cell
			s.line(at, y+high/2, at, y+high/2+3, Paint{Stroke: Muted, Width: edge})
			s.say(small, label, at, y+high/2+14, Middle)
		}
		s.say(keyFace, words, x+tints*cell+10, y+4, Start)
	}}
}

func vesselKey() key {
	words := "what is left"
	return key{width: vesselWidth + 8 + keyFace.width(words), below: 8, draw: func(s *sheet, x, y float64) {
		s.vessel(Station{State: Fine, Fill: 0.6, Kind: ResinLead}, x, y+4)
		s.say(keyFace, words, x+vesselWidth+8, y+4, Start)
	}}
}
