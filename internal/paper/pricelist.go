package paper

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
)

// PriceList is a catalogue's text as a table for a spreadsheet: prices and hours are
// numbers, all else is text, and the remarks that name its currency and its day stand
// under it, so that the table can be brought back. The text is one that the catalogue
// could read.
func PriceList(text string) (Grid, error) {
	g, err := priceRows(text)
	for _, line := range remarks(text) {
		g.Rows = append(g.Rows, []any{line})
	}
	return g, err
}

// PriceText is a catalogue's text that no spreadsheet takes for formulas: as it
// stands where no cell looks like one, else with a quote ahead of those that do.
func PriceText(text string) (string, error) {
	g, err := priceRows(text)
	if err != nil || !g.formulas() {
		return text, err
	}
	table, err := g.CSV()
	return strings.Join(append(remarks(text), string(table)), "\n"), err
}

// formulas says that a cell looks like one.
func (g Grid) formulas() bool {
	return slices.ContainsFunc(g.Rows, func(row []any) bool {
		return slices.ContainsFunc(row, func(cell any) bool {
			s, ok := cell.(string)
			return ok && harmless(s) != s
		})
	})
}

func priceRows(text string) (Grid, error) {
	text = strings.TrimPrefix(text, "\ufeff")
	g := Grid{Name: "Parts and prices"}
	r := csv.NewReader(strings.NewReader(text))
	r.Comment, r.TrimLeadingSpace = '#', true
	heads, err := r.Read()
	if err != nil {
		return g, fmt.Errorf("price list: %w", err)
	}
	g.Heads = heads
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return g, fmt.Errorf("price list: %w", err)
		}
		row := make([]any, len(cells))
		for i, cell := range cells {
			row[i] = strings.TrimSpace(cell)
			if x, err := strconv.ParseFloat(cell, 64); err == nil && slices.Contains(numbers, strings.ToLower(heads[i])) {
				row[i] = x
			}
		}
		g.Rows = append(g.Rows, row)
	}
	return g, nil
}

func remarks(text string) (all []string) {
	for _, line := range strings.Split(text, "\n") {
		if line = strings.TrimSpace(line); strings.HasPrefix(line, "#") {
			all = append(all, line)
		}
	}
	return all
}

// numbers are the columns without a unit.
var numbers = []string{"price", "refill", "hours"}

// Dated is a catalogue's text with the day on which its prices were told.
func Dated(text, day string) string {
	line := "# date: " + day + "\n"
	var b bytes.Buffer
	placed := false
	for _, l := range strings.SplitAfter(text, "\n") {
		if strings.HasPrefix(strings.TrimSpace(l), "# date:") {
			continue
		}
		b.WriteString(l)
		if !placed && strings.HasPrefix(strings.TrimSpace(l), "# currency:") {
			b.WriteString(line)
			placed = true
		}
	}
	if !placed {
		return line + b.String()
	}
	return b.String()
}
