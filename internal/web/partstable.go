package web

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"strings"

	"rinsewright/catalog"
)

// partsTable is a list of parts as text, with where each row stands in it, so
// that one row changes and every other letter stays.
type partsTable struct {
	text  string
	names []string
	rows  []tableRow
}

type tableRow struct {
	cells    []string
	from, to int // bytes of the text
}

// tableOf reads text that [catalog.Read] takes.
func tableOf(text string) (partsTable, error) {
	t := partsTable{text: text}
	skip := len(text) - len(strings.TrimPrefix(text, "\xef\xbb\xbf"))
	r := csv.NewReader(strings.NewReader(text[skip:]))
	r.Comment, r.TrimLeadingSpace = '#', true
	for {
		from := int(r.InputOffset()) + skip
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return t, nil
		}
		if err != nil {
			return t, err
		}
		to := int(r.InputOffset()) + skip
		if t.names == nil {
			for _, name := range cells {
				t.names = append(t.names, strings.ToLower(strings.TrimSpace(name)))
			}
			continue
		}
		t.rows = append(t.rows, tableRow{cells, from + remarks(text[from:to]), to})
	}
}

// remarks is how many bytes of empty lines and remarks text begins with.
func remarks(text string) (n int) {
	for {
		line, rest, more := strings.Cut(text[n:], "\n")
		if plain := strings.TrimSpace(line); !more || plain != "" && plain[0] != '#' {
			return n
		}
		n = len(text) - len(rest)
	}
}

// cell is what stands in a row under a name.
func (t partsTable) cell(row int, name string) string {
	for i, n := range t.names {
		if n == name && i < len(t.rows[row].cells) {
			return t.rows[row].cells[i]
		}
	}
	return ""
}

// with is the text with one row changed.
func (t partsTable) with(row int, said map[string]string) string {
	return t.text[:t.rows[row].from] + t.line(row, said) + t.text[t.rows[row].to:]
}

// line is a row with what was said by name, the other cells as they are.
func (t partsTable) line(row int, said map[string]string) string {
	cells := make([]string, len(t.names))
	for i, name := range t.names {
		cells[i] = t.cell(row, name)
		if now, ok := said[name]; ok {
			cells[i] = now
		}
	}
	return csvLine(cells)
}

// without is the text with one row taken out.
func (t partsTable) without(row int) string {
	return t.text[:t.rows[row].from] + t.text[t.rows[row].to:]
}

// after is the text with a new row behind another.
func (t partsTable) after(row int, said map[string]string) string {
	cells := make([]string, len(t.names))
	for i, name := range t.names {
		cells[i] = said[name]
	}
	before := t.text[:t.rows[row].to]
	if !strings.HasSuffix(before, "\n") {
		before += "\n"
	}
	return before + csvLine(cells) + t.text[t.rows[row].to:]
}

func csvLine(cells []string) string {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	_ = w.Write(cells) // a buffer takes everything
	w.Flush()
	return b.String()
}

// partColumns are the columns of a list of parts with what they mean, in the
// order a form shows them.
var partColumns = []struct{ name, says, example string }{
	{"name", "what you call it", "4021 tap element"},
	{"size", "nominal size", "4021"},
	{"flow", "at its pressure", "950 gpd"},
	{"pressure", "at that flow; what it loses, or lifts", "100 psi"},
	{"shut_off", "of a pump, at no flow", "125 psi"},
	{"rejection", "of an element, at its test", "99 %"},
	{"recovery", "at its test", "15 %"},
	{"test_salt", "sodium chloride at its test", "500 mg/L"},
	{"temperature", "at its test", "77 F"},
	{"area", "of the membrane", "33 ft2"},
	{"length", "of an element, or what a price of tube buys", "0.48 m"},
	{"volume", "of a tank, or of what is filled in", "300 gal"},
	{"diameter", "of a tank", "42 in"},
	{"medium", "what is filled in", "catalytic"},
	{"rating", "of a filter", "5 um"},
	{"salt", "for one regeneration", "8 lb"},
	{"efficiency", "of a pump", "35 %"},
	{"power", "what a pump draws", "550 W"},
	{"price", "of the part", "210.00"},
	{"refill", "of what is changed in it", "28.00"},
	{"priced", "day on which its price was told", "2026-06-13"},
	{"hours", "to put it up", "0.5"},
	{"note", "where its numbers come from", "data sheet, March"},
}

// kinds are those of the catalogue, in the order the water meets them.
var kinds = []catalog.Kind{
	catalog.Filter, catalog.IronFilter, catalog.Carbon, catalog.Softener, catalog.Booster, catalog.Element, catalog.Housing, catalog.Restrictor,
	catalog.Tank, catalog.PressureTank, catalog.Aerator, catalog.Float, catalog.Resin, catalog.DeliveryPump, catalog.Tube,
}
