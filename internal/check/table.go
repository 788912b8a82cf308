package check

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"
)

// Table is a reference table: what its first lines say of it, and its rows.
type Table struct {
	// About holds the leading "# key: value" lines: source, where, kind, unit.
	About   map[string]string
	Columns []string
	Rows    []TableRow
}

// TableRow is one row, read by column name.
type TableRow struct {
	t      testing.TB
	at     string
	fields map[string]string
}

// Ref reads a reference table, or fails the test: testdata/ref/*.csv, which
// begins with the lines # source:, # where:, # kind: and # unit:.
func Ref(t testing.TB, path string) Table {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	table, err := ParseTable(b)
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	for i := range table.Rows {
		table.Rows[i].t = t
		table.Rows[i].at = fmt.Sprintf("%s row %d", path, i+1)
	}
	return table
}

// ParseTable reads a reference table's text. Its rows can be read only by a
// test: see [Ref].
func ParseTable(b []byte) (Table, error) {
	table := Table{About: map[string]string{}}
	for bytes.HasPrefix(b, []byte("#")) {
		line, rest, _ := bytes.Cut(b, []byte("\n"))
		key, value, ok := strings.Cut(strings.TrimSpace(string(line[1:])), ":")
		if ok && table.About[key] == "" {
			table.About[key] = strings.TrimSpace(value)
		}
		b = rest
	}
	for _, key := range []string{"source", "where", "kind", "unit"} {
		if table.About[key] == "" {
			return Table{}, fmt.Errorf("the table does not begin with a line # %s: and what follows", key)
		}
	}
	if table.Source() == "" {
		return Table{}, fmt.Errorf("kind %q is none of published, reference code, common practice, from memory", table.About["kind"])
	}
	return table, table.readRows(b)
}

func (table *Table) readRows(b []byte) error {
	r := csv.NewReader(bytes.NewReader(b))
	r.Comment = '#'
	r.TrimLeadingSpace = true
	records, err := r.ReadAll()
	if err != nil {
		return err
	}
	if len(records) < 2 {
		return fmt.Errorf("the table has no rows")
	}
	table.Columns = records[0]
	for _, record := range records[1:] {
		fields := map[string]string{}
		for i, name := range table.Columns {
			fields[name] = record[i]
		}
		table.Rows = append(table.Rows, TableRow{fields: fields})
	}
	return nil
}

// Source returns where the table's values came from, as [Near] wants it, or
// nothing when its kind is not one of the four.
func (table Table) Source() string {
	what := table.About["source"] + ", " + table.About["where"]
	switch kind := table.About["kind"]; kind {
	case "published", "reference code":
		return kind + ": " + what
	case "common practice":
		return "common practice, no source: " + what
	case "from memory":
		return "from memory, unverified: " + what
	}
	return ""
}

// Text returns a column's text, and fails the test if there is no such column.
func (r TableRow) Text(column string) string {
	r.t.Helper()
	s, ok := r.fields[column]
	if !ok {
		r.t.Fatalf("%s has no column %q", r.at, column)
	}
	return s
}

// Number returns a column's number in the table's unit, and fails the test if
// it is none.
func (r TableRow) Number(column string) float64 {
	r.t.Helper()
	x, err := strconv.ParseFloat(r.Text(column), 64)
	if err != nil {
		r.t.Fatalf("%s, column %q: %v", r.at, column, err)
	}
	lastRead.note(column, x)
	return x
}
