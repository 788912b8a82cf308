package plant

import (
	"fmt"
	"math"

	"rinsewright/hydraulics"
	"rinsewright/internal/num"
	"rinsewright/quantity"
)

// Throttled returns where p settles with a valve ahead of its membrane closed
// as far as keeps the product at a flow: what a rig does that is set anew for
// the season. It also tells the valve's opening. A plant that makes no more than
// that anyhow is left as it is, its valve at 0 for none.
//
// A warm feed makes more at the same pressure and passes less of its salt per
// litre than the same feed throttled to the cold month's flow, since the salt
// crosses whatever the pressure.
//
// Source: [Plant.Operate]; the valve by bracketing, to 1e-4 of the flow. The
// error is that of [Plant.Operate].
func (p Plant) Throttled(c Conditions, product quantity.Flow) (Point, hydraulics.FlowCoefficient, error) {
	free, err := p.Operate(c)
	if err != nil || !(free.Product().Flow > product) {
		return free, 0, err
	}
	made := func(logKv float64) (Point, error) {
		held := p
		held.FeedSide = append(append([]Part{}, p.FeedSide...), Part{"throttle", hydraulics.Kv(math.Exp(logKv))})
		return held.Operate(c)
	}
	off := func(logKv float64) float64 {
		point, err := made(logKv)
		if err != nil { // throttled to nothing
			return -float64(product)
		}
		return float64(point.Product().Flow - product)
	}
	wide := math.Log(100 * hydraulics.FlowCoefficient(float64(free.Fresh.Flow)/math.Sqrt(float64(free.Tap))).Kv())
	root, err := num.Root(off, wide-12, wide, 1e-5)
	if err != nil {
		return free, 0, fmt.Errorf("throttle plant: %w", err)
	}
	point, err := made(root)
	return point, hydraulics.Kv(math.Exp(root)), err
}
