package study

import (
	"math"
	"testing"

	"rinsewright/cost"
	"rinsewright/sizing"
)

// TestAPriceThatTurnsTheChoiceMakesBothCostTheSame puts the price that a turn
// names to its new level and adds up both systems again, by hand. Arithmetic on
// invented prices: no outside source.
func TestAPriceThatTurnsTheChoiceMakesBothCostTheSame(t *testing.T) {
	r := sized(t, surveyed(t, "brightmere"), parts(t))
	if len(r.Turns) == 0 {
		t.Fatal("no price turns the choice")
	}
	for i, x := range r.Turns {
		if !(1.0/mostTimes <= x.Times && x.Times <= mostTimes) || x.Short == "" || x.Other == "" {
			t.Errorf("%+v", x)
		}
		if i > 0 && math.Abs(math.Log(x.Times)) < math.Abs(math.Log(r.Turns[i-1].Times)) {
			t.Errorf("%s at %.3g stands behind what is further", x.Price, x.Times)
		}
	}
	// Water at 300 a year against 100, over by 1000 with an annuity of 5: the
	// thrifty one wins when 5 (m − 1) 200 = 1000, at twice the price.
	z := &sizer{}
	tell := telling{sizer: z, annuity: 5}
	var thirsty, thrifty [stageCount]int
	thrifty[trainStage] = 1
	for i := range z.choices {
		z.choices[i] = []choice{{}, {}}
	}
	bill := func(water cost.Money) *cost.Year {
		return &cost.Year{Lines: []cost.Line{{Name: "water", Amount: water, Number: float64(water), Price: 1}}, Total: water}
	}
	z.bills.of(thirsty, func() *cost.Year { return bill(300) })
	z.bills.of(thrifty, func() *cost.Year { return bill(100) })
	a := &sizing.System{Chosen: thirsty[:], Over: 5000}
	b := &sizing.System{Chosen: thrifty[:], Over: 6000}
	all := tell.turns(&sizing.Outcome{LeastOver: a, LeastFirst: a, MostHeadroom: b, Frontier: []*sizing.System{a, b}}, nil)
	if len(all) != 1 || all[0].Price != "water" || !(math.Abs(all[0].Times-2) < 1e-12) {
		t.Errorf("got %+v, want water at 2 times its price", all)
	}
}
