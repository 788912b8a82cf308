package web

import (
	"bytes"
	"context"
	"encoding/json"
	"image"
	"image/jpeg"
	"io"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"rinsewright/internal/store"
)

// program asks as a program does.
type program struct {
	t     testing.TB
	base  string
	token string
}

// reply is what it was answered.
type reply struct {
	status int
	header http.Header
	body   string
}

func (p program) ask(method, path, body string, headers ...string) reply {
	p.t.Helper()
	r, err := http.NewRequestWithContext(context.Background(), method, p.base+path, strings.NewReader(body))
	if err != nil {
		p.t.Fatal(err)
	}
	if p.token != "" {
		r.Header.Set("Authorization", "Bearer "+p.token)
	}
	for i := 0; i < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		p.t.Fatal(err)
	}
	b, err := io.ReadAll(answer.Body)
	if err != nil {
		p.t.Fatal(err)
	}
	if err := answer.Body.Close(); err != nil {
		p.t.Fatal(err)
	}
	return reply{answer.StatusCode, answer.Header, string(b)}
}

// code is the code of a problem, which has all that a problem has.
func (r reply) code(t testing.TB) string {
	t.Helper()
	var p apiProblem
	if err := json.Unmarshal([]byte(r.body), &p); err != nil || r.header.Get("Content-Type") != problemKind || p.Status != r.status || p.Title == "" || p.Detail == "" || p.Fix == "" || p.Type != apiRoot+"/problems/"+p.Code {
		t.Errorf("%d %s is no whole problem: %s, %v", r.status, r.header.Get("Content-Type"), r.body, err)
	}
	return p.Code
}

func (r reply) into(t testing.TB, x any) {
	t.Helper()
	if err := json.Unmarshal([]byte(r.body), x); err != nil {
		t.Fatalf("%d %s: %v", r.status, r.body, err)
	}
}

