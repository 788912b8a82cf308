package paper

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"

	"rinsewright/quantity"
	"rinsewright/study"
)

// Grid is a table for a spreadsheet: cells are strings or float64 numbers.
type Grid struct {
	Name  string
	Heads []string
	Rows  [][]any
}

// PartsGrid is the parts list of a pick for a supplier's counter.
func PartsGrid(r Record, j Job) (Grid, error) {
	p := &setting{speaker: newSpeaker(j.Language), Record: r, job: j}
	x, _, ok := p.taken()
	if !ok {
		return Grid{}, fmt.Errorf("parts list of %s: %w", r.Site.Name, ErrNothing)
	}
	g := Grid{Name: p.say("Parts list"), Heads: []string{p.say("supplier"), p.say("what"), p.say("how many"), p.say("unit"), p.say("price, with fitting"), p.say("currency"), p.say("counted from")}}
	for _, k := range study.Install(r.Site, x, r.Parts).Kit {
		unit := p.say("pieces")
		if k.Metres {
			unit = "m"
		}
		row := []any{p.say(k.Supplier), p.part(k.Name), k.Count, unit, "", "", p.sentence(k.Why)}
		if k.Amount != nil {
			value, currency := k.Amount.Plain(quantity.SI)
			row[4], row[5] = value, currency
		}
		g.Rows = append(g.Rows, row)
	}
	return g, nil
}

// harmless keeps a spreadsheet from taking text for a formula: a text that
// begins like one gets a quote ahead of it. Numbers are not text and stay.
func harmless(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r\x00|%", rune(s[0])) {
		return "'" + s
	}
	return s
}

// XLSX is the table as a workbook of one sheet.
func (g Grid) XLSX() ([]byte, error) {
	f := excelize.NewFile()
	defer f.Close()
	const sheet = "Sheet1"
	bold, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	if err != nil {
		return nil, fmt.Errorf("write workbook: %w", err)
	}
	for i, h := range g.Heads {
		if err := put(f, sheet, i, 0, h); err != nil {
			return nil, err
		}
	}
	for k, row := range g.Rows {
		for i, v := range row {
			if err := put(f, sheet, i, k+1, v); err != nil {
				return nil, err
			}
		}
	}
	last, err := excelize.ColumnNumberToName(max(len(g.Heads), 1))
	if err != nil {
		return nil, fmt.Errorf("write workbook: %w", err)
	}
	var b bytes.Buffer
	for _, do := range []func() error{
		func() error { return f.SetRowStyle(sheet, 1, 1, bold) },
		func() error { return f.SetColWidth(sheet, "A", last, 22) },
		func() error { return f.SetSheetName(sheet, sheetName(g.Name)) },
		func() error { return f.SetDocProps(&excelize.DocProperties{Creator: "rinsewright", Title: g.Name}) },
		func() error { return f.Write(&b) },
	} {
		if err := do(); err != nil {
			return nil, fmt.Errorf("write workbook: %w", err)
		}
	}
	return b.Bytes(), nil
}

// sheetName is a name that a workbook allows.
func sheetName(s string) string {
	s = strings.Map(func(r rune) rune {
		if strings.ContainsRune(`:\/?*[]'`, r) {
			return ' '
		}
		return r
	}, s)
	if r := []rune(s); len(r) > 31 {
		s = string(r[:31])
	}
	if strings.TrimSpace(s) == "" {
		return "Sheet"
	}
	return s
}

func put(f *excelize.File, sheet string, column, row int, v any) error {
	at, err := excelize.CoordinatesToCellName(column+1, row+1)
	if err != nil {
		return fmt.Errorf("write workbook: %w", err)
	}
	switch v := v.(type) {
	case float64:
		err = f.SetCellFloat(sheet, at, v, -1, 64)
	case string:
		err = f.SetCellStr(sheet, at, harmless(v))
	default:
		err = fmt.Errorf("cell %s holds a %T", at, v)
	}
	if err != nil {
		return fmt.Errorf("write workbook: %w", err)
	}
	return nil
}

// CSV is the table as comma-separated text.
func (g Grid) CSV() ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	write := func(cells []string) { _ = w.Write(cells) } // a buffer takes everything; w.Error tells
	heads := make([]string, len(g.Heads))
	for i, h := range g.Heads {
		heads[i] = harmless(h)
	}
	write(heads)
	for _, row := range g.Rows {
		cells := make([]string, len(row))
		for i, v := range row {
			switch v := v.(type) {
			case float64:
				cells[i] = fmt.Sprintf("%g", v)
			case string:
				cells[i] = harmless(v)
			}
		}
		write(cells)
	}
	w.Flush()
	if err := w.Error(); err != nil {
		return nil, fmt.Errorf("write table: %w", err)
	}
	return b.Bytes(), nil
}
