package paper

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// What a spreadsheet would take for a formula. Common practice, no source:
// the leading signs that spreadsheets read so.
var formulas = []string{"=1+1", "+1", "-5 kPa", "@SUM(A1)", "\tx", "\rx", "=cmd|'/C calc'!A0", "%x", "|x"}

func formulaGrid() Grid {
	g := Grid{Name: "Parts: [list]?*", Heads: []string{"what", "=how many"}}
	for i, f := range formulas {
		g.Rows = append(g.Rows, []any{f, float64(-i) - 0.5})
	}
	return g
}

func TestTextInAWorkbookIsNeverAFormula(t *testing.T) {
	data, err := formulaGrid().XLSX()
	if err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	sheet := f.GetSheetName(0)
	for i := range formulas {
		text, number := fmt.Sprint("A", i+2), fmt.Sprint("B", i+2)
		for _, cell := range []string{text, number} {
			if formula, err := f.GetCellFormula(sheet, cell); err != nil || formula != "" {
				t.Errorf("%s holds the formula %q (%v)", cell, formula, err)
			}
		}
		if value, _ := f.GetCellValue(sheet, text); !strings.HasPrefix(value, "'") {
			t.Errorf("%s reads %q, want a quote ahead of it", text, value)
		}
		if kind, _ := f.GetCellType(sheet, number); kind != excelize.CellTypeUnset && kind != excelize.CellTypeNumber {
			t.Errorf("%s is of type %d, want a number", number, kind)
		}
	}
}

func TestTextInCSVIsNeverAFormula(t *testing.T) {
	data, err := formulaGrid().CSV()
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if rows[0][1] != "'=how many" {
		t.Errorf("a head reads %q", rows[0][1])
	}
	for i, row := range rows[1:] {
		if !strings.HasPrefix(row[0], "'") {
			t.Errorf("%q stands without a quote", row[0])
		}
		if i == 1 && row[1] != "-1.5" {
			t.Errorf("a number reads %q, want -1.5", row[1])
		}
	}
}

func TestTheSameTableGivesTheSameWorkbook(t *testing.T) {
	a, err1 := formulaGrid().XLSX()
	b, err2 := formulaGrid().XLSX()
	if err1 != nil || err2 != nil || !bytes.Equal(a, b) {
		t.Errorf("two workbooks of one table differ (%v, %v)", err1, err2)
	}
}
