package demand

import (
	"fmt"

	"rinsewright/quantity"
)

// Spread says how the length of a vend varies between customers.
type Spread uint8

// The spreads. The whole vend is scaled, so the water varies as the length does.
const (
	Fixed       Spread = iota // every vend runs its length
	Uniform                   // evenly between 1 - Within and 1 + Within of its length
	Exponential               // a customer as likely to stop now as later
)

// Vend is one kind of vend: the time bought at the coin or card box.
type Vend struct {
	Name     string
	Share    float64        // weight among the kinds; only ratios count; 0 in a single kind counts as 1
	Length   quantity.Time  // the bay is taken this long, on average
	Flow     quantity.Flow  // of spot-free water at the gun, while it runs
	SpotFree quantity.Ratio // share of Length that draws spot-free water, at its end
	Spread   Spread
	Within   quantity.Ratio // half width for Uniform
}

// Water returns the spot-free water of one vend, on average:
//
//	S = q · f · L
func (v Vend) Water() quantity.Volume {
	return v.Flow.Over(quantity.Time(float64(v.SpotFree) * float64(v.Length)))
}

func (v Vend) check() error {
	err := firstError(
		within("vend share", v.Share, 0, 1e6),
		within("vend length in s", float64(v.Length), 1e-6, 86400),
		within("gun flow in m³/s", float64(v.Flow), 0, maxGunFlow),
		within("spot-free share", float64(v.SpotFree), 0, 1),
		within("spread within", float64(v.Within), 0, 1),
		within("spread", float64(v.Spread), 0, float64(Exponential)),
	)
	if err != nil {
		return fmt.Errorf("vend %q: %w", v.Name, err)
	}
	return nil
}

func checkVends(vends []Vend) error {
	sum := 0.0
	for _, v := range vends {
		if err := v.check(); err != nil {
			return err
		}
		sum += v.Share
	}
	if len(vends) > 1 && sum < tiniest {
		return fmt.Errorf("every vend share is 0: %w", ErrNoDemand)
	}
	return nil
}

func (p Profile) meanLength() quantity.Time {
	var mean quantity.Time
	for i, s := range vendShares(p.Vends) {
		mean += quantity.Time(s * float64(p.Vends[i].Length))
	}
	return mean
}
