package demand

import "math"

// levels is the time a tank spends below each of a row of levels, by hour of
// the day. A stretch in which the level moves from a to b at constant speed
// spends below x the time dt·clamp((x-a)/(b-a), 0, 1): a straight line with two
// kinks. Only the kinks are kept, at the level above each, so that a stretch
// costs four additions however far it reaches; the sums are made once at the
// end and are exact at every level of the row.
type levels struct {
	full, width, perWidth float64 // m³, m³ between two levels, levels per m³
	rows                  [levelRows][bins + 2]kink
}

const (
	bins      = 128
	closedRow = 24 // days without demand
	levelRows = 25
)

// kink is what begins at a level: seconds at once, and seconds per level from
// there up.
type kink struct{ step, slope float64 }

func newLevels(full float64) *levels {
	return &levels{full: full, width: full / bins, perWidth: bins / full}
}

// add books a stretch of dt from level a to level b; perFlow is dt/(b-a).
func (l *levels) add(row int, a, b, dt, perFlow float64) {
	r := &l.rows[row]
	if !(math.Abs(b-a) > 1e-9*l.width) {
		r[l.above(a)].step += dt
		return
	}
	slope := perFlow * l.width // s per level, up from a to b
	l.begin(r, a, slope)
	l.begin(r, b, -slope)
}

// begin adds a slope from level x up.
func (l *levels) begin(r *[bins + 2]kink, x, slope float64) {
	k := l.above(x)
	at := &r[k]
	at.step += slope * (float64(k) - x*l.perWidth)
	at.slope += slope
}

// above returns the first level of the row strictly above x: water that stands
// at a level is not below it.
func (l *levels) above(x float64) int {
	if x >= l.full {
		return bins + 1
	}
	return max(int(x*l.perWidth)+1, 0)
}

// sums returns, for each row, the seconds below each level, and last the
// seconds in all.
func (l *levels) sums() [levelRows][bins + 2]float64 {
	var below [levelRows][bins + 2]float64
	for i := range l.rows {
		sum, slope := 0.0, 0.0
		for k, at := range l.rows[i] {
			sum += slope + at.step
			slope += at.slope
			below[i][k] = max(sum, 0)
		}
	}
	return below
}
