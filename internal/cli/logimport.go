package cli

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"rinsewright/internal/grid"
	"rinsewright/internal/sitefile"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
)

// A cell of an old log that cannot be read is told with its place and left out,
// never guessed; so many of them are told.
const mostToldBad = 12

// column is what one column of an old log holds.
type column struct {
	head   string
	part   string // of the visit: one of visitParts; "" for a gauge's and for one that is left out
	gauge  string // key, as "gun_strength 3"
	suffix string // the unit, and a pen's scale, for cells that are bare numbers
}

// visitParts are the columns that are no gauge's, by the names that the blank
// log sheet gives them, and what a person is told of each.
var visitParts = map[string]string{
	sitefile.LogDate: "the day", sitefile.LogTime: "the time of day", sitefile.LogBy: "who was there", sitefile.LogMinutes: "minutes since the start",
	sitefile.LogChanged: "parts changed", sitefile.LogWords: "words", "notes": "words",
	longGauge: "what was read", longValue: "what it showed", longUnit: "its unit", longPen: "what it was read with",
}

// imports reads an old log, shows what it would add, and with --save adds it.
func (c LogCommand) imports(s *site.Site, data []byte, out *logJSON, t *terminal) error {
	text, mark, err := c.oldLog()
	if err != nil {
		return err
	}
	for _, v := range s.Log {
		if v.From == mark {
			return bad(fmt.Errorf("%s was imported before", filepath.Base(c.Import)), "to take it back: rinsewright log "+filepath.Base(c.Site)+" --undo")
		}
	}
	rows, err := grid.Rows(text)
	if err != nil {
		return bad(fmt.Errorf("%s: %w", filepath.Base(c.Import), err), "a table as CSV or workbook, a header on its first line")
	}
	columns, long, err := c.columns(rows[0])
	if err != nil {
		return err
	}
	visits, wrong := c.visits(rows, columns, long, mark, sitefile.Locale(data))
	if len(visits) == 0 {
		if len(wrong) > 0 {
			return bad(wrong[0], "")
		}
		return bad(errors.New("no row of the old log has a day and a reading"), "name the columns: --map \"Day=date\" --map \"TDS out=permeate_strength ppm NaCl\"")
	}
	c.tell(s, visits, columns, wrong, out, t)
	if !c.Save {
		if !c.JSON {
			t.wrap("", "Nothing was kept: this is what it would be. To keep it: --save")
		}
		return nil
	}
	s.Log = append(s.Log, visits...)
	if err := c.write(data, s); err != nil {
		return err
	}
	out.Kept = len(visits)
	if !c.JSON {
		t.wrap("", fmt.Sprintf("Kept %s. To take them back: rinsewright log %s --undo", counts(len(visits), "visit"), filepath.Base(c.Site)))
	}
	return nil
}

func (c LogCommand) oldLog() (text []byte, mark string, err error) {
	f, err := os.Open(c.Import)
	if err != nil {
		return nil, "", bad(fmt.Errorf("read old log: %w", err), "")
	}
	defer f.Close()
	text, err = io.ReadAll(io.LimitReader(f, grid.MostBytes+1))
	switch {
	case err != nil:
		return nil, "", bad(fmt.Errorf("read old log: %w", err), "")
	}
	sum := sha256.Sum256(text)
	return text, filepath.Base(c.Import) + " " + hex.EncodeToString(sum[:4]), nil
}

// columns says what each column holds: by --map, or by its own name where that is
// a gauge.
//
// In a long table, a row a reading, --map also says what its names mean.
func (c LogCommand) columns(head []string) ([]column, *longTable, error) {
	mapped, others := map[string]string{}, map[string]string{}
	for _, m := range c.Map {
		name, to, ok := strings.Cut(m, "=")
		name = strings.TrimSpace(name)
		if !ok || !slices.ContainsFunc(head, func(h string) bool { return strings.EqualFold(strings.TrimSpace(h), name) }) {
			others[strings.ToLower(name)] = m
			continue
		}
		mapped[strings.ToLower(name)] = strings.TrimSpace(to)
	}
	all := make([]column, len(head))
	dated := false
	for i, h := range head {
		h = strings.TrimSpace(h)
		all[i].head = h
		to, told := mapped[strings.ToLower(h)]
		if !told {
			to = h
		}
		if err := all[i].means(to, told); err != nil {
			return nil, nil, err
		}
		dated = dated || all[i].part == sitefile.LogDate
	}
	long, isLong := longOf(all)
	for name, m := range others {
		_, to, told := strings.Cut(m, "=")
		if !isLong || !told {
			return nil, nil, bad(fmt.Errorf("--map: read %q, wanted one of the columns %s", m, strings.Join(head, ", ")), `--map "TDS out=permeate_strength ppm NaCl"`)
		}
		col := column{head: name}
		if err := col.means(strings.TrimSpace(to), true); err != nil {
			return nil, nil, err
		}
		long.names[name] = col
	}
	if !dated {
		return nil, nil, bad(errors.New("no column of the old log is its day"), `--map "`+strings.TrimSpace(head[0])+`=date"`)
	}
	if !isLong {
		return all, nil, nil
	}
	return all, &long, nil
}

