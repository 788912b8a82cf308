package cli

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
)

// calcDoors are the doors in the order they are listed.
var calcDoors = []calcDoor{
	waterDoor, concentrateDoor, acidDoor, blendDoor, permeateDoor, calciteDoor,
	lineDoor, normaliseDoor, elementDoor, rigDoor,
	resinLifeDoor, columnDoor, softenerDoor, carbonDoor,
	tankDoor, demandDoor, rinseDoor, costDoor,
}

func listDoors(out io.Writer) error {
	w := tabwriter.NewWriter(out, 0, 8, 2, ' ', 0)
	for _, d := range calcDoors {
		fmt.Fprintf(w, "%s\t%s\n", d.name, d.about)
	}
	fmt.Fprintf(w, "%s\t%s\n", "forecast", "when bottles of resin will be spent, from a folder of logs")
	return w.Flush()
}

func listColumns(out io.Writer, d *calcDoor) error {
	w := tabwriter.NewWriter(out, 0, 8, 2, ' ', 0)
	fmt.Fprintf(w, "%s: %s\n", d.name, d.about)
	if len(d.flags) > 0 {
		fmt.Fprintf(w, "heeds %s\n", strings.Join(d.flags, ", "))
	}
	fmt.Fprint(w, "\nreads\t\t\n")
	for _, c := range d.columns() {
		fmt.Fprintf(w, "  %s\t%s\t%s\n", c.name, c.fits(), c.about)
	}
	fmt.Fprint(w, "\nanswers\t\t\n")
	for _, c := range d.keys {
		fmt.Fprintf(w, "  %s\t\tas read\n", c.name)
	}
	for _, c := range d.results {
		fmt.Fprintf(w, "  %s\t%s\t%s\n", c.name, c.unit, c.about)
	}
	fmt.Fprint(w, "  error\t\twhy the row has no answer; empty when it has\n")
	return w.Flush()
}

// fits says what a column takes and what an empty field means.
func (c calcColumn) fits() string {
	kind := "text"
	switch {
	case c.words != nil:
		kind = strings.Join(c.words, " | ")
	case !c.text:
		kind = c.span()
	}
	switch {
	case c.needed:
		return kind
	case c.standard != "":
		return kind + ", empty: " + c.standard
	}
	return kind + ", may be empty"
}
