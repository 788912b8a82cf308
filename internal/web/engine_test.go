package web

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/chromedp"

	"rinsewright/internal/door"
	"rinsewright/internal/web/engine"
	"rinsewright/testdata/sites"
)

// compiled is the engine, made once for all tests of the package.
var compiled = sync.OnceValues(func() (engine.Files, error) { return engine.Find(context.Background()) })

// withEngine gives a server its engine.
func (s *served) withEngine(t *testing.T) *served {
	t.Helper()
	files, err := compiled()
	if err != nil {
		t.Fatal(err)
	}
	s.pages.engine = newEngineRoom("", func(context.Context) (engine.Files, error) { return files, nil }, s.pages.noEngine)
	for s.pages.engine.found.Load() == nil {
		time.Sleep(time.Millisecond)
	}
	return s
}

// asksEngine asks the engine that runs in the browser, off the page's thread.
func (p *person) asksEngine(q door.Question) (a door.Answer) {
	p.t.Helper()
	text, err := json.Marshal(q)
	if err != nil {
		p.t.Fatal(err)
	}
	got, err := chromedp.Run(p.ctx, chromedp.Evaluate[string](fmt.Sprintf(`(async () => {
		window.worker ||= await new Promise((yes, no) => {
			const d = document.documentElement.dataset, w = new Worker(d.worker);
			w.onmessage = (e) => e.data.ready ? yes(w) : no(e.data.failed);
			w.postMessage({start: {script: d.script, wasm: d.wasm}});
		});
		return await new Promise((yes) => { worker.onmessage = (e) => yes(e.data.answer); worker.postMessage({number: 1, question: %q}) });
	})()`, text), chromedp.EvalAwaitPromise))
	if err != nil {
		p.fail(err)
	}
	if err := json.Unmarshal([]byte(got), &a); err != nil {
		p.t.Fatalf("%v: %.200s", err, got)
	}
	return a
}

// turns are numbers that someone might change at any site.
var turns = [][]door.Change{
	nil,
	{{Key: "sample.1.temperature", Says: "6 C"}, {Key: "supply.running_pressure", Says: "41 psi"}},
	{{Key: "demand.normal_day", Says: "31"}, {Key: "tank.volume", Says: "120 gal"}},
	{{Key: "resin.1.volume", Says: "9 gpm"}, {Key: "sample.1.strength", Says: "444 ppm"}},
}

// The engine in the browser and the one in the server say the same of every
// example site, as it stands and with numbers changed: each text to the
// letter, each number to one part in a thousand million.
func TestTheBrowserSaysWhatTheServerSays(t *testing.T) {
	s := serving(t).withEngine(t)
	numbers := 0
	for _, name := range sites.Names {
		file, err := sites.File(name)
		if err != nil {
			t.Fatal(err)
		}
		p := visits(t, s, 1440)
		p.open("/sign-in")
		for i, set := range turns {
			for _, ask := range []door.Ask{door.Sketch, door.Check, door.Sheet} {
				if ask == door.Check && i != 1 || ask == door.Sheet && i != 0 {
					continue // they take seconds
				}
				q := door.Question{Ask: ask, File: string(file), Set: set, Units: []string{"us", "si"}[i%2], Decimal: []string{"", "point", "comma"}[i%3]}
				var d door.Door
				want, got := d.Answer(t.Context(), q), p.asksEngine(q)
				numbers += alike(t, fmt.Sprintf("%s, %s, change %d", name, ask, i), got, want)
			}
		}
	}
	t.Logf("%d promises compared", numbers)
	if numbers < 150 {
		t.Error("that is too few to say anything")
	}
}

// alike holds two answers against each other and counts their numbers.
func alike(t *testing.T, about string, got, want door.Answer) (numbers int) {
	t.Helper()
	if want.Path != nil && got.Path != nil && len(got.Path.Promises) == len(want.Path.Promises) {
		for i, w := range want.Path.Promises {
			g := &got.Path.Promises[i]
			if !(math.Abs(g.SI-w.SI) <= 1e-9*math.Abs(w.SI)) {
				t.Errorf("%s: %s is %v in the browser, %v in the server", about, w.Name, g.SI, w.SI)
			}
			g.SI = w.SI // the last digits may differ
			numbers++
		}
	}
	a, err1 := json.Marshal(got)
	b, err2 := json.Marshal(want)
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	if string(a) != string(b) {
		i := 0
		for i < min(len(a), len(b)) && a[i] == b[i] {
			i++
		}
		t.Errorf("%s: the browser says …%.160s, the server …%.160s", about, a[max(0, i-60):], b[max(0, i-60):])
	}
	return numbers
}

// A changed number is answered within 100 ms on a machine four times slower
// than this one. What counts is the processor's time, four times the least of
// some answers, since other work on this machine is not the engine's. The
// engine runs on the page's own thread for this test, whose time the browser
// tells.
func TestAChangedNumberIsAnsweredWithinATenthOfASecond(t *testing.T) {
	s := serving(t).withEngine(t)
	p := visits(t, s, 380)
	p.open("/sign-in")
	p.waitsFor(`(async () => {
		if (window.rinsewrightAnswer) return true;
		const d = document.documentElement.dataset;
		await new Promise((yes, no) => { const s = document.createElement("script"); s.src = d.script; s.onload = yes; s.onerror = no; document.head.append(s) });
		const go = new Go();
		go.run((await WebAssembly.instantiateStreaming(fetch(d.wasm), go.importObject)).instance);
		return !!window.rinsewrightAnswer })()`)
	if _, err := chromedp.Call(p.ctx, performance.Enable, performance.EnableParams{}); err != nil {
		t.Fatal(err)
	}
	for _, name := range sites.Names {
		file, err := sites.File(name)
		if err != nil {
			t.Fatal(err)
		}
		least := math.Inf(1)
		for i := range 9 {
			busy := p.timed(door.Question{Ask: door.Sketch, File: string(file), Units: "us", Set: []door.Change{{Key: "sample.1.temperature", Says: fmt.Sprintf("%g C", 10+float64(i)/10)}}})
			if i > 0 { // the first reads the site and computes what was
				least = min(least, busy)
			}
		}
		t.Logf("%s: the processor takes %.0f ms, so %.0f ms at 4x", name, least, 4*least)
		if 4*least > 100 {
			t.Errorf("%s: a changed number takes %.0f ms at 4x", name, 4*least)
		}
	}
}

// timed asks on the page's own thread and returns the milliseconds that it had
// of the processor.
func (p *person) timed(q door.Question) float64 {
	p.t.Helper()
	text, err := json.Marshal(q)
	if err != nil {
		p.t.Fatal(err)
	}
	before := p.threadTime()
	answered, err := chromedp.Run(p.ctx, chromedp.Evaluate[bool](fmt.Sprintf(`rinsewrightAnswer(%q).includes("promises")`, text)))
	if err != nil || !answered {
		p.fail(fmt.Errorf("no answer: %w", err))
	}
	return p.threadTime() - before
}

// threadTime is what the page's thread has had of the processor, in ms.
func (p *person) threadTime() float64 {
	p.t.Helper()
	got, err := chromedp.Call(p.ctx, performance.GetMetrics, cdp.Empty{})
	if err != nil {
		p.fail(err)
	}
	for _, m := range got.Metrics {
		if m.Name == "ThreadTime" {
			return 1000 * m.Value
		}
	}
	p.t.Fatal("the browser does not say what its thread took")
	return 0
}
