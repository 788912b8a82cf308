// Command validation writes the page of outside values: every reference table
// of the tree, and every comparison that the tests recorded.
//
//	validation FOLDER >docs/validation.md
//
// It runs at the top of the module; make validation does.
package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"sort"
	"strings"

	"rinsewright/internal/check"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: validation FOLDER")
		os.Exit(2)
	}
	if err := write(os.Stdout, ".", os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, "write the validation page:", err)
		os.Exit(1)
	}
}

func write(w io.Writer, top, recorded string) error {
	tables, err := readTables(top)
	if err != nil {
		return err
	}
	rows, err := readRows(recorded)
	if err != nil {
		return err
	}
	var page bytes.Buffer
	page.WriteString(preface)
	writeTables(&page, tables)
	writeRows(&page, rows)
	_, err = w.Write(page.Bytes())
	return err
}

const preface = `# Validation

What the numbers of this program are held against. Written by ` + "`make validation`" + `; do not edit.

A value is *published*, from *reference code*, *common practice* without a source, or *from memory* and unverified; only the first two are
evidence. Numbers that this project computed itself are never wanted values.
`

type listing struct {
	path  string
	table check.Table
}

func readTables(top string) (found []listing, err error) {
	err = filepath.WalkDir(top, func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(p) != ".csv" || !strings.HasSuffix(filepath.Dir(p), filepath.Join("testdata", "ref")) {
			return err
		}
		b, err := os.ReadFile(p)
		if err != nil {
			return err
		}
		table, err := check.ParseTable(b)
		if err != nil {
			return fmt.Errorf("%s: %w", p, err)
		}
		found = append(found, listing{filepath.ToSlash(p), table})
		return nil
	})
	return found, err
}

func readRows(dir string) (rows []check.Row, err error) {
	paths, err := filepath.Glob(filepath.Join(dir, "*.jsonl"))
	if err != nil {
		return nil, err
	}
	for _, p := range paths {
		b, err := os.ReadFile(p)
		if err != nil {
			return nil, err
		}
		lines := bufio.NewScanner(bytes.NewReader(b))
		for lines.Scan() {
			var row check.Row
			if err := json.Unmarshal(lines.Bytes(), &row); err != nil {
				return nil, fmt.Errorf("%s: %w", p, err)
			}
			rows = append(rows, row)
		}
		if err := lines.Err(); err != nil {
			return nil, fmt.Errorf("%s: %w", p, err)
		}
	}
	sort.SliceStable(rows, func(i, j int) bool {
		a, b := rows[i], rows[j]
		return a.Package < b.Package || a.Package == b.Package && a.Test < b.Test
	})
	return rows, nil
}

func writeTables(w *bytes.Buffer, tables []listing) {
	w.WriteString("\n## Reference tables\n\n| table | rows | kind | source | where | unit |\n|---|---|---|---|---|---|\n")
	for _, l := range tables {
		about := l.table.About
		fmt.Fprintf(w, "| %s | %d | %s | %s | %s | %s |\n", l.path, len(l.table.Rows),
			cell(about["kind"]), cell(about["source"]), cell(about["where"]), cell(about["unit"]))
	}
}

// few is how many comparisons of one kind are listed one by one.
const few = 16

// kind is what comparisons have in common: a test and a column.
type kind struct{ pack, test, column, source string }

// writeRows tells the median and the worst deviation of each column, then lists
// the values of those with few.
func writeRows(w *bytes.Buffer, rows []check.Row) {
	if len(rows) == 0 {
		return
	}
	var order []kind
	groups := map[kind][]check.Row{}
	for _, r := range rows {
		test, _, _ := strings.Cut(r.Test, "/")
		k := kind{r.Package, test, r.Column, r.Source}
		if groups[k] == nil {
			order = append(order, k)
		}
		groups[k] = append(groups[k], r)
	}
	w.WriteString("\n## Deviations\n\nBy test and column of its table, in the unit of the comparison. Off is the worst as a share of its tolerance: beyond 1 the test fails.\n\n")
	w.WriteString("| package | test | column | values | median | worst | off | source |\n|---|---|---|---|---|---|---|---|\n")
	for _, k := range order {
		d := deviations(groups[k])
		fmt.Fprintf(w, "| %s | %s | %s | %d | %.2g | %.2g | %.2f | %s |\n", k.pack, cell(k.test), cell(k.column), len(groups[k]), d.median, d.worst, d.off, cell(k.source))
	}
	w.WriteString("\n## Values compared\n\nWhere there are few.\n\n")
	w.WriteString("| package | test | got | want | tolerance | off | source |\n|---|---|---|---|---|---|---|\n")
	for _, k := range order {
		if len(groups[k]) > few {
			continue
		}
		for _, r := range groups[k] {
			fmt.Fprintf(w, "| %s | %s | %.6g | %.6g | %.2g | %.2f | %s |\n", r.Package, cell(r.Test), r.Got, r.Want, r.Tolerance, off(r), cell(r.Source))
		}
	}
}

type deviation struct{ median, worst, off float64 }

func deviations(rows []check.Row) (d deviation) {
	all := make([]float64, len(rows))
	for i, r := range rows {
		all[i] = math.Abs(r.Got - r.Want)
		d.off = math.Max(d.off, off(r))
	}
	sort.Float64s(all)
	n := len(all)
	d.median, d.worst = (all[(n-1)/2]+all[n/2])/2, all[n-1]
	return d
}

// off is 0 for a value that is exact and had to be.
func off(r check.Row) float64 {
	d := math.Abs(r.Got - r.Want)
	if d == 0 {
		return 0
	}
	return d / r.Tolerance
}

func cell(s string) string { return strings.ReplaceAll(s, "|", "/") }
