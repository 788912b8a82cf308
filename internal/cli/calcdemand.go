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
		wholeColumn(mayColumn("bays", "", "bays that share the tank", 1, 200, "")),
		mayColumn("vehicles_day", "", "vehicles on a normal day", 0, 10_000, ""),
		mayColumn("vehicles_busiest", "", "vehicles on the busiest weekday", 0, 10_000, ""),
		textColumn("busiest_weekdays", "names parted by spaces: Saturday Sunday"),
		textColumn("closed_weekdays", "names parted by spaces"),
		mayColumn("vend_s", "s", "length of a whole vend", 1, 86_400, ""),
		mayColumn("spot_free_s", "s", "of it with spot-free water", 0.1, 86_400, ""),
		mayColumn("spot_free_share", "", "the same as a share", 0.001, 1, ""),
		mayColumn("gun_L_min", "L/min", "flow of spot-free water at the gun", 0.01, 1000, ""),
		mayColumn("litres_per_vehicle", "L", "spot-free water per vehicle", 0.01, 1e6, ""),
		wholeColumn(mayColumn("waiting", "", "vehicles that wait for a bay", 0, 1000, "")),
		mayColumn("opens_h", "h", "opening, hours after midnight", 0, 24, ""),
		mayColumn("closes_h", "h", "closing, hours after midnight", 0, 24, ""),
		mayColumn("busiest_hour_h", "h", "start of the busiest hour, hours after midnight", 0, 24, ""),
		mayColumn("busiest_hour_share", "", "of the day's vehicles", 0, 1, ""),
		wholeColumn(mayColumn("first_month", "", "of the season, 1 to 12", 1, 12, "")),
		wholeColumn(mayColumn("last_month", "", "of the season, 1 to 12", 1, 12, "")),
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
	notes: "One number of vehicles is enough; what else is left empty is assumed and listed. With `--log` the site's vend log tells the vehicles: a CSV with a column time " +
		"(2026-05-02 14:05), and if they are known bay, minutes and litres; weekday, month, hour, trend and surges are fitted, double entries and gaps left out, and a row gives only what a log can't tell.",
	keys: []calcColumn{idColumn}, inputs: answerColumns(),
	flags: []string{"--log"},
	results: append(append([]calcColumn{
		resultColumn("vends_year", "", "vends in a year"),
		resultColumn("open_days", "", "days with any demand"),
		resultColumn("busiest_month", "", "month of the busiest day, 1 to 12"),
		resultColumn("busiest_day", "", "its day of the month"),
		resultColumn("vends_busiest", "", "vends on that day"),
		resultColumn("peak_hour", "", "hour of the day, 0 to 23"),
		resultColumn("vends_peak_hour", "", "vends in that hour of the busiest day"),
		resultColumn("litres_per_vend", "L", "spot-free water of a vend"),
		resultColumn("litres_mean_day", "L", "over all days"),
		resultColumn("litres_open_day", "L", "over open days"),
		resultColumn("litres_busiest_day", "L", "on the busiest day"),
		resultColumn("litres_year", "L", "in a year"),
		resultColumn("offered_erlangs", "", "bay time asked for in the peak hour"),
		resultColumn("turned_away_share", "", "of that hour's vehicles, if nobody waits"),
	}, logColumns()...), assumedColumn),
	compute: demandAnswer,
}

func demandAnswer(s calcSetting, r calcRow) (calcAnswer, error) {
	answers, err := answersOf(r)
	if err != nil {
		return nil, err
	}
	got := demand.CalcDemand([]demand.DemandRow{{Answers: answers, Log: s.vends}})[0]
	if got.Err != nil {
		return nil, got.Err
	}
	d := got.Demand
	return append(append(calcAnswer{
		d.Vends, d.OpenDays, int(got.BusiestMonth), got.BusiestDate, d.Busiest, d.PeakHour, d.Peak, d.PerVend.Litres(), d.MeanDay.Litres(),
		d.OpenDay.Litres(), d.BusyDay.Litres(), d.Year.Litres(), d.Offered, float64(d.TurnedAway),
	}, logAnswer(got.Fit)...), assumedText(got.Assumed)), nil
}
