package say

import (
	"fmt"
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

// Language is the code of the language, "en" or "es".
func (s *Speaker) Language() string { return s.language }

// English tells whether nothing is to be translated.
func (s *Speaker) English() bool { return s.language == "en" }

// Say gives a phrase in the language, and as it stands if that has none.
func (s *Speaker) Say(phrase string) string {
	if s.English() {
		return phrase
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if said, ok := s.said[phrase]; ok {
		return said
	}
	said, ok := s.find(phrase)
	switch {
	case !ok && len(s.missing) < mostKept:
		s.missing[phrase] = true
	case ok && len(s.said) < mostKept:
		s.said[phrase] = said
	}
	return said
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
		if !strings.HasPrefix(phrase, p.head) || !strings.HasSuffix(phrase, p.tail) {
			continue
		}
		if m := p.shape.FindStringSubmatch(phrase); m != nil {
			return s.fill(p, m[1:]), true
		}
	}
	if onlySize.MatchString(phrase) {
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

// fill puts values into a translation, those that are phrases in the language.
func (s *Speaker) fill(p pattern, values []string) string {
	var b strings.Builder
	for _, piece := range p.to {
		if piece.at < 0 || piece.at >= len(values) {
			b.WriteString(piece.words)
			continue
		}
		value, _ := s.find(values[piece.at])
		b.WriteString(s.Units(value))
	}
	return b.String()
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

var shared = map[string]func() *Speaker{}

func init() {
	for _, language := range Languages {
		shared[language] = sync.OnceValue(func() *Speaker { return In(language) })
	}
}

// Shared is the one speaker of a language that all pages use, so that a
// sentence is looked for once.
func Shared(language string) *Speaker {
	if of, ok := shared[language]; ok {
		return of()
	}
	return shared["en"]()
}
