package sitefile

import "strings"

// LogColumn is a gauge's column of a log sheet: what a cell without a unit is
// read in.
type LogColumn struct{ Gauge, Unit string }

// logColumns are the usual columns, in the order of the water.
var logColumns = []LogColumn{
	{"feed_temperature", "C"},
	{"feed_strength", "ppm NaCl"},
	{"membrane_total_chlorine", "mg/L"},
	{"feed_pressure", "psi"},
	{"permeate_flow", "gpd"},
	{"concentrate_flow", "gpm"},
	{"permeate_strength", "ppm NaCl"},
	{"lead_strength", "ppm NaCl"},
	{"polished_strength", "ppm NaCl"},
	{"tank_strength", "ppm NaCl"},
	{"gun_strength", "ppm NaCl"},
	{"permeate_meter", "gal"},
	{"hour_meter", "h"},
}

// The columns of a log sheet that are no gauge's: the day, the time of day, who
// was there, minutes since the start, parts changed (parted by semicolons) and
// words.
const (
	LogDate    = "date"
	LogTime    = "at"
	LogBy      = "by"
	LogMinutes = "minutes running"
	LogChanged = "changed"
	LogWords   = "words"
)

// LogSheet returns an empty log as a table for a spreadsheet: a row a visit,
// read back by rinsewright log --import. A cell may carry its own unit.
func LogSheet() string {
	heads := []string{LogDate, LogTime, LogBy, LogMinutes}
	for _, c := range logColumns {
		heads = append(heads, c.Gauge+" "+c.Unit)
	}
	return strings.Join(append(heads, LogChanged, LogWords), ",") + "\n"
}
