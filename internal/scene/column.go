package scene

// column is the room of one station on a wide path, and its texts as wrapped.
type column struct {
	left, width         float64
	name, read, due     []row
	state               []row
	symbolW, symbolH    float64
	desiredW, smallestW float64
}

func (c column) centre() float64 { return c.left + c.width/2 }
func (c column) right() float64  { return c.left + c.width }

// faces are the type sizes of a path.
type faces struct{ name, read, due face }

// facesFor sets a long path a little smaller; never under 12 units.
func facesFor(stations int) faces {
	f := faces{
		name: face{size: 13, weight: 400, step: 16, tone: Muted},
		read: face{size: 15, weight: 600, step: 20, tone: Ink},
		due:  face{size: 12.5, weight: 400, step: 16, tone: Muted},
	}
	if stations > 10 {
		f.name.size, f.read.size, f.due.size = 12, 13.5, 12
		f.name.step, f.read.step, f.due.step = 15, 18, 15
	}
	return f
}

const (
	columnAir   = 14.0 // between the texts of neighbours
	nameLines   = 3
	readLines   = 8
	stateLines  = 4
	dueLines    = 6
	widestText  = 176.0
	smallestCol = 56.0
)

// columns shares the width from left to right among the stations by what they
// have to say. extra holds room that
// is kept free to the right of a column, for the drain.
func (p Path) columns(f faces, left, right float64, extra []float64) []column {
	cols := make([]column, len(p.Stations))
	available := right - left
	for i, s := range p.Stations {
		cols[i].desiredW, cols[i].smallestW = s.room(f)
		available -= extra[i]
	}
	x, share := left, sharer(cols, available)
	for i := range cols {
		cols[i].left = x
		cols[i].width = share(cols[i])
		x += cols[i].width + extra[i]
		cols[i].fit(p.Stations[i], f)
	}
	return cols
}

// sharer gives the width of a column. With room to spare, columns with less to
// say are raised to one level, so that stations stand as evenly as they can;
// without, those with more to say are held down to one level, though not
// below their longest words unless even these do not fit. The drawing is
// always wide enough for each to have smallestCol.
func sharer(cols []column, available float64) func(column) float64 {
	desired, smallest := 0.0, 0.0
	for _, c := range cols {
		desired += c.desiredW
		smallest += c.smallestW
	}
	var at func(c column, level float64) float64
	switch {
	case desired <= available:
		at = func(c column, level float64) float64 { return max(c.desiredW, level) }
	case smallest < available:
		at = func(c column, level float64) float64 { return max(c.smallestW, min(c.desiredW, level)) }
	default:
		at = func(c column, level float64) float64 { return max(smallestCol+columnAir, min(c.smallestW, level)) }
	}
	low, high := 0.0, available
	for range 60 {
		middle, total := (low+high)/2, 0.0
		for _, c := range cols {
			total += at(c, middle)
		}
		if total > available {
			high = middle
		} else {
			low = middle
		}
	}
	return func(c column) float64 { return at(c, low) }
}

// room gives the width a station would like and the least it can do with.
func (s Station) room(f faces) (desired, smallest float64) {
	w, _ := s.Kind.size()
	sf := s.stateFace()
	word := max(f.name.longestWord(s.Name), f.read.longestWord(s.Read...), f.due.longestWord(s.Due...), sf.longestWord(s.wording())+s.vesselRoom())
	desired = max(w, word, f.name.halved(s.Name), sf.width(s.wording())+s.vesselRoom())
	if s.Stop > 0 || s.Start > 0 {
		desired = max(desired, w+68) // the words beside the float's marks
	}
	for _, t := range s.Read {
		desired = max(desired, f.read.width(t))
	}
	for _, t := range s.Due {
		desired = max(desired, f.due.halved(t))
	}
	desired = min(desired, widestText) + columnAir
	return desired, max(min(w*0.7, 64), min(word, 84), smallestCol) + columnAir
}

// fit wraps the texts to the column and scales the symbol to it.
func (c *column) fit(s Station, f faces) {
	room := c.width - columnAir
	c.name = f.name.wrap(s.Name, room, nameLines)
	c.read = f.read.wrapAll(s.Read, room, 3, readLines)
	c.state = s.stateFace().wrap(s.wording(), room-s.vesselRoom(), stateLines)
	c.due = f.due.wrapAll(s.Due, room, 3, dueLines)
	c.symbolW, c.symbolH = s.Kind.size()
	c.symbolW = min(c.symbolW, c.width-10)
}
