package cli

import (
	"fmt"
	"strings"

	"rinsewright/quantity"
	"rinsewright/site"
)

// The columns of a long table, which has a row for each reading: what was read,
// what it showed, in which unit, and by what.
const (
	longGauge = "gauge"
	longValue = "value"
	longUnit  = "unit"
	longPen   = "by what"
)

// longTable is where those stand, and what the names of such a table mean.
type longTable struct {
	at    map[string]int    // column of each of the four
	names map[string]column // by the name in lower case
}

// longOf finds the columns of a long table; ok is false for a table with a row a
// visit.
func longOf(columns []column) (t longTable, ok bool) {
	t = longTable{at: map[string]int{}, names: map[string]column{}}
	for i, c := range columns {
		switch c.part {
		case longGauge, longValue, longUnit, longPen:
			t.at[c.part] = i
		}
	}
	_, gauge := t.at[longGauge]
	_, value := t.at[longValue]
	return t, gauge && value
}

func (t *longTable) cell(row []string, part string) string {
	if i, ok := t.at[part]; ok && i < len(row) {
		return unquoted(row[i])
	}
	return ""
}

// take reads a row's reading into a visit. A name that means no gauge is told
// once.
func (t *longTable) take(v *site.Visit, row []string, minutes string, loc quantity.Locale) error {
	name, value := t.cell(row, longGauge), t.cell(row, longValue)
	if name == "" || value == "" || value == "-" {
		return nil
	}
	col, known := t.names[strings.ToLower(name)]
	if !known {
		col = column{head: name}
		_ = col.means(name, false) // only what somebody told can be wrong
		t.names[strings.ToLower(name)] = col
		if col.gauge == "" {
			return fmt.Errorf("read %q, wanted a gauge; --map \"%s=permeate_strength ppm NaCl\" says what it is, \"%s=words\" leaves it out", name, name, name)
		}
	}
	if col.gauge == "" {
		return nil
	}
	if unit := t.cell(row, longUnit); unit != "" {
		if rest, scaled := strings.CutPrefix(col.suffix, unit+" "); scaled { // the pen's scale was told, the unit stands beside
			unit += " " + rest
		}
		col.suffix = unit
	}
	if by := strings.Join(strings.Fields(t.cell(row, longPen)), " "); by != "" {
		if _, err := quantity.ParseNumber(strings.TrimPrefix(value, "<"), loc); err == nil {
			value += " " + col.suffix
		}
		value += ", by " + by
	}
	return col.take(v, value, minutes, "", loc)
}
