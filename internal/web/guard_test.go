package web

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"mime/multipart"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/netip"
	"net/url"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"rinsewright/internal/store"
	"rinsewright/testdata/sites"
)

// visitor asks without a browser.
type visitor struct {
	t      *testing.T
	client *http.Client
	base   string
}

func (s *served) visitor(t *testing.T) *visitor {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return &visitor{t, &http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}, s.URL}
}

func (v *visitor) send(method, path string, form url.Values, change ...func(*http.Request)) (int, string, http.Header) {
	v.t.Helper()
	r, err := http.NewRequestWithContext(v.t.Context(), method, v.base+path, strings.NewReader(form.Encode()))
	if err != nil {
		v.t.Fatal(err)
	}
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	for _, c := range change {
		c(r)
	}
	answer, err := v.client.Do(r)
	if err != nil {
		v.t.Fatal(err)
	}
	body := text(v.t, answer.Body)
	if err := answer.Body.Close(); err != nil {
		v.t.Fatal(err)
	}
	return answer.StatusCode, body, answer.Header
}

func (v *visitor) get(path string) (int, string) {
	v.t.Helper()
	status, body, _ := v.send(http.MethodGet, path, nil)
	return status, body
}

func (v *visitor) post(path string, pairs ...string) (int, string) {
	v.t.Helper()
	form := url.Values{}
	for i := 0; i < len(pairs); i += 2 {
		form.Set(pairs[i], pairs[i+1])
	}
	status, body, _ := v.send(http.MethodPost, path, form)
	return status, body
}

const password = "a dry panel shines"

func (v *visitor) begins() {
	v.t.Helper()
	if status, body := v.post("/setup", "token", setupToken, "name", "Kit", "login", "kit", "password", password); status != http.StatusSeeOther {
		v.t.Fatalf("setup: %d %s", status, body)
	}
}

func (v *visitor) signsIn(login string) {
	v.t.Helper()
	if status, body := v.post("/sign-in", "login", login, "password", password); status != http.StatusSeeOther {
		v.t.Fatalf("sign in as %s: %d %s", login, status, body)
	}
}

// TestWhoMayDoWhat asks every route as everybody: a route without a rule does
// not exist, and none answers to a role below its own.
func TestWhoMayDoWhat(t *testing.T) {
	s := serving(t)
	owner := s.visitor(t)
	owner.begins()
	people := map[may]*visitor{everyone: s.visitor(t), owners: owner}
	for role, login := range map[may]string{readers: "robin", techs: "toni"} {
		word := map[may]store.Role{readers: store.Reader, techs: store.Tech}[role]
		if status, body := owner.post("/people", "name", login, "login", login, "role", string(word), "password", password); status != http.StatusSeeOther {
			t.Fatalf("add %s: %d %s", login, status, body)
		}
		people[role] = s.visitor(t)
		people[role].signsIn(login)
	}
	for _, route := range routes() {
		method, path, ok := strings.Cut(route.pattern, " ")
		if !ok {
			t.Errorf("%q has no method", route.pattern)
		}
		path = regexp.MustCompile(`\{[a-z]+\}`).ReplaceAllString(strings.TrimSuffix(path, "{$}"), store.NewID(time.Now()))
		for role, v := range people {
			if route.pattern == "POST /sign-out" && role >= readers {
				continue // it would end the visit
			}
			status, _, header := v.send(method, path, url.Values{})
			refused := status == http.StatusForbidden || status == http.StatusUnauthorized ||
				status == http.StatusSeeOther && strings.HasPrefix(header.Get("Location"), "/sign-in")
			signIn := route.pattern == "POST /sign-in" || strings.HasSuffix(route.pattern, "/setup")
			if refused != (role < route.may) && !signIn {
				t.Errorf("%s as role %d, needs %d: answered %d to %s", route.pattern, role, route.may, status, header.Get("Location"))
			}
			if status >= 500 {
				t.Errorf("%s as role %d: %d", route.pattern, role, status)
			}
		}
	}
}

