package service

// NoticeKind is what a utility announces.
type NoticeKind string

// The announcements that a tracker heeds.
const (
	FreeWeeks NoticeKind = "free chlorine" // in place of chloramine, for some weeks
	NewSource NoticeKind = "new source"    // the water is another from that day
)

// Notice is what a utility announced. Until is the last day of weeks of free
// chlorine.
type Notice struct {
	Kind        NoticeKind
	From, Until Day
}

// newSource is one standard deviation of what another source does to strength,
// alkalinity and silica, logarithms, and to pH. Source: [Memory].
const newSource = 0.35

// notice takes what was announced. Another source makes room for another water
// on the day of the entry that tells of it.
func (t *tracker) notice(n Notice) {
	switch n.Kind {
	case FreeWeeks:
		t.free = append(t.free[:len(t.free):len(t.free)], n)
	case NewSource:
		for _, at := range []int{atStrength, atAlkalinity, atSilica, atPH} {
			t.wander(at, newSource, 1)
		}
	}
}

// chlorineUse is how much the chlorine of a day uses carbon up, over what a test
// of total chlorine shows.
func (t *tracker) chlorineUse(day float64) float64 {
	for _, n := range t.free {
		if float64(n.From) <= day && day < float64(n.Until)+1 {
			return 1
		}
	}
	return max(t.o.ChlorineUse, 1)
}

// isChloramine says whether a day's chlorine is mostly bound.
func (t *tracker) isChloramine(day float64) bool { return t.chlorineUse(day) > 1.5 }
