package faults

import "math"

// Cause is one row of the table of what may be wrong: its number is the trade
// table's.
type Cause struct {
	Number  int
	Name    string
	Station string // where on the path: "membrane", "resin", "tank", ...
	Nothing bool   // nothing is wrong with the kit

	shows  bool // whether any reading shows it; else only words do
	weight func(*Case) float64
	forms  func(*Case) []form
}

// form is one way in which a cause comes: which housing leaks, which bay takes
// in tap water, whether the feed grew stronger or weaker.
type form struct {
	says   string
	weight float64
	change func(s *state, x float64) // x is the severity, from 0 (hardly) to 1 (ruin)
	told   bool                      // it moves what readings tell directly, so that today's conditions are found anew
}

// one is a cause that comes in one form.
func one(change func(s *state, x float64)) func(*Case) []form {
	return func(*Case) []form { return []form{{"", 1, change, false}} }
}

// told is a cause in one form that moves what readings tell directly.
func told(change func(s *state, x float64)) func(*Case) []form {
	return func(*Case) []form { return []form{{"", 1, change, true}} }
}

// rising goes from low to high as severity does, by ratio.
func rising(x, low, high float64) float64 { return low * math.Pow(high/low, x) }

// Causes returns the 48 in the order of their numbers.
func Causes() []Cause { return append([]Cause{}, causes...) }

// CauseOf returns the cause of a number.
func CauseOf(number int) (Cause, bool) {
	for _, c := range causes {
		if c.Number == number {
			return c, true
		}
	}
	return Cause{}, false
}
