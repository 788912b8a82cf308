package demand

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// Bound is an upper limit on how often a tank runs dry.
type Bound struct {
	Load   float64        // water asked for over make-up in the busiest hour, a ratio
	AtMost quantity.Ratio // of the time, if that hour never ended; 1 says nothing
}

// RunDryBound returns an upper limit on the share of time that the tank's
// usable water is gone, were the busiest hour of the busiest day to last for
// ever with this make-up: [Profile.DeficitBound] at the volume between the
// float's start and the low-level cut-off, since a peak may find the tank just
// above its float's start.
//
// An hour's peak is over before the limit is reached, so this is pessimistic; a
// small number clears a tank at once, a large one asks for [SimulateYear].
// Errors are those of [Profile.Days], [Tank.Check] and DeficitBound.
func (p Profile) RunDryBound(t Tank, makeUp quantity.Flow) (Bound, error) {
	if err := t.Check(); err != nil {
		return Bound{}, fmt.Errorf("run-dry bound: %w", err)
	}
	return p.DeficitBound(t.Start-t.CutOff, makeUp)
}

// DeficitBound returns an upper limit on the share of time that more than x is
// missing, with vends at random at the rate of the busiest hour of the busiest
// day:
//
//	P(D > x) ≤ min(ρ, e^(-θx)), λ (E[e^(θS)] - 1) = θ r, θ > 0
//
// Source: [Lundberg]; the workload of M/G/1 is his ruin. It holds for a tank
// that may borrow, hence for one that refuses; for draws that take time, since
// an instant lump is worse; and with r no more than the least gun flow, which
// is what is used here. It takes bays to be enough that few wait. At ρ ≥ 1 it
// is 1. The error is that of [Profile.Days], or wraps [ErrRange] unless x ≥ 0
// and make-up is from 0 to 1000 m³/s.
func (p Profile) DeficitBound(x quantity.Volume, makeUp quantity.Flow) (Bound, error) {
	d, err := p.Demand()
	if err = firstError(err,
		within("deficit in m³", float64(x), 0, 1e6),
		within("make-up in m³/s", float64(makeUp), 0, maxGunFlow)); err != nil {
		return Bound{}, fmt.Errorf("run-dry bound: %w", err)
	}
	rate, mean := d.Peak/3600, float64(d.PerVend) // 1/s, m³
	if rate*mean == 0 {
		return Bound{}, nil
	}
	r := float64(makeUp)
	for _, v := range p.Vends {
		if v.Water() > 0 {
			r = min(r, float64(v.Flow))
		}
	}
	if !(rate*mean < float64(makeUp)*1e6) {
		return Bound{Load: 1e6, AtMost: 1}, nil
	}
	b := Bound{Load: rate * mean / float64(makeUp), AtMost: 1}
	rho := rate * mean / r
	if rho < 1 {
		theta := p.adjustment(rate, r)
		b.AtMost = quantity.Ratio(min(rho, math.Exp(-theta*float64(x))))
	}
	return b, nil
}

// adjustment solves λ (E[e^(θS)] - 1) = θ r for θ > 0 by halving; the left less
// the right is convex, 0 at 0 and falling there when ρ < 1. It returns the lower
// end of the last interval, which keeps the bound a bound.
func (p Profile) adjustment(rate, r float64) float64 {
	excess := func(theta float64) float64 { return rate*p.growth(theta) - theta*r }
	hi := 1 / float64(p.waterPerVend()) // 1/m³
	for range 200 {
		if excess(hi) > 0 {
			break
		}
		hi *= 2
	}
	lo := 0.0
	for range 200 {
		mid := (lo + hi) / 2
		if excess(mid) > 0 {
			hi = mid
		} else {
			lo = mid
		}
	}
	return lo
}

// growth returns E[e^(θS)] - 1 over the kinds of vend, infinite from the pole of
// an exponential one.
func (p Profile) growth(theta float64) float64 {
	sum := 0.0
	for i, share := range p.vendShares() {
		v := p.Vends[i]
		s := theta * float64(v.Water())
		switch v.Spread {
		case Fixed:
			sum += share * math.Expm1(s)
		case Uniform:
			half := s * float64(v.Within)
			spread := 1.0
			if half > 1e-4 {
				spread = math.Sinh(half) / half
			} else {
				spread = 1 + half*half/6
			}
			sum += share * (math.Exp(s)*spread - 1)
		case Exponential:
			if s >= 1 {
				return math.Inf(1)
			}
			sum += share * s / (1 - s)
		}
	}
	return sum
}
