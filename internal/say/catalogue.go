package say

import (
	"embed"
	"encoding/csv"
	"fmt"
	"regexp"
	"slices"
	"sort"
	"strings"
	"sync"
	"unicode"
)

// Languages are those that people may choose, English first.
var Languages = []string{"en", "es"}

// Names are the languages' own names for themselves.
var Names = map[string]string{"en": "English", "es": "Español"}

//go:embed spanish/*.csv
var spanishFiles embed.FS

// messages is one language's catalogue.
type messages struct {
	exact    map[string]string
	patterns []pattern
}

type pattern struct {
	key        string
	head, tail string // what a phrase of this shape begins and ends with
	shape      *regexp.Regexp
	to         []Piece
	own        int // length of what is not filled in
	letters    int // letters in it
}

// mostParticular is how many letters of its own a sentence has that is known
// even with words in it that are not.
const mostParticular = 8

// values are what a phrase of this shape was filled with, nil if it is of
// another.
func (p pattern) values(phrase string) []string {
	if len(phrase) < p.own || !strings.HasPrefix(phrase, p.head) || !strings.HasSuffix(phrase, p.tail) {
		return nil
	}
	if m := p.shape.FindStringSubmatch(phrase); m != nil {
		return m[1:]
	}
	return nil
}

// Piece is words of a sentence, or its value of that number where Value is not
// negative.
type Piece struct {
	Words string
	Value int
}

var spanish = sync.OnceValue(func() messages {
	m := newMessages()
	for _, row := range rows() {
		m.add(row.English, row.Spanish)
	}
	return m.sorted()
})

// Row is one line of the catalogue.
type Row struct{ File, English, Spanish string }

// Rows are all lines of the catalogue, file by file.
func Rows() []Row { return rows() }

var rows = sync.OnceValue(func() (all []Row) {
	files, err := spanishFiles.ReadDir("spanish")
	for _, f := range files {
		var text []byte
		if text, err = spanishFiles.ReadFile("spanish/" + f.Name()); err != nil {
			break
		}
		r := csv.NewReader(strings.NewReader(string(text)))
		r.Comment = '#'
		var lines [][]string
		if lines, err = r.ReadAll(); err != nil {
			err = fmt.Errorf("%s: %w", f.Name(), err)
			break
		}
		for _, line := range lines[1:] {
			all = append(all, Row{f.Name(), line[0], line[1]})
		}
	}
	if err != nil {
		panic("embedded catalogue: " + err.Error()) // a mistake in this package, seen by every test
	}
	return all
})

func newMessages() messages { return messages{exact: map[string]string{}} }

func (m *messages) add(from, to string) {
	m.exact[from] = to
	if !verbs.MatchString(strings.ReplaceAll(from, "%%", "")) { // said as it stands as well
		m.exact[strings.ReplaceAll(from, "%%", "%")] = strings.ReplaceAll(to, "%%", "%")
	}
	if tells(from) {
		m.patterns = append(m.patterns, patternOf(from, to))
	}
}

// sorted puts the longest shape first: it is the most particular one.
func (m messages) sorted() messages {
	sort.SliceStable(m.patterns, func(i, j int) bool { return m.patterns[i].own > m.patterns[j].own })
	return m
}

// A phrase is filled in by words, or by a size: a number and its unit.
var (
	verbs = regexp.MustCompile(`%(?:\[(\d)\])?(?:\.\d)?[sdfgq]`)
	size  = `[-−±]?\d[\d.,/\x{202f}]*(?:e-?\d+)?(?: × \d+)?(?: (?:ppm on the pen|[^\s\d,;:][^\s,;:]*))?`
)

// onlySize is a number with its unit, which is no phrase.
var onlySize = regexp.MustCompile("^" + size + "$")

// ending is a phrase that a size stands behind: "holds 300 gal".
var ending = regexp.MustCompile(`^(\D*[^\d\s]) (` + size + ")$")

// tells says whether a phrase has words enough of its own to be known by.
func tells(phrase string) bool {
	if !verbs.MatchString(phrase) {
		return false
	}
	return letters(phrase) >= 3 || strings.HasPrefix(phrase, "no %s") || !strings.Contains(phrase, "%s")
}

// letters counts those of a phrase that are not filled in.
func letters(phrase string) (n int) {
	for _, r := range verbs.ReplaceAllString(phrase, "") {
		if unicode.IsLetter(r) {
			n++
		}
	}
	return n
}

func patternOf(from, to string) pattern {
	plain := func(s string) string { return strings.ReplaceAll(s, "%%", "%") }
	var b strings.Builder
	words := verbs.Split(from, -1)
	for i, verb := range verbs.FindAllString(from, -1) {
		b.WriteString(regexp.QuoteMeta(plain(words[i])))
		switch verb[len(verb)-1] {
		case 's':
			b.WriteString("(.+?)")
		case 'q':
			b.WriteString(`("(?:[^"\\]|\\.)*")`)
		default:
			b.WriteString("(" + size + ")")
		}
	}
	tail := words[len(words)-1]
	b.WriteString(regexp.QuoteMeta(plain(tail)))
	return pattern{
		key: from, head: plain(words[0]), tail: plain(tail), shape: regexp.MustCompile("(?s)^" + b.String() + "$"),
		to: Pieces(plain(to)), own: len(plain(verbs.ReplaceAllString(from, ""))), letters: letters(from),
	}
}

// Pieces takes a sentence apart. Values come in the order of the English, or as
// numbered: %[2]s is the second.
func Pieces(to string) (all []Piece) {
	words := verbs.Split(to, -1)
	for i, verb := range verbs.FindAllStringSubmatch(to, -1) {
		at := i
		if verb[1] != "" {
			at = int(verb[1][0]-'0') - 1
		}
		all = append(all, Piece{words[i], -1}, Piece{"", at})
	}
	all = append(all, Piece{words[len(words)-1], -1})
	return slices.DeleteFunc(all, func(p Piece) bool { return p.Value < 0 && p.Words == "" })
}
