package web

import (
	_ "embed"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

//go:embed testdata/axe.min.js
var axe string

// Every page, at the width of a phone and of a desk, on light and dark paper:
// nothing is wider than the screen, targets are large enough, and the open
// accessibility rules find nothing. With SHOTS=folder it leaves the pictures.
func TestEveryPageFitsAndCanBeUsedByEveryone(t *testing.T) {
	s := serving(t)
	first := visits(t, s, 1440)
	for _, size := range []int64{380, 1440} {
		first.look("setup", "/setup?token="+setupToken, size)
	}
	first.begins()
	for _, size := range []int64{380, 1440} {
		first.look("empty", "/", size)
	}
	first.open("/")
	first.presses("Walk round the five practice sites")
	first.sees("Cormorant Reach")
	first.sees("1 to 5 of 5")
	first.waits(`document.readyState === "complete" && !document.querySelector("meta[http-equiv]")`)
	awful := "Wash\u2011down of the harbour authority's Donaudampfschifffahrtsgesellschaftskapitänsanlegestelle, pier 4½ <b>north</b> & 水" // invented
	if _, err := s.store.AddSite(t.Context(), "", "rinsewright = 1\n[site]\nname = \""+awful+"\"\n", false); err != nil {
		t.Fatal(err)
	}
	marina, fennel := s.siteID(t, "Cormorant"), s.siteID(t, "Fennel")
	seen := map[string]bool{}
	for name, page := range map[string][2]string{
		"sites": {"GET /{$}", "/"}, "new": {"GET /sites/new", "/sites/new"},
		"site": {"GET /sites/{id}", "/sites/" + marina}, "site-fennel": {"GET /sites/{id}", "/sites/" + fennel},
		"import": {"GET /sites/{id}/import", "/sites/" + marina + "/import"},
		"survey": {"GET /sites/{id}/survey", "/sites/" + marina + "/survey"}, "reading": {"GET /sites/{id}/reading", "/sites/" + marina + "/reading"},
		"what-if": {"GET /sites/{id}/what-if", "/sites/" + marina + "/what-if"}, "trends": {"GET /sites/{id}/trends", "/sites/" + marina + "/trends"},
		"sizing": {"GET /sites/{id}/sizing", "/sites/" + marina + "/sizing"}, "papers": {"GET /sites/{id}/papers", "/sites/" + marina + "/papers"},
		"first-day": {"GET /sites/{id}/first-day", "/sites/" + marina + "/first-day"}, "faults": {"GET /sites/{id}/faults", "/sites/" + fennel + "/faults"},
		"versions": {"GET /versions", "/versions"}, "parts": {"GET /parts", "/parts"}, "part": {"GET /parts/{row}", "/parts/0"}, "people": {"GET /people", "/people"},
		"settings": {"GET /settings", "/settings"}, "phones": {"GET /phones", "/phones"}, "backup": {"GET /backup", "/backup"}, "audit": {"GET /audit", "/audit"},
		"tokens": {"GET /tokens", "/tokens"}, "account": {"GET /account", "/account"},
		"help": {"GET /help", "/help"}, "trips": {"GET /trips", "/trips"}, "phone": {"GET /phone", "/phone"}, "nowhere": {"GET /", "/nowhere"},
	} {
		seen[page[0]] = true
		for _, size := range []int64{380, 1440} {
			first.look(name, page[1], size)
		}
	}
	for _, r := range routes() {
		if !seen[r.pattern] && !noPages[r.pattern] && strings.HasPrefix(r.pattern, "GET ") {
			t.Errorf("nobody has looked at %s: add it here", r.pattern)
		}
	}
	first.open("/")
	first.presses("Sign out")
	first.sees("Short name")
	for _, size := range []int64{380, 1440} {
		first.look("signin", "/sign-in", size)
	}
}

// noPages are the addresses that answer with a file, and the pages of
// somebody who is not signed in, which are looked at apart.
var noPages = map[string]bool{
	"GET /healthz": true, "GET /readyz": true, "GET /metrics": true, "GET /assets/{name}": true, "GET /engine/{name}": true, "GET /sw.js": true, "GET /manifest.webmanifest": true,
	"GET /setup": true, "GET /sign-in": true, "GET /sign-in/code": true, "GET /welcome": true, "GET /sites/{id}/export": true, "GET /sites/{id}/trends.csv": true, "GET /sites/{id}/tracked.csv": true, "GET /sites/{id}/papers/{file}": true, "GET /sites/{id}/issued/{paper}/{letter}": true,
	"GET /photos/{kept}": true, "GET /parts/export": true, "GET /backup/{name}": true, "GET /calendar/{secret}": true,
}

// look opens a page and judges it: on light paper at the width of a desk and on
// dark at that of a phone, since colours do not depend on the width. For
// pictures it does both at each.
func (p *person) look(name, path string, width int64) {
	p.t.Helper()
	for _, dark := range []bool{false, true} {
		if os.Getenv("SHOTS") == "" && dark != (width < 1000) {
			continue
		}
		paper := map[bool]string{true: "dark", false: "light"}[dark]
		p.do(chromedp.EmulateViewport(width, 900))
		p.dark(dark)
		p.open(path)
		p.waits(`document.readyState === "complete" && !document.querySelector("meta[http-equiv]")`)
		p.fits(name, width)
		p.accessible(fmt.Sprintf("%s at %d px, %s", name, width, paper))
		p.shot(fmt.Sprintf("%s-%d-%s", name, width, paper), width)
	}
}

func (p *person) fits(name string, width int64) {
	p.t.Helper()
	wide, err := chromedp.Run(p.ctx, chromedp.Evaluate[int64](`document.documentElement.scrollWidth`))
	if err != nil {
		p.fail(err)
	}
	if wide > width {
		p.t.Errorf("%s is %d px wide at %d px", name, wide, width)
	}
	small, err := chromedp.Run(p.ctx, chromedp.Evaluate[[]string](`[...document.querySelectorAll("button, .button, summary, nav a, select, input:not([type=hidden]):not([type=checkbox]):not([type=radio])")]
		.filter(e => e.offsetParent && e.getBoundingClientRect().height < 43.5).map(e => e.outerHTML.slice(0, 80))`))
	if err != nil {
		p.fail(err)
	}
	if len(small) > 0 {
		p.t.Errorf("%s at %d px: less than 44 px high: %s", name, width, strings.Join(small, "\n"))
	}
}

// accessible holds the page to the rules of WCAG 2.0 to 2.2, levels A and AA.
func (p *person) accessible(name string) {
	p.t.Helper()
	for _, f := range p.violations() {
		p.t.Errorf("%s: %s", name, f)
	}
}

func (p *person) violations() []string {
	p.t.Helper()
	if _, err := chromedp.Run(p.ctx, chromedp.Evaluate[bool](axe+"; true")); err != nil {
		p.fail(err)
	}
	found, err := chromedp.Run(p.ctx, chromedp.Evaluate[[]string](`axe.run({runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}).then(r =>
		r.violations.flatMap(v => v.nodes.map(n => v.id + ": " + n.html.slice(0, 120) + " " + n.failureSummary.replace(/\s+/g, " ").slice(0, 200))))`, chromedp.EvalAwaitPromise))
	if err != nil {
		p.fail(err)
	}
	return found
}
