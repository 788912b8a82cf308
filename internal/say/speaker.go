package say

import (
	"fmt"
	"regexp"
	"sort"
	"strings"
	"sync"
	"time"
	"unicode"
	"unicode/utf8"
)

// mostKept bounds what a speaker remembers, of what it said and could not say.
const mostKept = 5000

// Speaker says phrases in one language and keeps what it could not. Several
// may use it at once.
type Speaker struct {
	language string
	comma    bool // decimals are written with a comma
	messages messages

	mu      sync.Mutex
	said    map[string]string
	missing map[string]bool
}

// In is a speaker of a language; one that is not known is English.
func In(language string) *Speaker {
	s := &Speaker{language: "en", said: map[string]string{}, missing: map[string]bool{}}
	if language == "es" {
		s.language, s.messages = "es", spanish()
	}
	return s
}

// Of is a speaker of a language with a catalogue of its own: English, then
// what it is called, in turn.
func Of(language string, pairs ...string) *Speaker {
	m := newMessages()
	for i := 0; i+1 < len(pairs); i += 2 {
		m.add(pairs[i], pairs[i+1])
	}
	return &Speaker{language: language, messages: m.sorted(), said: map[string]string{}, missing: map[string]bool{}}
}

// Language is the code of the language, "en" or "es".
func (s *Speaker) Language() string { return s.language }

// English tells whether nothing is to be translated.
func (s *Speaker) English() bool { return s.language == "en" }

// Comma tells whether the reader writes decimals with a comma.
func (s *Speaker) Comma() bool { return s.comma }

// Plain tells whether every phrase stays as it stands.
func (s *Speaker) Plain() bool { return s.English() && !s.comma }

// Say gives a phrase in the language, and as it stands if that has none, with
// decimals as the reader writes them.
func (s *Speaker) Say(phrase string) string { return s.Decimals(s.Sentence(phrase)) }

// pointed is a decimal point that nobody has turned into the reader's.
var pointed = regexp.MustCompile(`(\d)\.(\d)`)

// Decimals gives a text with its decimals as the reader writes them.
func (s *Speaker) Decimals(text string) string {
	if !s.comma || !strings.Contains(text, ".") {
		return text
	}
	return pointed.ReplaceAllString(text, "$1,$2")
}

