package cli

import (
	"fmt"
	"io"
	"regexp"
	"strings"
	"unicode"

	"rinsewright/internal/sitefile"
)

// surveyWidth is the room of a line: a phone's terminal is no wider.
const surveyWidth = 78

// sheet prints the survey. The first write error is kept.
type sheet struct {
	w   io.Writer
	err error
}

func newSheet(w io.Writer) *sheet { return &sheet{w: w} }

func (o *sheet) part(s string) {
	if o.err == nil {
		_, o.err = io.WriteString(o.w, s)
	}
}

func (o *sheet) raw(s string)  { o.part(s) }
func (o *sheet) line(s string) { o.part(strings.TrimRight(s, " ") + "\n") }

func (o *sheet) wrap(lead, text string) {
	words := strings.Fields(text)
	for i, w := range words {
		words[i] = clipped(w, surveyWidth-len([]rune(lead)))
	}
	for _, l := range wrapped(lead, strings.Join(words, " "), surveyWidth) {
		o.line(l)
	}
}

func (o *sheet) head(title string) {
	o.line("")
	o.line(title)
	o.line(strings.Repeat("-", len([]rune(title))))
}

// clipped is text on one line, at most n characters long and without anything
// that a terminal would obey.
func clipped(text string, n int) string {
	r := []rune(strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return '?'
		}
		return r
	}, text))
	if len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return string(r)
}

func (a *asker) welcome() {
	a.out.wrap("", "Enter skips a question, ? explains it, back goes one back, done stops and writes. Ctrl-C leaves without writing.")
	a.out.line("")
	if a.before != nil {
		a.out.wrap("", clipped(a.file, 50)+" is there. Brackets show what it says: Enter keeps that, - forgets it.")
		return
	}
	a.out.wrap("", "A new site. Ten questions come first: they are enough for rinsewright check.")
}

// question prints a question with its choices or an example, and the caution
// of a step that can hurt.
func (a *asker) question(st step) {
	a.out.line("")
	a.out.wrap(a.lead(st), a.asked(st))
	a.out.wrap("    ", a.fits(st))
	if st.care != "" {
		a.out.wrap("    ", "Take care: "+st.care)
	}
}

func (a *asker) asked(st step) string {
	if st.index > 0 && st.more != "" {
		return st.more
	}
	return st.ask
}

// lead numbers the ten.
func (a *asker) lead(st step) string {
	if !st.first {
		return "    "
	}
	for i, other := range a.steps {
		if other.key == st.key && other.first {
			return fmt.Sprintf("%2d  ", i+1)
		}
	}
	return "    "
}

// fits is what an answer may be.
func (a *asker) fits(st step) string {
	if st.part() {
		return "(yes or no)"
	}
	if words := sitefile.Words(st.key); len(words) > 0 {
		return "(" + orList(words) + ")"
	}
	_, example := sitefile.Example(st.key)
	return "(such as " + a.exampleText(example) + ")"
}

var pointInNumber = regexp.MustCompile(`(\d)\.(\d)`)

func (a *asker) exampleText(example string) string {
	if a.locale.DecimalComma {
		return pointInNumber.ReplaceAllString(example, "$1,$2")
	}
	return example
}

// explain answers "?".
func (a *asker) explain(st step) {
	a.out.wrap("    ", "What for: "+st.why)
	a.out.wrap("    ", "How: "+st.how)
	if st.minutes > 0 {
		a.out.wrap("    ", fmt.Sprintf("It takes about %.0f min.", st.minutes))
	}
	if !st.part() {
		a.out.wrap("    ", "In the file: "+a.key(st, st.key))
	}
}

// orList is "a, b or c".
func orList(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

// listedWords is "a, b and c".
func listedWords(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}
