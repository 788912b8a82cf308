package scene

import "math"

// stretch is a run of line that carries one flow of one strength.
type stretch struct {
	litresPerDay, microsiemens float64
}

// edge is how far the outline of a line stands out on each side; it keeps
// the palest water in sight on paper.
const edge = 0.8

// seam is how far a run reaches back over the one before, so that no gap shows.
const seam = 0.6

// length is a run of line and where it lies.
type length struct {
	stretch
	steps []Step
}

// pipe draws one length of line.
func (s *sheet) pipe(run stretch, scale flowScale, steps []Step) {
	s.pipes(scale, []length{{run, steps}})
}

// pipes draws lengths of line: all outlines first, then the water inside, so
// that none shows across another. A flow of 0 is an empty line, a flow or
// strength that is not known has a dashed core.
func (s *sheet) pipes(scale flowScale, lengths []length) {
	for _, l := range lengths {
		s.add(Outline{Steps: l.steps, Paint: Paint{Stroke: Muted, Width: l.span(scale)}})
	}
	for _, l := range lengths {
		width := l.span(scale) - 2*edge
		switch {
		case l.litresPerDay == 0:
		case math.IsNaN(l.litresPerDay) || math.IsNaN(l.microsiemens):
			s.add(Outline{Steps: l.steps, Paint: Paint{Stroke: Paper, Width: width}})
			s.add(Outline{Steps: l.steps, Paint: Paint{Stroke: Muted, Width: 1.2, Dash: []float64{5, 4}}})
		default:
			s.add(Outline{Steps: l.steps, Paint: Paint{Stroke: tint(l.microsiemens), Width: width}})
		}
	}
}

// unknownWidth is the width of a line whose flow is not known.
const unknownWidth = 8.0

// span is how wide a run is drawn, outline included.
func (run stretch) span(scale flowScale) float64 {
	switch {
	case run.litresPerDay == 0:
		return 1
	case math.IsNaN(run.litresPerDay):
		return unknownWidth + 2*edge
	}
	return scale.width(run.litresPerDay) + 2*edge
}

// between gives the run from station i to the next: what enters the next, as
// strong as what leaves this one.
func (p Path) between(i int) stretch {
	flow := p.Stations[len(p.Stations)-1].FlowLitresPerDay
	if i+1 < len(p.Stations) {
		flow = p.Stations[i+1].FlowLitresPerDay
	}
	return stretch{flow, p.Stations[i].StrengthMicrosiemens}
}

func (d Drain) run() stretch { return stretch{d.LitresPerDay, d.StrengthMicrosiemens} }

// arrow ends a run that falls: its head starts at x, y in the run's own tint.
func (s *sheet) arrow(run stretch, x, y, half float64) {
	wing := max(half+4, 6)
	tone := Muted
	if run.litresPerDay > 0 && !math.IsNaN(run.microsiemens) {
		tone = tint(run.microsiemens)
	}
	s.add(Polyline{
		Points: []Point{{x - wing, y}, {x + wing, y}, {x, y + wing*1.2}}, Closed: true,
		Paint: Paint{Fill: tone, Stroke: Muted, Width: edge, Round: true},
	})
}
