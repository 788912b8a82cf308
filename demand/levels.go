package demand

// levels is the time a tank spends below each of a row of levels, by hour of
// the day. A stretch in which the level moves from a to b at constant speed
// spends below x the time dt·clamp((x-a)/(b-a), 0, 1): a straight line with two
// kinks. Only the kinks are kept, at the level above each, so that a stretch
// costs two additions however far it reaches; the sums are made once at the
// end and are exact at every level of the row.
type levels struct {
	full, width, perWidth float64 // m³, m³ between two levels, levels per m³
	slope                 float64 // of the stretch under way
	still                 float64 // m³/s, a flow that moves the level by nothing that counts in an hour
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
	return &levels{full: full, width: full / bins, perWidth: bins / full, still: 1e-9 * full / bins / hour}
}

// turn books that from level x on the level moves at another slope, in seconds
// per level of the row and up the row: one kink ends the last slope and begins
// the next. Slope 0 is a level at rest, whose time is booked by stand.
func (l *levels) turn(row int, x, slope float64) {
	change := slope - l.slope
	if change == 0 {
		return
	}
	l.slope = slope
	k := l.above(x)
	at := &l.rows[row][k]
	at.step += change * (float64(k) - x*l.perWidth)
	at.slope += change
}

// stand books a stretch of dt at rest on a level.
func (l *levels) stand(row int, x, dt float64) { l.rows[row][l.above(x)].step += dt }

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
