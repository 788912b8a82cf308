package sitefile

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"

	"rinsewright/quantity"
	"rinsewright/site"
)

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

// The columns of a log sheet that are no gauge's.
const (
	logDate    = "date"
	logTime    = "at"
	logBy      = "by"
	logMinutes = "minutes running"
	logChanged = "changed"
	logWords   = "words"
)

// LogSheet returns an empty log as a table for a spreadsheet: a row a visit,
// read back by [ReadLogSheet]. A cell may carry its own unit.
func LogSheet() string {
	heads := []string{logDate, logTime, logBy, logMinutes}
	for _, c := range logColumns {
		heads = append(heads, c.Gauge+" "+c.Unit)
	}
	return strings.Join(append(heads, logChanged, logWords), ",") + "\n"
}

// IsLogSheet tells whether a table is a log, by its heads.
func IsLogSheet(text string) bool {
	head, _, _ := strings.Cut(strings.TrimPrefix(text, "\ufeff"), "\n")
	heads := "," + strings.ReplaceAll(strings.ToLower(strings.TrimSpace(head)), `"`, "") + ","
	return strings.HasPrefix(heads, ","+logDate+",") && strings.Contains(heads, ","+logMinutes+",") && strings.Contains(heads, ","+logWords+",")
}

// ReadLogSheet reads the visits of a log sheet. Every mistake is a [Problem]
// with its row and column; a row that is empty is passed over.
func ReadLogSheet(name, text string, loc quantity.Locale) (visits []site.Visit, err error) {
	r := csv.NewReader(strings.NewReader(strings.TrimPrefix(text, "\ufeff")))
	r.FieldsPerRecord = -1
	heads, err := r.Read()
	if err != nil {
		return nil, Problems{{Where: name + ":1", Read: "no heads", Wanted: "the heads of a log sheet", Example: "rinsewright papers writes log.csv"}}
	}
	var problems Problems
	for {
		row, err := r.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, Problems{{Where: name, Read: err.Error(), Wanted: "comma-separated cells", Example: "2026-06-13,09:30,ab,20"}}
		}
		line, _ := r.FieldPos(0)
		v, bad := logVisit(heads, row, loc)
		for _, p := range bad {
			p.Where = fmt.Sprintf("%s:%d", name, line)
			problems = append(problems, p)
		}
		if v != nil {
			visits = append(visits, *v)
		}
	}
	if len(problems) > 0 {
		return nil, problems
	}
	return visits, nil
}

// logVisit reads one row, nil when nothing stands in it.
func logVisit(heads, row []string, loc quantity.Locale) (*site.Visit, Problems) {
	v, minutes, written := site.Visit{}, "", false
	var gauges [][2]string
	for i, cell := range row {
		cell = unquoted(cell)
		if cell == "" || cell == "-" || i >= len(heads) {
			continue
		}
		written = true
		switch head := strings.ToLower(strings.TrimSpace(heads[i])); head {
		case logDate:
			v.Date = cell
		case logTime:
			v.At = cell
		case logBy:
			v.By = cell
		case logMinutes:
			minutes = cell
		case logChanged:
			for _, c := range strings.Split(cell, ";") {
				v.Changed = append(v.Changed, site.Change(strings.TrimSpace(c)))
			}
		case logWords:
			v.Words = cell
		default:
			gauges = append(gauges, [2]string{head, cell})
		}
	}
	if !written {
		return nil, nil
	}
	if v.Date == "" {
		return nil, Problems{{Read: "a row without a date", Wanted: "the day of the visit", Example: "2026-06-13"}}
	}
	bad := readGauges(&v, gauges, minutes, loc)
	return &v, bad
}

// readGauges adds the readings of a row to its visit.
func readGauges(v *site.Visit, gauges [][2]string, minutes string, loc quantity.Locale) (bad Problems) {
	for _, g := range gauges {
		name, unit := columnOf(g[0])
		cell := g[1]
		if !strings.ContainsFunc(cell, unicode.IsLetter) && !strings.Contains(cell, "%") {
			cell += " " + unitOf(name, unit)
		}
		if minutes != "" && timedGauge(name) {
			cell += ", after " + minutes + " min"
		}
		r, err := site.ParseReading(name+" = "+cell, loc)
		var p site.Problem
		switch {
		case err == nil:
			v.Read = append(v.Read, r)
		case errors.As(err, &p):
			bad = append(bad, Problem{Read: fmt.Sprintf("%s: %q", name, g[1]), Wanted: p.Wanted, Example: p.Example})
		default:
			bad = append(bad, Problem{Read: fmt.Sprintf("%s: %q", name, g[1]), Wanted: err.Error()})
		}
	}
	return bad
}

// columnOf cuts a head into its gauge, with the bay or housing where it has
// one, and the unit of its cells.
func columnOf(head string) (gauge, unit string) {
	parts := strings.Fields(head)
	n := 1
	if len(parts) > 1 && strings.Trim(parts[1], "0123456789") == "" {
		n = 2
	}
	n = min(n, len(parts))
	return strings.Join(parts[:n], " "), strings.Join(parts[n:], " ")
}

// unitOf gives the unit of a column in the letters it is written in: heads are
// compared in lower case.
func unitOf(gauge, unit string) string {
	for _, c := range logColumns {
		if c.Gauge == gauge && strings.EqualFold(c.Unit, unit) {
			return c.Unit
		}
	}
	return unit
}

// timedGauge says whether minutes of running belong to a reading; a totaliser
// shows the same whenever it is read.
func timedGauge(name string) bool { return name != "permeate_meter" && name != "hour_meter" }

// unquoted takes off the quote that keeps a spreadsheet from reading text as a
// formula.
func unquoted(cell string) string {
	cell = strings.TrimSpace(cell)
	if rest, ok := strings.CutPrefix(cell, "'"); ok && rest != "" && strings.ContainsRune("=+-@", rune(rest[0])) {
		return rest
	}
	return cell
}
