package web

import (
	"fmt"
	"net/http"
	"strings"
	"testing"
)

// shownUnder is the path under which tests see the pages, and fronted what
// stands before them: nothing, but where a test puts a proxy there.
var (
	shownUnder = ""
	fronted    = func(_ testing.TB, next http.Handler) http.Handler { return next }
)

// proxied shows the pages under a path until the test ends. Whatever is asked
// beside the path is a link that forgot it.
func proxied(t *testing.T, base string, takesOff bool) {
	t.Helper()
	before, beforeUnder := fronted, shownUnder
	t.Cleanup(func() { fronted, shownUnder = before, beforeUnder })
	shownUnder = base
	fronted = func(t testing.TB, next http.Handler) http.Handler {
		return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			if !strings.HasPrefix(r.URL.Path, base+"/") {
				if r.URL.Path != "/favicon.ico" { // asked by the browser itself
					t.Errorf("%s %s was asked, which is not below %s/", r.Method, r.URL.Path, base)
				}
				http.NotFound(w, r)
				return
			}
			if takesOff {
				http.StripPrefix(base, next).ServeHTTP(w, r)
				return
			}
			next.ServeHTTP(w, r)
		})
	}
}

// The pages stand at the root, below a path that the proxy leaves on, and below
// a deeper one that it takes off.
func TestThePagesAtThreeLayouts(t *testing.T) {
	for _, layout := range []struct {
		base     string
		takesOff bool
	}{{"", false}, {"/rinse", false}, {"/a/b", true}} {
		t.Run("at "+layout.base+"/", func(t *testing.T) {
			proxied(t, layout.base, layout.takesOff)
			walkThePages(t, layout.base)
			if layout.base != "" { // at the root by its own name
				TestReadingWithoutSignalArrivesOnce(t)
			}
		})
	}
}

func walkThePages(t *testing.T, base string) {
	s := serving(t)
	p := visits(t, s, 1440)
	p.begins()
	p.presses("Walk round the five practice sites")
	p.sees("Cormorant Reach")
	marina := s.siteID(t, "Cormorant")
	for _, path := range []string{"/", "/sites/" + marina, "/sites/" + marina + "/survey", "/sites/" + marina + "/reading", "/sites/" + marina + "/trends", "/sites/" + marina + "/papers", "/sites/" + marina + "/what-if", "/sites/" + marina + "/first-day", "/trips", "/parts", "/people", "/tokens", "/settings", "/backup", "/audit", "/help", "/phone"} {
		p.open(path)
		p.waits(`document.readyState === "complete" && !document.querySelector("meta[http-equiv]")`)
		p.ask(fmt.Sprintf(`[...document.querySelectorAll("[href], [src], [action], [formaction]")].every(e => ["href", "src", "action", "formaction"].every(n => {
			const to = e.getAttribute(n);
			return !to || !to.startsWith("/") || to.startsWith(%q) }))`, base+"/"))
	}
	p.ask(fmt.Sprintf(`location.pathname === %q`, base+"/phone"))
	// The worker answers for the pages and nothing beside them.
	p.waits(fmt.Sprintf(`(navigator.serviceWorker.getRegistration().then(r => window.scope = r && new URL(r.scope).pathname), window.scope === %q)`, base+"/"))
	// The manifest leads to pages and pictures that are there.
	p.waits(fmt.Sprintf(`(window.found ||= (async () => {
		const m = await (await fetch(document.querySelector("link[rel=manifest]").href)).json();
		const there = await Promise.all([m.start_url, ...m.icons.map(i => i.src)].map(async u => (await fetch(u)).ok && u.startsWith(%q)));
		window.manifest = m.scope === %q && there.every(Boolean) })(), window.manifest === true)`, base+"/", base+"/"))
	// A form leads back below the path, and so does signing out and in.
	p.open("/settings")
	p.ask(`(document.querySelector('[name=units][value=si]').click(), true)`)
	p.presses("Save mine")
	p.sees("Saved.")
	p.presses("Sign out")
	p.sees("Short name")
	p.open("/parts")
	p.ask(fmt.Sprintf(`location.pathname === %q && new URLSearchParams(location.search).get("next") === "/parts"`, base+"/sign-in"))
	p.types("#login", "kit")
	p.types("#password", password)
	p.presses("Sign in")
	p.sees("Parts and prices")
	p.ask(fmt.Sprintf(`location.pathname === %q`, base+"/parts"))
}
