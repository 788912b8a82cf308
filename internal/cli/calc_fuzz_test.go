package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

func sortedNames(fields map[string]string) (names []string) {
	for name := range fields {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// watersFile writes the waters that the blend sample mixes.
func watersFile(t testing.TB) string {
	t.Helper()
	var rows []string
	for _, id := range []string{"W1", "W2"} {
		rows = append(rows, asJSON(fieldsOf(testWaters[id])))
	}
	file := filepath.Join(t.TempDir(), "waters.json")
	if err := os.WriteFile(file, []byte(strings.Join(rows, "\n")), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// FuzzDoors changes one field of a door's row, and throws raw bytes at its
// reader: nothing panics, and a row without an error has finite results only.
func FuzzDoors(f *testing.F) {
	hostile := []string{"NaN", "Inf", "-Inf", "0", "-1", "1e308", "1e-308", "-0", "", "x", "1e9", "60", "14"}
	for i := range calcDoors {
		d := &calcDoors[i]
		for j, value := range hostile {
			f.Add(uint8(i), uint8(j), value, "")
		}
		f.Add(uint8(i), uint8(0), "a", asCSV(sampleOf(f, d.name)))
		f.Add(uint8(i), uint8(0), "a", asJSON(sampleOf(f, d.name)))
		f.Add(uint8(i), uint8(0), "a", "["+asJSON(sampleOf(f, d.name))+",5,null]")
		f.Add(uint8(i), uint8(0), "a", "id,\"x\n1,2,3")
	}
	waters := settingFor(f).waters
	f.Fuzz(func(t *testing.T, door, column uint8, value, raw string) {
		d := &calcDoors[int(door)%len(calcDoors)]
		if raw == "" {
			fields := sampleOf(t, d.name)
			columns := d.columns()
			fields[columns[int(column)%len(columns)].name] = value
			raw = asCSV(fields)
		}
		ctx, stop := context.WithTimeout(context.Background(), 2*time.Second) // a simulated year may be long
		defer stop()
		var out, told bytes.Buffer
		desk := Desk{Context: ctx, In: strings.NewReader(raw), Out: &out, Err: &told}
		code := report(desk, CalcCommand{Format: "json"}.rows(desk, d, calcSetting{ctx: ctx, waters: waters}, desk.In))
		if code != ExitGood && code != ExitBad {
			t.Fatalf("exit %d", code)
		}
		mustBeFinite(t, d, out.String())
	})
}

// mustBeFinite reads what a door wrote as JSON and looks at every result.
func mustBeFinite(t *testing.T, d *calcDoor, text string) {
	t.Helper()
	decoder := json.NewDecoder(strings.NewReader(strings.TrimSpace(text)))
	for decoder.More() {
		var whole json.RawMessage
		if err := decoder.Decode(&whole); err != nil {
			t.Fatalf("%s writes what is no JSON: %v in\n%s", d.name, err, text)
		}
		var rows []map[string]any
		if json.Unmarshal(whole, &rows) != nil {
			rows = make([]map[string]any, 1)
			if err := json.Unmarshal(whole, &rows[0]); err != nil {
				t.Fatal(err)
			}
		}
		for _, row := range rows {
			mustAnswer(t, d, row)
		}
	}
}

func mustAnswer(t *testing.T, d *calcDoor, row map[string]any) {
	t.Helper()
	given := 0
	for _, c := range d.results {
		switch v := row[c.name].(type) {
		case float64:
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Errorf("%s: %s is %v", d.name, c.name, strconv.FormatFloat(v, 'g', -1, 64))
			}
			given++
		case string, bool:
			given++
		}
	}
	if problem, _ := row["error"].(string); (problem == "") != (given > 0) || strings.ContainsAny(problem, "\r\n") {
		t.Errorf("%s: %d results with error %q", d.name, given, problem)
	}
}
