package door

import (
	"fmt"
	"regexp"
	"strings"

	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

// Doubt is what looks odd about readings, a sentence, and what a button would
// put in their place: lines of a log, none where nobody can guess.
type Doubt struct {
	Says    string   `json:"says"`
	Button  string   `json:"button,omitempty"`
	Instead []string `json:"instead,omitempty"`
}

// Doubts says what looks odd about readings before they are kept. Lines are
// those of a log, "permeate_strength = 9 ppm NaCl", their numbers written as the
// reader of o does; a line that is no reading is told at its field and not here.
func Doubts(s *site.Site, date string, lines []string, o study.Options) (all []Doubt) {
	visit := site.Visit{Date: date}
	for _, line := range lines {
		if d, ok := grouped(line, o.Locale); ok {
			all = append(all, d)
		}
		if r, err := site.ParseReading(line, o.Locale); err == nil {
			visit.Read = append(visit.Read, r)
		}
	}
	for _, q := range study.Questions(s, visit, o) {
		d := Doubt{Says: q.Asks, Instead: q.Instead}
		switch {
		case len(q.Instead) == 0:
		case q.Kind == site.AskSwapped:
			d.Button = "Swap them"
		default:
			_, value, _ := strings.Cut(q.Instead[0], " = ")
			value, _, _ = strings.Cut(value, ", ")
			d.Button = "It was " + value
		}
		all = append(all, d)
	}
	return all
}

// A number with one group of three behind the mark of thousands may have been
// meant as a decimal by whoever writes those the other way.
var oneGroup = map[bool]*regexp.Regexp{
	false: regexp.MustCompile(`= ([1-9]\d{0,2}),(\d{3})(?:\s|,|$)`),
	true:  regexp.MustCompile(`= ([1-9]\d{0,2})\.(\d{3})(?:\s|,|$)`),
}

// grouped asks about such a number.
func grouped(line string, loc quantity.Locale) (Doubt, bool) {
	m := oneGroup[loc.DecimalComma].FindStringSubmatch(line)
	if m == nil {
		return Doubt{}, false
	}
	group, mark := ",", "."
	if loc.DecimalComma {
		group, mark = ".", ","
	}
	typed, meant := m[1]+group+m[2], m[1]+mark+m[2]
	return Doubt{
		Says: fmt.Sprintf("%s is read as %s. Was %s meant?", typed, m[1]+m[2], meant), Button: "It was " + meant,
		Instead: []string{strings.Replace(line, typed, meant, 1)},
	}, true
}
