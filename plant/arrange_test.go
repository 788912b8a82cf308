package plant

import (
	"errors"
	"testing"

	"rinsewright/hydraulics"
	"rinsewright/membrane"
	"rinsewright/quantity"
	"rinsewright/water"
)

// pumped is a rig of so many elements behind a booster of 8 bar.
func pumped(t testing.TB, elements int) Plant {
	p := rig(t, elements)
	curve, err := hydraulics.DutyPump(quantity.Bar(8), hydraulics.PumpPoint{Flow: quantity.LitresPerMinute(15), Pressure: quantity.Bar(6)})
	if err != nil {
		t.Fatal(err)
	}
	p.Booster = curve
	return p
}

func sodium(p Point) float64 {
	product := p.Product()
	return float64(product.Water.Total[water.Sodium])
}

func TestRecycledConcentrateSavesWaterAndCostsStrength(t *testing.T) {
	c := Conditions{Feed: tap(t, 15)}
	plain := pumped(t, 2)
	back := plain
	back.Recycle = hydraulics.RatedRestrictor{Rated: quantity.LitresPerMinute(4), At: quantity.Bar(6)}
	back.Restrictor = hydraulics.RatedRestrictor{Rated: quantity.LitresPerMinute(1), At: quantity.PSI(60)}
	a, b := operate(t, plain, c), operate(t, back, c)
	if !(b.Recycled > 0 && b.Recovery() > a.Recovery() && sodium(b) > sodium(a)) {
		t.Errorf("recovery %v then %v, sodium %g then %g", a.Recovery(), b.Recovery(), sodium(a), sodium(b))
	}
	if !(b.Feed.Water.Total[water.Calcium] > b.Fresh.Water.Total[water.Calcium]) {
		t.Error("the membrane meets no stronger water than the supply gives")
	}
	none := rig(t, 2)
	none.Recycle = back.Recycle
	if _, err := none.Operate(c); !errors.Is(err, ErrRecycle) {
		t.Errorf("a recycle without a pump: %v, want ErrRecycle", err)
	}
}

func TestASecondPassMakesLessAndPurer(t *testing.T) {
	c := Conditions{Feed: tap(t, 15)}
	one := pumped(t, 3)
	two := one
	two.Second = &Pass{
		Array:      membrane.Array{{membrane.Train{Housings: []membrane.Housing{{Element: element(t), Wear: membrane.New()}}}}},
		Restrictor: hydraulics.RatedRestrictor{Rated: quantity.LitresPerMinute(0.8), At: quantity.Bar(2)},
	}
	a, b := operate(t, one, c), operate(t, two, c)
	if !(b.Product().Flow < a.Product().Flow && sodium(b) < 0.3*sodium(a)) {
		t.Errorf("one pass %v of %g mol/m3, two %v of %g", a.Product().Flow, sodium(a), b.Product().Flow, sodium(b))
	}
	if !(b.BackPressure > quantity.Bar(0.5)) {
		t.Errorf("the second pass pushes back with %v only", b.BackPressure)
	}
	two.Second = &Pass{}
	if _, err := two.Operate(c); !errors.Is(err, ErrIncomplete) {
		t.Errorf("half a second pass: %v, want ErrIncomplete", err)
	}
}

func TestAThirdElementMakesMoreInAnyArrangement(t *testing.T) {
	c := Conditions{Feed: tap(t, 15)}
	two := operate(t, pumped(t, 2), c)
	beside, tail := pumped(t, 2), pumped(t, 2)
	third := membrane.Train{Housings: []membrane.Housing{{Element: element(t), Wear: membrane.New()}}}
	beside.Beside = []membrane.Train{third}
	tail.Tail = []membrane.Stage{{third}}
	for name, p := range map[string]Plant{"beside": beside, "behind": tail} {
		if got := operate(t, p, c); !(got.Product().Flow > two.Product().Flow) {
			t.Errorf("%s: %v of two, %v of three", name, two.Product().Flow, got.Product().Flow)
		}
	}
}

func TestAPumpThatDrawsTheSupplyDryIsRefused(t *testing.T) {
	p := pumped(t, 2)
	p.Supply = hydraulics.CityCurve{Static: quantity.Bar(1.5), RunningPressure: quantity.Bar(0.1), RunningFlow: quantity.LitresPerMinute(3)}
	p.Restrictor = hydraulics.Kv(0.3)
	var dry *SuctionError
	if _, err := p.Operate(Conditions{Feed: tap(t, 15)}); !errors.As(err, &dry) || dry.Hint() == "" {
		t.Errorf("error %v, want SuctionError with a hint", err)
	}
}
