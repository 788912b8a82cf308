package scene

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"
)

// The estimate may be a little wide, so that texts keep clear of each other;
// it must hardly ever be narrow.
func TestTextWidthIsAsABrowserMeasures(t *testing.T) {
	const narrow, wide = -0.07, 0.11
	file, err := os.Open("testdata/ref/text_widths.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = file.Close() }()
	table := csv.NewReader(file)
	table.Comment = '#'
	lines, err := table.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, cells := range lines[1:] {
		weight, err := strconv.Atoi(cells[1])
		if err != nil {
			t.Fatal(err)
		}
		got := TextWidth(cells[0], 1, weight)
		for _, cell := range cells[2:] {
			want, err := strconv.ParseFloat(cell, 64)
			if err != nil {
				t.Fatal(err)
			}
			if off := got/want - 1; !(narrow <= off && off <= wide) {
				t.Errorf("%q at weight %d: %.3f em, measured %.3f (%+.1f %%)", cells[0], weight, got, want, 100*off)
			}
		}
	}
}
