package sitefile

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
	"unicode"

	"github.com/pelletier/go-toml/v2/unstable"

	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
)

const mostLines = 2000 // readings of one visit

// changes binds the parts that were changed. Files of before these words were
// fixed hold any text: it is heard as the word it means, or kept as other.
func changes(key, says, example string, at *[]site.Change) field {
	set := func(v value, _ quantity.Locale) error {
		items := itemsOf(v)
		var all []site.Change
		for _, item := range items {
			said, err := wantString(item)
			if err != nil || strings.ContainsFunc(said, func(r rune) bool { return r < ' ' }) || len(said) > 200 {
				return refusal{"a list of texts in quotes, such as " + example}
			}
			meant, near := site.ChangeMeant(said)
			if near != "" {
				return refusal{fmt.Sprintf("%q, if that was meant; otherwise \"other: %s\"", near, said)}
			}
			if meant != "" {
				all = append(all, meant)
			}
		}
		*at = all
		return nil
	}
	get := func() string {
		if len(*at) == 0 {
			return ""
		}
		return "[" + listed(*at) + "]"
	}
	return field{key, says, example, set, get, func() { *at = nil }, nil, nil}
}

// lines binds a list of lines, each read by parse and written by show, each on
// a line of its own.
func lines[T any](key, says, example string, at *[]T, parse func(string, quantity.Locale) (T, error), show func(T) string) field {
	set := func(v value, loc quantity.Locale) error {
		items := itemsOf(v)
		if len(items) > mostLines {
			return refusal{fmt.Sprintf("at most %d lines", mostLines)}
		}
		var all []T
		for _, item := range items {
			line, err := wantString(item)
			if err != nil || strings.ContainsFunc(line, unicode.IsControl) {
				return refusal{"a list of texts in quotes, such as " + example}
			}
			one, err := parse(line, loc)
			if err != nil {
				return refusedLine(line, err)
			}
			all = append(all, one)
		}
		*at = all
		return nil
	}
	get := func() string {
		switch len(*at) {
		case 0:
			return ""
		case 1:
			return "[" + quoted(show((*at)[0])) + "]"
		}
		var b strings.Builder
		b.WriteString("[\n")
		for _, one := range *at {
			b.WriteString("  " + quoted(show(one)) + ",\n")
		}
		return b.String() + "]"
	}
	return field{key, says, example, set, get, func() { *at = nil }, nil, nil}
}

// readings binds lines of readings by gauge.
func readings(key, says, example string, at *[]site.Reading) field {
	return lines(key, says, example, at, site.ParseReading, site.Reading.String)
}

// plainLines binds lines of plain text.
func plainLines(key, says, example string, at *[]string) field {
	return lines(key, says, example, at, func(line string, _ quantity.Locale) (string, error) {
		if line = strings.Join(strings.Fields(line), " "); line == "" || len(line) > 300 {
			return "", refusal{"a line of at most 300 characters"}
		}
		return line, nil
	}, func(s string) string { return s })
}

func commissioningFields(s *site.Site, index int) []field {
	c := grown(&s.Commissioned, index)
	return []field{
		matched("date", "the day it was read", "2026-06-13", day, dayForm, &c.Date),
		text("by", "who read", "A. Person", &c.By),
		text("signed", "who signed", "O. Owner", &c.Signed),
		matched("corrects", "the day of the record that this one takes the place of", "2026-06-12", day, dayForm, &c.Corrects),
		text("reason", "why it was corrected", "the pen was on another scale", &c.Reason),
		text("words", "what else was seen", "panel dried without spots", &c.Words),
		lines("instruments", "the meter bag, a line each", `["pen B = pen, ±2 %, calibrated 2026-05-01"]`, &c.Instruments, site.ParseInstrument, func(i site.Instrument) string { return i.Typed }),
		plainLines("done", "steps of the sheet that were done", `["flush, 12 min"]`, &c.Done),
		readings("readings", "by gauge, a line each; the same gauge twice is read twice", `["permeate_flow = 1.1 gpm, by bucket"]`, &c.Read),
		lines("promised", "what was promised, as it stood that day", `["permeate_flow = at least 0.95 gpm"]`, &c.Promised, site.ParsePromised, func(p site.Promised) string { return p.Typed }),
		lines("drawn", "what was signed on glass: places right and down on a board of 1000 by 300, a stroke a line", `["120,40 131,44 150,60"]`, &c.Drawn, func(line string, _ quantity.Locale) (site.Stroke, error) { return site.ParseStroke(line) }, site.Stroke.String),
		lines("photos", "taken that day: the SHA-256 of each and what it shows", `["`+strings.Repeat("0123456789abcdef", 4)+` gauge at the feed end"]`, &c.Photos, func(line string, _ quantity.Locale) (site.Pictured, error) { return site.ParsePictured(line) }, site.Pictured.String),
		matched("seal", "over the rest: a record that was changed after it was signed shows", "0123456789abcdef", "sixteen digits of the seal", sealForm, &c.Seal),
	}
}

var sealForm = regexp.MustCompile(`^[0-9a-f]{16}$`)

func refusedLine(line string, err error) error {
	var p site.Problem
	if !errors.As(err, &p) {
		return refusal{err.Error()}
	}
	wanted := fmt.Sprintf("%s in %s", p.Wanted, shortened(quoted(line)))
	if p.Example != "" {
		wanted += ", such as " + p.Example
	}
	return refusal{wanted}
}

// itemsOf is a list's items; a single text is a list of one.
func itemsOf(v value) []value {
	if v.kind == unstable.String {
		return []value{v}
	}
	return v.items
}

// gaugeTable is the reference's list of gauges.
func gaugeTable() string {
	var b strings.Builder
	b.WriteString("\n## Readings by gauge\n\nA reading is one line: the gauge, the bay or housing where there are several, what it showed with its unit and a pen's scale, after how long\n" +
		"it was running, and what it was read with. `skipped: why` in place of the value says that it was meant to be read; `<` ahead of it that it was too low to\n" +
		"read. A pen's ppm without a scale is taken as NaCl, and said to be.\n\n" +
		"```toml\nreadings = [\n  \"permeate_strength = 9 ppm NaCl, after 20 min, by pen B\",\n  \"gun_strength 3 = 63 uS/cm, after 1 min\",\n  \"membrane_total_chlorine = <0.1 mg/L, by drop kit\",\n  \"tank_level = skipped: no ladder\",\n]\n```\n\n" +
		"| gauge | reads | as |\n|---|---|---|\n")
	for _, g := range plant.Gauges() {
		kind, name := string(g.Kind()), string(g)
		if kind == "" {
			kind = "number"
		}
		if g.Numbered() {
			name += " N"
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s |\n", name, g.Title(), kind)
	}
	return b.String()
}
