package commissioning

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// ErrRange marks a number that cannot be: not finite, a doubt that is not
// positive, limits the wrong way round.
var ErrRange = errors.New("out of range")

const (
	asked = 0.95 // of conformance, for acceptance
	// guardFactor is Φ⁻¹(0.95): one-sided guard band over standard uncertainty.
	guardFactor = 1.6448536269514722
)

// Limits is a promise as an interval of tolerance: dimensionless here, in
// whatever unit reading and doubt share. A side that is not promised is infinite.
type Limits struct {
	Low, High float64 // numbers in the unit of the reading
}

// AtLeast promises no less than low, a number in the unit of the reading.
func AtLeast(low float64) Limits { return Limits{low, math.Inf(1)} }

// AtMost promises no more than high, a number in the unit of the reading.
func AtMost(high float64) Limits { return Limits{math.Inf(-1), high} }

func (t Limits) oneSided() bool { return math.IsInf(t.Low, -1) || math.IsInf(t.High, 1) }

func (t Limits) holds(y float64) bool { return t.Low <= y && y <= t.High }

// Conformance returns the probability that what was read as y, with standard
// uncertainty u, lies within the limits:
//
//	p = Φ((T_U − y)/u) − Φ((T_L − y)/u)
//
// Source: [JCGM106] 7.2 to 7.4, normal distribution, no prior knowledge beyond
// the reading. The result is a probability from 0 to 1. The error wraps
// [ErrRange] unless y is finite, u finite and above 0, and T_L < T_U.
func (t Limits) Conformance(y, u float64) (float64, error) {
	if !(!math.IsNaN(y) && !math.IsInf(y, 0) && u > 0 && !math.IsInf(u, 1) && t.Low < t.High) {
		return 0, fmt.Errorf("conformance of %g ± %g to %g … %g: %w", y, u, t.Low, t.High, ErrRange)
	}
	n := distuv.UnitNormal
	below := n.CDF((t.High - y) / u)
	under := n.CDF((t.Low - y) / u)
	// Where both limits lie below the reading the upper tails tell more digits.
	if (t.Low-y)/u > 0 {
		below, under = n.Survival((t.Low-y)/u), n.Survival((t.High-y)/u)
	}
	return min(max(below-under, 0), 1), nil
}

// Guarded returns the limits moved inwards by the guard band
//
//	w = 1.645 u
//
// so that a reading inside them conforms with at least 95 % on that side.
// Numbers are in the unit of the reading. Source: [JCGM106] 8.3.2, guarded
// acceptance. Two limits closer than 2 w leave none: ok is then false. A u that is
// not a number above 0 leaves none either.
func (t Limits) Guarded(u float64) (guarded Limits, ok bool) {
	if !(u > 0 && !math.IsInf(u, 1)) {
		return Limits{}, false
	}
	guarded = Limits{t.Low + guardFactor*u, t.High - guardFactor*u}
	return guarded, guarded.Low < guarded.High
}

// Verdict is what a reading says of a promise.
type Verdict string

// The verdicts, best first.
const (
	Holds       Verdict = "holds"
	WithinDoubt Verdict = "holds within doubt"
	CannotTell  Verdict = "can't tell"
	FallsShort  Verdict = "falls short"
)

// Judge returns the verdict on y ± u and its conformance probability, by the
// decision rule of the package. Errors as [Limits.Conformance].
func (t Limits) Judge(y, u float64) (Verdict, float64, error) {
	p, err := t.Conformance(y, u)
	if err != nil {
		return CannotTell, 0, err
	}
	_, wide := t.Guarded(u)
	switch {
	case p >= asked:
		return Holds, p, nil
	case p <= 1-asked && !t.holds(y):
		return FallsShort, p, nil
	case !t.holds(y) || !t.oneSided() && !wide:
		return CannotTell, p, nil
	}
	return WithinDoubt, p, nil
}

// Decisive returns the standard uncertainty below which a reading of y would be
// decided, one way or the other: its distance from the nearest limit over 1.645.
// A number in the unit of the reading; 0 where the reading lies on the limit,
// so that no meter decides.
func (t Limits) Decisive(y float64) float64 {
	return min(math.Abs(y-t.Low), math.Abs(t.High-y)) / guardFactor
}
