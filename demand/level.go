package demand

import "math"

// tank is a Tank's state. Volumes in m³, flows in m³/s, times in s.
type tank struct {
	stop, start, cutOff, restart float64
	pump                         float64 // most it delivers
	valve                        bool    // the float throttles instead of switching

	level   float64
	carried float64 // rounding still owed to level
	since   float64 // level was true then
	calling bool    // the float calls for make-up
	pumping bool    // the low-level cut-off lets the pump run
	makes   float64 // today's make-up while called

	guns    int     // open
	asked   float64 // sum of their flows
	drawn   float64 // what they get
	making  float64 // what flows in
	limited bool    // the pump gives less than asked
	net     float64 // making - drawn
	perFlow float64 // 1 / net, where net is not 0

	mark    float64 // the level that is met next at this net flow
	meets   float64 // when
	reaches reach   // what happens then
}

// reach names the mark that the level meets.
type reach uint8

const (
	reachesStop reach = iota
	reachesStart
	reachesCutOff
	reachesRestart
)

func newTank(t Tank) tank {
	pump := float64(t.Pump)
	if pump == 0 {
		pump = math.Inf(1)
	}
	return tank{
		stop: float64(t.Stop), start: float64(t.Start),
		cutOff: float64(t.CutOff), restart: float64(t.Restart),
		pump: pump, valve: t.Start == t.Stop,
		level: float64(t.Stop), pumping: true, meets: math.Inf(1),
	}
}

func (t *tank) open(flow float64) {
	t.guns++
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
	if !t.pumping {
		return 0
	}
	return min(t.asked, t.pump)
}

// balance sets the flows and the mark that the level moves to.
func (t *tank) balance() {
	t.drawn = t.draw()
	t.limited = t.pumping && t.asked > t.pump
	switch {
	case t.calling:
		t.making = t.makes
	case t.valve:
		t.making = t.drawn // pinned at full
	default:
		t.making = 0
	}
	t.net = t.making - t.drawn
	if math.Abs(t.net) < 1e-12*(t.making+t.drawn) {
		t.net = 0 // equal but for rounding
	}
	switch {
	case t.net > 0 && !t.pumping:
		t.mark, t.reaches = t.restart, reachesRestart
	case t.net > 0:
		t.mark, t.reaches = t.stop, reachesStop
	case t.calling:
		t.mark, t.reaches = t.cutOff, reachesCutOff
	default:
		t.mark, t.reaches = t.start, reachesStart
	}
}
