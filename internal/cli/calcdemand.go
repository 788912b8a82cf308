package cli

import (
	"fmt"
	"strings"
	"time"

	"rinsewright/demand"
	"rinsewright/quantity"
)

// answerColumns are what a person can say of a site's demand.
func answerColumns() []calcColumn {
	return []calcColumn{
		counted(may("bays", "", "bays that share the tank", 1, 200, "")),
		may("vehicles_day", "", "vehicles on a normal day", 0, 1e5, ""),
		may("vehicles_busiest", "", "vehicles on the busiest weekday", 0, 1e5, ""),
		label("busiest_weekdays", "names parted by spaces: Saturday Sunday"),
		label("closed_weekdays", "names parted by spaces"),
		may("vend_s", "s", "length of a whole vend", 1, 86_400, ""),
		may("spot_free_s", "s", "of it with spot-free water", 0.1, 86_400, ""),
		may("spot_free_share", "", "the same as a share", 0.001, 1, ""),
		may("gun_L_min", "L/min", "flow of spot-free water at the gun", 0.01, 1000, ""),
		may("litres_per_vehicle", "L", "spot-free water per vehicle", 0.01, 1e6, ""),
		counted(may("waiting", "", "vehicles that wait for a bay", 0, 1000, "")),
		may("opens_h", "h", "opening, hours after midnight", 0, 24, ""),
		may("closes_h", "h", "closing, hours after midnight", 0, 24, ""),
		may("busiest_hour_h", "h", "start of the busiest hour, hours after midnight", 0, 24, ""),
		may("busiest_hour_share", "", "of the day's vehicles", 0, 1, ""),
		counted(may("first_month", "", "of the season, 1 to 12", 1, 12, "")),
		counted(may("last_month", "", "of the season, 1 to 12", 1, 12, "")),
	}
}

func answersOf(r calcRow) (demand.Answers, error) {
	busiest, err := weekdaysOf(r, "busiest_weekdays")
	if err != nil {
		return demand.Answers{}, err
	}
	closed, err := weekdaysOf(r, "closed_weekdays")
	return demand.Answers{
		Bays: int(r.number("bays")), VehiclesPerDay: r.number("vehicles_day"), VehiclesBusiest: r.number("vehicles_busiest"),
		BusiestWeekdays: busiest, ClosedWeekdays: closed,
		VendLength: quantity.Seconds(r.number("vend_s")), SpotFreeTime: quantity.Seconds(r.number("spot_free_s")),
		SpotFreeShare: quantity.Ratio(r.number("spot_free_share")), GunFlow: quantity.LitresPerMinute(r.number("gun_L_min")),
		LitresPerVehicle: quantity.Litres(r.number("litres_per_vehicle")), Waiting: int(r.number("waiting")),
		Opens: quantity.Hours(r.number("opens_h")), Closes: quantity.Hours(r.number("closes_h")),
		BusiestHour: quantity.Hours(r.number("busiest_hour_h")), BusiestHourShare: quantity.Ratio(r.number("busiest_hour_share")),
		FirstMonth: time.Month(r.number("first_month")), LastMonth: time.Month(r.number("last_month")),
	}, err
}

func weekdaysOf(r calcRow, column string) (days []time.Weekday, err error) {
next:
	for _, name := range strings.Fields(r.text(column)) {
		for d := time.Sunday; d <= time.Saturday; d++ {
			if strings.EqualFold(name, d.String()) {
				days = append(days, d)
				continue next
			}
		}
		return nil, fmt.Errorf("%s: read %q, wanted names of weekdays such as \"Saturday Sunday\"", column, shortened(name))
	}
	return days, nil
}

var demandDoor = calcDoor{
	name: "demand", about: "spot-free water that a site asks for through the year",
	notes: "One number of vehicles is enough; what else is left empty is assumed and listed.",
	keys:  []calcColumn{idColumn}, inputs: answerColumns(),
	results: []calcColumn{
		gives("vends_year", "", "vends in a year"),
		gives("open_days", "", "days with any demand"),
		gives("busiest_month", "", "month of the busiest day, 1 to 12"),
		gives("busiest_day", "", "its day of the month"),
		gives("vends_busiest", "", "vends on that day"),
		gives("peak_hour", "", "hour of the day, 0 to 23"),
		gives("vends_peak_hour", "", "vends in that hour of the busiest day"),
		gives("litres_per_vend", "L", "spot-free water of a vend"),
		gives("litres_mean_day", "L", "over all days"),
		gives("litres_open_day", "L", "over open days"),
		gives("litres_busiest_day", "L", "on the busiest day"),
		gives("litres_year", "L", "in a year"),
		gives("offered_erlangs", "", "bay time asked for in the peak hour"),
		gives("turned_away_share", "", "of that hour's vehicles, if nobody waits"),
		assumedColumn,
	},
	compute: demandAnswer,
}

func demandAnswer(_ calcSetting, r calcRow) (calcAnswer, error) {
	answers, err := answersOf(r)
	if err != nil {
		return nil, err
	}
	got := demand.CalcDemand([]demand.DemandRow{{Answers: answers}})[0]
	if got.Err != nil {
		return nil, got.Err
	}
	d := got.Demand
	return calcAnswer{
		d.Vends, d.OpenDays, int(got.BusiestMonth), got.BusiestDate, d.Busiest, d.PeakHour, d.Peak, d.PerVend.Litres(), d.MeanDay.Litres(),
		d.OpenDay.Litres(), d.BusyDay.Litres(), d.Year.Litres(), d.Offered, float64(d.TurnedAway), assumedText(got.Assumed),
	}, nil
}