// Sentence gives a phrase of a page's own text in the language, its numbers as
// they stand.
func (s *Speaker) Sentence(phrase string) string {
	if s.English() {
		return phrase
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if said, ok := s.said[phrase]; ok {
		return said
	}
	said, unsaid := s.sentence(phrase)
	for _, x := range unsaid {
		if len(s.missing) < mostKept {
			s.missing[x] = true
		}
	}
	if len(s.said) < mostKept {
		s.said[phrase] = said
	}
	return said
}

// sentence says a phrase and tells what of it is not known.
func (s *Speaker) sentence(phrase string) (said string, unsaid []string) {
	if said, ok := s.find(phrase); ok {
		return said, nil
	}
	for _, p := range s.messages.patterns {
		if p.letters < mostParticular {
			continue
		}
		if values := p.values(phrase); values != nil { // somebody's own words may stand in it
			for _, v := range values {
				if _, ok := s.find(v); !ok {
					unsaid = append(unsaid, v)
				}
			}
			return s.fill(p, values), unsaid
		}
	}
	return phrase, []string{phrase}
}

// Sayf fills a phrase in; the key is the phrase before it is filled.
func (s *Speaker) Sayf(format string, args ...any) string {
	return fmt.Sprintf(s.Say(format), args...)
}

// Count says how many: one when n is 1, otherwise many with n filled in.
func (s *Speaker) Count(n int, one, many string) string {
	if n == 1 {
		return s.Say(one)
	}
	return s.Sayf(many, n)
}

// Find gives a phrase in the language, and whether that has it.
func (s *Speaker) Find(phrase string) (said string, ok bool) { return s.find(phrase) }

func (s *Speaker) find(phrase string) (said string, ok bool) {
	if s.English() || !strings.ContainsFunc(phrase, unicode.IsLetter) {
		return phrase, true
	}
	if to, ok := s.messages.exact[phrase]; ok {
		return to, true
	}
	for _, p := range s.messages.patterns {
		if values := p.values(phrase); values != nil && s.know(values) {
			return s.fill(p, values), true
		}
	}
	if onlySize.MatchString(phrase) || onlyNumbers(phrase) {
		return s.Units(phrase), true
	}
	return s.nearly(phrase)
}

// nearly finds a phrase that begins a line, or ends one.
func (s *Speaker) nearly(phrase string) (said string, ok bool) {
	if short, ends := strings.CutSuffix(phrase, "."); ends && !strings.HasSuffix(short, ".") {
		if said, ok := s.find(short); ok {
			return said + ".", true
		}
		return phrase, false
	}
	for _, mark := range []string{" · ", "; ", ": ", ", "} {
		if said, ok := s.list(phrase, mark); ok {
			return said, true
		}
	}
	if m := ending.FindStringSubmatch(phrase); m != nil {
		if said, ok := s.find(m[1]); ok {
			return said + " " + s.Units(m[2]), true
		}
	}
	first, n := utf8.DecodeRuneInString(phrase)
	if !unicode.IsUpper(first) {
		return phrase, false
	}
	said, ok = s.find(string(unicode.ToLower(first)) + phrase[n:])
	if !ok {
		return phrase, false
	}
	first, n = utf8.DecodeRuneInString(said)
	return string(unicode.ToUpper(first)) + said[n:], true
}

// know tells whether all values are phrases or numbers.
func (s *Speaker) know(values []string) bool {
	for _, v := range values {
		if _, ok := s.find(v); !ok {
			return false
		}
	}
	return true
}

// fill puts values into a translation, those that are phrases in the language.
func (s *Speaker) fill(p pattern, values []string) string {
	var b strings.Builder
	for _, piece := range p.to {
		if piece.Value < 0 || piece.Value >= len(values) {
			b.WriteString(piece.Words)
			continue
		}
		value, _ := s.find(values[piece.Value])
		b.WriteString(s.Units(value))
	}
	return b.String()
}

// list says phrases in a row, if each is known.
func (s *Speaker) list(phrase, mark string) (said string, ok bool) {
	parts := strings.Split(phrase, mark)
	if len(parts) < 2 || len(parts) > 40 {
		return phrase, false
	}
	for i, x := range parts {
		if parts[i], ok = s.find(x); !ok {
			return phrase, false
		}
	}
	return strings.Join(parts, mark), true
}

// Date gives a day with its month in words.
func (s *Speaker) Date(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return s.Sayf("%d %s %d", t.Day(), s.Say(t.Month().String()), t.Year())
}

// Clock gives a day with its month in words, and the time of day.
func (s *Speaker) Clock(t time.Time) string { return s.Date(t) + ", " + t.Format("15:04") }

// Day gives an ISO day of a record in words, and as it stands if it is none.
func (s *Speaker) Day(iso string) string {
	t, err := time.Parse(time.DateOnly, iso)
	if err != nil {
		return iso
	}
	return s.Date(t)
}

// Unsaid lists what had no translation.
func (s *Speaker) Unsaid() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	all := make([]string, 0, len(s.missing))
	for x := range s.missing {
		all = append(all, x)
	}
	sort.Strings(all)
	return all
}

// voice is one way of speaking.
type voice struct {
	language string
	comma    bool
}

var shared = map[voice]func() *Speaker{}

func init() {
	for _, language := range Languages {
		for _, comma := range []bool{false, true} {
			shared[voice{language, comma}] = sync.OnceValue(func() *Speaker {
				s := In(language)
				s.comma = comma
				return s
			})
		}
	}
}

// Shared is the one speaker of a language that all pages use, so that a
// sentence is looked for once; comma says how its reader writes decimals.
func Shared(language string, comma bool) *Speaker {
	if of, ok := shared[voice{language, comma}]; ok {
		return of()
	}
	return shared[voice{"en", comma}]()
}
