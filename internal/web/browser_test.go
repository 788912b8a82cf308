package web

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"rinsewright/internal/store"
	"rinsewright/testdata/sites"
)

const setupToken = "the-setup-token"

// freshDatabase is the address of an empty database: SQLite, but where a test
// says otherwise.
var freshDatabase = func(t testing.TB) string { return filepath.Join(t.TempDir(), "data.sqlite") }

// served is a server over a new database, without an account.
type served struct {
	*httptest.Server
	store *store.Store
	pages *Server
}

func serving(t testing.TB) *served {
	t.Helper()
	kept, err := store.Open(context.Background(), freshDatabase(t), store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	photos, err := store.OpenFolder(filepath.Join(t.TempDir(), "photos"))
	if err != nil {
		t.Fatal(err)
	}
	pages, err := New(Options{
		Store: kept, Photos: photos, Backups: filepath.Join(t.TempDir(), "backups"), Version: "test", Setup: setupToken, Examples: sites.Names, Example: sites.File, Base: shownUnder,
		Log: slog.New(slog.NewTextHandler(testLog{t}, &slog.HandlerOptions{Level: slog.LevelWarn})),
	})
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(fronted(t, pages))
	server.URL += shownUnder
	t.Cleanup(func() {
		server.Close()
		pages.Close()
		if err := errors.Join(kept.Close(), photos.Close()); err != nil {
			t.Error(err)
		}
	})
	return &served{server, kept, pages}
}

// testLog fails a test when the program logs a warning.
type testLog struct{ t testing.TB }

func (l testLog) Write(b []byte) (int, error) {
	l.t.Errorf("the program logged %s", b)
	return len(b), nil
}

// browser is one Chromium for all tests of the package; each test has a
// profile of its own in it.
var browser = sync.OnceValues(func() (context.Context, error) {
	flags := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true))
	ctx, stop := chromedp.NewExecAllocator(context.Background(), flags...)
	stopBrowser = stop
	ctx, _ = chromedp.NewContext(ctx)
	return ctx, chromedp.Do(ctx)
})

var stopBrowser = func() {}

func TestMain(m *testing.M) {
	code := m.Run()
	stopBrowser()
	os.Exit(code)
}

// person drives a page as someone does.
type person struct {
	t    *testing.T
	ctx  context.Context
	base string
}

