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
// is what is used here. It takes bays to be enough that few wait, and vehicles of
// all groups to come at random, which regular ones do not quite. At ρ ≥ 1 it
// is 1. The error is that of [Profile.Days], or wraps [ErrRange] unless x ≥ 0
// and make-up is from 0 to 1000 m³/s.
func (p Profile) DeficitBound(x quantity.Volume, makeUp quantity.Flow) (Bound, error) {
	kinds, err := p.busiestHour()
	if err = firstError(err,
		within("deficit in m³", float64(x), 0, 1e6),
		within("make-up in m³/s", float64(makeUp), 0, maxGunFlow)); err != nil {
		return Bound{}, fmt.Errorf("run-dry bound: %w", err)
	}
	draw, r := 0.0, float64(makeUp) // m³/s
	for _, k := range kinds {
		draw += k.rate * float64(k.vend.Water())
		if k.vend.Water() > 0 {
			r = min(r, float64(k.vend.Flow))
		}
	}
	if draw == 0 {
		return Bound{}, nil
	}
	if !(draw < float64(makeUp)*1e6) {
		return Bound{Load: 1e6, AtMost: 1}, nil
	}
	b := Bound{Load: draw / float64(makeUp), AtMost: 1}
	if rho := draw / r; rho < 1 {
		b.AtMost = quantity.Ratio(min(rho, math.Exp(-adjustment(kinds, r)*float64(x))))
	}
	return b, nil
}

// streamOf is one kind of vend in the busiest hour.
type streamOf struct {
	vend Vend
	rate float64 // 1/s
}

// busiestHour returns the kinds of vend of all groups with their rates in the
// busiest hour of the busiest day.
func (p Profile) busiestHour() ([]streamOf, error) {
	days, err := p.groupDays()
	if err != nil {
		return nil, err
	}
	groups := p.groups()
	day := busiest(days, groups)
	at, _ := peak(days, groups, day)
	var kinds []streamOf
	for i, g := range groups {
		rate := days[i][day] * hourShares(g.Hours)[at] / hour
		for k, share := range vendShares(g.Vends) {
			kinds = append(kinds, streamOf{g.Vends[k], rate * share})
		}
	}
	return kinds, nil
}

// adjustment solves λ (E[e^(θS)] - 1) = θ r for θ > 0 by halving; the left less
// the right is convex, 0 at 0 and falling there when ρ < 1. It returns the lower
// end of the last interval, which keeps the bound a bound.
func adjustment(kinds []streamOf, r float64) float64 {
	excess := func(theta float64) float64 { return growth(kinds, theta) - theta*r }
	hi := math.Inf(1)
	for _, k := range kinds {
		if w := float64(k.vend.Water()); w > 0 {
			hi = min(hi, 1/w) // 1/m³
		}
	}
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

// growth returns λ (E[e^(θS)] - 1) over the kinds of vend, infinite from the
// pole of an exponential one.
func growth(kinds []streamOf, theta float64) float64 {
	sum := 0.0
	for _, k := range kinds {
		v, share := k.vend, k.rate
		if share == 0 {
			continue
		}
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
