package hydraulics

import (
	"fmt"
	"math"
)

// FrictionLaw is the formula for a pipe's friction. The zero value is Colebrook.
type FrictionLaw uint8

// The friction laws. HazenWilliams is a cross-check for water near 16 °C in
// turbulent flow: it knows no viscosity.
const (
	Colebrook FrictionLaw = iota
	SwameeJain
	HazenWilliams
)

// String names the law.
func (l FrictionLaw) String() string {
	switch l {
	case Colebrook:
		return "colebrook"
	case SwameeJain:
		return "explicit"
	case HazenWilliams:
		return "hazen-williams"
	}
	return fmt.Sprintf("friction law %d", uint8(l))
}

const (
	laminarEnd     = 2000.0 // Re, below it flow is laminar
	turbulentStart = 4000.0 // Re, above it flow is turbulent
	maxReynolds    = 1e9
	maxRelRough    = 0.05 // ε/d, the end of Moody's chart
)

// ColebrookFactor returns the Darcy friction factor of turbulent flow:
//
//	1/√f = −2 log10(ε/(3.7 d) + 2.51/(Re √f))
//
// started from [SwameeJainFactor] and solved by Newton to 1e-10 of 1/√f.
//
// Source: [Colebrook1939]. Valid for 4000 ≤ Re ≤ 1e9 (continued down to 2000
// for comparison) and ε/d ≤ 0.05; pipes follow it to 10 % or so. The error
// wraps [ErrRange].
func ColebrookFactor(reynolds, relativeRoughness float64) (float64, error) {
	if err := checkTurbulent(reynolds, relativeRoughness); err != nil {
		return 0, fmt.Errorf("colebrook friction: %w", err)
	}
	return colebrook(reynolds, relativeRoughness), nil
}

// SwameeJainFactor returns the Darcy friction factor by an explicit formula:
//
//	f = 0.25 / log10(ε/(3.7 d) + 5.74/Re^0.9)²
//
// Source: [SwameeJain1976]. Valid for 4000 ≤ Re ≤ 1e8 and ε/d ≤ 0.05; within
// 3 % of [ColebrookFactor] there. The error wraps [ErrRange].
func SwameeJainFactor(reynolds, relativeRoughness float64) (float64, error) {
	if err := checkTurbulent(reynolds, relativeRoughness); err != nil {
		return 0, fmt.Errorf("explicit friction: %w", err)
	}
	return swameeJain(reynolds, relativeRoughness), nil
}

// FrictionFactor returns the Darcy friction factor at any Reynolds number:
//
//	Re ≤ 2000         f = 64/Re
//	2000 < Re < 4000  the cubic in Re that meets both sides in value and slope
//	Re ≥ 4000         law
//
// In the gap real flow is unsteady and no law holds; the bridge is there to be
// smooth, not to be right. It is [Dunlop1991]'s cubic when the law is
// [SwameeJain].
//
// Source: [Poiseuille1846], [Colebrook1939], [SwameeJain1976], [Dunlop1991].
// The error wraps [ErrRange] unless 0 < Re ≤ 1e9, 0 ≤ ε/d ≤ 0.05, and law is
// one of those two.
func FrictionFactor(law FrictionLaw, reynolds, relativeRoughness float64) (float64, error) {
	if law != Colebrook && law != SwameeJain {
		return 0, fmt.Errorf("friction factor by %v: %w", law, ErrRange)
	}
	err := first(
		above("reynolds number", reynolds, 0, maxReynolds, ""),
		within("relative roughness", relativeRoughness, 0, maxRelRough, ""),
	)
	if err != nil {
		return 0, fmt.Errorf("friction factor: %w", err)
	}
	return factor(law, reynolds, relativeRoughness), nil
}

func checkTurbulent(re, rough float64) error {
	return first(
		within("reynolds number", re, laminarEnd, maxReynolds, ""),
		within("relative roughness", rough, 0, maxRelRough, ""),
	)
}

func factor(law FrictionLaw, re, rough float64) float64 {
	switch {
	case re <= laminarEnd:
		return 64 / re
	case re < turbulentStart:
		return bridge(law, re, rough)
	}
	return turbulent(law, re, rough)
}

func turbulent(law FrictionLaw, re, rough float64) float64 {
	if law == SwameeJain {
		return swameeJain(re, rough)
	}
	return colebrook(re, rough)
}

// colebrook solves for x = 1/√f. The function is concave and nearly linear in
// x, so three steps do.
func colebrook(re, rough float64) float64 {
	a, b := rough/3.7, 2.51/re
	x := 1 / math.Sqrt(swameeJain(re, rough))
	for range 20 {
		inside := a + b*x
		step := (x + 2*math.Log10(inside)) / (1 + 2/math.Ln10*b/inside)
		x -= step
		if math.Abs(step) <= 1e-10*x {
			break
		}
	}
	return 1 / (x * x)
}

func swameeJain(re, rough float64) float64 {
	y := math.Log10(rough/3.7 + 5.74/math.Pow(re, 0.9))
	return 0.25 / (y * y)
}

// bridge is the Hermite cubic from Re 2000 to 4000.
func bridge(law FrictionLaw, re, rough float64) float64 {
	const span = turbulentStart - laminarEnd
	f0, f1 := 64/laminarEnd, turbulent(law, turbulentStart, rough)
	s0, s1 := -f0/laminarEnd*span, turbulentSlope(law, rough, f1)*span
	t := (re - laminarEnd) / span
	u := 1 - t
	return f0*u*u*(1+2*t) + s0*t*u*u + f1*t*t*(3-2*t) - s1*t*t*u
}

// turbulentSlope is df/dRe at Re 4000.
func turbulentSlope(law FrictionLaw, rough, f float64) float64 {
	const re = turbulentStart
	if law == SwameeJain {
		z := 5.74 / math.Pow(re, 0.9)
		inside := rough/3.7 + z
		return f * 2 * 0.9 * z / re / (inside * math.Log(inside)) // log is negative, so f falls
	}
	b := 2.51 / re
	x := 1 / math.Sqrt(f)
	c := 2 / math.Ln10 / (rough/3.7 + b*x)
	return -2 * f / x * (c * b * x / re) / (1 + c*b)
}
