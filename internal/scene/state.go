package scene

import (
	"math"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Size of the vessel that stands beside a state, and its distance from the word.
const (
	vesselWidth  = 11.0
	vesselHeight = 15.0
	vesselGap    = 6.0
)

// wording gives the state in words, with what more is known about it. A word that
// already begins with the state is not said twice.
func (s Station) wording() string {
	if s.Plain != "" {
		return s.Plain
	}
	state := s.stateWord
	if state == "" {
		state = s.State.String()
	}
	switch {
	case s.Word == "":
		return state
	case strings.HasPrefix(strings.ToLower(s.Word), state):
		return s.Word
	case s.State == Due && startsWithDigit(s.Word):
		return state + " " + s.Word
	}
	return state + " · " + s.Word
}

// worded gives every station the word of its state in the reader's language.
func (p Path) worded(style Style) Path {
	if style.Say == nil {
		return p
	}
	stations := make([]Station, len(p.Stations))
	for i, s := range p.Stations {
		s.stateWord = style.Say(s.State.String())
		stations[i] = s
	}
	p.Stations = stations
	return p
}

func startsWithDigit(s string) bool {
	r, _ := utf8.DecodeRuneInString(s)
	return unicode.IsDigit(r)
}

// stateFace is how the wording is set: rust only when it needs a person today.
func (s Station) stateFace() face {
	f := face{size: 13, weight: 600, step: 17, tone: Ink}
	if s.Plain != "" {
		return f
	}
	switch s.State {
	case Today:
		f.tone = Rust
	case NotKnown:
		f.weight, f.tone = 400, Muted
	case Fine:
		f.weight = 400
	}
	return f
}

// hasVessel says whether the state shows a vessel. A pump has nothing that is
// left, so its word stands alone unless nothing is known.
func (s Station) hasVessel() bool {
	return s.Plain == "" && (s.State == NotKnown || s.Kind.usesUp() || !math.IsNaN(s.Fill))
}

// vesselRoom is the room the vessel takes before the word.
func (s Station) vesselRoom() float64 {
	if !s.hasVessel() {
		return 0
	}
	return vesselWidth + vesselGap
}

// vessel draws the open vessel filled to what is left, or empty with "?".
// x is its left side and y the baseline of the word beside it.
func (s *sheet) vessel(st Station, x, y float64) {
	tone := st.stateFace().tone
	l, t, r, b := x, y-vesselHeight+3, x+vesselWidth, y+3
	known := st.State != NotKnown && !math.IsNaN(st.Fill)
	if known && st.Fill > 0 {
		h := (vesselHeight - 1) * st.Fill
		s.add(Rect{X: l + 1, Y: b - h, W: vesselWidth - 2, H: h, Paint: Paint{Fill: tone}})
	}
	s.add(Polyline{Points: []Point{{l, t}, {l, b}, {r, b}, {r, t}}, Paint: Paint{Stroke: tone, Width: 1.3, Round: true}})
	if !known {
		s.say(face{size: 10.5, weight: 600, step: 12, tone: tone}, "?", (l+r)/2, b-3.2, Middle)
	}
}

// state draws vessel and wording, centred on x or starting there, and gives
// the baseline below.
func (s *sheet) state(st Station, list []row, x, y float64, centred bool) float64 {
	f := st.stateFace()
	if centred {
		x -= (st.vesselRoom() + f.widest(list)) / 2
	}
	if st.hasVessel() {
		s.vessel(st, x, y)
	}
	return s.write(f, list, x+st.vesselRoom(), y, Start)
}