func TestSetupIsForWhoHoldsTheLinkAndOnlyOnce(t *testing.T) {
	s := serving(t)
	v := s.visitor(t)
	for _, token := range []string{"", "x", setupToken + "x", strings.ToUpper(setupToken)} {
		if status, _ := v.post("/setup", "token", token, "name", "Eve", "login", "eve", "password", password); status != http.StatusForbidden {
			t.Errorf("token %q: %d", token, status)
		}
	}
	for field, wrong := range map[string]string{"name": " ", "login": "two words", "password": "short"} {
		form := map[string]string{"name": "Kit", "login": "kit", "password": password}
		form[field] = wrong
		if status, _ := v.post("/setup", "token", setupToken, "name", form["name"], "login", form["login"], "password", form["password"]); status != http.StatusUnprocessableEntity {
			t.Errorf("%s %q: %d", field, wrong, status)
		}
	}
	v.begins()
	second := s.visitor(t)
	if status, _ := second.post("/setup", "token", setupToken, "name", "Eve", "login", "eve", "password", password); status != http.StatusSeeOther {
		t.Errorf("a second setup: %d", status)
	}
	if people, err := s.store.People(t.Context()); err != nil || len(people) != 1 {
		t.Errorf("%d people, %v", len(people), err)
	}
}

func TestFormsFromElsewhereAreRefused(t *testing.T) {
	s := serving(t)
	v := s.visitor(t)
	v.begins()
	for name, header := range map[string][2]string{"fetch metadata": {"Sec-Fetch-Site", "cross-site"}, "origin": {"Origin", "https://example.org"}} {
		status, _, _ := v.send(http.MethodPost, "/practice", nil, func(r *http.Request) { r.Header.Set(header[0], header[1]) })
		if status != http.StatusForbidden {
			t.Errorf("by %s: %d", name, status)
		}
	}
	if status, _, _ := v.send(http.MethodPost, "/practice", nil, func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "same-origin") }); status != http.StatusSeeOther {
		t.Errorf("from our own page: %d", status)
	}
}

func TestPasswordTriesAreCounted(t *testing.T) {
	s := serving(t)
	s.visitor(t).begins()
	v := s.visitor(t)
	wrong, limited := 0, 0
	for range 13 {
		switch status, _ := v.post("/sign-in", "login", "Kit ", "password", "guess"); status {
		case http.StatusUnauthorized:
			wrong++
		case http.StatusTooManyRequests:
			limited++
		default:
			t.Fatalf("answered %d", status)
		}
	}
	if wrong != passwordTries || limited != 13-passwordTries {
		t.Errorf("%d wrong, %d limited; wanted %d and the rest", wrong, limited, passwordTries)
	}
}

func TestEveryPageHasAStrictPolicyAndNoInlineCode(t *testing.T) {
	s := serving(t)
	v := s.visitor(t)
	v.begins()
	if status, _ := v.post("/practice"); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	id := s.siteID(t, "Fennel")
	inline := regexp.MustCompile(`(?i)<style|<script(?:[^>]*)>[^<]|\sstyle=|\son[a-z]+=|javascript:|https?://`)
	for _, path := range []string{"/", "/sites/new", "/sites/" + id, "/sites/" + id + "/survey", "/sites/" + id + "/reading", "/people", "/settings", "/audit", "/help", "/nowhere"} {
		_, body, header := v.send(http.MethodGet, path, nil)
		if got := header.Get("Content-Security-Policy"); got != policy || strings.Contains(strings.ReplaceAll(policy, "'wasm-unsafe-eval'", ""), "unsafe") {
			t.Errorf("%s: policy %q", path, got)
		}
		if header.Get("X-Content-Type-Options") != "nosniff" || header.Get("Cache-Control") != "no-store" {
			t.Errorf("%s: headers %v", path, header)
		}
		if bad := inline.FindString(strings.ReplaceAll(body, "http://www.w3.org/2000/svg", "")); bad != "" {
			t.Errorf("%s holds %q", path, bad)
		}
	}
}

