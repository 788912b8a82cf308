package plant

import (
	"testing"

	"rinsewright/internal/check"
	"rinsewright/quantity"
	"rinsewright/water"
)

// A warm feed at constant pressure makes more; throttled back to the cold
// month's flow it makes the same, and stronger water.
func TestAWarmFeedThrottledIsStrongerThanFree(t *testing.T) {
	p := rig(t, 2)
	cold := operate(t, p, Conditions{Feed: tap(t, 8)})
	warm := Conditions{Feed: tap(t, 25)}
	free := operate(t, p, warm)
	held, valve, err := p.Throttled(warm, cold.Product().Flow)
	if err != nil {
		t.Fatal(err)
	}
	check.Within(t, float64(held.Product().Flow), float64(cold.Product().Flow), 1e-3, "published: the flow asked for, by definition")
	salt := func(p Point) float64 { return float64(p.Product().Water.Total[water.Sodium]) }
	if !(salt(held) > salt(free) && free.Product().Flow > held.Product().Flow && valve > 0) {
		t.Errorf("free %.3g mol/m3 at %v, throttled %.3g at %v", salt(free), free.Product().Flow, salt(held), held.Product().Flow)
	}
	if _, valve, err := p.Throttled(warm, quantity.GallonsPerMinute(50)); err != nil || valve != 0 {
		t.Errorf("more than it makes: valve %v, error %v", valve, err)
	}
}
