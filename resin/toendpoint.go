package resin

import (
	"fmt"

	"rinsewright/quantity"
	"rinsewright/water"
)

// ToEndpoint passes feed through the polisher until what leaves passes an
// endpoint, or for most bed volumes, and returns the volume, between two shifts
// by a straight line. It is the full form of [Bed.Reach]. Errors as
// [Polisher.Until].
func (p Polisher) ToEndpoint(feed water.Water, e Endpoint, most float64) (v quantity.Volume, reached bool, err error) {
	const operation = "polisher to endpoint"
	if err := e.check(operation); err != nil {
		return 0, false, err
	}
	var last, lastPast float64
	var inner error
	out, reached, err := p.Until(feed, most, func(o Outlet) bool {
		past := 0.0
		if past, inner = e.Past(o.Water); inner != nil || past > 1 {
			if inner == nil && past > lastPast {
				share := (1 - lastPast) / (past - lastPast)
				v = p.Bed.Volume * quantity.Volume(last+share*(o.BedVolumes-last))
			}
			return true
		}
		last, lastPast = o.BedVolumes, past
		return false
	})
	if inner != nil {
		return 0, false, fmt.Errorf("%s: after %.4g bed volumes: %w", operation, out.BedVolumes, inner)
	}
	return v, reached && err == nil, err
}
