package door

import (
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

// Doubts says what looks odd about readings before they are kept, a sentence
// each. Lines are those of a log, "permeate_strength = 9 ppm NaCl", their
// numbers written as loc says; a line that is no reading is told at its field
// and not here.
func Doubts(s *site.Site, date string, lines []string, loc quantity.Locale) (says []string) {
	visit := site.Visit{Date: date}
	for _, line := range lines {
		if r, err := site.ParseReading(line, loc); err == nil {
			visit.Read = append(visit.Read, r)
		}
	}
	for _, q := range study.Questions(s, visit) {
		says = append(says, q.Asks)
	}
	return says
}