// What a person types comes back as text, wherever it is shown.
func TestTypedTextIsNeverMarkup(t *testing.T) {
	s := serving(t)
	v := s.visitor(t)
	v.begins()
	evil := `"><script>alert(1)</script><img src=x onerror=alert(1)>{{.}}'`
	if status, body := v.post("/sites/new", "name", evil, "use", "boats"); status != http.StatusSeeOther {
		t.Fatalf("%d %s", status, body)
	}
	id := s.siteID(t, "script")
	if status, body := v.post("/sites/"+id+"/survey", "rev", "1", "site.about", evil, "sample.1.place", "raw", "sample.1.instrument", evil, "sample.1.strength", evil); status != http.StatusUnprocessableEntity || strings.Contains(body, "<script>a") {
		t.Errorf("survey with a wrong strength: %d", status)
	}
	if status, _ := v.post("/sites/"+id+"/survey", "rev", "1", "site.about", evil, "sample.1.place", "raw", "sample.1.instrument", evil, "sample.1.strength", "9 ppm"); status != http.StatusSeeOther {
		t.Errorf("survey: %d", status)
	}
	for _, path := range []string{"/", "/sites/" + id, "/sites/" + id + "/survey", "/sites/" + id + "/reading", "/?q=" + url.QueryEscape(evil)} {
		if _, body := v.get(path); strings.Contains(body, "<script>a") || strings.Contains(body, "<img") {
			t.Errorf("%s shows it as markup", path)
		}
	}
}

// A site file goes out as it came in, to the letter.
func TestExportAndImportKeepTheContentHash(t *testing.T) {
	s := serving(t)
	v := s.visitor(t)
	v.begins()
	for _, name := range sites.Names {
		file, err := sites.File(name)
		if err != nil {
			t.Fatal(err)
		}
		first := v.imports(file)
		_, out, header := v.send(http.MethodGet, first+"/export", nil)
		if out != string(file) || header.Get("ETag") != `"`+store.Hash(string(file))+`"` {
			t.Errorf("%s came out changed", name)
		}
		if !strings.HasPrefix(header.Get("Content-Disposition"), "attachment") {
			t.Errorf("%s: %s", name, header.Get("Content-Disposition"))
		}
		if again := v.imports([]byte(out)); again != first {
			t.Errorf("%s brought in again became another site", name)
		}
	}
	if list, total, err := s.store.Sites(t.Context(), "", 0, 10); err != nil || total != int64(len(sites.Names)) || len(list) != len(sites.Names) {
		t.Errorf("%d sites, %v", total, err)
	}
	for name, file := range map[string][]byte{"nothing": nil, "binary": {0, 1, 2, 0xff}, "too much": bytes.Repeat([]byte("# x\n"), 1<<19)} {
		if to := v.imports(file); to != "" {
			t.Errorf("%s was kept as %s", name, to)
		}
	}
}

// imports sends a site file and returns where it was kept.
func (v *visitor) imports(file []byte) string {
	v.t.Helper()
	_, _, header := v.uploading("/sites/import", string(file))
	return header.Get("Location")
}

func (v *visitor) uploads(to, file string) (int, string) {
	v.t.Helper()
	status, body, _ := v.uploading(to, file)
	return status, body
}

// uploading sends a file as a form does.
func (v *visitor) uploading(to, file string) (int, string, http.Header) {
	v.t.Helper()
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	part, err := w.CreateFormFile("file", "chosen")
	if err != nil {
		v.t.Fatal(err)
	}
	if _, err := part.Write([]byte(file)); err != nil {
		v.t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		v.t.Fatal(err)
	}
	r, err := http.NewRequestWithContext(v.t.Context(), http.MethodPost, v.base+to, &b)
	if err != nil {
		v.t.Fatal(err)
	}
	r.Header.Set("Content-Type", w.FormDataContentType())
	answer, err := v.client.Do(r)
	if err != nil {
		v.t.Fatal(err)
	}
	body := text(v.t, answer.Body)
	if err := answer.Body.Close(); err != nil {
		v.t.Fatal(err)
	}
	if answer.StatusCode >= 500 {
		v.t.Errorf("%s answered %d", to, answer.StatusCode)
	}
	return answer.StatusCode, body, answer.Header
}

// The same form sent twice keeps one reading.
func TestAFormSentTwiceIsKeptOnce(t *testing.T) {
	s := serving(t)
	v := s.visitor(t)
	v.begins()
	site := s.gullPoint(t)
	_, page := v.get("/sites/" + site.ID + "/reading")
	form := url.Values{}
	for _, m := range regexp.MustCompile(`type="hidden" name="([a-z.]+)" value="([^"]*)"`).FindAllStringSubmatch(page, -1) {
		form.Set(m[1], m[2])
	}
	form.Set("raw.value", "300")
	form.Set("permeate.value", "8")
	form.Set("permeate.unit", "ppm")
	form.Set("raw.unit", "ppm")
	for range 3 {
		if status, body, _ := v.send(http.MethodPost, "/sites/"+site.ID+"/reading", form); status != http.StatusSeeOther {
			t.Fatalf("%d %s", status, body)
		}
	}
	samples, err := s.store.Samples(t.Context(), site.ID, 10)
	if err != nil || len(samples) != 2 {
		t.Fatalf("%d samples, %v", len(samples), err)
	}
	form.Set("raw.value", "310")
	if status, _, _ := v.send(http.MethodPost, "/sites/"+site.ID+"/reading", form); status != http.StatusConflict {
		t.Errorf("the same form with another number: %d", status)
	}
}

