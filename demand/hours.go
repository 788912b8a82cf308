package demand

import (
	"math"

	"rinsewright/quantity"
)

// hours gives each clock hour a weight that rises in a straight line from the
// ends of the day to the busiest hour. An hour open in part counts in part.
// When the busiest hour's share of the day is known, the others share the rest.
func (s *supposer) hours(a Answers) [24]float64 {
	opens, closes := a.Opens.Hours(), a.Closes.Hours()
	if a.Opens == 0 && a.Closes == 0 {
		s.suppose("hours: 8 to 20 o'clock (common practice, no source)")
		opens, closes = assumedOpens, assumedCloses
	}
	if closes <= opens {
		closes += 24 // past midnight
	}
	peak := (opens+closes)/2 - 0.5
	if a.BusiestHour == 0 {
		s.suppose("busiest hour: the middle of the day's opening (common practice, no source)")
	} else {
		peak = a.BusiestHour.Hours()
	}
	if peak < opens && peak+24 < closes {
		peak += 24
	}
	peak = min(max(peak, opens), closes-min(1, closes-opens))
	if a.BusiestHourShare == 0 {
		s.suppose("shape of the day: the first and last hour 0.4 of the busiest (common practice, no source)")
	}
	return dayShape(opens, closes, math.Floor(peak+0.5), a.BusiestHourShare)
}

func dayShape(opens, closes, peak float64, share quantity.Ratio) [24]float64 {
	var weight [24]float64
	half := max(peak-opens, closes-1-peak, 1)
	for h := math.Floor(opens); h < closes; h++ {
		part := min(h+1, closes) - max(h, opens)
		weight[int(h)%24] += part * max(0, 1-(1-edgeToPeak)*math.Abs(h-peak)/half)
	}
	if share == 0 {
		return weight
	}
	at, rest := int(peak)%24, 0.0
	for h, w := range weight {
		if h != at {
			rest += w
		}
	}
	if rest == 0 {
		return weight
	}
	for h := range weight {
		weight[h] *= (1 - float64(share)) / rest
	}
	weight[at] = float64(share)
	return weight
}
