package web

import (
	"cmp"
	"crypto/tls"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"rinsewright/internal/store"
)

// rulesPage is where every way in is written down with who may use it.
const rulesPage = "../../docs/reference/who-may-what.md"

var mayWords = map[may]string{everyone: "everyone", readers: "read-only", techs: "tech", owners: "owner"}

// writtenRules is the page as the routes are.
func writtenRules() string {
	var b strings.Builder
	b.WriteString("# Who may do what\n\nWritten by a test from the routes themselves (`UPDATE=1 go test ./internal/web -run TheRules`): a new way in fails the test until its line stands here.\n" +
		"A role may what the ones before it in *read-only, tech, owner* may. Pages ask for a sign-in, `/api/v1` for a token with exactly the scope, made by a person of at least the role;\n" +
		"neither opens the other's door. Every person of an office sees every site of that office. Ids are UUIDs of version 7 (RFC 9562): they tell when something was made, 74 bits of\n" +
		"each are drawn from the system's source of chance, and no id opens anything by itself.\n")
	b.WriteString("\n## Pages\n\n| way in | who |\n|---|---|\n")
	for _, r := range slices.SortedFunc(slices.Values(routes()), func(a, b route) int { return cmp.Compare(a.pattern, b.pattern) }) {
		fmt.Fprintf(&b, "| `%s` | %s |\n", r.pattern, mayWords[r.may])
	}
	b.WriteString("\n## Programs\n\n| way in | scope | who made the token |\n|---|---|---|\n")
	for _, r := range slices.SortedFunc(slices.Values(apiRoutes()), func(a, b apiRoute) int { return cmp.Compare(a.pattern, b.pattern) }) {
		fmt.Fprintf(&b, "| `%s` | %s | %s |\n", r.pattern, r.scope, mayWords[scopeMay[r.scope]])
	}
	return b.String()
}

