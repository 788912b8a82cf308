package scene

import (
	"fmt"
	"math"
	"strings"
)

// Profile is what changes along a row of housings, feed end first: one panel
// under another on a common length, each with its own scale, so that no colour
// has to tell them apart.
type Profile struct {
	Title, Note string
	Along       string    // what the length is, "along the membrane"
	Unit        string    // of the length
	Places      []float64 // rising
	Ends        []float64 // where one element ends and the next begins
	Panels      []Panel
}

// Panel is one quantity along the length.
type Panel struct {
	Name, Unit string
	Values     []float64 // one for each place; NaN is not known
	Limit      float64   // a level to keep to; NaN for none
	LimitName  string
	FromZero   bool
}

// Limits of a profile.
const (
	panelHeight = 92.0
	mostPlaces  = 2000
	mostPanels  = 6
)

// Draw draws the profile at a width of 240 to 2000 units; 0 is 520. The error
// wraps [ErrChart] for panels that do not fit the places, more than six panels
// or 2000 places, places that do not rise, or a number past all use.
func (p Profile) Draw(width float64) (Drawing, error) {
	width, err := chartWidth(width, 520)
	if err == nil {
		err = p.check()
	}
	if err != nil {
		return Drawing{}, fmt.Errorf("draw profile: %w", err)
	}
	s := profileSheet{profile: p, width: width}
	y := s.heading(p.Title, p.Note, width) + 8
	s.measure()
	for _, panel := range p.Panels {
		y = s.panel(panel, y)
	}
	y = s.foot(y)
	return Drawing{Width: width, Height: math.Ceil(y + 10), Title: or(tidy(p.Title), "Along the membrane"), Desc: p.spoken(), Shapes: s.shapes}, nil
}

func (p Profile) check() error {
	if n := len(p.Places); n < 2 || n > mostPlaces {
		return fmt.Errorf("%d places, want 2 to %d: %w", n, mostPlaces, ErrChart)
	}
	if n := len(p.Panels); n < 1 || n > mostPanels {
		return fmt.Errorf("%d panels, want 1 to %d: %w", n, mostPanels, ErrChart)
	}
	if !reading(p.Places...) || !reading(p.Ends...) {
		return fmt.Errorf("a place is past all use: %w", ErrChart)
	}
	for i := 1; i < len(p.Places); i++ {
		if !(p.Places[i] > p.Places[i-1]) {
			return fmt.Errorf("place %g after %g: %w", p.Places[i], p.Places[i-1], ErrChart)
		}
	}
	for _, panel := range p.Panels {
		if len(panel.Values) != len(p.Places) || !reading(panel.Values...) || !reading(panel.Limit) {
			return fmt.Errorf("panel %q does not fit its places: %w", panel.Name, ErrChart)
		}
	}
	return nil
}

type profileSheet struct {
	sheet
	profile     Profile
	width       float64
	left, right float64
	x           axis
}

// measure leaves room for the widest tick of any panel, so that all share one
// length.
func (s *profileSheet) measure() {
	widest := 0.0
	for _, panel := range s.profile.Panels {
		y := panel.axis(0, panelHeight)
		for _, v := range y.ticks() {
			widest = max(widest, tickFace.width(y.words(v)))
		}
	}
	s.left, s.right = chartPad+widest+10, s.width-chartPad-6
	places := s.profile.Places
	s.x = newAxis(0, places[len(places)-1], s.left, s.right, 6)
	s.x.high = places[len(places)-1]
	if ends := s.profile.Ends; len(ends) > 0 {
		s.x.high = max(s.x.high, ends[len(ends)-1])
	}
}

func (p Panel) axis(top, bottom float64) axis {
	low, high := math.Inf(1), math.Inf(-1)
	see := func(v float64) {
		if !math.IsNaN(v) {
			low, high = min(low, v), max(high, v)
		}
	}
	for _, v := range p.Values {
		see(v)
	}
	see(p.Limit)
	if p.FromZero {
		see(0)
	}
	if !(low <= high) {
		low, high = 0, 1
	}
	return newAxis(low, high, bottom, top, 3)
}

func (s *profileSheet) panel(p Panel, y float64) float64 {
	title := tidy(p.Name)
	if unit := tidy(p.Unit); unit != "" {
		title += ", " + unit
	}
	y = s.write(chartLabel, chartLabel.wrap(title, airy*(s.width-2*chartPad), 1), chartPad, y+14, Start)
	top := y - 6
	bottom := top + panelHeight
	axis := p.axis(top, bottom)
	for _, v := range axis.ticks() {
		at := axis.place(v)
		s.rule(s.left, s.right, at)
		s.say(tickFace, axis.words(v), s.left-8, at+4, End)
	}
	for _, end := range s.profile.Ends {
		if x := s.x.place(end); x < s.right-1 {
			s.line(x, top, x, bottom, Paint{Stroke: Muted, Width: 0.8, Dash: []float64{2, 3}})
		}
	}
	if !math.IsNaN(p.Limit) {
		at := axis.place(p.Limit)
		s.line(s.left, at, s.right, at, promisePaint)
	}
	s.trace(p, axis)
	if !math.IsNaN(p.Limit) && p.LimitName != "" {
		words := tidy(p.LimitName) + " " + valued(p.Limit, tidy(p.Unit))
		y := s.write(keyFace, keyFace.wrap(words, airy*(s.width-2*chartPad-30), 1), chartPad+30, bottom+18, Start)
		s.line(chartPad, bottom+14, chartPad+22, bottom+14, promisePaint)
		return y - 4
	}
	return bottom + 8
}

// trace draws the unbroken runs of known values.
func (s *profileSheet) trace(p Panel, y axis) {
	var run []Point
	flush := func() {
		if len(run) > 1 {
			s.add(Polyline{Points: run, Paint: modelPaint})
		}
		run = nil
	}
	for i, v := range p.Values {
		if math.IsNaN(v) {
			flush()
			continue
		}
		run = append(run, Point{s.x.place(s.profile.Places[i]), y.place(v)})
	}
	flush()
}

func (s *profileSheet) foot(y float64) float64 {
	for _, v := range s.x.ticks() {
		if v <= s.x.high*(1+1e-9) {
			s.say(tickFace, s.x.words(v), s.x.place(v), y+8, Middle)
		}
	}
	words := strings.TrimSpace(tidy(s.profile.Along) + ", " + tidy(s.profile.Unit))
	return s.write(chartNote, chartNote.wrap(strings.Trim(words, ", "), airy*(s.right-s.left), 1), s.left, y+28, Start) - 12
}

func (p Profile) spoken() string {
	var b strings.Builder
	n := len(p.Places)
	for _, panel := range p.Panels {
		fmt.Fprintf(&b, "%s from %s at the feed end to %s at the concentrate end; ", tidy(panel.Name), valued(panel.Values[0], panel.Unit), valued(panel.Values[n-1], panel.Unit))
	}
	fmt.Fprintf(&b, "%d elements.", max(len(p.Ends), 1))
	return b.String()
}
