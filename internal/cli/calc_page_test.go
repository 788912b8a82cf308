package cli

import (
	"fmt"
	"os"
	"strings"
	"testing"
)

const calcPageFile = "../../docs/reference/calc.md"

const calcPageHead = `# ` + "`calc`" + `: the engine by rows of CSV or JSON

Written from the table of doors by ` + "`UPDATE=1 go test ./internal/cli -run CalcPage`" + `; do not edit.

` + "```" + `
rinsewright calc NAME [FILE] [--format csv|json]
rinsewright calc --list
rinsewright calc NAME --columns
` + "```" + `

Rows come from FILE or standard input. The first byte that is not blank tells the format: ` + "`[` or `{`" + ` is JSON, an array of objects or objects one after
another; anything else is CSV with a header. Output is in the same format; ` + "`--format`" + ` overrides.

- Input columns are matched by name, in any order. Columns that are not known are ignored, with one line on standard error.
- Output begins with the key columns as they were read, then the results, then ` + "`error`" + `, which is empty for a row that was computed. A result that a row has no
  answer to is empty (` + "`null`" + ` in JSON).
- Numbers have decimal points, are printed with eight significant figures, and are read as people write them: ` + "`1285`, `1,285`, `1.2e-9`, `1/2`" + `; not NaN, infinities or
  hexadecimal.
- The exit code is 0 unless every row failed or the input cannot be read at all; then it is 2.

A unit is part of a column's name: ` + "`mgL`" + ` is mg per litre of water at its own temperature, ` + "`molkgw`" + ` mol per kg of water, ` + "`uScm`" + ` µS/cm. Ions are as the ion,
` + "`_CaCO3`" + ` is as CaCO3. Pressures are gauge or differences. Shares are fractions: 0.5, not 50.

A name that is no door is refused, and the refusal lists the doors. The columns of water to normalise are a promise to programs: they stay.

## Doors

`

const calcPageTail = `
## Folders

` + "`rinsewright calc faults DIR` reads a folder of cases, CSV with a header each, joined by `case_id`" + `: ` + "`cases.csv`" + ` the nameplate and the service book, a row a case;
` + "`readings.csv`" + ` today's readings, a row a reading (` + "`case_id, quantity, value, unit, instrument, minutes_running`" + `); and if there are any ` + "`baseline.csv`" + `, the same of the day
the rig was accepted, and ` + "`words.csv` (`case_id, who, text`)" + `. It prints ` + "`case_id, rank, cause, probability`" + `, at least five ranks a case; the cause is the number of the trade's
failure table, as in [faults](faults.md). ` + "`--no-words`" + ` leaves out what people said. An empty cell is not known.

` + "`rinsewright calc forecast DIR`" + ` reads logs (` + "`sites.csv, visits.csv, events.csv, queries.csv`" + `, and vends if there are any; each may be packed with gzip) and
answers each row of ` + "`queries.csv` from rows dated on or before its date: `site_id, as_of_date, q05, q50, q95`" + `, the day on which the lead bottle's outlet passes its
limit if nobody changes it. With ` + "`--state`" + ` it prints the state at the first of every month: ` + "`site_id, date, quantity, q05, q50, q95`, for `A_ratio` and `B_ratio`" + `,
to the first month's, and ` + "`lead_used_fraction`, `lag_used_fraction`, `carbon_used_fraction`" + `. Columns: [forecast.md](forecast.md).
`

// calcPage is the reference page of calc.
func calcPage() string {
	var b strings.Builder
	b.WriteString(calcPageHead)
	b.WriteString("| door | answers |\n|---|---|\n")
	for _, d := range calcDoors {
		fmt.Fprintf(&b, "| [%s](#%s) | %s |\n", d.name, d.name, d.about)
	}
	for i := range calcDoors {
		writeDoor(&b, &calcDoors[i])
	}
	b.WriteString(calcPageTail)
	return b.String()
}

func writeDoor(b *strings.Builder, d *calcDoor) {
	fmt.Fprintf(b, "\n### %s\n\n%s.\n", d.name, strings.ToUpper(d.about[:1])+d.about[1:])
	if d.notes != "" {
		fmt.Fprintf(b, "\n%s\n", d.notes)
	}
	if len(d.flags) > 0 {
		fmt.Fprintf(b, "\nHeeds `%s`.\n", strings.Join(d.flags, "`, `"))
	}
	b.WriteString("\n| reads | takes | meaning |\n|---|---|---|\n")
	for i, c := range d.columns() {
		name := "`" + c.name + "`"
		if i < len(d.keys) {
			name += " (key)"
		}
		fmt.Fprintf(b, "| %s | %s | %s |\n", name, cell(c.fits()), cell(c.about))
	}
	b.WriteString("\n| answers | unit | meaning |\n|---|---|---|\n")
	for _, c := range d.results {
		fmt.Fprintf(b, "| `%s` | %s | %s |\n", c.name, c.unit, cell(c.about))
	}
}

func cell(text string) string { return strings.ReplaceAll(text, "|", "or") }

func TestCalcPageSaysWhatTheDoorsDo(t *testing.T) {
	want := calcPage()
	if os.Getenv("UPDATE") == "1" {
		if err := os.WriteFile(calcPageFile, []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(calcPageFile)
	if err != nil {
		t.Fatal(err)
	}
	if string(got) != want {
		t.Error("docs/reference/calc.md is not what the doors say: UPDATE=1 go test ./internal/cli -run CalcPage, and read the diff")
	}
}
