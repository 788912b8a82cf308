package demand

import (
	"math"

	"rinsewright/quantity"
)

// Year is what happened in one simulated year. A vehicle is served, its vend is
// cut or refused for want of water, it drove on because no bay was free, or it
// was still there when the year ended:
//
//	Wanted = Served + Cut + Refused + TurnedAway + Unfinished
type Year struct {
	Wanted     int // vehicles that came
	Served     int // had water for the whole of their vend
	Cut        int // had some
	Refused    int // had none
	TurnedAway int // found no bay and no place to wait
	Unfinished int
	Waited     int           // for a bay
	MeanWait   quantity.Time // of those

	Days []Day // DaysInYear of them

	Starts      int           // of make-up
	Running     quantity.Time // of make-up
	AtFull      quantity.Time // level at the float's stop
	MostGuns    int           // open together at any time
	PumpLimited quantity.Time // open guns shared less than they asked for

	Emptied         int           // times the low-level cut-off stopped the pump
	Recovered       int           // times the tank then came back to full
	MeanRecovery    quantity.Time // from the first cut-off to full, customers included
	LongestRecovery quantity.Time

	LitresWanted quantity.Volume // by vends that ended
	Delivered    quantity.Volume
	Made         quantity.Volume
	Storage      quantity.Volume // in the tank at the end less at the start

	BusiestDay int               // of the year, by expected water
	BusyDay    []quantity.Volume // level through it, every quarter of an hour from midnight
	Week       [7][24]WeekHour   // by weekday, Sunday first, and clock hour

	stop  float64 // m³, level at full
	below [levelRows][bins + 2]float64
}

// Day is one day of a Year.
type Day struct {
	Wanted int             // vehicles that came
	Short  int             // vends that ended cut or refused
	Starts int             // of make-up
	Lowest quantity.Volume // level
}

// WeekHour is one clock hour of one weekday over a year.
type WeekHour struct {
	Vends  float64         // vehicles that came
	Short  float64         // vends that lost their water in it, or began without
	Level  quantity.Volume // mean
	Lowest quantity.Volume // in any week
	Dry    quantity.Ratio  // share of the time that guns had no water
}

// Short returns the vends cut or refused for want of water.
func (y Year) Short() int { return y.Cut + y.Refused }

// ShortShare returns the short vends as a share of the vehicles that came.
func (y Year) ShortShare() quantity.Ratio { return share(y.Short(), y.Wanted) }

// TurnedAwayShare returns the vehicles that found no bay as a share of those
// that came.
func (y Year) TurnedAwayShare() quantity.Ratio { return share(y.TurnedAway, y.Wanted) }

func share(part, whole int) quantity.Ratio {
	if whole == 0 {
		return 0
	}
	return quantity.Ratio(float64(part) / float64(whole))
}

// WorstDay returns the day of the year with the most short vends; if there are
// none, the day of the lowest level. The first of equals.
func (y Year) WorstDay() (day int, d Day) {
	for i, x := range y.Days {
		if i == 0 || x.Short > d.Short || x.Short == d.Short && x.Lowest < d.Lowest {
			day, d = i, x
		}
	}
	return day, d
}

// StartsPerDay returns the mean and the most starts of make-up on a day.
func (y Year) StartsPerDay() (mean float64, most int) {
	for _, d := range y.Days {
		most = max(most, d.Starts)
	}
	return float64(y.Starts) / DaysInYear, most
}

// RunPerStart returns the mean running time of make-up per start; 0 if it never
// started. Short runs load the resin: the first minutes after a start are the
// worst water.
func (y Year) RunPerStart() quantity.Time {
	if y.Starts == 0 {
		return 0
	}
	return quantity.Time(float64(y.Running) / float64(y.Starts))
}

// Closing returns the water made that is neither delivered nor in the tank, as
// a share of the throughput. It measures rounding.
func (y Year) Closing() quantity.Ratio {
	through := max(float64(y.Made), float64(y.Delivered))
	if through == 0 {
		return 0
	}
	return quantity.Ratio(math.Abs(float64(y.Made-y.Delivered-y.Storage)) / through)
}

// ShareBelow returns the share of the year that the level stood below a level:
// exact at every 1/128 of the volume at full, a straight line between.
func (y Year) ShareBelow(level quantity.Volume) quantity.Ratio {
	below, all := 0.0, 0.0
	for _, row := range y.below {
		below += timeBelow(row, float64(level)/y.stop*bins)
		all += row[bins+1]
	}
	if !(all > 0) || !(below >= 0) {
		return 0
	}
	return quantity.Ratio(min(below/all, 1))
}

// timeBelow returns the seconds below x, counted in levels of the row.
func timeBelow(row [bins + 2]float64, x float64) float64 {
	switch {
	case !(x > 0):
		return 0
	case x > bins:
		return row[bins+1]
	}
	k := min(int(x), bins-1)
	return row[k] + (x-float64(k))*(row[k+1]-row[k])
}

// LevelAt returns the level that stood above all but a share of the time in a
// clock hour (0 to 23) of days with demand: share 0.05 is low water, 0.5 the
// median. Within 1/128 of the volume at full. It is full for an hour that
// never was, such as outside 0 to 23.
func (y Year) LevelAt(hour int, share quantity.Ratio) quantity.Volume {
	full := quantity.Volume(y.stop)
	if hour < 0 || hour > 23 || !(share >= 0 && share <= 1) {
		return full
	}
	row := y.below[hour]
	want := float64(share) * row[bins+1]
	for k := 1; k <= bins; k++ {
		if row[k] > want {
			part := (want - row[k-1]) / (row[k] - row[k-1])
			return quantity.Volume((float64(k-1) + max(part, 0)) * y.stop / bins)
		}
	}
	return full
}
