package rinse

import (
	"errors"
	"fmt"
	"math"

	"rinsewright/quantity"
)

// ErrRange marks an input that is not a number or lies outside the range the
// function states.
var ErrRange = errors.New("out of range")

// within reports an ErrRange unless lo <= x <= hi; NaN fails.
func within(what string, x, lo, hi float64) error {
	if !(lo <= x && x <= hi) {
		return fmt.Errorf("%s is %g, wanted %g to %g: %w", what, x, lo, hi, ErrRange)
	}
	return nil
}

func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

const gravity = 9.80665 // m/s², standard

// DrainingFilm is a film that runs down an upright panel.
type DrainingFilm struct {
	Bottom quantity.Length // thickness at the lower edge
	Mean   quantity.Length // over the height
}

// Drain returns the film left on an upright sheeting panel of a height, some
// time after the rinse stopped:
//
//	h(z) = sqrt(μ z / (ρ g t)), mean = 2/3 h(height)
//
// Source: [Jeffreys1930] (formula from memory, unverified; of the order of
// [PlatingHandbook]'s well-drained rows). Water that wets the panel, early
// enough that drying takes little: 1 s to 10 minutes. A beading surface holds
// drops instead, see [Drops]. The error wraps [ErrRange] unless 0 < height ≤
// 10 m, 1 s ≤ after ≤ 600 s, viscosity 0.2 to 5 mPa·s, density 900 to 1100 kg/m³.
func Drain(height quantity.Length, after quantity.Time, mu quantity.Viscosity, rho quantity.Density) (DrainingFilm, error) {
	err := firstError(
		within("height in m", float64(height), 1e-3, 10),
		within("draining time in s", float64(after), 1, 600),
		within("viscosity in Pa·s", float64(mu), 2e-4, 5e-3),
		within("density in kg/m³", float64(rho), 900, 1100),
	)
	if err != nil {
		return DrainingFilm{}, fmt.Errorf("draining film: %w", err)
	}
	h := math.Sqrt(float64(mu) * float64(height) / (float64(rho) * gravity * float64(after))) // m
	return DrainingFilm{Bottom: quantity.Length(h), Mean: quantity.Length(2.0 / 3 * h)}, nil
}

// Drops are what a beading surface holds: drops of one size over a share of
// the panel.
type Drops struct {
	Base         quantity.Length // diameter of the patch a drop covers
	ContactAngle float64         // between water and panel, measured in the water; radians, dimensionless
	Cover        quantity.Ratio  // share of the panel under drops
}

// Depth returns the water of one drop over the patch it covers, the drop being
// a cap of a sphere:
//
//	V = π a³ (2 - 3 cos θ + cos³ θ) / (3 sin³ θ), depth = V / (π a²), a = base/2
//
// By geometry; gravity flattens drops wider than about 5 mm. The error wraps
// [ErrRange] unless base is 0.1 to 10 mm, θ 0.05 to 2.8 rad, cover 0 to 1.
func (d Drops) Depth() (quantity.Length, error) {
	err := firstError(
		within("drop base in m", float64(d.Base), 1e-4, 1e-2),
		within("contact angle in rad", d.ContactAngle, 0.05, 2.8),
		within("cover", float64(d.Cover), 0, 1),
	)
	if err != nil {
		return 0, fmt.Errorf("drops: %w", err)
	}
	half := d.ContactAngle / 2
	// (2 - 3 cos θ + cos³ θ) / sin³ θ without the cancellation at small θ
	tan := math.Tan(half)
	shape := tan * (3 + tan*tan) / 2
	return quantity.Length(float64(d.Base) / 2 * shape / 3), nil
}

// Film returns the drops' water spread over the whole panel:
//
//	film = cover · depth
//
// By definition. Errors are those of [Drops.Depth].
func (d Drops) Film() (quantity.Length, error) {
	depth, err := d.Depth()
	return quantity.Length(float64(d.Cover) * float64(depth)), err
}