func (col *column) means(to string, told bool) error {
	if part := strings.ToLower(to); visitParts[part] != "" {
		col.part = part
		return nil
	}
	fields := strings.Fields(to)
	if len(fields) > 0 && plant.Gauge(gaugeNamed(fields[0])).Known() {
		col.gauge, fields = gaugeNamed(fields[0]), fields[1:]
		if len(fields) > 0 && strings.Trim(fields[0], "0123456789") == "" {
			col.gauge += " " + fields[0]
			fields = fields[1:]
		}
		col.suffix = strings.Join(fields, " ")
		return nil
	}
	if told {
		return bad(fmt.Errorf("--map: read %q, wanted date, words or a gauge with its unit", to), `--map "`+col.head+`=permeate_strength ppm NaCl"`)
	}
	return nil
}

// gaugeNamed is a gauge's name however a spreadsheet wrote its letters.
func gaugeNamed(head string) string {
	for _, g := range plant.Gauges() {
		if strings.EqualFold(string(g), head) {
			return string(g)
		}
	}
	return head
}

// visits makes one visit of all rows of a day.
func (c LogCommand) visits(rows [][]string, columns []column, long *longTable, mark string, loc quantity.Locale) (visits []site.Visit, wrong []error) {
	at := map[string]int{}
	for n, row := range rows[1:] {
		v := site.Visit{From: mark}
		var bare error
		minutes := minutesIn(row, columns)
		for i, cell := range row {
			cell = unquoted(cell)
			if i >= len(columns) || cell == "" || cell == "-" {
				continue
			}
			if err := columns[i].take(&v, cell, minutes, c.Days, loc); err != nil {
				err = fmt.Errorf("row %d, %s: %w", n+2, columns[i].head, err)
				if columns[i].part == sitefile.LogDate {
					bare = err
				}
				wrong = append(wrong, err)
			}
		}
		if long != nil {
			if err := long.take(&v, row, minutes, loc); err != nil {
				wrong = append(wrong, fmt.Errorf("row %d: %w", n+2, err))
			}
		}
		if bare != nil || v.Date == "" || len(v.Read) == 0 && v.Words == "" && len(v.Changed) == 0 {
			continue
		}
		if i, met := at[v.Date]; met {
			visits[i].Read = append(visits[i].Read, v.Read...)
			visits[i].Changed = append(visits[i].Changed, v.Changed...)
			if !strings.Contains(visits[i].Words, v.Words) { // a long table says the same on every row
				visits[i].Words = strings.TrimSpace(visits[i].Words + " " + v.Words)
			}
			continue
		}
		at[v.Date] = len(visits)
		visits = append(visits, v)
	}
	slices.SortStableFunc(visits, func(a, b site.Visit) int { return strings.Compare(a.Date, b.Date) })
	return visits, wrong
}

// minutesIn are the minutes since the start that a row tells for all of its
// readings, "" when it tells none.
func minutesIn(row []string, columns []column) string {
	for i, cell := range row {
		if i < len(columns) && columns[i].part == sitefile.LogMinutes {
			return unquoted(cell)
		}
	}
	return ""
}

func (col column) take(v *site.Visit, cell, minutes, days string, loc quantity.Locale) error {
	switch col.part {
	case sitefile.LogDate:
		day, err := writtenDay(cell, days)
		v.Date = day
		return err
	case sitefile.LogTime:
		if _, err := time.Parse("15:04", cell); err != nil {
			return fmt.Errorf("read %q, wanted a time of day such as 14:30", cell)
		}
		v.At = cell
		return nil
	case sitefile.LogBy:
		v.By = cell
		return nil
	case sitefile.LogChanged:
		return changedIn(v, cell)
	case longGauge, longValue, longUnit, longPen:
		return nil
	case sitefile.LogWords, "notes":
		v.Words = strings.Join(strings.Fields(cell), " ")
		return nil
	}
	if col.gauge == "" {
		return nil
	}
	if _, err := quantity.ParseNumber(strings.TrimPrefix(cell, "<"), loc); err == nil {
		cell += " " + col.suffix
	}
	if minutes != "" && timedGauge(col.gauge) {
		cell += ", after " + minutes + " min"
	}
	r, err := site.ParseReading(col.gauge+" = "+cell, loc)
	if err != nil {
		return err
	}
	v.Read = append(v.Read, r)
	return nil
}

