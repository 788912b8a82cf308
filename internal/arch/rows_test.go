package arch

import (
	"fmt"
	"strings"
	"testing"
)

// row is one level of the house. A package imports from rows above its own;
// rooms of one row that stand apart never import each other.
type row struct {
	rooms []string
	apart bool
	why   string
}

var rows = []row{
	{rooms: []string{"quantity", "working", "internal/num"}, why: "the words everything else is said in"},
	{rooms: []string{"water", "demand", "rinse"}, why: "what flows, who asks for it, what it leaves behind"},
	{rooms: []string{"carbon", "resin", "membrane", "hydraulics"}, apart: true, why: "the stations' physics: each can be read and tested alone"},
	{rooms: []string{"plant"}, why: "wiring and balances, no physical constant"},
	{rooms: []string{"catalog", "cost", "commissioning"}, apart: true, why: "parts, money and verdicts do not know each other"},
	{rooms: []string{"site", "service", "faults"}, why: "one installation over the years"},
	{rooms: []string{"sizing"}, why: "searches candidate plants"},
	{rooms: []string{"study"}, why: "site in, result out: what every face shows"},
	{rooms: []string{"internal/say", "internal/sitefile", "internal/scene", "internal/pathscene", "internal/paper", "internal/grid", "testdata/sites"}, why: "files, drawings and documents; the example sites"},
	{rooms: []string{"internal/store", "internal/door"}, why: "what is kept; what a page asks while someone changes numbers"},
	{rooms: []string{"internal/cli", "internal/web"}, apart: true, why: "two faces of one study"},
	{rooms: []string{"cmd"}, apart: true, why: "the only place that picks implementations"},
}

// lastEngineRow is study: above it nothing touches files, clocks or networks.
const lastEngineRow = 7

// testRooms serve tests only, so only test files may import them.
var testRooms = map[string]bool{"internal/arch": true, "internal/check": true, "internal/check/validation": true}

// testsMayRead are rooms that a test file of any row may import: the example
// sites, and what reads them.
var testsMayRead = map[string]bool{"internal/sitefile": true, "testdata/sites": true}

// rowOf returns the row of a package folder and the room it belongs to.
func rowOf(dir string) (n int, name string, ok bool) {
	for i, r := range rows {
		for _, name := range r.rooms {
			if dir == name || strings.HasPrefix(dir, name+"/") {
				return i, name, true
			}
		}
	}
	return 0, "", false
}

// isEngine tells whether a folder belongs to the engine.
func isEngine(dir string) bool {
	n, _, ok := rowOf(dir)
	return ok && n <= lastEngineRow
}

func engine(rooms []room) []room {
	var found []room
	for _, r := range rooms {
		if isEngine(r.dir) {
			found = append(found, r)
		}
	}
	return found
}

func checkRows(rooms []room) (findings []string) {
	for _, r := range rooms {
		if _, _, ok := rowOf(r.dir); !ok && r.dir != "" && !testRooms[r.dir] {
			findings = append(findings, fmt.Sprintf("%s sits in no row: give it one in internal/arch/rows_test.go, with a record in docs/adr", r.dir))
			continue
		}
		for _, s := range r.files {
			for _, p := range s.imports() {
				if why := badImport(r.dir, p, s.test); why != "" {
					findings = append(findings, fmt.Sprintf("%s imports %s: %s", s.path, p, why))
				}
			}
		}
	}
	return findings
}

// badImport says why a file of folder from may not import path, or nothing.
func badImport(from, path string, test bool) string {
	if path == module {
		return "the top package is documentation only"
	}
	to, ok := ours(path)
	if !ok {
		return ""
	}
	if testRooms[to] || testRooms[from] {
		if test || testRooms[from] && testRooms[to] {
			return ""
		}
		return "test rooms are for test files"
	}
	if test && testsMayRead[to] {
		return ""
	}
	fromRow, fromRoom, ok1 := rowOf(from)
	toRow, toRoom, ok2 := rowOf(to)
	switch {
	case !ok1 || !ok2:
		return "one of the two sits in no row"
	case toRow > fromRow:
		return fmt.Sprintf("row %d may not look down to row %d", fromRow, toRow)
	case toRow == fromRow && toRoom != fromRoom && rows[fromRow].apart && !test:
		return fmt.Sprintf("rooms of row %d never import each other (%s)", fromRow, rows[fromRow].why)
	}
	return ""
}

func TestImportsComeFromRowsAbove(t *testing.T) {
	report(t, checkRows(tree(t)))
}

func TestRowsControl(t *testing.T) {
	findings := checkRows(sample(t, map[string]string{
		"attic/a.go":          "package attic",
		"water/a.go":          "package water\nimport _ \"rinsewright/plant\"",
		"water/a_test.go":     "package water\nimport _ \"rinsewright/internal/check\"",
		"study/a_test.go":     "package study\nimport _ \"rinsewright/internal/sitefile\"",
		"study/b_test.go":     "package study\nimport _ \"rinsewright/internal/cli\"",
		"study/a.go":          "package study\nimport _ \"rinsewright/internal/sitefile\"",
		"resin/a.go":          "package resin\nimport _ \"rinsewright/membrane\"",
		"resin/b.go":          "package resin\nimport _ \"rinsewright/internal/check\"",
		"internal/cli/a.go":   "package cli\nimport _ \"rinsewright/internal/web\"",
		"internal/cli/b.go":   "package cli\nimport _ \"rinsewright\"",
		"cmd/x/main.go":       "package main\nimport _ \"rinsewright/internal/cli\"",
		"service/a.go":        "package service\nimport _ \"rinsewright/site\"",
		"internal/store/a.go": "package store\nimport _ \"rinsewright/internal/store/rows\"",
	}))
	mustFind(t, findings,
		"attic sits in no row",
		"water/a.go imports rinsewright/plant: row 1 may not look down to row 3",
		"study/b_test.go imports rinsewright/internal/cli: row 7 may not look down",
		"study/a.go imports rinsewright/internal/sitefile: row 7 may not look down",
		"resin/a.go imports rinsewright/membrane: rooms of row 2 never import each other",
		"resin/b.go imports rinsewright/internal/check: test rooms are for test files",
		"internal/cli/a.go imports rinsewright/internal/web: rooms of row 10 never",
		"internal/cli/b.go imports rinsewright: the top package",
	)
}
