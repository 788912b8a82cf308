package demand

import (
	"context"
	"fmt"
)

// Accuracy is how sure an answer has to be before simulating stops. Each is half
// the width of a 95 % interval; 0 does not ask.
type Accuracy struct {
	RunDry    float64 // of the chance that a year has a short vend; a share, 0.02 is two in a hundred
	Short     float64 // of the short vends a year, as a share of them
	FewYears  int     // at least so many; 0 is 20
	MostYears int     // at most so many; 0 is 4000
}

// reached tells whether a replication is as sure as asked.
func (a Accuracy) reached(r Replication) bool {
	if half := float64(r.RunDry.High-r.RunDry.Low) / 2; a.RunDry > 0 && half > a.RunDry {
		return false
	}
	half := (r.Short.High - r.Short.Low) / 2
	return !(a.Short > 0 && r.Short.Mean > 0 && half > a.Short*r.Short.Mean)
}

// RepeatTo simulates years until the answer is as sure as asked, and reports
// whether it is: false when the most years were not enough. Years are added by
// doubling, and year i is the same whatever the accuracy, so a sharper answer
// extends a rougher one. Because it looks several times, its intervals hold the
// truth a little less often than in 95 of 100.
//
// The error is that of [Repeat], or wraps [ErrRange] for an accuracy outside
// 0.001 to 1.
func RepeatTo(ctx context.Context, c Case, a Accuracy, seed uint64) (r Replication, sure bool, err error) {
	if a.FewYears == 0 {
		a.FewYears = 20
	}
	if a.MostYears == 0 {
		a.MostYears = 4000
	}
	err = firstError(
		zeroOr("accuracy of run dry", a.RunDry, 1e-3, 1),
		zeroOr("accuracy of short vends", a.Short, 1e-3, 1),
		within("fewest years", float64(a.FewYears), 2, mostYears),
		within("most years", float64(a.MostYears), float64(a.FewYears), mostYears),
	)
	if err != nil {
		return r, false, fmt.Errorf("replicate to an accuracy: %w", err)
	}
	var all []digest
	for years := a.FewYears; ; years = min(2*years, a.MostYears) {
		more, err := c.years(ctx, len(all), years, seed)
		if err != nil {
			return r, false, fmt.Errorf("replicate to an accuracy: %w", err)
		}
		all = append(all, more...)
		r = gather(all)
		if sure = a.reached(r); sure || years == a.MostYears {
			return r, sure, nil
		}
	}
}
