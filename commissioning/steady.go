package commissioning

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"rinsewright/quantity"
)

// Timed is one reading of a series: when, since the start, and what, a number in
// the unit of the gauge.
type Timed struct {
	At quantity.Time
	Y  float64 // number in the unit of the gauge
}

// Line is a straight line through a series: Y at the mean time, and its slope.
type Line struct {
	Mean       quantity.Time // of the readings' times
	Level      float64       // number in the unit of the gauge, at Mean
	Slope      float64       // number in that unit, per second
	LevelDoubt float64       // number: standard uncertainty of Level
	SlopeDoubt float64       // number: standard uncertainty of Slope
	Freedom    int           // degrees of freedom behind the doubts
}

// fewest readings that a slope with its doubt can be told from.
const fewest = 4

// Fit returns the straight line through a series by least squares:
//
//	b = Σ (t−t̄)(y−ȳ)/Σ (t−t̄)²      s² = Σ (y − ȳ − b (t−t̄))²/(n−2)
//	s(b) = s/√Σ (t−t̄)²             s(ȳ) = s/√n
//
// where s is at least floor, what the meter's last digit and repeatability
// make of a reading that does not move; a number in the unit of the gauge.
// Source: [GUM] H.3. The error wraps [ErrRange] for fewer than four readings, for
// readings all at one time, or for a number that is not finite.
func Fit(series []Timed, floor float64) (Line, error) {
	n := float64(len(series))
	if len(series) < fewest || !(floor >= 0) || math.IsInf(floor, 1) {
		return Line{}, fmt.Errorf("slope of %d readings: %w", len(series), ErrRange)
	}
	var at, y float64
	for _, r := range series {
		at += float64(r.At) / n
		y += r.Y / n
	}
	var tt, ty, rest float64
	for _, r := range series {
		tt += square(float64(r.At) - at)
		ty += (float64(r.At) - at) * (r.Y - y)
	}
	slope := ty / tt
	for _, r := range series {
		rest += square(r.Y - y - slope*(float64(r.At)-at))
	}
	s := max(math.Sqrt(rest/(n-2)), floor)
	l := Line{quantity.Time(at), y, slope, s / math.Sqrt(n), s / math.Sqrt(tt), len(series) - 2}
	if !(tt > 0) || !finite(l.Level, l.Slope, l.LevelDoubt, l.SlopeDoubt) {
		return Line{}, fmt.Errorf("slope of %d readings over %g s: %w", len(series), math.Sqrt(tt), ErrRange)
	}
	return l, nil
}

func finite(xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

// Steadiness is whether a reading still moves.
type Steadiness string

// Whether a reading still moves.
const (
	Steady   Steadiness = "steady"
	Moving   Steadiness = "still moving"
	NotKnown Steadiness = "too few readings to tell"
)

// Settling says how a reading may still move and be called steady: by no more
// than Share of itself, or Least where it is small, within the next Ahead.
type Settling struct {
	Share quantity.Ratio
	Least float64 // number in the unit of the gauge
	Ahead quantity.Time
}

// Settle returns whether a series is steady: the drift that its slope means over
// the time ahead, at the end of its 95 % interval that is farther from zero,
// stays below what is allowed,
//
//	(|b| + t_{0.95,n−2} s(b)) Δt ≤ max(share · ȳ, least)
//
// It is moving where even the nearer end is beyond, and otherwise not known: more
// readings, or a longer wait between them, will tell. Source: Student's t on the
// slope, [GUM] G.3; the allowance is common practice, no source. Fewer than four
// readings are not known. floor as in [Fit].
func (s Settling) Settle(series []Timed, floor float64) (Steadiness, Line, error) {
	if len(series) < fewest {
		return NotKnown, Line{}, nil
	}
	l, err := Fit(series, floor)
	if err != nil {
		return NotKnown, l, err
	}
	allowed := max(float64(s.Share)*math.Abs(l.Level), s.Least)
	if !(s.Ahead > 0) || !(allowed > 0) || !finite(allowed, float64(s.Ahead)) {
		return NotKnown, l, fmt.Errorf("steady within %g over %g s: %w", allowed, float64(s.Ahead), ErrRange)
	}
	t := distuv.StudentsT{Sigma: 1, Nu: float64(l.Freedom)}.Quantile(asked)
	drift, doubt := math.Abs(l.Slope)*float64(s.Ahead), t*l.SlopeDoubt*float64(s.Ahead)
	switch {
	case drift+doubt <= allowed:
		return Steady, l, nil
	case drift-doubt > allowed:
		return Moving, l, nil
	}
	return NotKnown, l, nil
}

// StrengthSteady is when a strength counts as steady: within 5 % over the next
// ten minutes. Source: common practice, no source.
func StrengthSteady() Settling {
	return Settling{Share: 0.05, Least: float64(quantity.MicrosiemensPerCm(0.5)), Ahead: quantity.Minutes(10)}
}
