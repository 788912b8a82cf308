package faults

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

// belief is what is known of the doubts: mean and covariance, in the order of
// the list.
type belief struct {
	mean []float64
	cov  *mat.SymDense
}

// chain is a rig with its doubts: what turns numbers into readings.
type chain struct {
	n      *nominal
	doubts []doubt
	wait   int // which of them is the wait before a reading

	water, salt int // and which are the membrane's permeabilities
}

// stateAt is the state at some doubts, before any cause.
func (c *chain) stateAt(x []float64) state {
	s := c.n.start
	for i := range c.doubts {
		if x[i] != 0 {
			c.doubts[i].move(&s, x[i])
		}
	}
	return s
}

// effect is what a cause does to a state; nil does nothing.
type effect func(*state)

// predict is what the instruments should show, each on its own scale.
func (c *chain) predict(x []float64, change effect, rows []Evidence) ([]float64, error) {
	s := c.stateAt(x)
	if change != nil {
		change(&s)
	}
	v, err := c.n.see(&s)
	if err != nil {
		return nil, err
	}
	y := make([]float64, len(rows))
	for i := range rows {
		value, ok := v.value(&rows[i])
		if !ok {
			return nil, errNotHere
		}
		y[i] = rows[i].instrument().onScale(rows[i].shown(value, &s.meters))
	}
	return y, nil
}

var errNotHere = errors.New("faults: a reading of what the rig does not have")

// slope is the derivative of the readings by the doubts, by differences of a
// third of a standard deviation.
func (c *chain) slope(x []float64, sd []float64, change effect, rows []Evidence, at []float64) (*mat.Dense, error) {
	j := mat.NewDense(len(rows), len(x), nil)
	moved := append([]float64{}, x...)
	for k := range x {
		if sd[k] == 0 {
			continue
		}
		step := 0.3 * sd[k]
		if k == c.wait {
			step = -sd[k] // a shorter wait says more than a longer one
		}
		moved[k] = x[k] + step
		y, err := c.predict(moved, change, rows)
		if err != nil { // the other way, where one way ends
			step = -step
			moved[k] = x[k] + step
			if y, err = c.predict(moved, change, rows); err != nil {
				return nil, err
			}
		}
		for i := range y {
			j.Set(i, k, (y[i]-at[i])/step)
		}
		moved[k] = x[k]
	}
	return j, nil
}

// prior is what is believed before any reading.
func (c *chain) prior() belief {
	b := belief{make([]float64, len(c.doubts)), mat.NewSymDense(len(c.doubts), nil)}
	for i := range c.doubts {
		b.cov.SetSym(i, i, square(c.doubts[i].before))
	}
	return b
}

func square(x float64) float64 { return x * x }

func (b *belief) spreads() []float64 {
	sd := make([]float64, len(b.mean))
	for i := range sd {
		sd[i] = math.Sqrt(max(b.cov.At(i, i), 0))
	}
	return sd
}

const fitSteps = 4

// fit takes in readings of a sound rig: a few steps of Gauss and Newton, each
// the normal update around the last point,
//
//	x ← m + P Jᵀ (J P Jᵀ + R)⁻¹ (y − f(x) + J (x − m))
func (c *chain) fit(b belief, change effect, rows []Evidence, steps int) (belief, error) {
	observed := onScales(rows)
	if len(rows) == 0 || steps == 0 {
		return b, nil
	}
	x, sd := append([]float64{}, b.mean...), b.spreads()
	out := belief{cov: mat.NewSymDense(len(x), nil)}
	for range steps {
		at, err := c.predict(x, change, rows)
		if err != nil {
			return b, err
		}
		j, err := c.slope(x, sd, change, rows, at)
		if err != nil {
			return b, err
		}
		next, cov, err := update(b, j, residuals(observed, at, j, x, b.mean), noise(rows, observed))
		if err != nil {
			return b, err
		}
		for i := range x { // no further than three deviations in one step
			x[i] += min(max(next[i]-x[i], -3*sd[i]), 3*sd[i])
		}
		out.cov = cov
	}
	out.mean = x
	return out, nil
}

// residuals are y − f(x) + J (x − m).
func residuals(observed, at []float64, j *mat.Dense, x, mean []float64) []float64 {
	r := make([]float64, len(observed))
	for i := range r {
		r[i] = observed[i] - at[i]
		for k := range x {
			if d := x[k] - mean[k]; d != 0 {
				r[i] += j.At(i, k) * d
			}
		}
	}
	return r
}

// noise is the variance of each reading on its scale.
func noise(rows []Evidence, observed []float64) []float64 {
	r := make([]float64, len(rows))
	for i := range rows {
		r[i] = square(rows[i].instrument().spread(rows[i].SI))
	}
	return r
}

// update is the normal update of a belief by residuals with slopes j.
func update(b belief, j *mat.Dense, r, noise []float64) (mean []float64, cov *mat.SymDense, err error) {
	pj, s := spreadBy(b.cov, j, noise)
	var chol mat.Cholesky
	if !chol.Factorize(s) {
		return nil, nil, errSingular
	}
	var gain mat.Dense // S⁻¹ J P
	if err := chol.SolveTo(&gain, pj.T()); err != nil && !isCondition(err) {
		return nil, nil, err
	}
	n := len(b.mean)
	mean = append([]float64{}, b.mean...)
	for k := range n {
		for i := range r {
			mean[k] += gain.At(i, k) * r[i]
		}
	}
	var less mat.Dense
	less.Mul(pj, &gain)
	cov = mat.NewSymDense(n, nil)
	for k := range n {
		for l := k; l < n; l++ {
			cov.SetSym(k, l, b.cov.At(k, l)-(less.At(k, l)+less.At(l, k))/2)
		}
	}
	return mean, cov, nil
}

var errSingular = errors.New("faults: readings without any doubt")

func isCondition(err error) bool {
	var c mat.Condition
	return errors.As(err, &c)
}

// spreadBy returns P Jᵀ and S = J P Jᵀ + R.
func spreadBy(p *mat.SymDense, j *mat.Dense, noise []float64) (*mat.Dense, *mat.SymDense) {
	var pj, jpj mat.Dense
	pj.Mul(p, j.T())
	jpj.Mul(j, &pj)
	n := len(noise)
	s := mat.NewSymDense(n, nil)
	for i := range n {
		for k := i; k < n; k++ {
			s.SetSym(i, k, (jpj.At(i, k)+jpj.At(k, i))/2)
		}
		s.SetSym(i, i, s.At(i, i)+noise[i])
	}
	return &pj, s
}

// onScales puts readings on their scales.
func onScales(rows []Evidence) []float64 {
	y := make([]float64, len(rows))
	for i := range rows {
		y[i] = rows[i].instrument().onScale(rows[i].SI)
	}
	return y
}