// visits opens a profile of its own at the width of a phone or a desk. Any
// error that the page reports fails the test: a refused style, a thrown script.
func visits(t *testing.T, s *served, width int64) *person {
	t.Helper()
	shared, err := browser()
	if err != nil {
		t.Fatalf("start the browser: %v", err)
	}
	ctx, stop := chromedp.NewContext(shared, chromedp.WithNewBrowserContext())
	t.Cleanup(stop)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("open a tab: %v", err)
	}
	ctx, cancel := context.WithTimeout(ctx, 6*time.Minute)
	t.Cleanup(cancel)
	err = chromedp.Listen(ctx, func(ev any) {
		switch ev := ev.(type) {
		case *runtime.EventExceptionThrown:
			t.Errorf("the page's script threw %s", ev.ExceptionDetails.Text)
		case *runtime.EventConsoleAPICalled:
			if ev.Type == "error" {
				t.Errorf("the page reports an error: %+v", ev.Args)
			}
		case *log.EventEntryAdded: // what the policy refused is told here
			if ev.Entry.Level == "error" && ev.Entry.Source != "network" {
				t.Errorf("the browser reports %s: %s", ev.Entry.Source, ev.Entry.Text)
			}
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	p := &person{t, ctx, s.URL}
	p.do(chromedp.EmulateViewport(width, 900))
	return p
}

func (p *person) do(steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	if err := chromedp.Do(p.ctx, steps...); err != nil {
		p.fail(err)
	}
}

// fail tells where a person was when they got stuck, and what was on the page.
func (p *person) fail(err error) {
	p.t.Helper()
	where, err1 := chromedp.Run(p.ctx, chromedp.Location())
	text, err2 := chromedp.Run(p.ctx, chromedp.Evaluate[string](`document.body.innerText.slice(0, 600)`))
	p.t.Fatalf("%v\nat %s\n%s\n%v", err, where, text, errors.Join(err1, err2))
}

func (p *person) open(path string) {
	p.t.Helper()
	p.do(chromedp.Navigate(p.base+path), chromedp.WaitReady("main"))
}

// types replaces what stands in a field.
func (p *person) types(selector, text string) {
	p.t.Helper()
	p.ask(fmt.Sprintf(`(() => { const e = document.querySelector(%q); e.scrollIntoView({block: "center"}); e.focus(); e.select(); return document.activeElement === e })()`, selector))
	p.do(chromedp.SendKeys(selector, text))
}

func (p *person) chooses(selector, word string) {
	p.t.Helper()
	p.ask(fmt.Sprintf(`(() => { const s = document.querySelector(%q); s.value = %q; s.dispatchEvent(new Event("input", {bubbles: true})); return s.value === %q })()`, selector, word, word))
}

// presses presses what says so, as soon as it is there.
func (p *person) presses(words string) {
	p.t.Helper()
	p.waits(fmt.Sprintf(`(() => { document.querySelector("[data-press]")?.removeAttribute("data-press");
		const e = [...document.querySelectorAll("button, a, summary")].find(e => e.offsetParent && e.innerText.replace(/\s+/g, " ").trim() === %q);
		if (e) { e.setAttribute("data-press", ""); e.scrollIntoView({block: "center"}) } return !!e })()`, words))
	p.do(chromedp.Click("[data-press]"))
}

// sees waits until the page says something.
func (p *person) sees(words string) {
	p.t.Helper()
	p.waits(fmt.Sprintf(`!!document.body && document.body.innerText.replace(/\s+/g, " ").includes(%q)`, words))
}

// waits until a claim about the page holds. A page on its way to the next one
// answers nothing; it is asked again.
func (p *person) waits(claim string) {
	p.t.Helper()
	deadline := time.Now().Add(90 * time.Second)
	for {
		ok, err := chromedp.Run(p.ctx, chromedp.Evaluate[bool](claim))
		if ok {
			return
		}
		if time.Now().After(deadline) {
			p.fail(fmt.Errorf("waiting for %s: %w", claim, err))
		}
		time.Sleep(50 * time.Millisecond)
	}
}

// ask holds a claim about the page.
func (p *person) ask(claim string) {
	p.t.Helper()
	ok, err := chromedp.Run(p.ctx, chromedp.Evaluate[bool](claim))
	if err != nil {
		p.fail(err)
	}
	if !ok {
		p.t.Errorf("not so: %s", claim)
	}
}

// begins makes the first account.
func (p *person) begins() {
	p.t.Helper()
	p.open("/setup?token=" + setupToken)
	p.types("#name", "Kit")
	p.types("#login", "kit")
	p.types("#password", "a dry panel shines")
	p.presses("Make the account")
	p.sees("No sites yet")
}

func (p *person) dark(dark bool) {
	p.t.Helper()
	scheme := map[bool]string{true: "dark", false: "light"}[dark]
	_, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
	if err != nil {
		p.fail(err)
	}
}

// shot keeps a picture of the page when SHOTS names a folder.
func (p *person) shot(name string, width int64) {
	p.t.Helper()
	dir := os.Getenv("SHOTS")
	if dir == "" {
		return
	}
	// As tall as the page, so that what sticks to an edge stands where it would.
	tall, err := chromedp.Run(p.ctx, chromedp.Evaluate[int64](`document.documentElement.scrollHeight`))
	if err != nil {
		p.fail(err)
	}
	p.do(chromedp.EmulateViewport(width, max(tall, 900)))
	picture, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
	if err != nil {
		p.fail(err)
	}
	if err := errors.Join(os.MkdirAll(dir, 0o755), os.WriteFile(filepath.Join(dir, name+".png"), picture, 0o600)); err != nil {
		p.t.Fatal(err)
	}
}

// siteID is the id of a site by its name.
func (s *served) siteID(t *testing.T, name string) string {
	t.Helper()
	list, _, err := s.store.Sites(t.Context(), name, 0, 1)
	if err != nil || len(list) == 0 {
		t.Fatalf("site %s: %v", name, err)
	}
	return list[0].ID
}

func text(t *testing.T, r io.Reader) string {
	t.Helper()
	var b strings.Builder
	if _, err := io.Copy(&b, r); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func upload(selector, path string) chromedp.Action[chromedp.Void] {
	return chromedp.SetUploadFiles(selector, []string{path})
}

// walksRound makes the first account and brings in the practice sites.
func (p *person) walksRound() {
	p.t.Helper()
	p.begins()
	p.presses("Walk round the five practice sites")
	p.sees("1 to 5 of 5")
}

// gullPoint is a site of which nothing is known but its name.
func (s *served) gullPoint(t testing.TB) store.Site {
	t.Helper()
	site, err := s.store.AddSite(t.Context(), "", "rinsewright = 1\n[site]\nname = \"Gull Point\" # invented\n", false)
	if err != nil {
		t.Fatal(err)
	}
	return site
}

// signsIn signs in as somebody who has an account.
func (p *person) signsIn(login string) {
	p.t.Helper()
	p.open("/sign-in")
	p.types("#login", login)
	p.types("#password", password)
	p.presses("Sign in")
	p.waits(`!!document.querySelector("form.leave")`)
}
