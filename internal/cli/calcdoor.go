package cli

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rinsewright/quantity"
)

// calcDoor is one calculation by rows: what it reads, what it answers, and a
// function from the one to the other. Listing, checking, reading, writing and
// docs/reference/calc.md all follow from this table.
type calcDoor struct {
	name    string
	about   string
	notes   string // a paragraph for the reference page
	keys    []calcColumn
	inputs  []calcColumn
	results []calcColumn
	flags   []string // that it heeds beside --format
	compute func(calcSetting, calcRow) (calcAnswer, error)
	// series is instead of compute where one row has a curve for an answer.
	series func(calcSetting, calcRow) ([]calcAnswer, error)
}

// calcAnswer is a door's results in the order of its table: a float64, int,
// string or bool each, or nil for what this row has no answer to.
type calcAnswer []any

// calcColumn is one column, and all that is checked of it.
type calcColumn struct {
	name     string
	unit     string // empty for words and pure numbers
	about    string
	text     bool
	words    []string // the only words that fit, of a text
	needed   bool
	low      float64 // bounds of a number, both included
	high     float64
	whole    bool   // numbers without fraction only
	standard string // what an empty field stands for; empty when for nothing
}

// textColumn is a column of any text.
func textColumn(name, about string) calcColumn {
	return calcColumn{name: name, about: about, text: true}
}

// wordColumn is a column of a few words; with no standard one of them is needed.
func wordColumn(name, about, standard string, words ...string) calcColumn {
	return calcColumn{name: name, about: about, text: true, words: words, standard: standard, needed: standard == ""}
}

// needColumn is a number that a row must give.
func needColumn(name, unit, about string, low, high float64) calcColumn {
	return calcColumn{name: name, unit: unit, about: about, needed: true, low: low, high: high}
}

// mayColumn is a number that a row may leave empty; standard is then taken, if any.
func mayColumn(name, unit, about string, low, high float64, standard string) calcColumn {
	return calcColumn{name: name, unit: unit, about: about, low: low, high: high, standard: standard}
}

// wholeColumn is a column of whole numbers.
func wholeColumn(c calcColumn) calcColumn {
	c.whole = true
	return c
}

// resultColumn is a result.
func resultColumn(name, unit, about string) calcColumn {
	return calcColumn{name: name, unit: unit, about: about}
}

// calcRow is a row whose every field has been read and found in range.
type calcRow struct {
	numbers map[string]float64
	texts   map[string]string
}

// number returns a column's number, or 0 where nothing stands.
func (r calcRow) number(name string) float64 { return r.numbers[name] }

// has tells whether a number was given or has a standard.
func (r calcRow) has(name string) bool {
	_, ok := r.numbers[name]
	return ok
}

func (r calcRow) text(name string) string { return r.texts[name] }

// columns returns keys and inputs, each once.
func (d *calcDoor) columns() []calcColumn {
	all := slices.Clone(d.keys)
	for _, c := range d.inputs {
		if !slices.ContainsFunc(d.keys, func(k calcColumn) bool { return k.name == c.name }) {
			all = append(all, c)
		}
	}
	return all
}

// read checks a record against the door's columns.
func (d *calcDoor) read(record calcRecord) (calcRow, error) {
	row := calcRow{numbers: map[string]float64{}, texts: map[string]string{}}
	if record.problem != nil {
		return row, record.problem
	}
	for _, c := range d.columns() {
		given, there := record.fields[c.name]
		given = strings.TrimSpace(given)
		text := given
		if text == "" {
			text = c.standard
		}
		if text == "" && c.needed {
			if !there {
				return row, fmt.Errorf("%s: no such column, wanted %s", c.name, c.wanted())
			}
			return row, fmt.Errorf("%s: nothing read, wanted %s", c.name, c.wanted())
		}
		if text == "" {
			continue
		}
		if err := c.take(row, text); err != nil {
			return row, err
		}
	}
	return row, nil
}

// take puts a field's text into the row, as what the column wants.
func (c calcColumn) take(row calcRow, text string) error {
	if c.text {
		if c.words != nil && !slices.Contains(c.words, text) {
			return fmt.Errorf("%s: read %q, wanted %s", c.name, text, c.wanted())
		}
		row.texts[c.name] = text
		return nil
	}
	x, err := quantity.ParseNumber(text, quantity.Locale{})
	if err != nil || !(c.low <= x && x <= c.high) || c.whole && x != math.Trunc(x) {
		return fmt.Errorf("%s: read %q, wanted %s", c.name, text, c.wanted())
	}
	row.numbers[c.name] = x
	return nil
}

// wanted says what fits in the column.
func (c calcColumn) wanted() string {
	switch {
	case c.words != nil:
		quoted := make([]string, len(c.words))
		for i, w := range c.words {
			quoted[i] = fmt.Sprintf("%q", w)
		}
		return strings.Join(quoted, " or ")
	case c.text:
		return "text"
	}
	if c.whole {
		return "a whole number, " + c.span()
	}
	return "a number, " + c.span()
}

// span is the range of a number, with its unit.
func (c calcColumn) span() string {
	return strings.TrimSpace(fmt.Sprintf("%g to %g %s", c.low, c.high, c.unit))
}

// check refuses an answer that is not one finite value per result.
func (d *calcDoor) check(answer calcAnswer) error {
	if len(answer) != len(d.results) {
		return fmt.Errorf("%s: %d results where %d were to come", d.name, len(answer), len(d.results))
	}
	for i, v := range answer {
		if x, ok := v.(float64); ok && (math.IsNaN(x) || math.IsInf(x, 0)) {
			return fmt.Errorf("%s comes out as no finite number: the row is beyond what the model holds for", d.results[i].name)
		}
	}
	return nil
}

// answers reads and computes one record.
func (d *calcDoor) answers(s calcSetting, record calcRecord) ([]calcAnswer, error) {
	row, err := d.read(record)
	if err != nil {
		return nil, err
	}
	all, err := d.ask(s, row)
	if err != nil {
		return nil, err
	}
	for _, a := range all {
		if err := d.check(a); err != nil {
			return nil, err
		}
	}
	return all, nil
}

func (d *calcDoor) ask(s calcSetting, row calcRow) ([]calcAnswer, error) {
	if d.series != nil {
		return d.series(s, row)
	}
	a, err := d.compute(s, row)
	return []calcAnswer{a}, err
}
