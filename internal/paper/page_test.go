package paper

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"rinsewright/internal/sitefile"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

func checked(t testing.TB, name string, change func(*site.Site)) *study.Checked {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("../../testdata/sites", name, "site.toml"))
	if err != nil {
		t.Fatal(err)
	}
	s, err := sitefile.Read("site.toml", data)
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(s)
	}
	c, err := study.Check(context.Background(), s, study.Options{Seed: 1, Looks: 8})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// awful is what real people type.
func awful(s *site.Site) {
	s.Name = `The <b>Very</b> Long & "Quoted" Name of a Marina that Does Not Break Averylongwordwithoutanyspaceinitatallthatsomebodyreallytyped`
	s.About = strings.Repeat("Everything about it, and more. ", 40)
}

func TestWhatAPersonTypesCannotBreakThePage(t *testing.T) {
	var b bytes.Buffer
	if err := CheckPage(&b, checked(t, "cormorant-reach", awful), Options{}); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(b.String(), "<b>Very</b>") {
		t.Error("a name was written as markup")
	}
	for _, outside := range []string{"http://", "https://", "<script", "javascript:"} {
		if strings.Contains(strings.ReplaceAll(b.String(), "http://www.w3.org/2000/svg", ""), outside) {
			t.Errorf("the page holds %q", outside)
		}
	}
}

func TestEveryPromiseAndStepIsOnThePage(t *testing.T) {
	c := checked(t, "fennel-lane", nil)
	var b bytes.Buffer
	if err := CheckPage(&b, c, Options{Units: quantity.SI}); err != nil {
		t.Fatal(err)
	}
	for _, p := range c.Promises {
		if !strings.Contains(b.String(), p.Says) {
			t.Errorf("the page does not say %q", p.Says)
		}
	}
	for _, s := range c.Working {
		if !strings.Contains(b.String(), `id="`+s.ID+`"`) {
			t.Errorf("the page does not hold step %s", s.ID)
		}
	}
}

// A real browser, at the width of a phone and of a desk: nothing is wider than
// the screen, the right drawing shows, and a step of the working opens.
func TestThePageFitsAPhoneAndADesk(t *testing.T) {
	for name, change := range map[string]func(*site.Site){"cormorant-reach": awful, "fennel-lane": nil, "brightmere": nil} {
		file := filepath.Join(t.TempDir(), "page.html")
		var b bytes.Buffer
		if err := CheckPage(&b, checked(t, name, change), Options{}); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		for _, width := range []int64{380, 1440} {
			browse(t, file, width)
		}
	}
}

func browse(t *testing.T, file string, width int64) {
	t.Helper()
	flags := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true))
	ctx, stop := chromedp.NewExecAllocator(context.Background(), flags...)
	defer stop()
	ctx, stop = chromedp.NewContext(ctx)
	defer stop()
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("start the browser: %v", err)
	}
	ctx, stop = context.WithTimeout(ctx, time.Minute)
	defer stop()
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(width, 900), chromedp.Navigate("file://"+file)); err != nil {
		t.Fatalf("open the page at %d px: %v", width, err)
	}
	if scroll := asked[int64](t, ctx, `document.documentElement.scrollWidth`); scroll > width {
		t.Errorf("at %d px the page is %d px wide", width, scroll)
	}
	if shown := asked[int64](t, ctx, `[...document.querySelectorAll("figure")].filter(f => f.offsetParent && f.querySelector("svg").getBoundingClientRect().height > 100).length`); shown < 2 {
		t.Errorf("at %d px only %d drawings show", width, shown)
	}
	if !asked[bool](t, ctx, `(() => { const d = document.querySelector("details"); d.querySelector("summary").click(); return d.open; })()`) {
		t.Errorf("at %d px a step of the working does not open", width)
	}
}

// asked evaluates a question on the page.
func asked[T any](t *testing.T, ctx context.Context, question string) T {
	t.Helper()
	answer, err := chromedp.Run(ctx, chromedp.Evaluate[T](question))
	if err != nil {
		t.Fatalf("ask the page %s: %v", question, err)
	}
	return answer
}