func TestSessionsEndByThemselves(t *testing.T) {
	now := time.Date(2026, 6, 13, 9, 0, 0, 0, time.UTC)
	clock := func() time.Time { return now }
	kept, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "data.sqlite"), store.Options{Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	pages, err := New(Options{Store: kept, Setup: setupToken, Now: clock})
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
	v := (&served{server, kept, pages}).visitor(t)
	v.begins()
	in := func() bool {
		status, _ := v.get("/")
		return status == http.StatusOK
	}
	for range 6 {
		now = now.Add(4 * 24 * time.Hour)
		if !in() {
			t.Fatalf("signed out on %s although it is used", now.Format(time.DateOnly))
		}
	}
	if now = now.Add(7 * 24 * time.Hour); in() {
		t.Error("still signed in after 31 days")
	}
	v.signsIn("kit")
	if now = now.Add(8 * 24 * time.Hour); in() {
		t.Error("still signed in after eight quiet days")
	}
	v.signsIn("kit")
	now = now.Add(-24 * time.Hour)
	if !in() {
		t.Error("a clock set back signs people out")
	}
}

func TestHealthAndGracefulStop(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	var said, logged bytes.Buffer
	ready, ended := make(chan string, 1), make(chan error, 1)
	go func() {
		ended <- Serve(ctx, Serving{
			Data: filepath.Join(t.TempDir(), "data"), Listen: "0.0.0.0:0", Say: &said, Log: &logged,
			Examples: sites.Names, Example: sites.File, Ready: func(at string) { ready <- at },
		})
	}()
	at := <-ready
	if !strings.HasPrefix(at, "127.0.0.1:") {
		t.Errorf("without an account it listens at %s", at)
	}
	v := &visitor{t, http.DefaultClient, "http://" + at}
	for path, want := range map[string]string{"/healthz": "alive\n", "/readyz": "ready\n"} {
		if status, body := v.get(path); status != http.StatusOK || body != want {
			t.Errorf("%s: %d %q", path, status, body)
		}
	}
	stop()
	if err := <-ended; err != nil {
		t.Errorf("stopped with %v", err)
	}
	for _, line := range []string{"Listening  http://" + at, "Data       ", "Backup     ", "Setup      http://" + at + "/setup?token="} {
		if !strings.Contains(said.String(), line) {
			t.Errorf("it does not say %q:\n%s", line, &said)
		}
	}
	if !strings.Contains(logged.String(), `"path":"/healthz","status":200`) {
		t.Errorf("the log holds %s", &logged)
	}
}

func TestAProxyOnThisMachineIsBelieved(t *testing.T) {
	for _, c := range []struct {
		from, list, proto, want string
		encrypted               bool
	}{
		{"127.0.0.1:5", "", "", "127.0.0.1", false},
		{"127.0.0.1:5", "192.0.2.7", "https", "192.0.2.7", true},
		{"[::1]:5", "10.9.9.9, 192.0.2.7", "http", "192.0.2.7", false},
		{"127.0.0.1:5", "192.0.2.7, nobody", "", "127.0.0.1", false},
		{"198.51.100.4:5", "192.0.2.7", "https", "198.51.100.4", false},
		{"no address", "192.0.2.7", "https", "no address", false},
	} {
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.RemoteAddr = c.from
		r.Header.Set("X-Forwarded-For", c.list)
		r.Header.Set("X-Forwarded-Proto", c.proto)
		s := &Server{}
		if got := s.address(r); got != c.want || s.encrypted(r) != c.encrypted {
			t.Errorf("%+v: from %s, encrypted %v", c, got, s.encrypted(r))
		}
	}
}

