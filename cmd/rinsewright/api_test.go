package main

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	validator "github.com/santhosh-tekuri/jsonschema/v6"

	"rinsewright/internal/cli"
	"rinsewright/internal/store"
	"rinsewright/internal/store/archive"
	"rinsewright/internal/web"
	"rinsewright/testdata/sites"
)

// office is a program that serves, and a token of its owner.
type office struct {
	*httptest.Server
	token string
}

func open(t *testing.T) office {
	t.Helper()
	kept, err := store.Open(t.Context(), filepath.Join(t.TempDir(), archive.DataFile), store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	kit, err := kept.AddFirst(t.Context(), store.Person{Login: "kit", Name: "Kit", Password: "x"})
	if err != nil {
		t.Fatal(err)
	}
	token, wrong := store.WantToken("test", []string{"read", "log", "write", "own"}, 1, time.Now())
	if len(wrong) > 0 {
		t.Fatal(wrong)
	}
	text := token.Secret()
	if _, err := kept.AddToken(t.Context(), kit.ID, token); err != nil {
		t.Fatal(err)
	}
	pages, err := web.New(web.Options{Store: kept, Version: version, Ask: ask})
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(pages)
	t.Cleanup(func() {
		server.Close()
		pages.Close()
		if err := kept.Close(); err != nil {
			t.Error(err)
		}
	})
	return office{server, text}
}

func (o office) ask(t *testing.T, method, path, body string) (int, []byte) {
	t.Helper()
	r, err := http.NewRequestWithContext(context.Background(), method, o.URL+"/api/v1"+path, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Authorization", "Bearer "+o.token)
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	b, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	if err := answer.Body.Close(); err != nil {
		t.Fatal(err)
	}
	return answer.StatusCode, b
}

// What a program is answered is what the command line prints, to the letter, and
// keeps to the schemas of the reference.
func TestProgramsAreAnsweredAsTheCommandLineAnswers(t *testing.T) {
	o := open(t)
	text, err := sites.File("cormorant-reach")
	if err != nil {
		t.Fatal(err)
	}
	status, b := o.ask(t, "POST", "/sites", string(text))
	var site struct{ ID string }
	if err := json.Unmarshal(b, &site); err != nil || status != http.StatusCreated {
		t.Fatalf("%d %s %v", status, b, err)
	}
	file := filepath.Join(t.TempDir(), "site.toml")
	if err := os.WriteFile(file, text, 0o600); err != nil {
		t.Fatal(err)
	}
	for path, args := range map[string][]string{
		"check?draws=16":                  {"check", "--draws=16"},
		"water":                           {"water"},
		"forecast":                        {"forecast"},
		"prove?draws=16":                  {"prove", "--draws=16"},
		"faults?said=spots%20since%20May": {"faults", "--said=spots since May"},
	} {
		verb, _, _ := strings.Cut(path, "?")
		status, got := o.ask(t, "GET", "/sites/"+site.ID+"/"+path, "")
		var out, told bytes.Buffer
		cli.Run(cli.Desk{Context: t.Context(), In: &bytes.Buffer{}, Out: &out, Err: &told, Version: version, Examples: sites.File}, append(append([]string{}, args...), "--json", file))
		if status != http.StatusOK || !bytes.Equal(got, out.Bytes()) {
			t.Errorf("%s answered %d, %.200s; the command line %.200s %s", path, status, got, out.Bytes(), told.Bytes())
			continue
		}
		keepsTo(t, verb, got)
		if status, sent := o.ask(t, "POST", "/"+path, string(text)); status != http.StatusOK || !bytes.Equal(sent, got) {
			t.Errorf("%s of a file that is sent: %d %.200s", path, status, sent)
		}
	}
	status, got := o.ask(t, "GET", "/trips?weeks=2&on=2026-07-13", "")
	if status != http.StatusOK {
		t.Fatalf("trips: %d %s", status, got)
	}
	keepsTo(t, "trips", got)
}

// keepsTo holds an answer against the schema of the reference.
func keepsTo(t *testing.T, verb string, answer []byte) {
	t.Helper()
	c := validator.NewCompiler()
	c.DefaultDraft(validator.Draft2020)
	s, err := c.Compile("../../docs/reference/schema/" + verb + ".json")
	if err != nil {
		t.Fatal(err)
	}
	x, err := validator.UnmarshalJSON(bytes.NewReader(answer))
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Validate(x); err != nil {
		t.Errorf("%s: %v", verb, err)
	}
}

// What a program logs reaches the answers, and a question that cannot be
// answered says why.
func TestWhatAProgramLogsReachesTheAnswers(t *testing.T) {
	o := open(t)
	text, err := sites.File("cormorant-reach")
	if err != nil {
		t.Fatal(err)
	}
	var site struct{ ID string }
	_, b := o.ask(t, "POST", "/sites", string(text))
	if err := json.Unmarshal(b, &site); err != nil {
		t.Fatal(err)
	}
	at := "/sites/" + site.ID
	_, before := o.ask(t, "GET", at+"/forecast", "")
	status, b := o.ask(t, "POST", at+"/samples", `{"samples":[{"place":"rig","taken":"2026-09-20T09:30:00-04:00","readings":[
		{"name":"permeate_strength","value":"14 ppm NaCl"},{"name":"permeate_flow","value":"0.28 gpm"},{"name":"gun_strength","value":"3 ppm NaCl"}]}]}`) // invented
	if status != http.StatusOK || !strings.Contains(string(b), `"kept":true`) {
		t.Fatalf("%d %s", status, b)
	}
	status, after := o.ask(t, "GET", at+"/forecast", "")
	if status != http.StatusOK || bytes.Equal(before, after) || !strings.Contains(string(after), "2026-09-20") {
		t.Errorf("the forecast does not know of it: %d %.300s", status, after)
	}
	for path, wants := range map[string]string{"/check?draws=few": `"not-accepted"`, "/check?draws=3": `"no-answer"`, "/check?html=x": `"not-accepted"`} {
		if status, b := o.ask(t, "GET", at+path, ""); status != http.StatusUnprocessableEntity || !strings.Contains(string(b), wants) {
			t.Errorf("%s: %d %s", path, status, b)
		}
	}
	_, b = o.ask(t, "POST", "/check", "rinsewright = 1\n[site]\nname = \"Gull Point\" # invented\n")
	if !strings.Contains(string(b), `"no-answer"`) || !strings.Contains(string(b), `"fix":`) {
		t.Errorf("nothing hangs there: %s", b)
	}
}

// The commands that pages name as their twins are there, with their flags.
func TestTheTwinsOfPagesAreCommands(t *testing.T) {
	for page, twin := range web.Twins() {
		args, ok := strings.CutPrefix(twin, "rinsewright ")
		if !ok {
			continue
		}
		verb, flag, _ := strings.Cut(args, "--")
		var out, told bytes.Buffer
		code := cli.Run(cli.Desk{Context: t.Context(), In: &bytes.Buffer{}, Out: &out, Err: &told, Version: version}, append(strings.Fields(verb), "--help"))
		if code != 0 || !strings.Contains(out.String(), "--"+flag) {
			t.Errorf("%s: %q is no command: %s %s", page, twin, out.String(), told.String())
		}
	}
}
