package web

import (
	"errors"
	"html/template"
	"io"
	"io/fs"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"rinsewright/internal/check"
	"rinsewright/internal/say"
	inwords "rinsewright/internal/say/marked"
	"rinsewright/testdata/sites"
)

// sentencesOfPages are those that the templates of the pages say.
func sentencesOfPages(t *testing.T) (all []string) {
	t.Helper()
	names, err := fs.Glob(pageFiles, "pages/*.html")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		set := template.New("x").Funcs(inwords.Functions(say.In("en")))
		for _, f := range []string{"asset", "day", "clock", "short", "words"} {
			set.Funcs(template.FuncMap{f: func(any) string { return "" }})
		}
		template.Must(set.ParseFS(pageFiles, name))
		all = append(all, inwords.Phrases(set)...)
	}
	return all
}

func TestEverySentenceOfAPageHasItsSpanish(t *testing.T) {
	es := say.In("es")
	for _, phrase := range sentencesOfPages(t) {
		es.Say(phrase)
	}
	for _, phrase := range es.Unsaid() {
		t.Errorf("%q has no Spanish: add it to internal/say/spanish/page.csv", phrase)
	}
}

func TestEverySentenceOfAScriptHasItsSpanish(t *testing.T) {
	es := say.In("es")
	for _, phrase := range scriptSentences() {
		es.Say(phrase)
	}
	for _, phrase := range es.Unsaid() {
		t.Errorf("%q has no Spanish: add it to internal/say/spanish/page.csv", phrase)
	}
}

// Whoever reads Spanish finds no English on any page of an example site but what
// people wrote themselves.
func TestPagesOfTheExamplesAreWholeInSpanish(t *testing.T) {
	s := serving(t)
	visitor := signedUp(t, s, "es")
	if err := s.store.Reads(t.Context(), visitor.person, "si", "comma", "es"); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"cormorant-reach", "fennel-lane"} {
		file, err := sites.File(name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := s.store.AddSite(t.Context(), "", string(file), true); err != nil {
			t.Fatal(err)
		}
	}
	paths := []string{"/", "/sites/new", "/people", "/parts", "/parts/0", "/settings", "/phones", "/backup", "/audit", "/help", "/phone", "/nowhere", "/versions"}
	list, _, err := s.store.Sites(t.Context(), "", 0, 10)
	if err != nil {
		t.Fatal(err)
	}
	theirs := map[string]bool{}
	for _, site := range list {
		theirs[site.Name] = true
		for _, page := range []string{"", "/survey", "/reading", "/what-if", "/trends", "/sizing", "/papers", "/first-day", "/faults"} {
			paths = append(paths, "/sites/"+site.ID+page)
		}
	}
	for _, path := range paths {
		body := visitor.reads(path)
		if !strings.Contains(body, `<html lang="es"`) {
			t.Errorf("%s is not in Spanish", path)
		}
	}
	for _, phrase := range say.Shared("es", true).Unsaid() {
		if !theirs[phrase] && !strings.HasPrefix(phrase, "Bay 3 leaves spots") && !strings.HasPrefix(phrase, "Plant room") && !strings.HasPrefix(phrase, "brown film") { // said by those who were there
			t.Errorf("%q has no Spanish: add it to internal/say/spanish", phrase)
		}
	}
}

// languageReader reads pages without a browser.
type languageReader struct {
	t      *testing.T
	client *http.Client
	base   string
	person string
}

func signedUp(t *testing.T, s *served, language string) *languageReader {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	v := &languageReader{t: t, client: &http.Client{Jar: jar}, base: s.URL}
	answer, err := v.client.PostForm(s.URL+"/setup", url.Values{"token": {setupToken}, "name": {"Kit"}, "login": {"kit"}, "password": {"a dry panel shines"}, "units": {"us"}, "language": {language}})
	if err != nil {
		t.Fatal(err)
	}
	_ = answer.Body.Close()
	people, err := s.store.People(t.Context())
	if err != nil || len(people) != 1 {
		t.Fatalf("%d people: %v", len(people), err)
	}
	v.person = people[0].ID
	return v
}

// reads gives a page once it waits for nothing.
func (v *languageReader) reads(path string) string {
	v.t.Helper()
	for {
		answer, err := v.client.Get(v.base + path)
		if err != nil {
			v.t.Fatal(err)
		}
		body, err := io.ReadAll(answer.Body)
		if err := errors.Join(err, answer.Body.Close()); err != nil {
			v.t.Fatal(err)
		}
		if !strings.Contains(string(body), `http-equiv="refresh"`) {
			return string(body)
		}
		time.Sleep(200 * time.Millisecond)
	}
}

func TestALanguageIsChosenOrAskedForByTheBrowser(t *testing.T) {
	for header, want := range map[string]string{
		"": "en", "es": "es", "es-MX,es;q=0.9,en;q=0.8": "es", "en-GB,es;q=0.5": "en", "de,fr;q=0.5": "en", "de, es;q=0.4": "es", "????": "en", "es;q=0, en": "en",
	} {
		if got := asked(header); got != want {
			t.Errorf("%q: got %s, want %s", header, got, want)
		}
	}
}

// noSentence is a text of the program that nobody reads on a page: headers,
// addresses, what is logged.
var noSentence = regexp.MustCompile(`^(GET|POST) |charset|filename=|max-age|-src |=\(\)|any maskable|^<svg|^@font|use strict|const sentences|^html,|^rinsewright on$|PRIVATE KEY|^pages ask|no-store|^light dark$|^no rule says|^no scope is`)

// spokenToPrograms are the files of the door for programs, which is English.
var spokenToPrograms = regexp.MustCompile(`(?:^|/)(?:api|openapi|twins|calendarfeed|metrics)\w*\.go$`)

func TestEverySentenceThatThePagesCodeSaysHasItsSpanish(t *testing.T) {
	literals, err := check.Literals(".")
	if err != nil {
		t.Fatal(err)
	}
	words := regexp.MustCompile(`\pL{2}.* .*\pL{2}`)
	begun := map[string]bool{} // what a sentence begins with, up to its first value
	for _, row := range say.Rows() {
		begin, _, _ := strings.Cut(row.English, "%")
		begun[strings.TrimSpace(begin)] = true
	}
	es := say.In("es")
	for _, l := range literals {
		if spokenToPrograms.MatchString(l.At.Filename) {
			continue
		}
		text := strings.TrimSpace(l.Text)
		printed := strings.HasPrefix(l.Call, "fmt.Fprint") || strings.HasSuffix(l.Call, "Error") || strings.HasSuffix(l.Call, "Errorf") || l.Call == "errors.New" || strings.HasSuffix(l.Call, "Info")
		if printed || !words.MatchString(text) || noSentence.MatchString(text) || begun[strings.TrimLeft(text, ";—. ")] {
			continue
		}
		begin, _, _ := strings.Cut(strings.TrimLeft(text, "; "), "%")
		if _, ok := es.Find(text); !ok && !begun[strings.TrimSpace(begin)] {
			t.Errorf("%s: %q has no Spanish", l.At, text)
		}
	}
}
