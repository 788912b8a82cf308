package demand

import (
	"fmt"

	"rinsewright/quantity"
)

// Group is a further set of outlets on the same tank, with customers of its
// own: an arch, a row of hoses at the pontoons, vans that fill at six.
type Group struct {
	Name    string
	Outlets int // vehicles served at once
	Waiting int // vehicles that wait for one; more drive on
	Vends   []Vend

	Weekday [7]float64  // vehicles expected, as in Profile
	Month   [12]float64 // factor; all 0 is as the profile's
	Hours   [24]float64 // dimensionless weight; all 0 is as the profile's

	// Regular vehicles come in the number expected, neither more nor fewer, at
	// any time within their hour; a part of a vehicle is carried to a later
	// hour. Others come at random. Surges and day-to-day swings leave regular
	// vehicles alone.
	Regular bool
}

// Limits of what a group adds.
const mostGroups = 20

// groups returns the profile's own bays and then its other groups, all filled in.
func (p Profile) groups() []Group {
	groups := make([]Group, 0, 1+len(p.Groups))
	groups = append(groups, Group{
		Name: "bays", Outlets: p.Bays, Waiting: p.Waiting, Vends: p.Vends,
		Weekday: p.Weekday, Month: p.Month, Hours: p.Hours,
	})
	for _, g := range p.Groups {
		if g.Month == [12]float64{} {
			g.Month = p.Month
		}
		if g.Hours == [24]float64{} {
			g.Hours = p.Hours
		}
		groups = append(groups, g)
	}
	return groups
}

// daysOf returns the vehicles of a group expected on each day.
func (p Profile) daysOf(g Group) []float64 {
	days := make([]float64, DaysInYear)
	for d := range days {
		month, _ := DateOf(d)
		days[d] = g.Weekday[p.WeekdayOf(d)] * g.Month[month-1]
	}
	if !g.Regular {
		for _, s := range p.Surge {
			days[s.Day] *= s.Factor
		}
	}
	for _, d := range p.Closed {
		days[d] = 0
	}
	return days
}

// groupDays returns the vehicles of each group expected on each day.
func (p Profile) groupDays() ([][]float64, error) {
	if err := p.check(); err != nil {
		return nil, fmt.Errorf("demand of the year: %w", err)
	}
	total := 0.0
	var days [][]float64
	for _, g := range p.groups() {
		of := p.daysOf(g)
		for _, n := range of {
			total += n
		}
		days = append(days, of)
	}
	if err := within("vehicles a year", total, 0, maxVends); err != nil {
		return nil, fmt.Errorf("demand of the year: %w", err)
	}
	if total == 0 {
		return nil, fmt.Errorf("demand of the year: %w", ErrNoDemand)
	}
	return days, nil
}

// check returns an error unless the group is usable.
func (g Group) check() error {
	err := firstError(
		within("outlets", float64(g.Outlets), 1, maxBays),
		within("vehicles waiting", float64(g.Waiting), 0, maxWaiting),
		within("kinds of vend", float64(len(g.Vends)), 1, 100),
		checkWeights("vehicles on a weekday", g.Weekday[:], 1e6),
		checkWeights("month factor", g.Month[:], 100),
		checkWeights("hour weight", g.Hours[:], 1e6),
		checkVends(g.Vends),
	)
	if err != nil {
		return fmt.Errorf("group %q: %w", g.Name, err)
	}
	return nil
}

// weights returns the water of one vend of each group in m³, by which days and
// hours are compared; where nobody draws any, vehicles count.
func weights(groups []Group) []float64 {
	each, sum := make([]float64, len(groups)), 0.0
	for i, g := range groups {
		each[i] = float64(waterPerVend(g.Vends))
		sum += each[i]
	}
	if sum == 0 {
		for i := range each {
			each[i] = 1
		}
	}
	return each
}

// busiest returns the day on which most water is expected; the first of equals.
func busiest(days [][]float64, groups []Group) int {
	each := weights(groups)
	at, most := 0, -1.0
	for d := range DaysInYear {
		water := 0.0
		for i := range groups {
			water += days[i][d] * each[i]
		}
		if water > most {
			at, most = d, water
		}
	}
	return at
}

// hourShares returns weights scaled to add up to 1.
func hourShares(weights [24]float64) [24]float64 {
	sum := 0.0
	for _, w := range weights {
		sum += w
	}
	var share [24]float64
	for h, w := range weights {
		share[h] = w / sum
	}
	return share
}

func waterPerVend(vends []Vend) quantity.Volume {
	var mean quantity.Volume
	for i, s := range vendShares(vends) {
		mean += quantity.Volume(s * float64(vends[i].Water()))
	}
	return mean
}

// vendShares returns the shares of the kinds, adding up to 1.
func vendShares(vends []Vend) []float64 {
	shares := make([]float64, len(vends))
	if len(vends) == 1 {
		shares[0] = 1
		return shares
	}
	sum := 0.0
	for _, v := range vends {
		sum += v.Share
	}
	for i, v := range vends {
		shares[i] = v.Share / sum
	}
	return shares
}