// changedIn reads the parts changed, parted by semicolons.
func changedIn(v *site.Visit, cell string) error {
	for _, one := range strings.Split(cell, ";") {
		change, near := site.ChangeMeant(one)
		if change == "" {
			return fmt.Errorf("read %q, wanted work in fixed words such as %q, or \"other: what\"", strings.TrimSpace(one), cmp.Or(near, site.LeadResin))
		}
		v.Changed = append(v.Changed, change)
	}
	return nil
}

// timedGauge tells whether minutes of running belong to a reading: a totaliser
// shows the same whenever it is read.
func timedGauge(name string) bool {
	return name != string(plant.PermeateVolume) && name != string(plant.RunTime)
}

// unquoted takes off the quote that keeps a spreadsheet from reading text as a
// formula.
func unquoted(cell string) string {
	cell = strings.TrimSpace(cell)
	if rest, ok := strings.CutPrefix(cell, "'"); ok && rest != "" && strings.ContainsRune("=+-@", rune(rest[0])) {
		return rest
	}
	return cell
}

// writtenDay reads a day written in the order that --days says. The order is never
// guessed: 3/4 is two days.
func writtenDay(cell, order string) (string, error) {
	cell, _, _ = strings.Cut(cell, " ")
	plain := strings.NewReplacer("/", "-", ".", "-").Replace(cell)
	layouts := map[string][]string{"ymd": {"2006-1-2"}, "dmy": {"2-1-2006", "2-1-06"}, "mdy": {"1-2-2006", "1-2-06"}}[order]
	for _, layout := range layouts {
		if t, err := time.Parse(layout, plain); err == nil && t.Year() >= 1980 && t.Year() <= 2100 {
			return t.Format(time.DateOnly), nil
		}
	}
	return "", fmt.Errorf("read %q, wanted a day as %s (--days says the order)", cell, map[string]string{"ymd": "2026-06-13", "dmy": "13/6/2026", "mdy": "6/13/2026"}[order])
}

// tell shows what an import would add: what each column is, the first visits,
// what could not be read, and what looks odd.
func (c LogCommand) tell(s *site.Site, visits []site.Visit, columns []column, wrong []error, out *logJSON, t *terminal) {
	for _, v := range visits {
		out.add(v, nil)
	}
	for _, err := range wrong {
		out.Errors = append(out.Errors, sitefile.Problem{Where: filepath.Base(c.Import), Read: err.Error()})
	}
	questions := 0
	last := s.LastRead(visits[0].Date)
	var first []site.Question
	for _, v := range visits {
		found := site.Ask(v.Read, site.Known{Date: v.Date, Last: last, Units: t.units, Locale: t.locale})
		for _, r := range v.Gauged() {
			last[r.Key()] = site.Dated{Reading: r, Date: v.Date}
		}
		questions += len(found)
		if len(first) < 5 {
			first = append(first, found...)
		}
		for _, q := range found {
			out.Questions = append(out.Questions, questionJSON{string(q.Kind), q.Keys, v.Date + ": " + q.Asks, append([]string{}, q.Instead...)})
		}
	}
	if c.JSON {
		return
	}
	t.head("Columns")
	for _, col := range columns {
		what := "left out"
		switch {
		case col.part != "":
			what = visitParts[col.part]
		case col.gauge != "":
			what = strings.TrimSpace(col.gauge + " " + col.suffix)
		}
		t.wrap(pad("  "+clipped(col.head, 30), 34), what)
	}
	t.head(fmt.Sprintf("%s, %s to %s", counts(len(visits), "visit"), visits[0].Date, visits[len(visits)-1].Date))
	for i, v := range visits {
		if i == 3 {
			t.line("  …")
			break
		}
		for _, r := range v.Read {
			t.wrap("  "+v.Date+"  ", r.String())
		}
	}
	if len(wrong) > 0 {
		t.head(counts(len(wrong), "cell") + " left out, not readable")
		for i, err := range wrong {
			if i == mostToldBad {
				t.line("  …")
				break
			}
			t.wrap("  ", err.Error())
		}
	}
	if questions > 0 {
		t.head(counts(questions, "reading") + " to look at again")
		t.asks(first[:min(len(first), 5)])
	}
	t.line("")
}

func counts(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return fmt.Sprintf("%d %s", n, what)
}
