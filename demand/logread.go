package demand

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"rinsewright/quantity"
)

// BadLine is a line of a log that could not be read.
type BadLine struct {
	Line int // of the file, the header is 1
	Why  string
}

// ErrLog marks a vend log that cannot be read at all.
var ErrLog = errors.New("vend log not readable")

// Limits of a log.
const (
	mostLogLines = 5_000_000
	mostBadTold  = 100
)

// timeForms are the forms of time a log may use; a log keeps to the site's own
// clock, so a zone is read and left aside.
var timeForms = []string{
	time.RFC3339, "2006-01-02T15:04:05", "2006-01-02T15:04",
	"2006-01-02 15:04:05", "2006-01-02 15:04",
}

// ReadLog reads a vend log: CSV with a header, columns in any order: time (such
// as 2026-05-02 14:05:30), and if they are there bay, minutes and litres. Other
// columns are ignored. Lines that cannot be read are left out and told, the
// first hundred of them.
//
// The error wraps [ErrLog] without a time column, for more than five million
// lines, when fewer than half of the lines can be read, or for text that is no
// CSV.
func ReadLog(r io.Reader) (log []LoggedVend, bad []BadLine, err error) {
	rows := csv.NewReader(r)
	rows.FieldsPerRecord = -1
	rows.ReuseRecord = true
	header, err := rows.Read()
	if err != nil {
		return nil, nil, fmt.Errorf("read vend log: no header: %w", ErrLog)
	}
	at, err := logColumns(header)
	if err != nil {
		return nil, nil, err
	}
	wrong := 0
	for {
		fields, err := rows.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if len(log)+wrong >= mostLogLines {
			return nil, nil, fmt.Errorf("read vend log: more than %d lines: %w", mostLogLines, ErrLog)
		}
		var v LoggedVend
		if err == nil {
			if v, err = at.vend(fields); err == nil {
				log = append(log, v)
				continue
			}
		}
		var form *csv.ParseError
		line := 0
		switch {
		case errors.As(err, &form):
			line = form.StartLine
		case len(fields) > 0:
			line, _ = rows.FieldPos(0)
		default: // not the text's fault, and it would not end
			return nil, nil, fmt.Errorf("read vend log: %w: %w", err, ErrLog)
		}
		if wrong++; wrong <= mostBadTold {
			bad = append(bad, BadLine{line, err.Error()})
		}
	}
	if wrong > len(log) {
		return nil, bad, fmt.Errorf("read vend log: %d of %d lines: %w", wrong, wrong+len(log), ErrLog)
	}
	return log, bad, nil
}

// columns are where a log's fields stand; -1 is not there.
type columns struct{ time, bay, minutes, litres int }

func logColumns(header []string) (columns, error) {
	names := make([]string, len(header))
	for i, h := range header {
		names[i] = strings.ToLower(strings.TrimSpace(strings.TrimPrefix(h, "\ufeff")))
	}
	c := columns{slices.Index(names, "time"), slices.Index(names, "bay"), slices.Index(names, "minutes"), slices.Index(names, "litres")}
	if c.time < 0 {
		return c, fmt.Errorf("read vend log: header %q has no column \"time\": %w", strings.Join(header, ","), ErrLog)
	}
	return c, nil
}

// vend reads one line.
func (c columns) vend(fields []string) (LoggedVend, error) {
	get := func(i int) string {
		if i < 0 || i >= len(fields) {
			return ""
		}
		return strings.TrimSpace(fields[i])
	}
	v := LoggedVend{Bay: strings.Clone(get(c.bay))}
	var err error
	if v.At, err = logTime(get(c.time)); err != nil {
		return v, err
	}
	minutes, err := logNumber("minutes", get(c.minutes), 1440)
	if err != nil {
		return v, err
	}
	litres, err := logNumber("litres", get(c.litres), 1e6)
	v.Length, v.Litres = quantity.Minutes(minutes), quantity.Litres(litres)
	return v, err
}

func logTime(text string) (time.Time, error) {
	for _, form := range timeForms {
		t, err := time.Parse(form, text)
		if err == nil && 1970 <= t.Year() && t.Year() <= 2999 {
			return t, nil
		}
	}
	return time.Time{}, fmt.Errorf("time %.40q, wanted such as 2026-05-02 14:05", text)
}

func logNumber(what, text string, most float64) (float64, error) {
	if text == "" {
		return 0, nil
	}
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(x) || !(0 <= x && x <= most) || strings.ContainsAny(text, "xX_") {
		return 0, fmt.Errorf("%s %.40q, wanted a number from 0 to %g", what, text, most)
	}
	return x, nil
}
