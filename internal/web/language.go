package web

import (
	"net/http"
	"slices"
	"strings"
	"time"

	"golang.org/x/text/language"

	"rinsewright/internal/say"
)

// languageCookie keeps what a visitor chose before there was an account.
const languageCookie = "rinsewright-language"

// language is what the visitor reads: as they chose, as everyone does, or as
// their browser asks.
func (v *visit) language() string {
	if v.spoken == "" {
		v.spoken = v.chosenLanguage()
	}
	return v.spoken
}

func (v *visit) chosenLanguage() string {
	chosen := []string{v.session.Person.Language}
	if c, err := v.keptCookie(languageCookie); err == nil {
		chosen = append(chosen, c.Value)
	}
	if v.signedIn() {
		everyone, err := v.store.Setting(v.r.Context(), "language", "")
		if err == nil { // a page of the store's own trouble is shown in the browser's language
			chosen = append(chosen, everyone)
		}
	}
	for _, x := range append(chosen, asked(v.r.Header.Get("Accept-Language"))) {
		if slices.Contains(say.Languages, x) {
			return x
		}
	}
	return "en"
}

// matcher knows the languages there are, English first: it is what remains.
var matcher = language.NewMatcher([]language.Tag{language.English, language.Spanish})

// asked is the one of our languages that a browser would rather have.
func asked(header string) string {
	tags, _, err := language.ParseAcceptLanguage(header)
	if err != nil || len(tags) == 0 {
		return "en"
	}
	_, i, sure := matcher.Match(tags...)
	if sure == language.No {
		return "en"
	}
	return say.Languages[i]
}

// speaker says sentences in the visitor's language.
func (v *visit) speaker() *say.Speaker {
	if v.speaks == nil {
		r, err := v.readerOf(v.r.Context(), v.session.Person)
		v.speaks = say.Shared(v.language(), err == nil && r.locale.DecimalComma)
	}
	return v.speaks
}

func (v *visit) say(phrase string) string { return v.speaker().Say(phrase) }

func (v *visit) sayf(format string, values ...any) string { return v.speaker().Sayf(format, values...) }

// keepLanguage remembers a choice on this device, for the page to sign in on.
func (v *visit) keepLanguage(chosen string) {
	if !slices.Contains(say.Languages, chosen) {
		return
	}
	v.keepCookie(languageCookie, chosen, 365*24*time.Hour, http.SameSiteLaxMode)
	v.spoken, v.speaks = strings.Clone(chosen), nil
}
