package membrane

import (
	"errors"
	"strings"
	"testing"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

func TestDesignFluxIsWhatTheTradeUses(t *testing.T) {
	for q, gallons := range map[FeedQuality]float64{PermeateFeed: 25, WellFeed: 18, SurfaceFeed: 14, ReclaimedFeed: 12} {
		flux := must[quantity.Flux](t)(DesignFlux(q))
		check.Within(t, flux.LitresPerSquareMetreHour(), gallons*1.69767, 1e-6, "from memory, unverified: upper end of design flux by feed, gfd; 1 gfd is 1.69767 L/(m2 h)")
	}
	if _, err := DesignFlux(99); !errors.Is(err, ErrRange) {
		t.Errorf("unknown feed: error %v, want ErrRange", err)
	}
}

// margin finds one limit among a running pair's.
func margin(t *testing.T, limit Limit, change func(*Train, *quantity.Flow, *quantity.Pressure)) Margin {
	t.Helper()
	train, s := pair(t), tapStream(20)
	if change != nil {
		change(&train, &s.Flow, &s.Pressure)
	}
	r := must[Result](t)(train.Run(s, 0, 0))
	for _, m := range must[[]Margin](t)(r.Margins(SurfaceFeed)) {
		if m.Limit == limit {
			return m
		}
	}
	t.Fatalf("no margin for %s", limit)
	return Margin{}
}

func TestMarginsNameTheElementThatIsWorst(t *testing.T) {
	if m := margin(t, LimitFlux, nil); m.Element != 0 || m.Hard || !(m.Used > 0.5 && m.Used < 1.2) {
		t.Errorf("flux: %+v, want the first element's, as guidance", m)
	}
	if m := margin(t, LimitPolarisation, nil); m.Element != 1 {
		t.Errorf("polarisation: %+v, want the last element's", m)
	}
	clogged := margin(t, LimitDrop, func(train *Train, _ *quantity.Flow, _ *quantity.Pressure) { train.Housings[1].Wear.Drop = 5 })
	if clogged.Element != 1 || !clogged.Hard {
		t.Errorf("drop: %+v, want the clogged element's, the maker's limit", clogged)
	}
}

func TestMarginsPassOneWhenALimitIsBroken(t *testing.T) {
	for limit, change := range map[Limit]func(*Train, *quantity.Flow, *quantity.Pressure){
		LimitFlux:     func(_ *Train, q *quantity.Flow, p *quantity.Pressure) { *q, *p = 6e-4, quantity.Bar(9) },
		LimitFeedFlow: func(_ *Train, q *quantity.Flow, _ *quantity.Pressure) { *q = quantity.LitresPerMinute(70) },
		LimitPressure: func(train *Train, _ *quantity.Flow, _ *quantity.Pressure) {
			train.Housings[0].Element.Sheet.Limits.Pressure = quantity.Bar(4)
		},
		LimitTemperature: func(train *Train, _ *quantity.Flow, _ *quantity.Pressure) {
			train.Housings[0].Element.Sheet.Limits.Temperature = quantity.Celsius(19)
		},
		LimitHighPH: func(train *Train, _ *quantity.Flow, _ *quantity.Pressure) {
			train.Housings[0].Element.Sheet.Limits.MaxPH = 7
		},
		LimitLowPH: func(train *Train, _ *quantity.Flow, _ *quantity.Pressure) {
			train.Housings[0].Element.Sheet.Limits.MinPH = 8
		},
		LimitRecovery: func(_ *Train, q *quantity.Flow, _ *quantity.Pressure) { *q = quantity.GallonsPerMinute(2.5) },
		LimitPolarisation: func(_ *Train, q *quantity.Flow, _ *quantity.Pressure) {
			*q = quantity.GallonsPerMinute(2.5)
		},
		LimitDrop: func(train *Train, _ *quantity.Flow, _ *quantity.Pressure) { train.Housings[0].Wear.Drop = 25 },
	} {
		if m := margin(t, limit, change); !(m.Used > 1) || !strings.ContainsAny(m.Says, "0123456789") {
			t.Errorf("%s: %+v, want broken", limit, m)
		}
	}
}

func TestHealthyRigBreaksNoneOfTheMakersLimits(t *testing.T) {
	r := must[Result](t)(pair(t).Run(tapStream(20), 0, 0))
	for _, m := range must[[]Margin](t)(r.Margins(WellFeed)) {
		if m.Hard && !(m.Used < 1) {
			t.Errorf("%+v, want within", m)
		}
	}
}
