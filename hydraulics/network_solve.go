package hydraulics

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

const (
	mostSteps    = 200
	trickleSlope = 1e-2 // m/(m³/s), added to every link so that one without flow has a slope: 1e-5 m at 1 L/s
	checkSlope   = 1e11 // m/(m³/s), of a closed one-way link
	startFlow    = 1e-4 // m³/s
	mostLinkFlow = 5.0  // m³/s, how far a step may go
)

// edge is any link of the solver, between node numbers; junctions come first,
// then fixed heads.
type edge struct {
	name     string
	from, to int
	one      bool // lets no water back
	loss     func(q float64) (float64, error)
	q        float64
	h, slope float64 // head lost and its growth with flow, at q
	step     float64 // of the flow, that Newton asks for
}

type solver struct {
	edges     []edge
	junctions int
	heads     []float64 // m, of junctions then of fixed nodes
	demand    []float64 // m³/s
}

// settle repeats Newton steps. The flows sought minimise the sum of all ∫h dq,
// which is convex, so that a step cut short where it overshoots always ends
// there; one-way links that open and close would swing otherwise.
func (s *solver) settle() (int, error) {
	for step := 1; step <= mostSteps; step++ {
		if err := s.linearise(); err != nil {
			return step, err
		}
		if err := s.solveHeads(); err != nil {
			return step, err
		}
		start, settled := s.aim()
		share := 1.0
		if step > 1 && !settled { // the first step makes flows balance, whatever it overshoots
			var err error
			if share, err = s.share(start); err != nil {
				return step, err
			}
		}
		if !s.move(share) {
			return step, fmt.Errorf("step %d: flows grew without bound: %w", step, ErrNoConvergence)
		}
		if settled {
			return step, nil
		}
	}
	return mostSteps, fmt.Errorf("%d steps: look for a pump that cannot lift, or a part whose loss does not grow with flow: %w", mostSteps, ErrNoConvergence)
}

// aim puts the Newton step of each link and returns the step's slope at its
// start, which is not positive, and whether the step is too small to matter.
func (s *solver) aim() (start float64, settled bool) {
	change, total := 0.0, 0.0
	for i := range s.edges {
		e := &s.edges[i]
		e.step = (s.heads[e.from] - s.heads[e.to] - e.h) / e.slope
		start -= e.slope * e.step * e.step
		change += math.Abs(e.step)
		total += math.Abs(e.q)
	}
	return start, change <= 1e-9*total+1e-11*float64(len(s.edges))
}

// share returns how much of the step to take: all, or what brings the slope
// along it to half of the start's or less.
func (s *solver) share(start float64) (float64, error) {
	low, high, at := 0.0, 1.0, 1.0
	for range 30 {
		slope, err := s.slopeAlong(at)
		if err != nil {
			return 0, err
		}
		switch {
		case math.Abs(slope) <= -0.5*start || slope <= 0 && at == 1:
			return at, nil
		case slope > 0:
			high = at
		default:
			low = at
		}
		at = (low + high) / 2
	}
	return at, nil
}

// slopeAlong is Σ (h − H_from + H_to) step, with that share of the step taken.
func (s *solver) slopeAlong(share float64) (float64, error) {
	sum := 0.0
	for _, e := range s.edges {
		h, err := e.head(inReach(e.q + share*e.step))
		if err != nil {
			return 0, fmt.Errorf("%s: %w", e.name, err)
		}
		sum += (h - s.heads[e.from] + s.heads[e.to]) * e.step
	}
	return sum, nil
}

// move takes that share of the step, and says whether flows are still numbers.
func (s *solver) move(share float64) bool {
	sum := 0.0
	for i := range s.edges {
		e := &s.edges[i]
		e.q = inReach(e.q + share*e.step)
		sum += math.Abs(e.q)
	}
	return sum <= math.MaxFloat64
}

// inReach keeps a flow within what the solver may look at.
func inReach(q float64) float64 { return math.Max(-mostLinkFlow, math.Min(mostLinkFlow, q)) }

// linearise puts each link's loss and slope at its flow.
func (s *solver) linearise() error {
	for i := range s.edges {
		e := &s.edges[i]
		if err := e.linearise(); err != nil {
			return fmt.Errorf("%s: %w", e.name, err)
		}
	}
	return nil
}

func (e *edge) linearise() error {
	h, err := e.head(e.q)
	if err != nil {
		return err
	}
	e.h = h
	if e.one && e.q < 0 {
		e.slope = checkSlope
		return nil
	}
	step := math.Max(1e-5*math.Abs(e.q), 1e-10)
	low := e.q - step
	if e.one {
		low = math.Max(low, 0)
	}
	up, err := e.head(e.q + step)
	if err != nil {
		return err
	}
	down, err := e.head(low)
	e.slope = math.Max(trickleSlope, (up-down)/(e.q+step-low))
	return err
}

// head is the head that the link loses at a flow.
func (e *edge) head(q float64) (float64, error) {
	if e.one && q < 0 {
		standing, err := e.loss(0)
		return standing + checkSlope*q, err
	}
	h, err := e.loss(q)
	return h + trickleSlope*q, err
}

// solveHeads finds junction heads at which linearised flows balance.
func (s *solver) solveHeads() error {
	a, b := mat.NewSymDense(s.junctions, nil), mat.NewVecDense(s.junctions, nil)
	for i, d := range s.demand {
		b.SetVec(i, -d)
	}
	for _, e := range s.edges {
		s.add(a, b, e)
	}
	var cholesky mat.Cholesky
	if !cholesky.Factorize(a) {
		return fmt.Errorf("heads: %w", ErrNoConvergence)
	}
	x := mat.NewVecDense(s.junctions, s.heads[:s.junctions])
	// A badly conditioned answer is a worse step, not a wrong end: the end is tested.
	_ = cholesky.SolveVecTo(x, b)
	return nil
}

// add puts a link's share into the system: it carries q + (H_from − H_to − h)/slope.
func (s *solver) add(a *mat.SymDense, b *mat.VecDense, e edge) {
	g := 1 / e.slope
	carried := e.q - e.h*g
	s.addEnd(a, b, e.from, e.to, g, -carried)
	s.addEnd(a, b, e.to, e.from, g, carried)
	if e.from < s.junctions && e.to < s.junctions {
		a.SetSym(e.from, e.to, a.At(e.from, e.to)-g)
	}
}

func (s *solver) addEnd(a *mat.SymDense, b *mat.VecDense, here, there int, g, into float64) {
	if here >= s.junctions {
		return
	}
	a.SetSym(here, here, a.At(here, here)+g)
	b.SetVec(here, b.AtVec(here)+into)
	if there >= s.junctions {
		b.SetVec(here, b.AtVec(here)+g*s.heads[there])
	}
}
