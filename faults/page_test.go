package faults

import (
	"fmt"
	"os"
	"strings"
	"testing"
)

const causesPage = "../docs/reference/faults.md"

const causesPageHead = `# The 48 causes

Written from the table of causes by ` + "`UPDATE=1 go test ./faults -run Page`" + `; do not edit. The numbers 1 to 48 are those of the trade's failure table and stay; 49 is our own: a rig that is sound and too small.

A cause is a change of the parameters of the plant model, with a severity; what its readings should be comes from that model. "Readings" says whether any gauge of
the path shows it; the others are told by words alone.

| number | cause | station | readings |
|---|---|---|---|
`

// pageOfCauses is the reference page.
func pageOfCauses() string {
	var b strings.Builder
	b.WriteString(causesPageHead)
	for _, c := range causes {
		shows := "yes"
		if !c.shows {
			shows = "no"
		}
		fmt.Fprintf(&b, "| %d | %s | %s | %s |\n", c.Number, c.Name, c.Station, shows)
	}
	return b.String()
}

func TestPageOfCauses(t *testing.T) {
	want := pageOfCauses()
	if os.Getenv("UPDATE") != "" {
		if err := os.WriteFile(causesPage, []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(causesPage)
	if err != nil || string(got) != want {
		t.Errorf("%s is not what the table of causes says (%v): UPDATE=1 go test ./faults -run Page", causesPage, err)
	}
}
