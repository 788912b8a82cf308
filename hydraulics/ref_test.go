package hydraulics

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"rinsewright/quantity"
)

// refLines returns the lines of a reference file without its source lines,
// which it insists on.
func refLines(t testing.TB, name string) []string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", "ref", name))
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")
	for i, key := range []string{"# source: ", "# where: ", "# kind: ", "# unit: "} {
		if !strings.HasPrefix(lines[i], key) {
			t.Fatalf("%s line %d: want %q", name, i+1, key)
		}
	}
	return lines[4:]
}

// refRows returns the rows of a reference table by column name.
func refRows(t testing.TB, name string) []map[string]string {
	t.Helper()
	records, err := csv.NewReader(strings.NewReader(strings.Join(refLines(t, name), "\n"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]string
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, column := range records[0] {
			row[column] = record[i]
		}
		rows = append(rows, row)
	}
	if len(rows) == 0 {
		t.Fatalf("%s: no rows", name)
	}
	return rows
}

func num64(t testing.TB, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// near fails unless got is want to a relative tolerance. NaN fails.
func near(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol*math.Abs(want)) {
		t.Errorf("%s: got %.8g, want %.8g within %.3g %%, off %+.3g %%", what, got, want, 100*tol, 100*(got/want-1))
	}
}

// water20 is water at 20 °C. published: IAPWS-type table, density and viscosity.
var water20 = Fluid{Density: 998.21, Viscosity: 1.0016e-3}

func litresPerSecond(x float64) quantity.Flow { return quantity.Flow(x * 1e-3) }
