package demand

import "math"

// tank is a Tank's state. Volumes in m³, flows in m³/s, times in s.
type tank struct {
	stop, start, cutOff, restart float64
	pump                         float64 // most it delivers
	valve                        bool    // the float throttles instead of switching

	// edges are the lower levels of slices with one make-up each, from full
	// down, and shares their part of makes; slice is where the level is.
	edges, shares []float64
	slice         int
	edge          int // that the level stands on, noEdge if on none

	level   float64
	carried float64 // rounding still owed to level
	since   float64 // level was true then
	calling bool    // the float calls for make-up
	pumping bool    // the low-level cut-off lets the pump run
	powered bool
	makes   float64 // today's make-up while called, with nothing against it
	left    float64 // share of it that interruptions leave
	able    float64 // what of it this level and they leave

	guns     int // open
	mostGuns int
	asked    float64 // sum of their flows
	drawn    float64 // what they get
	making   float64 // what flows in
	limited  bool    // the pump gives less than asked
	odd      bool    // or nothing at all
	net      float64 // making - drawn
	perFlow  float64 // 1 / net, where net is not 0

	mark    float64 // the level that is met next at this net flow
	meets   float64 // when
	reaches reach   // what happens then
}

// noEdge marks a level between the edges of its slice.
const noEdge = -1

// reach names the mark that the level meets.
type reach uint8

const (
	reachesStop reach = iota
	reachesStart
	reachesCutOff
	reachesRestart
	reachesUpper // edge of the slice
	reachesLower
)

func newTank(t Tank, back []BackPressure) tank {
	pump := float64(t.Pump)
	if pump == 0 {
		pump = math.Inf(1)
	}
	edges, shares := slicesOf(back, float64(t.Stop))
	return tank{
		stop: float64(t.Stop), start: float64(t.Start),
		cutOff: float64(t.CutOff), restart: float64(t.Restart),
		pump: pump, valve: t.Start == t.Stop,
		edges: edges, shares: shares, edge: noEdge,
		level: float64(t.Stop), pumping: true, powered: true, left: 1, meets: math.Inf(1),
	}
}

// pumps tells whether guns can have water.
func (t *tank) pumps() bool { return t.pumping && t.powered }

// reckon sets the make-up at this level, after a change of day, of slice or by
// an interruption.
func (t *tank) reckon() { t.able = t.makes * t.left * t.shares[t.slice] }

func (t *tank) open(flow float64) {
	t.guns++
	if t.guns > t.mostGuns {
		t.mostGuns = t.guns
	}
	t.asked += flow
}

func (t *tank) close(flow float64) {
	t.guns--
	t.asked -= flow
	if t.guns == 0 {
		t.asked = 0 // no rounding left behind
	}
}

// draw returns what the guns get.
func (t *tank) draw() float64 {
	if !t.pumps() {
		return 0
	}
	return min(t.asked, t.pump)
}

// balance sets the flows and the mark that the level moves to.
func (t *tank) balance() {
	drawn := t.asked
	t.odd, t.limited = false, false
	if drawn > t.pump {
		drawn, t.limited, t.odd = t.pump, true, true
	}
	if !(t.pumping && t.powered) {
		drawn, t.limited, t.odd = 0, false, true
	}
	making := 0.0
	switch {
	case t.edge != noEdge && t.leaveEdge(drawn):
		making = drawn
	case t.calling:
		making = t.able
	case t.valve:
		making = drawn // pinned at full
	}
	net := making - drawn
	t.drawn, t.making = drawn, making
	switch {
	case net > 0:
		if net < 1e-12*(making+drawn) {
			net = 0 // equal but for rounding
		}
		t.mark, t.reaches = t.stop, reachesStop
		if !t.pumping {
			t.mark, t.reaches = t.restart, reachesRestart
		}
	case t.calling:
		if -net < 1e-12*(making+drawn) {
			net = 0
		}
		t.mark, t.reaches = t.cutOff, reachesCutOff
	default:
		t.mark, t.reaches = t.start, reachesStart
	}
	t.net = net
	if len(t.edges) > 1 {
		t.nearEdge()
	}
}

// nearEdge sets the mark to the edge of the slice if that comes first.
func (t *tank) nearEdge() {
	if t.net > 0 && t.slice > 0 && t.edges[t.slice-1] < t.mark {
		t.mark, t.reaches = t.edges[t.slice-1], reachesUpper
	}
	if t.net < 0 && t.edges[t.slice] > t.mark {
		t.mark, t.reaches = t.edges[t.slice], reachesLower
	}
}

// leaveEdge picks the slice that the level moves into from the edge it stands
// on. It reports true when neither will have it: make-up above the edge is less
// than the draw and below it more, so the level stays and make-up is the draw.
func (t *tank) leaveEdge(drawn float64) bool {
	above, below := t.edge, t.edge+1
	full := 0.0
	if t.calling {
		full = t.makes * t.left
	}
	switch {
	case full*t.shares[above] > drawn:
		t.slice = above
	case full*t.shares[below] < drawn || full == 0:
		t.slice = below
	default:
		t.slice = below
		t.reckon()
		return true
	}
	t.reckon()
	return false
}
