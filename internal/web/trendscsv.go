package web

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"time"

	"rinsewright/quantity"
)

//go:embed assets/trends.js
var trendsScript string

// trendsTable answers with every reading as a table for a spreadsheet: the
// number in its unit, and what was typed.
func (v *visit) trendsTable() error {
	kept, record, _, err := v.found()
	if err != nil {
		return err
	}
	all, err := v.read(kept, record)
	if err != nil {
		return err
	}
	reads, err := v.reader()
	if err != nil {
		return err
	}
	lines := [][]string{{"place", "what", "when", "value", "unit", "typed", "scale", "from", "note"}}
	for _, s := range all {
		for _, p := range s.points {
			value, unit := s.plain(p.si, reader{})
			if s.name == "temperature" {
				value, unit = p.si-273.15, "C"
			}
			unit = strings.Replace(unit, "µ", "u", 1)
			lines = append(lines, []string{s.place, s.name, p.at.Format("2006-01-02T15:04"), plainNumber(value, reads.locale), unit, cell(p.typed), cell(p.scale), cell(p.from), p.said})
		}
	}
	return v.table("readings.csv", lines)
}

// trackedTable answers with what the tracker makes of the log, a line for each
// day of each trend: shares, and what the gauges should have read.
func (v *visit) trackedTable() error {
	kept, record, locale, err := v.found()
	if err != nil {
		return err
	}
	reads, err := v.reader()
	if err != nil {
		return err
	}
	wear, err := v.tracked(kept, record, locale, reads)
	if err != nil {
		return err
	}
	lines := [][]string{{"what", "when", "likely", "low", "high", "read", "unit", "source"}}
	number := func(x float64) string { return plainNumber(x, reads.locale) }
	for _, t := range wear.trends {
		for _, p := range t.Points {
			read := ""
			if p.Read > 0 {
				read = number(100 * p.Read)
			}
			lines = append(lines, []string{t.Name, p.On.Format(time.DateOnly), number(100 * p.Likely), number(100 * p.Low), number(100 * p.High), read, "%", "tracked, 5 to 95 %"})
		}
	}
	for _, g := range wear.gauges {
		s := series{place: gauged[g.Of][0], name: gauged[g.Of][1]}
		for _, p := range g.Points {
			likely, unit := s.plain(p.Likely, reader{})
			low, _ := s.plain(p.Low, reader{})
			high, _ := s.plain(p.High, reader{})
			lines = append(lines, []string{g.Of.Title(), p.On.Format(time.DateOnly), number(likely), number(low), number(high), "", strings.Replace(unit, "µ", "u", 1), "tracked, 5 to 95 %"})
		}
	}
	return v.table("tracked.csv", lines)
}

// table answers with a file for a spreadsheet.
func (v *visit) table(name string, lines [][]string) error {
	reads, err := v.reader()
	if err != nil {
		return err
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	if reads.locale.DecimalComma {
		w.Comma = ';' // as spreadsheets want it where the comma is taken
	}
	if err := w.WriteAll(lines); err != nil {
		return fmt.Errorf("write %s: %w", name, err)
	}
	h := v.w.Header()
	h.Set("Content-Type", "text/csv; charset=utf-8")
	h.Set("Content-Disposition", `attachment; filename="`+name+`"`)
	h.Set("Cache-Control", "no-store")
	_, err = v.w.Write(b.Bytes())
	return err
}

// plainNumber is a number as a spreadsheet of the reader's country reads it.
func plainNumber(x float64, locale quantity.Locale) string {
	text := strconv.FormatFloat(x, 'g', 6, 64)
	if locale.DecimalComma {
		text = strings.Replace(text, ".", ",", 1)
	}
	return text
}

// cell is text that a spreadsheet does not take for a formula.
func cell(text string) string {
	if text != "" && strings.ContainsRune("=+-@\t\r\x00", rune(text[0])) {
		return "'" + text
	}
	return text
}
