package demand

import (
	"fmt"

	"rinsewright/quantity"
)

// SequentPeak returns the storage that an average year asks for: the largest
// volume missing below full when every hour draws what it draws on average and
// make-up runs whenever the tank is not full, and the day on which that is.
//
//	D(h+1) = max(0, D(h) + demand(h) - r(day) · 1 h), V = max D
//
// Source: the sequent peak of reservoirs (from memory, unverified), which the
// trade calls running the hourly balance [TradeTable]. Real arrivals come in
// bunches, so a tank of this usable volume is still short at times: take it as
// the least worth simulating. Exact for steady hours. It runs through the year
// twice, so that a season across New Year is whole.
//
// Errors are those of [Profile.Days]; it wraps [ErrRange] for a make-up that is
// not, or that never catches up with the year.
func (p Profile) SequentPeak(makeUp MakeUp) (quantity.Volume, int, error) {
	days, err := p.groupDays()
	if err != nil {
		return 0, 0, fmt.Errorf("sequent peak: %w", err)
	}
	flows, err := makeUp.flows()
	if err != nil {
		return 0, 0, fmt.Errorf("sequent peak: %w", err)
	}
	groups := p.groups()
	missing, most, worst := 0.0, 0.0, 0
	year := func() {
		for d := range DaysInYear {
			for h := range 24 {
				missing = max(0, missing+waterIn(days, groups, d, h)-flows[d]*hour)
				if missing > most {
					most, worst = missing, d
				}
			}
		}
	}
	year()
	first := missing
	year()
	if missing > first*(1+1e-9) {
		return 0, 0, fmt.Errorf("sequent peak: make-up falls %.4g m³ further behind each year: %w", missing-first, ErrRange)
	}
	return quantity.Volume(most), worst, nil
}

// waterIn returns the water that all groups ask for in an hour, in m³.
func waterIn(days [][]float64, groups []Group, day, h int) float64 {
	water := 0.0
	for i, g := range groups {
		water += days[i][day] * hourShares(g.Hours)[h] * float64(waterPerVend(g.Vends))
	}
	return water
}
