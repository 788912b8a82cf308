package cli

import (
	"regexp"
	"strings"
	"unicode/utf8"

	"rinsewright/internal/say"
)

// Spoken is a person's choice of language.
type Spoken struct {
	Language string `enum:"en,es" default:"en" env:"RINSEWRIGHT_LANGUAGE" help:"Language of the answer: en or es. Help, questions and errors are in English."`
}

// in is a terminal that prints in a language. It says itself what stays English.
func (t *terminal) in(language string) *terminal {
	t.words = say.Shared(language, t.locale.DecimalComma)
	if language != "en" {
		t.wrap("", "Help, questions and errors of the command line are in English.")
		t.put("")
	}
	return t
}

// gaps part the columns of a line.
var gaps = regexp.MustCompile(` {2,}`)

// columns says a line column by column. A column keeps its width where the words
// let it.
func (t *terminal) columns(line string) string {
	if t.words.Plain() || strings.TrimSpace(line) == "" {
		return line
	}
	full := utf8.RuneCountInString(line)
	words := strings.TrimRight(line, " ")
	var b strings.Builder
	cursor, from := 0, 0
	for _, gap := range append(gaps.FindAllStringIndex(words, -1), []int{len(words), len(words)}) {
		if body := words[from:gap[0]]; body != "" {
			room := max(utf8.RuneCountInString(words[:from])-cursor, min(cursor, 1))
			said := t.words.Say(body)
			b.WriteString(strings.Repeat(" ", room) + said)
			cursor += room + utf8.RuneCountInString(said)
		}
		from = gap[1]
	}
	if len(line) > len(words) {
		b.WriteString(strings.Repeat(" ", max(full-cursor, 1)))
	}
	return b.String()
}
