// Package num finds where a function of one variable crosses zero. It is thin
// on purpose: one method, no allocation, no state, and errors that say which
// bounds were tried.
//
// Symbols: f the function, a and b the ends of the bracket, m half the bracket.
//
// Sources: [Brent1973] R. P. Brent, Algorithms for Minimization without
// Derivatives, 1973, chapter 4.
package num

import (
	"errors"
	"fmt"
	"math"
)

var (
	// ErrNoBracket says that the function does not change sign between the
	// bounds, or that a bound or the function's value there is not a number.
	ErrNoBracket = errors.New("no change of sign between the bounds")
	// ErrNoConvergence says that the bracket could not be narrowed to the
	// tolerance, or that the function was not a number inside it.
	ErrNoConvergence = errors.New("no convergence")
)

const (
	maxSteps = 300                    // bisection alone halves the widest bracket of float64s that often in practice
	epsilon  = 2.2204460492503131e-16 // spacing of float64 at 1
)

// Root returns x between lo and hi where f changes sign, to within
//
//	tol + 4 ε |x|
//
// by inverse quadratic interpolation, secant and bisection. f need not be
// smooth; where it jumps through zero, Root returns the jump. lo and hi may be
// in either order; tol may be zero, a negative one counts as zero.
//
// Source: [Brent1973] ch. 4. The error wraps [ErrNoBracket] or
// [ErrNoConvergence]. Nothing is allocated unless it fails.
func Root(f func(float64) float64, lo, hi, tol float64) (float64, error) {
	flo, fhi := f(lo), f(hi)
	if !bracketed(lo, hi, flo, fhi) {
		return 0, fmt.Errorf("root between %g (value %g) and %g (value %g): %w", lo, flo, hi, fhi, ErrNoBracket)
	}
	br := bracket{a: lo, fa: flo, b: hi, fb: fhi}
	br.restart()
	for range maxSteps {
		br.order()
		limit := 2*epsilon*math.Abs(br.b) + 0.5*math.Max(tol, 0)
		m := 0.5 * (br.c - br.b)
		if br.fb == 0 || math.Abs(m) <= limit {
			return br.b, nil
		}
		br.advance(br.step(m, limit))
		if br.fb = f(br.b); !finite(br.fb) {
			return 0, fmt.Errorf("root between %g and %g: value %g at %g: %w", lo, hi, br.fb, br.b, ErrNoConvergence)
		}
		if (br.fb > 0) == (br.fc > 0) {
			br.restart()
		}
	}
	return 0, fmt.Errorf("root between %g and %g: %d steps: %w", lo, hi, maxSteps, ErrNoConvergence)
}

// bracket is the state of the search: b is the best point, c the other side of
// zero, a the point before b; d is the last step and e the one before it.
type bracket struct{ a, b, c, fa, fb, fc, d, e float64 }

// restart takes the last point as the other side of zero.
func (br *bracket) restart() {
	br.c, br.fc = br.a, br.fa
	br.d = br.b - br.a
	br.e = br.d
}

// order makes b the better of the two sides.
func (br *bracket) order() {
	if math.Abs(br.fc) >= math.Abs(br.fb) {
		return
	}
	br.a, br.fa = br.b, br.fb
	br.b, br.fb = br.c, br.fc
	br.c, br.fc = br.a, br.fa
}

// step chooses interpolation where it shrinks the bracket faster than halving.
func (br *bracket) step(m, limit float64) float64 {
	if math.Abs(br.e) < limit || math.Abs(br.fa) <= math.Abs(br.fb) {
		br.d, br.e = m, m
		return br.kick(limit)
	}
	p, q := br.interpolate(m)
	if 2*p < math.Min(3*m*q-math.Abs(limit*q), math.Abs(br.e*q)) {
		br.e, br.d = br.d, p/q
	} else {
		br.d, br.e = m, m
	}
	return br.kick(limit)
}

// interpolate returns the step as p/q with p not negative: secant through two
// points, inverse quadratic through three.
func (br *bracket) interpolate(m float64) (p, q float64) {
	s := br.fb / br.fa
	if br.a == br.c {
		p, q = 2*m*s, 1-s
	} else {
		t, r := br.fa/br.fc, br.fb/br.fc
		p = s * (2*m*t*(t-r) - (br.b-br.a)*(r-1))
		q = (t - 1) * (r - 1) * (s - 1)
	}
	if p > 0 {
		return p, -q
	}
	return -p, q
}

// kick moves at least the tolerance, towards the other side.
func (br *bracket) kick(limit float64) float64 {
	if math.Abs(br.d) > limit {
		return br.d
	}
	return math.Copysign(limit, br.c-br.b)
}

func (br *bracket) advance(step float64) {
	br.a, br.fa = br.b, br.fb
	br.b += step
}

func bracketed(lo, hi, flo, fhi float64) bool {
	if !finite(lo) || !finite(hi) || !finite(flo) || !finite(fhi) {
		return false
	}
	return flo == 0 || fhi == 0 || (flo > 0) != (fhi > 0)
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