func TestTheRulesAreThoseWritten(t *testing.T) {
	want := writtenRules()
	if os.Getenv("UPDATE") != "" {
		if err := os.WriteFile(rulesPage, []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(rulesPage)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(string(got), "\n")
	for line := range strings.Lines(want) {
		if !slices.Contains(lines, strings.TrimSuffix(line, "\n")) {
			t.Errorf("nobody has written down %s", line)
		}
	}
	if string(got) != want {
		t.Errorf("%s is not what the routes are", rulesPage)
	}
}

// A rule that was left out lets in nobody, and the program does not start.
func TestARouteWithoutARuleIsNone(t *testing.T) {
	if mayWords[(route{}).may] != "" {
		t.Error("a page's rule left out is a rule")
	}
	if _, ruled := scopeMay[(apiRoute{}).scope]; ruled {
		t.Error("a scope left out is a scope")
	}
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	cookies := 0
	wired := regexp.MustCompile(`\.Handle(Func)?\(`)
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		cookies += strings.Count(string(text), "http.Set"+"Cookie(")
		n := len(wired.FindAll(text, -1))
		if want := map[string]int{"server.go": 3, "phones.go": 5}[file]; n != want && !strings.HasSuffix(file, "_test.go") {
			t.Errorf("%s wires %d ways in, %d are known: pages belong into routes, programs' into apiRoutes", file, n, want)
		}
	}
	if cookies != 1 {
		t.Errorf("%d places set cookies; keepCookie does", cookies)
	}
}

// wayIn is one way in with its blanks filled.
func wayIn(pattern string) (method, path string) {
	method, path, _ = strings.Cut(pattern, " ")
	return method, regexp.MustCompile(`\{[a-z]+\}`).ReplaceAllString(strings.TrimSuffix(path, "{$}"), store.NewID(time.Now()))
}

// turnedAway tells whether an answer lets somebody in nowhere.
func turnedAway(status int, header http.Header) bool {
	return status == http.StatusUnauthorized || status == http.StatusSeeOther && strings.Contains(header.Get("Location"), "/sign-in")
}

// A sign-in opens no door of programs, and a token none of the pages: another
// site's form could else use the one, and a program the other without a scope.
func TestNeitherKeyOpensTheOthersDoor(t *testing.T) {
	s := serving(t)
	owner := s.visitor(t)
	owner.begins()
	program := s.programs(t, store.Scopes...)
	stranger := s.visitor(t)
	asked := 0
	for _, r := range apiRoutes() {
		method, path := wayIn(r.pattern)
		if r.scope == openToAll {
			continue
		}
		asked++
		if status, _, _ := owner.send(method, path, nil); status != http.StatusUnauthorized {
			t.Errorf("%s with an owner's sign-in: %d", r.pattern, status)
		}
	}
	for _, r := range routes() {
		method, path := wayIn(r.pattern)
		if r.may == everyone {
			continue
		}
		asked++
		for _, m := range []string{method, http.MethodHead} {
			if m == http.MethodHead && method != http.MethodGet {
				continue
			}
			status, _, header := stranger.send(m, path, nil, func(r *http.Request) { r.Header.Set("Authorization", "Bearer "+program.token) })
			if !turnedAway(status, header) {
				t.Errorf("%s %s with a token of every scope: %d", m, path, status)
			}
		}
	}
	if asked < 100 {
		t.Errorf("only %d doors were tried", asked)
	}
}

// Who has left is let in nowhere any more, by no key they had.
func TestWhoHasLeftIsLetInNowhere(t *testing.T) {
	s := serving(t)
	owner := s.visitor(t)
	owner.begins()
	if status, body := owner.post("/people", "name", "Toni", "login", "toni", "role", "owner", "password", password); status != http.StatusSeeOther {
		t.Fatal(status, body)
	}
	toni, err := s.store.PersonByLogin(t.Context(), "toni")
	if err != nil {
		t.Fatal(err)
	}
	left := s.visitor(t)
	left.signsIn("toni")
	program := s.tokenOf(t, toni.ID, time.Now().Add(time.Hour), store.Scopes...)
	if status, _ := left.get("/people"); status != http.StatusOK {
		t.Fatalf("before leaving: %d", status)
	}
	if status, body := owner.post("/people/"+toni.ID, "role", "owner", "gone", "yes"); status != http.StatusSeeOther {
		t.Fatal(status, body)
	}
	for _, r := range routes() {
		method, path := wayIn(r.pattern)
		if r.may == everyone {
			continue
		}
		if status, _, header := left.send(method, path, nil); !turnedAway(status, header) {
			t.Errorf("%s after leaving: %d", r.pattern, status)
		}
	}
	for _, r := range apiRoutes() {
		method, path := wayIn(r.pattern)
		if got := program.ask(method, path, ""); r.scope != openToAll && got.code(t) != "no-token" {
			t.Errorf("%s after leaving: %d", r.pattern, got.status)
		}
	}
	if status, _ := s.visitor(t).post("/sign-in", "login", "toni", "password", password); status != http.StatusUnauthorized {
		t.Errorf("signs in after leaving: %d", status)
	}
}

// A passkey, a password, a second step and a choice of units are one's own: a
// colleague who knows their ids changes none.
func TestWhatIsOnesOwnStaysSo(t *testing.T) {
	s := serving(t)
	owner := s.visitor(t)
	owner.begins()
	if status, body := owner.post("/people", "name", "Robin", "login", "robin", "role", "owner", "password", password); status != http.StatusSeeOther {
		t.Fatal(status, body)
	}
	kit, err := s.store.PersonByLogin(t.Context(), "kit")
	if err != nil {
		t.Fatal(err)
	}
	if err := s.store.AddPasskey(t.Context(), store.Passkey{ID: "kits", Person: kit.ID, Name: "Phone", Host: "rinse.example", Record: "{}"}); err != nil {
		t.Fatal(err)
	}
	robin := s.visitor(t)
	robin.signsIn("robin")
	for path, form := range map[string][]string{
		"/account/passkeys/kits/end": {"password", password, "person", kit.ID},
		"/account/password":          {"password", password, "new", "wax on, wax off", "person", kit.ID, "login", "kit"},
		"/account/step/begin":        {"password", password, "person", kit.ID},
		"/settings/mine":             {"units", "si", "decimal", "comma", "language", "es", "person", kit.ID},
	} {
		robin.post(path, form...)
	}
	keys, err := s.store.Passkeys(t.Context(), kit.ID)
	now, err2 := s.store.PersonByLogin(t.Context(), "kit")
	step, err3 := s.store.SecondStep(t.Context(), kit.ID)
	if cmp.Or(err, err2, err3) != nil || len(keys) != 1 || now != kit || step.Secret != "" {
		t.Errorf("a colleague changed what is another's: %v, %+v, %+v; %v %v %v", keys, now, step, err, err2, err3)
	}
	owner.post("/account/passkeys/kits/end", "password", password)
	if keys, err := s.store.Passkeys(t.Context(), kit.ID); err != nil || len(keys) != 0 {
		t.Errorf("control: whose it is could not end it: %v, %v", keys, err)
	}
}

// Every bit that is drawn takes both values among ids of one moment, and none
// comes twice.
func TestIdsAreNotGuessed(t *testing.T) {
	now := time.Date(2026, 6, 13, 9, 0, 0, 0, time.UTC)
	seen := map[string]bool{}
	ones := make([]int, 32)
	const n = 10_000
	for range n {
		id := store.NewID(now)
		if seen[id] || !store.SoundID(id) {
			t.Fatalf("%s came twice, or is none", id)
		}
		seen[id] = true
		for i, digit := range strings.ReplaceAll(id, "-", "") {
			if strings.ContainsRune("89abcdef", digit) {
				ones[i]++
			}
		}
	}
	for i := 13; i < 32; i++ { // behind 12 digits of time and the version
		if i != 16 && (ones[i] < n*4/10 || ones[i] > n*6/10) { // published: RFC 9562, section 5.7: the digit 16 is the variant
			t.Errorf("digit %d is high in %d of %d", i, ones[i], n)
		}
	}
}

// Signing in again ends the sign-in that this browser had, and takes no token
// that it brought along.
func TestASignInIsNewEachTime(t *testing.T) {
	s := serving(t)
	v := s.visitor(t)
	v.begins()
	_, _, first := v.send(http.MethodPost, "/sign-in", map[string][]string{"login": {"kit"}, "password": {password}}, func(r *http.Request) {
		r.AddCookie(&http.Cookie{Name: cookieName, Value: "brought-along"})
	})
	cookie, err := http.ParseSetCookie(first.Get("Set-Cookie"))
	if err != nil || cookie.Value == "brought-along" || len(cookie.Value) < 22 { // 128 bits in base64
		t.Fatalf("%v, %v", cookie, err)
	}
	if status, _ := v.get("/"); status != http.StatusOK {
		t.Fatalf("signed in anew: %d", status)
	}
	if status, _ := v.post("/sign-in", "login", "kit", "password", password); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	old := s.visitor(t)
	status, _, header := old.send(http.MethodGet, "/", nil, func(r *http.Request) { r.AddCookie(&http.Cookie{Name: cookieName, Value: cookie.Value}) })
	if !turnedAway(status, header) {
		t.Errorf("the sign-in before still opens: %d", status)
	}
	_, _, last := v.send(http.MethodPost, "/sign-in", map[string][]string{"login": {"kit"}, "password": {password}})
	if cookie, err = http.ParseSetCookie(last.Get("Set-Cookie")); err != nil {
		t.Fatal(err)
	}
	v.post("/sign-out")
	status, _, header = old.send(http.MethodGet, "/", nil, func(r *http.Request) { r.AddCookie(&http.Cookie{Name: cookieName, Value: cookie.Value}) })
	if !turnedAway(status, header) {
		t.Errorf("a sign-in that was ended still opens: %d", status)
	}
}

// Signing in leads to a page of ours and to no other site, whatever a link says.
func TestSigningInLeadsNowhereElse(t *testing.T) {
	for next, want := range map[string]string{
		"/trips?x=1": "/trips?x=1", "": "/", "https://elsewhere.example/": "/", "//elsewhere.example": "/", "/\\elsewhere.example": "/", "javascript:alert(1)": "/", "/\tx": "/", "/a\r\nb": "/",
	} {
		r := httptest.NewRequest(http.MethodGet, "/sign-in?"+url.Values{"next": {next}}.Encode(), nil)
		if got := (&visit{Server: &Server{}, r: r}).next(); got != want {
			t.Errorf("%q leads to %q", next, got)
		}
	}
}

// A program that asks without encryption is told so, instead of being sent on
// with its token already read by others.
func TestThePlainDoorSendsNoProgramOn(t *testing.T) {
	s := serving(t)
	for path, want := range map[string]int{apiRoot + "/sites": http.StatusNotFound, "/trips": http.StatusTemporaryRedirect} {
		w := httptest.NewRecorder()
		s.pages.trustDoor().ServeHTTP(w, httptest.NewRequest(http.MethodGet, path, nil))
		if w.Code != want {
			t.Errorf("%s: %d to %s", path, w.Code, w.Header().Get("Location"))
		}
	}
}

func TestEasyPasswordsAreRefused(t *testing.T) {
	for typed, good := range map[string]bool{
		"aaaaaaaaaaaa": false, "1234567890": false, "0987654321": false, "qwertyuiop": false, "abcabcabcabc": false, "rinsewright1": false, "Kitpassword7": false, "KIT-kit-kit-KIT": false, "short": false,
		strings.Repeat("long and dry ", 38): true, strings.Repeat("x1y2", 126): false,
		"a dry panel shines": true, "8402-771-935": true, "été à la plage": true, "kit rinses the bay": true, "纯水纯水洗车很干净没有斑": true,
	} {
		if why := wrongPassword(typed, "kit"); (why == "") != good {
			t.Errorf("%q: %q", typed, why)
		}
	}
}

// published: OWASP ASVS 5.0.0, 6.5.2 and 11.5.1: what is drawn to be typed once
// has 112 bits at least to be kept by a plain hash, and 128 where nobody may guess it.
func TestCodesOnPaperAreNotGuessed(t *testing.T) {
	codes, hashes := newSpares("kit")
	seen := map[string]bool{}
	for i, c := range codes {
		plain := strings.ReplaceAll(c, " ", "")
		raw, err := base32Plain.DecodeString(strings.ToUpper(plain))
		if err != nil || len(raw) < 16 || seen[plain] || hashes[i] != spareHash("kit", strings.ToUpper(c)) || strings.Contains(hashes[i], plain) {
			t.Errorf("%s: %v", c, err)
		}
		seen[plain] = true
	}
	if len(codes) != spareCodes || len(newToken())*6 < 128 {
		t.Errorf("%d codes, tokens like %s", len(codes), newToken())
	}
}

// published: RFC 6265bis, section 4.1.3: what a name with __Host- or __Secure-
// asks of a cookie.
func TestCookiesKeepToTheEncryptedLine(t *testing.T) {
	for _, c := range []struct {
		base      string
		encrypted bool
		name      string
		path      string
	}{
		{"", true, "__Host-rinsewright", "/"},
		{"/rinse", true, "__Secure-rinsewright", "/rinse/"},
		{"", false, "rinsewright", "/"},
	} {
		w, r := httptest.NewRecorder(), httptest.NewRequest(http.MethodGet, "/", nil)
		if c.encrypted {
			r.TLS = &tls.ConnectionState{}
		}
		v := &visit{Server: &Server{options: Options{Base: c.base}}, w: w, r: r}
		v.cookie("secret", time.Minute)
		v.stepCookie("secret", time.Minute)
		v.keepLanguage("es")
		for _, cookie := range w.Result().Cookies() {
			if !strings.HasPrefix(cookie.Name, c.name) || cookie.Path != c.path || cookie.Secure != c.encrypted || !cookie.HttpOnly || cookie.SameSite < http.SameSiteLaxMode || cookie.Domain != "" {
				t.Errorf("%+v: %+v", c, cookie)
			}
		}
		if n := len(w.Result().Cookies()); n != 3 {
			t.Errorf("%d cookies", n)
		}
	}
}

// What was not made for everyone stays in no cache unless it says so itself, and
// a browser shows nothing of it as another kind.
func TestPrivateAnswersStayInNoCache(t *testing.T) {
	s := serving(t)
	v := s.visitor(t)
	v.begins()
	if status, _ := v.post("/practice"); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	id := s.siteID(t, "Fennel")
	for _, path := range []string{"/", "/account", "/sites/" + id + "/export", "/sites/" + id + "/trends.csv", "/sites/" + id + "/tracked.csv", "/sites/" + id + "/papers", "/parts/export", "/backup", "/tokens", "/people", "/audit", "/nowhere", "/setup", "/sign-in", apiRoot + "/sites"} {
		_, _, h := v.send(http.MethodGet, path, nil)
		if h.Get("Cache-Control") != "no-store" || h.Get("X-Content-Type-Options") != "nosniff" || h.Get("Content-Type") == "" || h.Get("Cross-Origin-Resource-Policy") != "same-origin" || h.Get("Access-Control-Allow-Origin") != "" {
			t.Errorf("%s: %v", path, h)
		}
		if kind := h.Get("Content-Type"); strings.HasPrefix(kind, "text/") && !strings.Contains(kind, "charset=utf-8") {
			t.Errorf("%s: %s", path, kind)
		}
	}
	for _, method := range []string{http.MethodTrace, http.MethodOptions, "PROPFIND"} {
		if status, _, _ := v.send(method, "/", nil); status != http.StatusMethodNotAllowed {
			t.Errorf("%s: %d", method, status)
		}
	}
	for _, path := range []string{"/assets/", "/engine/", "/.git/config", "/assets/..%2fserver.go", "/photos/"} {
		if status, body, _ := v.send(http.MethodGet, path, nil); status != http.StatusNotFound || strings.Contains(body, "package web") {
			t.Errorf("%s: %d", path, status)
		}
	}
}

// Only where anyone can look up who vouches for the name may browsers be told to
// keep to the encrypted line for a year.
func TestAPublicNameIsKeptToTheEncryptedLine(t *testing.T) {
	for _, c := range []struct{ public, encrypted bool }{{true, true}, {true, false}, {false, true}} {
		w, r := httptest.NewRecorder(), httptest.NewRequest(http.MethodGet, "/", nil)
		if c.encrypted {
			r.TLS = &tls.ConnectionState{}
		}
		(&Server{options: Options{Public: c.public}}).headed(http.NotFoundHandler()).ServeHTTP(w, r)
		if got := w.Header().Get("Strict-Transport-Security"); (got == "max-age=31536000") != (c.public && c.encrypted) {
			t.Errorf("%+v: %q", c, got)
		}
	}
}

// published: RFC 8996: nothing older than TLS 1.2.
func TestOldLinesAreRefused(t *testing.T) {
	lender := httptest.NewTLSServer(http.NotFoundHandler())
	defer lender.Close()
	plain, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	l := encryptedBy(plain, func(*tls.ClientHelloInfo) (*tls.Certificate, error) { return &lender.TLS.Certificates[0], nil })
	server := &http.Server{Handler: http.NotFoundHandler(), ErrorLog: log.New(io.Discard, "", 0)}
	go func() { _ = server.Serve(l) }()
	defer func() { _ = server.Close() }()
	for version, want := range map[uint16]bool{tls.VersionTLS10: false, tls.VersionTLS11: false, tls.VersionTLS12: true, tls.VersionTLS13: true} {
		c, err := tls.Dial("tcp", l.Addr().String(), &tls.Config{RootCAs: lender.Client().Transport.(*http.Transport).TLSClientConfig.RootCAs, ServerName: "example.com", MinVersion: version, MaxVersion: version})
		if (err == nil) != want {
			t.Errorf("%s: %v", tls.VersionName(version), err)
		}
		if err == nil {
			_ = c.Close()
		}
	}
}
