package paper

import (
	"time"

	"rinsewright/internal/say"
)

// Languages are those that documents are written in.
var Languages = say.Languages

// speaker says phrases in the language of a paper.
type speaker struct{ *say.Speaker }

func newSpeaker(language string) *speaker { return &speaker{say.In(language)} }

func (s *speaker) say(phrase string) string { return s.Say(phrase) }

func (s *speaker) sayf(format string, args ...any) string { return s.Sayf(format, args...) }

func (s *speaker) units(text string) string { return s.Units(text) }

func (s *speaker) date(t time.Time) string { return s.Date(t) }

func (s *speaker) day(iso string) string { return s.Day(iso) }

func (s *speaker) sayAll(all []string) []string {
	out := make([]string, len(all))
	for i, x := range all {
		out[i] = s.Say(x)
	}
	return out
}
