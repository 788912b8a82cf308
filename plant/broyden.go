package plant

import "math"

// most is how many flows and pressures of a rig may be unknown at once.
const most = 5

type vector [most]float64

// system is a few equations in as many unknowns. Residuals are scaled so that
// 1 is far off and 1e-7 is settled.
type system struct {
	n     int
	at    func(x *vector) (residual vector, ok bool)
	scale vector // usual size of each unknown
	low   vector
	high  vector
}

// Limits of the search.
const (
	broydenSteps  = 40
	broydenShort  = 6 // halvings of a step that leads nowhere
	broydenProbe  = 1e-4
	broydenFinish = 1e-7
)

// solve moves x to where all residuals are below broydenFinish: Newton's method
// with a matrix found once by trying and then kept up by Broyden's rank-one
// update. ok says whether it got there; a search by bracket is the certainty
// behind it.
func (s *system) solve(x *vector) (ok bool) {
	r, ok := s.at(x)
	if !ok {
		return false
	}
	var j [most]vector // j[row][column]
	fresh := 0
	for range broydenSteps {
		if s.size(&r) <= broydenFinish {
			return true
		}
		if fresh == 0 {
			if !s.probe(x, &r, &j) {
				return false
			}
			fresh = 12
		}
		fresh--
		step, ok := s.direction(j, &r)
		if !ok || !s.move(x, &r, &j, &step) {
			if fresh == 11 {
				return false
			}
			fresh = 0
		}
	}
	return false
}

func (s *system) size(r *vector) (most float64) {
	for i := range s.n {
		most = max(most, math.Abs(r[i]))
	}
	return most
}

// probe finds the matrix by trying each unknown.
func (s *system) probe(x, r *vector, j *[most]vector) bool {
	for c := range s.n {
		tried := *x
		h := broydenProbe * s.scale[c]
		if tried[c]+h > s.high[c] {
			h = -h
		}
		tried[c] += h
		moved, ok := s.at(&tried)
		if !ok {
			return false
		}
		for i := range s.n {
			j[i][c] = (moved[i] - r[i]) / h * s.scale[c]
		}
	}
	return true
}

// direction solves j step = −r, both in scaled unknowns.
func (s *system) direction(j [most]vector, r *vector) (step vector, ok bool) {
	for i := range s.n {
		step[i] = -r[i]
	}
	for c := range s.n {
		pivot := c
		for i := c + 1; i < s.n; i++ {
			if math.Abs(j[i][c]) > math.Abs(j[pivot][c]) {
				pivot = i
			}
		}
		j[c], j[pivot] = j[pivot], j[c]
		step[c], step[pivot] = step[pivot], step[c]
		if !(math.Abs(j[c][c]) > 1e-12) {
			return step, false
		}
		for i := c + 1; i < s.n; i++ {
			f := j[i][c] / j[c][c]
			for k := c; k < s.n; k++ {
				j[i][k] -= f * j[c][k]
			}
			step[i] -= f * step[c]
		}
	}
	for c := s.n - 1; c >= 0; c-- {
		for k := c + 1; k < s.n; k++ {
			step[c] -= j[c][k] * step[k]
		}
		step[c] /= j[c][c]
	}
	return step, true
}

// move takes the step, or as much of it as leads nearer, and updates the matrix.
func (s *system) move(x, r *vector, j *[most]vector, step *vector) bool {
	was := s.size(r)
	part := 1.0
	for range broydenShort {
		next := *x
		var went vector
		length := 0.0
		for i := range s.n {
			next[i] = min(max(x[i]+part*step[i]*s.scale[i], s.low[i]+0.1*(x[i]-s.low[i])), s.high[i]-0.1*(s.high[i]-x[i]))
			went[i] = (next[i] - x[i]) / s.scale[i]
			length += went[i] * went[i]
		}
		if !(length > 0) {
			return false
		}
		moved, ok := s.at(&next)
		if ok {
			for i := range s.n {
				off := moved[i] - r[i]
				for k := range s.n {
					off -= j[i][k] * went[k]
				}
				for k := range s.n {
					j[i][k] += off * went[k] / length
				}
			}
			if s.size(&moved) < was || s.size(&moved) < 1e-3 && part == 1 {
				*x, *r = next, moved
				return true
			}
		}
		part /= 3
	}
	return false
}
