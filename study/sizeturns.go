package study

import (
	"cmp"
	"math"
	"slices"

	"rinsewright/cost"
	"rinsewright/sizing"
)

// Turn is a price at which another system becomes the one with the least cost
// over the years.
type Turn struct {
	Price string  // what is priced, as the yearly cost names it
	Times float64 // dimensionless: of the price as it is; below 1 it has to fall
	Short string  // the system that wins then, in one line
	Other string  // what it changes
	Pick  string  // name of the pick that it is, if it is one
}

// Turns further than this either way are not told: nobody expects such a price.
const mostTimes = 10

// turns finds, for every price of the yearly cost, how far it would have to rise
// or fall until another system of the frontier costs no more over the years than
// the pick that costs least. With first cost and years C, present value a of 1 a
// year, and c_k what a year costs at price k:
//
//	C + a (m − 1) c_k = C' + a (m − 1) c'_k,  m = 1 + (C' − C) / (a (c_k − c'_k))
//
// Source: arithmetic. Systems off the frontier are not looked at.
func (t telling) turns(found *sizing.Outcome, picks []Pick) (all []Turn) {
	pick := found.LeastOver
	rivals := append(slices.Clone(found.Frontier), found.LeastFirst, found.MostHeadroom)
	for _, price := range t.priced(append(rivals, pick)) {
		var up, down *Turn
		for _, other := range rivals {
			saves := t.spends(pick, price) - t.spends(other, price)
			if slices.Equal(other.Chosen, pick.Chosen) || saves == 0 {
				continue
			}
			turn := &Turn{Price: turnNames(price), Times: 1 + float64(other.Over-pick.Over)/(t.annuity*saves), Short: t.shortOf(other.Chosen), Other: t.instead(pick.Chosen, other.Chosen), Pick: nameOf(other, picks)}
			switch {
			case turn.Times >= 1 && turn.Times <= mostTimes && (up == nil || turn.Times < up.Times):
				up = turn
			case turn.Times < 1 && turn.Times >= 1.0/mostTimes && (down == nil || turn.Times > down.Times):
				down = turn
			}
		}
		for _, turn := range []*Turn{up, down} {
			if turn != nil {
				all = append(all, *turn)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b Turn) int { return cmp.Compare(math.Abs(math.Log(a.Times)), math.Abs(math.Log(b.Times))) })
	return all
}

// turnNames says a line of the yearly cost as what one pays for.
func turnNames(line string) string {
	names := map[string]string{"membrane": "elements", "labour at resin changes": "an hour of labour", "travel to change resin": "a visit", "carbon": "a change of carbon", "filters": "filter cartridges"}
	if name, ok := names[line]; ok {
		return name
	}
	return line
}

func nameOf(s *sizing.System, picks []Pick) string {
	for _, p := range picks {
		if slices.Equal(p.system.Chosen, s.Chosen) {
			return p.Name
		}
	}
	return ""
}

// bill is what a year of a whole system costs, line by line.
func (t telling) bill(s *sizing.System) *cost.Year {
	return t.bills.of([stageCount]int(s.Chosen), func() *cost.Year { return &cost.Year{} })
}

// spends is what a year of a system costs at one price, a number of minor units.
func (t telling) spends(s *sizing.System, price string) float64 {
	for _, line := range t.bill(s).Lines {
		if line.Name == price {
			return line.Number * float64(line.Price)
		}
	}
	return 0
}

// priced lists what the years of some systems spend on, in the order of a bill.
func (t telling) priced(all []*sizing.System) (names []string) {
	for _, s := range all {
		for _, line := range t.bill(s).Lines {
			if !slices.Contains(names, line.Name) {
				names = append(names, line.Name)
			}
		}
	}
	return names
}
