package paper

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"regexp"
	"sort"
	"strings"
	"sync"
	"time"
	"unicode"
)

// Languages are those that documents are written in.
var Languages = []string{"en", "es"}

//go:embed spanish.csv
var spanishMessages string

// messages is one language's catalogue: the English phrase is the key. A key
// may hold %s or %d; it then fits every phrase of that shape as well.
type messages struct {
	exact    map[string]string
	patterns []pattern
}

type pattern struct {
	shape *regexp.Regexp
	to    string
	own   int // length of what is not filled in
}

var spanish = sync.OnceValue(func() messages { return readMessages(spanishMessages) })

// readMessages reads a catalogue of two columns.
func readMessages(text string) messages {
	r := csv.NewReader(strings.NewReader(text))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		panic("embedded messages: " + err.Error()) // a mistake in this package, seen by every test
	}
	m := messages{exact: map[string]string{}}
	for _, row := range rows[1:] {
		m.exact[row[0]] = row[1]
		if tells(row[0]) {
			m.patterns = append(m.patterns, patternOf(row[0], row[1]))
		}
	}
	// The longest shape is the most particular one.
	sort.SliceStable(m.patterns, func(i, j int) bool { return m.patterns[i].own > m.patterns[j].own })
	return m
}

// A phrase is filled in by words, or by a size: a number and its unit.
var (
	verbs = regexp.MustCompile(`%(?:\.\d)?[sdf]`)
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
	var b strings.Builder
	rest := strings.ReplaceAll(from, "%%", "%")
	for {
		at := verbs.FindStringIndex(rest)
		if at == nil {
			break
		}
		b.WriteString(regexp.QuoteMeta(rest[:at[0]]))
		if strings.HasSuffix(rest[at[0]:at[1]], "s") {
			b.WriteString("(.+?)")
		} else {
			b.WriteString("(" + size + ")")
		}
		rest = rest[at[1]:]
	}
	b.WriteString(regexp.QuoteMeta(rest))
	return pattern{regexp.MustCompile("^" + b.String() + "$"), verbs.ReplaceAllString(strings.ReplaceAll(to, "%%", "%"), "\x00"), len(verbs.ReplaceAllString(from, ""))}
}

// speaker says phrases in one language and keeps what it could not.
type speaker struct {
	language string
	messages messages
	missing  map[string]bool
}

func newSpeaker(language string) *speaker {
	s := &speaker{language: language, missing: map[string]bool{}}
	if language == "es" {
		s.messages = spanish()
	}
	return s
}

// say gives a phrase in the language.
func (s *speaker) say(phrase string) string {
	said, ok := s.find(phrase)
	if !ok {
		s.missing[phrase] = true
	}
	return said
}

// sayf fills a phrase in; the key is the phrase before it is filled.
func (s *speaker) sayf(format string, args ...any) string {
	return fmt.Sprintf(s.say(format), args...)
}

func (s *speaker) find(phrase string) (said string, ok bool) {
	if s.language == "en" || !strings.ContainsFunc(phrase, unicode.IsLetter) {
		return phrase, true
	}
	if to, ok := s.messages.exact[phrase]; ok {
		return to, true
	}
	for _, p := range s.messages.patterns {
		if m := p.shape.FindStringSubmatch(phrase); m != nil {
			said := p.to
			for _, part := range m[1:] {
				part, _ = s.find(part)
				said = strings.Replace(said, "\x00", s.units(part), 1)
			}
			return said, true
		}
	}
	if onlySize.MatchString(phrase) {
		return s.units(phrase), true
	}
	return phrase, false
}

// unitWords are the words that stand with numbers.
var unitWords = regexp.MustCompile(`\b(days|day|months|years|per day|on the pen|NaCl scale|KCl scale|442 scale|to|over|below half a ppm|never|number|as CaCO3|ppm hour)\b`)

var spanishUnits = map[string]string{
	"days": "días", "day": "día", "months": "meses", "years": "años", "per day": "al día", "on the pen": "en el medidor", "NaCl scale": "escala NaCl",
	"KCl scale": "escala KCl", "442 scale": "escala 442", "to": "a", "over": "más de", "below half a ppm": "menos de medio ppm", "never": "nunca", "as CaCO3": "como CaCO3",
}

// units gives a printed number with its unit words in the language.
func (s *speaker) units(text string) string {
	if s.language != "es" || !strings.ContainsFunc(text, unicode.IsDigit) && !strings.HasPrefix(text, "below") {
		return text
	}
	return unitWords.ReplaceAllStringFunc(text, func(word string) string {
		if to := spanishUnits[word]; to != "" {
			return to
		}
		return word
	})
}

// date gives a day with its month in words.
func (s *speaker) date(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return s.sayf("%d %s %d", t.Day(), s.say(t.Month().String()), t.Year())
}

// day gives an ISO day of a record in words, and as it stands if it is none.
func (s *speaker) day(iso string) string {
	t, err := time.Parse(time.DateOnly, iso)
	if err != nil {
		return iso
	}
	return s.date(t)
}

func (s *speaker) sayAll(all []string) []string {
	out := make([]string, len(all))
	for i, x := range all {
		out[i] = s.say(x)
	}
	return out
}

// unsaid lists what had no translation.
func (s *speaker) unsaid() []string {
	all := make([]string, 0, len(s.missing))
	for x := range s.missing {
		all = append(all, x)
	}
	sort.Strings(all)
	return all
}