// programs makes an owner and a program of theirs with these scopes.
func (s *served) programs(t testing.TB, scopes ...store.Scope) program {
	t.Helper()
	people, err := s.store.People(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if len(people) == 0 {
		kit, err := s.store.AddFirst(t.Context(), store.Person{Login: "kit", Name: "Kit", Password: "x"})
		if err != nil {
			t.Fatal(err)
		}
		people = []store.Person{kit}
	}
	return s.tokenOf(t, people[0].ID, time.Now().Add(time.Hour), scopes...)
}

func (s *served) tokenOf(t testing.TB, person string, until time.Time, scopes ...store.Scope) program {
	t.Helper()
	wanted := store.Token{Name: "test", Scopes: scopes, Expires: until}
	text := wanted.Secret()
	if _, err := s.store.AddToken(t.Context(), person, wanted); err != nil {
		t.Fatal(err)
	}
	return program{t, s.URL, text}
}

// answering answers every question alike, in place of the command line.
func answering(_ context.Context, a Asked) (Answer, error) {
	if slices.Contains(a.Flags, "--seed=0") {
		return Answer{JSON: []byte(`{"schema":"rinsewright.` + a.Verb + `/1","errors":[{"where":"","read":"no sample of the raw water","wanted":"a pen reading"}]}`), Exit: 2}, nil
	}
	return Answer{JSON: []byte(`{"schema":"rinsewright.` + a.Verb + `/1"}`)}, nil
}

func inAllScopes(t testing.TB) (*served, program) {
	s := serving(t)
	s.pages.options.Ask = answering
	return s, s.programs(t, store.Scopes...)
}

// Every route is asked as its description shows it, and answers as it says.
func TestEveryRouteAnswersAsDescribed(t *testing.T) {
	s, p := inAllScopes(t)
	var site apiSite
	p.ask("POST", apiRoot+"/sites", exampleSite).into(t, &site)
	var picture bytes.Buffer
	if err := jpeg.Encode(&picture, image.NewGray(image.Rect(0, 0, 40, 30)), nil); err != nil {
		t.Fatal(err)
	}
	toni, err := s.store.AddPerson(t.Context(), site.ID, store.Person{Login: "robin", Name: "Robin", Role: store.Tech, Password: "x"})
	if err != nil {
		t.Fatal(err)
	}
	device := store.NewID(time.Now())
	same := `{"samples":[{"id":"` + store.NewID(time.Now()) + `","place":"raw","taken":"2026-06-13T09:30:00Z","device":"` + device + `","number":1,"readings":[{"name":"strength","value":"VALUE"}]}]}`
	for _, value := range []string{"300 ppm", "310 ppm"} {
		p.ask("POST", apiRoot+"/sites/"+site.ID+"/samples", strings.Replace(same, "VALUE", value, 1))
	}
	var pairs apiVersions
	p.ask("GET", apiRoot+"/versions", "").into(t, &pairs)
	if len(pairs.Versions) != 1 {
		t.Fatalf("pairs %+v", pairs)
	}
	var spare apiToken
	p.ask("POST", apiRoot+"/tokens", `{"name":"spare","scopes":["read"],"days":1}`).into(t, &spare)
	var photo apiPhoto
	p.ask("POST", apiRoot+"/sites/"+site.ID+"/photos", picture.String()).into(t, &photo)
	ids := map[string]string{"people": toni.ID, "versions": pairs.Versions[0].ID, "tokens": spare.ID}
	routes := apiRoutes()
	i := slices.IndexFunc(routes, func(r apiRoute) bool { return r.name == "removeSite" })
	routes = append(slices.Delete(routes, i, i+1), apiRoutes()[i]) // the others want a site
	for _, route := range routes {
		method, path, _ := strings.Cut(route.pattern, " ")
		room := strings.Split(path, "/")[3]
		path = strings.NewReplacer("{kept}", photo.Kept, "{file}", "log.csv", "{code}", "changed").Replace(path)
		if id := ids[room]; id != "" {
			path = strings.Replace(path, "{id}", id, 1)
		}
		path = strings.Replace(path, "{id}", site.ID, 1)
		body := route.sends.example
		switch route.sends.kind {
		case "image/jpeg":
			body = picture.String()
		case csvKind:
			body = p.ask("GET", path, "").body
		case tomlKind:
			if route.status == http.StatusCreated {
				body = strings.Replace(exampleSite, "Gull", "Tern", 1)
			} else if body == "" {
				body = exampleSite
			}
		}
		var headers []string
		if route.match {
			headers = []string{"If-Match", p.ask("GET", path, "").header.Get("ETag")}
		}
		var query []string
		for _, a := range route.asks {
			if a.example != "" {
				query = append(query, a.name+"="+escape(a.example))
			}
		}
		got := p.ask(method, path+"?"+strings.Join(query, "&"), body, headers...)
		if got.status != route.status {
			t.Errorf("%s answered %d, not %d: %.300s", route.pattern, got.status, route.status, got.body)
			continue
		}
		kind, _, _ := strings.Cut(got.header.Get("Content-Type"), ";")
		if route.name == "getPaper" {
			kind = strings.Replace(kind, csvKind, "application/pdf", 1) // the test takes the quick one
		}
		if kind != route.gives.kind {
			t.Errorf("%s gave %q, not %q", route.pattern, kind, route.gives.kind)
		}
		if route.etag && got.header.Get("ETag") == "" && route.status != http.StatusNoContent {
			t.Errorf("%s gives no ETag", route.pattern)
		}
		if route.gives.kind == jsonKind {
			if err := schemaOf(t, route).Validate(parsed(t, got.body)); err != nil {
				t.Errorf("%s: %v in %s", route.pattern, err, got.body)
			}
		}
	}
}

// A token lets a program do what its scopes say and no more, on every route.
func TestATokenDoesNoMoreThanItsScopes(t *testing.T) {
	s, _ := inAllScopes(t)
	robin, err := s.store.AddPerson(t.Context(), "", store.Person{Login: "robin", Name: "Robin", Role: store.Reader, Password: "x"})
	if err != nil {
		t.Fatal(err)
	}
	whole := s.tokenOf(t, robin.ID, time.Now().Add(time.Hour), store.Scopes...)
	late := s.programs(t, store.Scopes...)
	late.token = s.tokenOf(t, robin.ID, time.Now().Add(-time.Second), store.Scopes...).token
	braces := regexp.MustCompile(`\{[a-z]+\}`)
	for _, route := range apiRoutes() {
		method, path, _ := strings.Cut(route.pattern, " ")
		path = braces.ReplaceAllString(path, store.NewID(time.Now()))
		for _, scope := range store.Scopes {
			got := s.programs(t, scope).ask(method, path, "")
			refused := got.status == http.StatusForbidden
			if refused != (route.scope != openToAll && route.scope != scope) {
				t.Errorf("%s with scope %s, needs %s: %d", route.pattern, scope, route.scope, got.status)
			}
			if got.status >= 500 {
				t.Errorf("%s: %d %s", route.pattern, got.status, got.body)
			}
		}
		if route.scope == openToAll {
			continue
		}
		if got := (program{t, s.URL, ""}).ask(method, path, ""); got.code(t) != "no-token" || got.status != 401 || got.header.Get("WWW-Authenticate") == "" {
			t.Errorf("%s without a token: %d", route.pattern, got.status)
		}
		if got := late.ask(method, path, ""); got.code(t) != "token-expired" {
			t.Errorf("%s after its time: %s", route.pattern, got.body)
		}
		if got := whole.ask(method, path, ""); (got.status == 403) != (scopeMay[route.scope] > readers) {
			t.Errorf("%s in a reader's name, needs role %d: %d", route.pattern, scopeMay[route.scope], got.status)
		}
	}
}

func TestAChangeWithAKeyIsMadeOnce(t *testing.T) {
	s, p := inAllScopes(t)
	other := strings.Replace(exampleSite, "Gull", "Tern", 1)
	var wait sync.WaitGroup
	made := make([]reply, 8)
	for i := range made { // the same from several hands, as when answers are lost
		wait.Go(func() { made[i] = p.ask("POST", apiRoot+"/sites", exampleSite, "Idempotency-Key", "one") })
	}
	wait.Wait()
	first := p.ask("POST", apiRoot+"/sites", exampleSite, "Idempotency-Key", "one")
	if first.status != http.StatusCreated || first.header.Get("Idempotent-Replayed") != "true" || first.header.Get("ETag") == "" || first.header.Get("Location") == "" {
		t.Errorf("sent again: %+v", first)
	}
	for _, m := range made {
		if m.status != http.StatusCreated && m.status != http.StatusConflict || m.status == http.StatusCreated && m.body != first.body {
			t.Errorf("one hand was answered %+v", m)
		}
	}
	if got := p.ask("POST", apiRoot+"/sites", other, "Idempotency-Key", "one"); got.code(t) != "key-reused" {
		t.Errorf("another change under the key: %s", got.body)
	}
	logs := `{"samples":[{"place":"raw","taken":"2026-06-13T09:30:00Z","readings":[{"name":"strength","value":"300 ppm"}]}]}`
	var site apiSite
	first.into(t, &site)
	for range 3 { // no id of its own, so only the key tells that it is the same
		p.ask("POST", apiRoot+"/sites/"+site.ID+"/samples", logs, "Idempotency-Key", "two")
	}
	if samples, err := s.store.Samples(t.Context(), site.ID, 10); err != nil || len(samples) != 1 {
		t.Errorf("%d samples, %v", len(samples), err)
	}
	if got := p.ask("POST", apiRoot+"/sites", "no site", "Idempotency-Key", "three"); got.status != 422 {
		t.Errorf("a bad one: %d", got.status)
	}
	if got := p.ask("POST", apiRoot+"/sites", "no site", "Idempotency-Key", "three"); got.code(t) != "not-accepted" || got.header.Get("Idempotent-Replayed") == "" {
		t.Errorf("a bad one again: %+v", got)
	}
}

func TestAnEditNamesTheStateItWasMadeFrom(t *testing.T) {
	_, p := inAllScopes(t)
	var site apiSite
	p.ask("POST", apiRoot+"/sites", exampleSite).into(t, &site)
	at := apiRoot + "/sites/" + site.ID
	mark := `"` + site.ETag + `"`
	change := `{"demand.normal_day":"12"}`
	if got := p.ask("PATCH", at, change); got.status != 428 || got.code(t) != "no-match" {
		t.Errorf("without a state: %+v", got)
	}
	if got := p.ask("PATCH", at, change, "If-Match", mark); got.status != 200 || got.header.Get("ETag") == mark {
		t.Errorf("from the present state: %+v", got)
	}
	if got := p.ask("PUT", at+"/file", exampleSite+"# mine\n", "If-Match", mark); got.status != 412 || got.code(t) != "changed" {
		t.Errorf("from an old state: %+v", got)
	}
	if file := p.ask("GET", at+"/file", ""); !strings.HasPrefix(file.body, exampleSite) || !strings.Contains(file.body, "\nnormal_day = 12 ") {
		t.Errorf("the rest of the file did not stay: %q", file.body)
	}
	now := p.ask("GET", at, "").header.Get("ETag")
	if got := p.ask("GET", at, "", "If-None-Match", now); got.status != 304 || got.body != "" {
		t.Errorf("as it is already: %+v", got)
	}
	got := p.ask("PATCH", at, `{"demand.normal_day":"often","sample.1.strength":"9 psi"}`, "If-Match", now)
	var told apiProblem
	got.into(t, &told)
	if got.code(t) != "not-accepted" || len(told.Errors) != 2 || told.Errors[0].Where != "demand.normal_day" || told.Errors[0].Wanted == "" {
		t.Errorf("two fields that cannot be taken: %s", got.body)
	}
}

func TestSamplesOfAProgramAreReadAsOnThePages(t *testing.T) {
	s, p := inAllScopes(t)
	var site apiSite
	p.ask("POST", apiRoot+"/sites", exampleSite).into(t, &site)
	at := apiRoot + "/sites/" + site.ID + "/samples"
	var told apiReceipts
	p.ask("POST", at, exampleSamples).into(t, &told)
	if len(told.Receipts) != 2 || !told.Receipts[0].Kept || !told.Receipts[1].Kept {
		t.Fatalf("%+v", told)
	}
	kept, err := s.store.Samples(t.Context(), site.ID, 10)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range kept {
		if x.OffsetMinutes != -240 {
			t.Errorf("the clock's zone was lost: %+v", x)
		}
		for _, r := range x.Readings {
			// 1.1 US gallons of 3.785411784 L a minute: published: NIST SP 811 B.8
			if want := 1.1 * 3.785411784e-3 / 60; r.Name == "permeate_flow" && (r.SI < want*0.999999 || r.SI > want*1.000001) {
				t.Errorf("1.1 gpm became %g m3/s", r.SI)
			}
		}
	}
	for says, reading := range map[string]string{
		"no unit":       `{"name":"strength","value":"9"}`,
		"another unit":  `{"name":"strength","value":"9 psi"}`,
		"no value":      `{"name":"strength"}`,
		"both":          `{"name":"strength","value":"9 ppm","skipped":"sensor bad"}`,
		"no such name":  `{"name":"colour","value":"9 ppm"}`,
		"not a number":  `{"name":"strength","value":"NaN ppm"}`,
		"bare SI":       `{"name":"strength","si":0.009,"unit":"kg/m3"}`,
		"decimal comma": `{"name":"hardness","value":"9,5 gpg"}`,
	} {
		var told apiReceipts
		p.ask("POST", at, `{"samples":[{"place":"raw","taken":"2026-06-13T09:30:00Z","readings":[`+reading+`]}]}`).into(t, &told)
		if told.Receipts[0].Kept || told.Receipts[0].Why == "" {
			t.Errorf("%s was kept: %+v", says, told)
		}
	}
	for says, body := range map[string]string{"nothing": "", "another object": `{"sample":1}`, "two objects": exampleSamples + exampleSamples, "none": `{"samples":[]}`} {
		if got := p.ask("POST", at, body); got.status != 400 && got.status != 422 {
			t.Errorf("%s: %d", says, got.status)
		}
	}
	if got := p.ask("POST", at, strings.Repeat(" ", maxBody+1)); got.code(t) != "too-large" {
		t.Errorf("too much: %s", got.body)
	}
}

func TestAProgramIsToldWhyTheEngineHasNoAnswer(t *testing.T) {
	_, p := inAllScopes(t)
	var site apiSite
	p.ask("POST", apiRoot+"/sites", exampleSite).into(t, &site)
	at := apiRoot + "/sites/" + site.ID + "/check"
	got := p.ask("GET", at+"?seed=0", "")
	var told apiProblem
	got.into(t, &told)
	if got.code(t) != "no-answer" || told.Detail != "No sample of the raw water." || told.Fix != "a pen reading" || len(told.Errors) != 1 {
		t.Errorf("%s", got.body)
	}
	if got := p.ask("GET", at+"?html=/etc/passwd", ""); got.code(t) != "not-accepted" {
		t.Errorf("a flag that is none of its questions: %s", got.body)
	}
	first := p.ask("GET", at+"?seed=2", "")
	if again := p.ask("GET", at+"?seed=2", "", "If-None-Match", first.header.Get("ETag")); again.status != 304 {
		t.Errorf("the same question of the same site: %d", again.status)
	}
	if other := p.ask("GET", at+"?seed=3", "", "If-None-Match", first.header.Get("ETag")); other.status != 200 {
		t.Errorf("another question: %d", other.status)
	}
	p.ask("POST", apiRoot+"/sites/"+site.ID+"/samples", exampleSamples)
	if after := p.ask("GET", at+"?seed=2", "", "If-None-Match", first.header.Get("ETag")); after.status != 200 {
		t.Errorf("after a sample was logged: %d", after.status)
	}
	if got := p.ask("GET", apiRoot+"/nowhere", ""); got.code(t) != "not-there" || got.status != 404 {
		t.Errorf("nowhere: %+v", got)
	}
}

func TestListsAreReadPageByPage(t *testing.T) {
	_, p := inAllScopes(t)
	want := map[string]bool{}
	for _, n := range []string{"One", "Two", "Three", "Four", "Five"} {
		var site apiSite
		p.ask("POST", apiRoot+"/sites", strings.Replace(exampleSite, "Gull", n, 1)).into(t, &site)
		want[site.ID] = true
	}
	next := apiRoot + "/sites?limit=2"
	for next != "" {
		got := p.ask("GET", next, "")
		var page apiSites
		got.into(t, &page)
		for _, s := range page.Sites {
			if !want[s.ID] {
				t.Errorf("%s twice", s.Name)
			}
			delete(want, s.ID)
		}
		link := got.header.Get("Link")
		if (link == "") != (page.Next == "") {
			t.Errorf("header %q, next %q", link, page.Next)
		}
		next, _, _ = strings.Cut(strings.TrimPrefix(link, "<"), ">")
	}
	if len(want) > 0 {
		t.Errorf("not read: %v", want)
	}
	for _, bad := range []string{"limit=0", "limit=201", "limit=many"} {
		if got := p.ask("GET", apiRoot+"/sites?"+bad, ""); got.code(t) != "not-accepted" {
			t.Errorf("%s: %s", bad, got.body)
		}
	}
}
