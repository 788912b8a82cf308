package check

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

// Row is one comparison with an outside value. Got, Want and Tolerance are
// numbers in one unit, the test's own.
type Row struct {
	Package   string  `json:"package"`
	Test      string  `json:"test"`
	Got       float64 `json:"got"`
	Want      float64 `json:"want"`
	Tolerance float64 `json:"tolerance"`
	Source    string  `json:"source"`
	Column    string  `json:"column,omitempty"` // of the reference table, where want was read from one
}

// Folder names the environment variable that turns recording on.
const Folder = "RINSEWRIGHT_VALIDATION"

// record appends row to the folder's file of this test binary. A row that is
// not a number is left to fail its test.
func record(t testing.TB, row Row) {
	t.Helper()
	dir := os.Getenv(Folder)
	if dir == "" {
		return
	}
	row.Package = testedPackage()
	row.Column = lastRead.of(row.Want)
	line, err := json.Marshal(row)
	if err != nil {
		return
	}
	name := strings.ReplaceAll(row.Package, "/", "-") + ".jsonl"
	f, err := os.OpenFile(filepath.Join(dir, name), os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o644)
	if err != nil {
		t.Errorf("record a comparison: %v", err)
		return
	}
	_, err = f.Write(append(line, '\n'))
	if err := firstError(err, f.Close()); err != nil {
		t.Errorf("record a comparison: %v", err)
	}
}

// columnRead remembers which column a test read last: arguments are worked out
// before the comparison they stand in, so a wanted number that was just read
// from a table is of that column. The table may be an outer test's.
type columnRead struct {
	sync.Mutex
	column string
	value  float64
}

var lastRead columnRead

func (c *columnRead) note(column string, value float64) {
	c.Lock()
	defer c.Unlock()
	c.column, c.value = column, value
}

func (c *columnRead) of(want float64) string {
	c.Lock()
	defer c.Unlock()
	if c.value == want {
		return c.column
	}
	return ""
}

func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// testedPackage returns the tested folder below the top of the module: the go
// command runs a test in the folder of its package.
func testedPackage() string {
	dir, err := os.Getwd()
	if err != nil {
		return "unknown"
	}
	for up := dir; up != filepath.Dir(up); up = filepath.Dir(up) {
		if _, err := os.Stat(filepath.Join(up, "go.mod")); err == nil {
			if rel, err := filepath.Rel(up, dir); err == nil {
				return filepath.ToSlash(rel)
			}
		}
	}
	return filepath.Base(dir)
}
