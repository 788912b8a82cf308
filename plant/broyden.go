package plant

import "math"

// most is how many flows and pressures of a rig may be unknown at once.
const most = 5

type vector [most]float64

// system is a few equations in as many unknowns. Residuals are scaled so that
// 1 is far off and 3e-7 is settled.
type system struct {
	n     int          // 0 when nothing is known
	known bool         // the matrix, from a solve before
	j     [most]vector // j[row][column], in scaled unknowns
	rough bool         // a state near the answer and its matrix will do
	at    func(x *vector) (residual vector, ok bool)
	scale vector // usual size of each unknown
	low   vector
	high  vector
}

// Limits of the search.
const (
	broydenSteps  = 30
	broydenShort  = 4  // a step that leads nowhere is shortened so often
	broydenAge    = 12 // steps with one matrix
	broydenProbe  = 1e-4
	broydenFinish = 3e-7
	roughFinish   = 2e-3
)

// solve moves x to where all residuals are below broydenFinish: Newton's method
// with a matrix found once by trying, or kept from a solve before, and then kept
// up by Broyden's rank-one update. ok says whether it got there; a search by
// nested roots is the certainty behind it.
//
// Source: [Broyden1965].
func (s *system) solve(x *vector) (ok bool) {
	r, ok := s.at(x)
	if !ok {
		return false
	}
	age := 0 // steps since the matrix was found; one from before has some
	if s.known {
		age = 1
	}
	for range broydenSteps {
		size := s.size(&r)
		if s.rough && size <= roughFinish {
			return s.leave(x, &r)
		}
		if size <= broydenFinish {
			s.known = true
			return true
		}
		if !s.known || age > broydenAge {
			if !s.probe(x, &r, &s.j) {
				s.known = false
				return false
			}
			s.known, age = true, 0
		}
		step, ok := s.direction(s.j, &r)
		if !ok || !s.move(x, &r, &s.j, &step) {
			s.known = false
			if age == 0 {
				return false
			}
		}
		age++
	}
	s.known = false
	return false
}

// leave ends a rough search with the matrix found anew and a last step.
func (s *system) leave(x, r *vector) bool {
	if s.known = s.probe(x, r, &s.j); !s.known {
		return true
	}
	if step, ok := s.direction(s.j, r); ok {
		for i := range s.n {
			if next := x[i] + step[i]*s.scale[i]; s.low[i] < next && next < s.high[i] {
				x[i] = next
			}
		}
	}
	return true
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
