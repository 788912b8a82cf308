package web

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
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
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	lines := [][]string{{"place", "what", "when", "value", "unit", "typed", "scale", "from", "note"}}
	for _, s := range all {
		for _, p := range s.points {
			value, unit := s.plain(p.si, reader{})
			if s.name == "temperature" {
				value, unit = p.si-273.15, "C"
			}
			unit = strings.Replace(unit, "µ", "u", 1)
			lines = append(lines, []string{s.place, s.name, p.at.Format("2006-01-02T15:04"), strconv.FormatFloat(value, 'g', 6, 64), unit, cell(p.typed), cell(p.scale), cell(p.from), p.said})
		}
	}
	if err := w.WriteAll(lines); err != nil {
		return fmt.Errorf("write the readings: %w", err)
	}
	h := v.w.Header()
	h.Set("Content-Type", "text/csv; charset=utf-8")
	h.Set("Content-Disposition", `attachment; filename="readings.csv"`)
	h.Set("Cache-Control", "no-store")
	_, err = v.w.Write(b.Bytes())
	return err
}

// cell is text that a spreadsheet does not take for a formula.
func cell(text string) string {
	if text != "" && strings.ContainsRune("=+-@\t\r\x00", rune(text[0])) {
		return "'" + text
	}
	return text
}