// Of a chain of proxies only those that were named are believed, from the near
// end on.
func TestOnlyNamedProxiesAreBelieved(t *testing.T) {
	s := &Server{options: Options{Proxies: []netip.Prefix{netip.MustParsePrefix("203.0.113.0/24"), netip.MustParsePrefix("2001:db8::7/128")}}}
	for _, c := range []struct {
		from, list, want string
		encrypted        bool
	}{
		{"203.0.113.9:5", "192.0.2.7", "192.0.2.7", true},
		{"203.0.113.9:5", "10.1.1.1, 192.0.2.7, 203.0.113.8", "192.0.2.7", true},
		{"203.0.113.9:5", "203.0.113.1, 203.0.113.8", "203.0.113.1", true},
		{"[2001:db8::7]:5", "::ffff:192.0.2.7", "192.0.2.7", true},
		{"127.0.0.1:5", "192.0.2.7", "127.0.0.1", false}, // this machine was not named
		{"198.51.100.4:5", "192.0.2.7", "198.51.100.4", false},
	} {
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.RemoteAddr = c.from
		r.Header.Set("X-Forwarded-For", c.list)
		r.Header.Set("X-Forwarded-Proto", "https")
		if got := s.address(r); got != c.want || s.encrypted(r) != c.encrypted {
			t.Errorf("%+v: from %s, encrypted %v", c, got, s.encrypted(r))
		}
	}
}

func TestLoopback(t *testing.T) {
	for listen, want := range map[string]string{"0.0.0.0:80": "127.0.0.1:80", ":80": "127.0.0.1:80", "192.0.2.7:80": "127.0.0.1:80", "localhost:80": "localhost:80", "[::1]:80": "[::1]:80", "example.org:80": "127.0.0.1:80"} {
		if got, err := loopback(listen); err != nil || got != want {
			t.Errorf("%s: %s, %v; want %s", listen, got, err, want)
		}
	}
	if _, err := loopback("no port"); err == nil {
		t.Error("an address without a port was taken")
	}
}

func TestAPanicIsAnsweredAndTheOthersGoOn(t *testing.T) {
	var log bytes.Buffer
	s := &Server{options: Options{Log: slog.New(slog.NewJSONHandler(&log, nil))}}
	h := s.caught(compressed(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { panic(errors.New("broken")) })))
	r := httptest.NewRequest(http.MethodGet, "/", nil)
	r.Header.Set("Accept-Encoding", "gzip")
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	if w.Code != http.StatusInternalServerError || !strings.Contains(log.String(), "broken") {
		t.Errorf("%d, log %s", w.Code, &log)
	}
}

func TestALimiterForgetsAndKeepsItsSize(t *testing.T) {
	now := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	l := newLimiter(func() time.Time { return now }, 10, time.Minute)
	for i := range 10 {
		if !l.allow("kit") {
			t.Fatalf("refused at %d", i+1)
		}
	}
	if l.allow("kit") {
		t.Error("an eleventh was allowed")
	}
	if now = now.Add(6 * time.Second); !l.allow("kit") || l.allow("kit") {
		t.Error("six seconds give one back")
	}
	for i := range 3 * mostKeys {
		l.allow(fmt.Sprint(i))
	}
	if len(l.keys) > mostKeys+1 {
		t.Errorf("%d names are kept", len(l.keys))
	}
	if l.allow("kit") {
		t.Error("a flood of names freed the one that was refused")
	}
}

func TestPasswordsAreKeptSafely(t *testing.T) {
	s := &Server{hashing: make(chan struct{}, 1)}
	one, err1 := s.hashed(t.Context(), password)
	two, err2 := s.hashed(t.Context(), password)
	if err := errors.Join(err1, err2); err != nil || one == two || strings.Contains(one, password) {
		t.Fatalf("%s, %s, %v", one, two, err)
	}
	for typed, want := range map[string]bool{password: true, password + " ": false, "": false, strings.ToUpper(password): false} {
		if got, err := s.matches(t.Context(), typed, one); err != nil || got != want {
			t.Errorf("%q: %v, %v", typed, got, err)
		}
	}
	for _, kept := range []string{"", "$argon2id$v=19$m=1,t=1,p=1$!!$!!", "plain", strings.Replace(one, "$argon2id", "", 1)} {
		if got, err := s.matches(t.Context(), "", kept); got || err != nil {
			t.Errorf("nothing typed matches %q", kept)
		}
	}
}
