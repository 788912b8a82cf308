package cli

import (
	"fmt"
	"os"

	"rinsewright/demand"
	"rinsewright/quantity"
)

// interruptionsOf reads what stops the make-up or the pump in a row of tank.
func interruptionsOf(s calcSetting, r calcRow, answers demand.Answers) (list []demand.Interruption, err error) {
	if r.has("regeneration_every_d") {
		list = append(list, demand.Interruption{
			Name: "regeneration", Every: int(r.number("regeneration_every_d")),
			At: quantity.Hours(2), For: quantity.Minutes(r.number("regeneration_min")),
		})
	}
	if !r.has("membrane_out_d") && !r.has("power_cut_min") {
		return list, nil
	}
	got := demand.CalcDemand([]demand.DemandRow{{Answers: answers, Log: s.vends}})[0]
	if got.Err != nil {
		return nil, got.Err
	}
	d := got.Demand
	if r.has("membrane_out_d") {
		days := int(r.number("membrane_out_d"))
		first := max(d.BusiestDay-days+1, 0)
		list = append(list, demand.Interruption{Name: "membrane out", Day: first, For: quantity.Days(float64(days))})
	}
	if r.has("power_cut_min") {
		list = append(list, demand.Interruption{
			Name: "power cut", Day: d.BusiestDay, At: quantity.Hours(float64(d.PeakHour)),
			For: quantity.Minutes(r.number("power_cut_min")), PowerOff: true,
		})
	}
	return list, nil
}

// mostBadLines are told one by one.
const mostBadLines = 5

// readVends reads a vend log and tells which lines it left out.
func readVends(desk Desk, door, file string) ([]demand.LoggedVend, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, fmt.Errorf("vend log: %w", err)
	}
	defer f.Close()
	vends, wrong, err := demand.ReadLog(f)
	for i, b := range wrong {
		if i == mostBadLines {
			fmt.Fprintf(desk.Err, "calc %s: %d more lines of %s left out\n", door, len(wrong)-i, file)
			break
		}
		fmt.Fprintf(desk.Err, "calc %s: %s:%d left out: %s\n", door, file, b.Line, b.Why)
	}
	return vends, err
}

// logColumns are what a vend log tells beyond the answers.
func logColumns() []calcColumn {
	return []calcColumn{
		resultColumn("trend_year", "", "factor a year; empty without --log, as all that follow"),
		resultColumn("trend_low", "", "low end, 95 %"),
		resultColumn("trend_high", "", "high end"),
		resultColumn("day_to_day_share", "", "how far days of one kind differ beyond chance, one standard deviation"),
		resultColumn("doubles", "", "lines left out as entered twice"),
		resultColumn("gap_days", "", "days on which the log is silent against all odds"),
		textColumn("surges", "days that stand out: date, factor and its 95 % interval, parted by semicolons"),
	}
}

// logAnswer are the fields of logColumns.
func logAnswer(f *demand.LogFit) []any {
	if f == nil {
		return make([]any, 7)
	}
	gaps := 0
	for _, g := range f.Gaps {
		gaps += int(g.Last.Sub(g.First).Hours()/24+0.5) + 1
	}
	surges := ""
	for i, s := range f.Surges {
		if i > 0 {
			surges += "; "
		}
		month, day := demand.DateOf(s.Day)
		surges += fmt.Sprintf("%02d-%02d ×%.2f (%.2f to %.2f)", int(month), day, s.Factor.Factor, s.Factor.Low, s.Factor.High)
	}
	return []any{f.Trend.Factor, f.Trend.Low, f.Trend.High, float64(f.Profile.DayToDay), f.Doubles, gaps, surges}
}
