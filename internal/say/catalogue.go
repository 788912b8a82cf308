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
	to         []piece
	own        int // length of what is not filled in
}

// piece is words, or the value of a number in turn where at is not negative.
type piece struct {
	words string
	at    int
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
	size  = `[-−±]?\d[\d.,/]*(?: × \d+)?(?: (?:ppm on the pen|[^\s\d,;:][^\s,;:]*))?`
)

// onlySize is a number with its unit, which is no phrase.
var onlySize = regexp.MustCompile("^" + size + "$")

// tells says whether a phrase has words enough of its own to be known by.
func tells(phrase string) bool {
	if !verbs.MatchString(phrase) {
		return false
	}
	own := 0
	for _, r := range verbs.ReplaceAllString(phrase, "") {
		if unicode.IsLetter(r) {
			own++
		}
	}
	return own >= 3 || !strings.Contains(phrase, "%s")
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
		to: pieces(plain(to)), own: len(verbs.ReplaceAllString(from, "")),
	}
}

// pieces takes a translation apart. Values come in the order of the English,
// or as numbered: %[2]s is the second.
func pieces(to string) (all []piece) {
	words := verbs.Split(to, -1)
	for i, verb := range verbs.FindAllStringSubmatch(to, -1) {
		at := i
		if verb[1] != "" {
			at = int(verb[1][0]-'0') - 1
		}
		all = append(all, piece{words[i], -1}, piece{"", at})
	}
	all = append(all, piece{words[len(words)-1], -1})
	return slices.DeleteFunc(all, func(p piece) bool { return p.at < 0 && p.words == "" })
}
