package demand

import (
	"slices"
	"time"

	"rinsewright/quantity"
)

// busiest adds what is told of the busiest day and of the months.
func (r *Replication) busiest(ds []digest) {
	dry := 0
	for _, d := range ds {
		if d.busiestShort > 0 {
			dry++
		}
	}
	r.BusiestDay = ds[0].busiestDay
	r.ShortBusiest = count(ds, func(d digest) float64 { return d.busiestShort })
	r.RunDryBusiest = wilson(dry, len(ds))
	r.BusyDay = bands(ds)
	for m := range r.Months {
		at := &r.Months[m]
		at.Short = count(ds, func(d digest) float64 { return d.monthShort[m] })
		at.Lowest = quantity.Volume(ds[0].monthLowest[m])
		years := 0
		for _, d := range ds {
			at.Lowest = min(at.Lowest, quantity.Volume(d.monthLowest[m]))
			if d.monthShort[m] > 0 {
				years++
			}
		}
		at.RunDry = wilson(years, len(ds))
	}
}

// bands returns the spread over the years of each quarter's level.
func bands(ds []digest) []LevelBand {
	band := make([]LevelBand, len(ds[0].busyDay))
	levels := make([]quantity.Volume, len(ds))
	for q := range band {
		for i, d := range ds {
			levels[i] = d.busyDay[q]
		}
		slices.Sort(levels)
		band[q] = LevelBand{quantile(levels, 0.05), quantile(levels, 0.5), quantile(levels, 0.95)}
	}
	return band
}

// quantile returns a share's place among sorted values, on a straight line
// between neighbours: the seventh of Hyndman and Fan's definitions, which lies within
// what was seen. Package study's bands take the sixth, which holds the truth as often
// as it says however few the draws; here the years are many, and the band is a picture.
func quantile(sorted []quantity.Volume, share float64) quantity.Volume {
	at := share * float64(len(sorted)-1)
	i := min(int(at), len(sorted)-1)
	j := min(i+1, len(sorted)-1)
	return sorted[i] + quantity.Volume(at-float64(i))*(sorted[j]-sorted[i])
}

// weeks adds the mean week, and the hour in which the tank gives out.
func (r *Replication) weeks(ds []digest) {
	n := float64(len(ds))
	byHour, all := [24]float64{}, 0.0
	for day := range r.Week {
		for h := range r.Week[day] {
			w := &r.Week[day][h]
			w.Lowest = ds[0].week[day][h].Lowest
			for _, d := range ds {
				of := d.week[day][h]
				w.Vends += of.Vends / n
				w.Short += of.Short / n
				w.Level += of.Level / quantity.Volume(n)
				w.Dry += of.Dry / quantity.Ratio(n)
				w.Lowest = min(w.Lowest, of.Lowest)
			}
			byHour[h] += w.Short
			all += w.Short
		}
	}
	for h, short := range byHour {
		if short > byHour[r.DryHour] {
			r.DryHour = h
		}
	}
	if all > 0 {
		r.DryHourShare = byHour[r.DryHour] / all
	}
}

// Weekday returns the weekday and hour in which most vends lose their water, and
// how many a year; none if short is 0.
func (r Replication) Weekday() (day time.Weekday, hour int, short float64) {
	for d := range r.Week {
		for h, w := range r.Week[d] {
			if w.Short > short {
				day, hour, short = time.Weekday(d), h, w.Short
			}
		}
	}
	return day, hour, short
}
