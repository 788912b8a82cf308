package web

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"rinsewright/internal/store"
)

// signal is what the network does to a request.
type signal int32

const (
	clear  signal = iota
	cut           // nothing arrives
	oneWay        // a reading arrives, its receipt does not
)

// patchy stands between phone and office.
type patchy struct {
	next http.Handler
	now  atomic.Int32
	lost atomic.Int32 // answers that did not arrive
}

func (p *patchy) set(s signal) { p.now.Store(int32(s)) }

func (p *patchy) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	switch now := signal(p.now.Load()); {
	case now == cut:
		panic(http.ErrAbortHandler)
	case now == oneWay && r.Method == http.MethodPost && strings.HasSuffix(r.URL.Path, "/reading"):
		p.next.ServeHTTP(httptest.NewRecorder(), r)
		p.lost.Add(1)
		panic(http.ErrAbortHandler)
	default:
		p.next.ServeHTTP(w, r)
	}
}

// patchy puts a line between phones and the office that can be cut.
func (s *served) patchy(t *testing.T) (*served, *patchy) {
	t.Helper()
	network := &patchy{next: fronted(t, s.pages)}
	server := httptest.NewServer(network)
	t.Cleanup(server.Close)
	s.URL = server.URL + shownUnder
	return s, network
}

// phone is a Chromium of its own, with a memory that outlives it.
func phone(t *testing.T, base, memory string) (p *person, kill func()) {
	t.Helper()
	flags := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun, chromedp.UserDataDir(memory),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true))
	ctx, stopBrowser := chromedp.NewExecAllocator(context.Background(), flags...)
	ctx, stopTab := chromedp.NewContext(ctx)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("start the phone's browser: %v", err)
	}
	ctx, cancel := context.WithTimeout(ctx, 6*time.Minute)
	p = &person{t, ctx, base}
	p.do(chromedp.EmulateViewport(380, 800))
	return p, func() {
		if process := chromedp.FromContext(ctx).Browser.Process(); process != nil {
			if err := process.Kill(); err != nil {
				t.Errorf("kill the browser: %v", err)
			}
		}
		cancel()
		stopTab()
		stopBrowser()
	}
}

// A reading is taken with the network cut, the browser is killed, opened
// again, answers get lost, and in the end the office has it once.
func TestReadingWithoutSignalArrivesOnce(t *testing.T) {
	s, network := serving(t).patchy(t)
	memory, err := os.MkdirTemp("", "phone")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = os.RemoveAll(memory) }() // Chromium may still be tidying up

	p, kill := phone(t, s.URL, memory)
	p.walksRound()
	p.waits(`document.readyState === "complete" && !document.querySelector("meta[http-equiv]") && !!navigator.serviceWorker.controller`)
	path := "/sites/" + s.siteID(t, "Cormorant") + "/reading"
	p.waitsFor(fmt.Sprintf(`caches.match(%q).then(x => !!x)`, shownUnder+path))

	network.set(cut)
	if took := p.opens(path, "last time 290 ppm"); took > time.Second {
		t.Errorf("without signal the reading page opens in %v, wanted 1 s at most", took)
	}
	p.sees("From this phone, as of")
	p.types(`[name="raw.value"]`, "300")
	p.types(`[name="permeate.value"]`, "400")
	p.presses("Keep the reading")
	p.sees("Higher after the membrane than before: swapped?")
	p.types(`[name="permeate.value"]`, "8.5")
	p.presses("It is right, keep it")
	p.sees("It is sent by itself when there is signal")
	p.sees("1 on this phone")
	kill()

	p, kill = phone(t, s.URL, memory)
	p.open("/phone")
	p.sees("1 on this phone")
	p.sees("300 ppm · 8.5 ppm")
	p.accessible("what is on this phone")
	p.shot("phone-waiting-380", 380)
	network.set(oneWay)
	p.signsInAgain()
	for deadline := time.Now().Add(60 * time.Second); network.lost.Load() == 0 && time.Now().Before(deadline); {
		time.Sleep(20 * time.Millisecond)
	}
	p.waitsForSamples(s, 2)
	p.open("/phone")
	p.sees("1 on this phone")
	network.set(clear)
	p.presses("Send now")
	p.waits(`document.querySelector("#queue .state").textContent === "sent" && document.querySelector("#unsent").hidden`)
	p.open("/sites/" + s.siteID(t, "Cormorant"))
	p.sees("read 8.5 ppm")
	p.waitsForSamples(s, 2)
	kill()
}

// opens opens a page five times, tells how long each took until it said
// something, and returns the middle one: a machine that does much else beside is
// not the page's doing.
func (p *person) opens(path, words string) time.Duration {
	p.t.Helper()
	var all []time.Duration
	for range 5 {
		p.do(chromedp.Navigate("about:blank"))
		begun := time.Now()
		p.open(path)
		p.sees(words)
		all = append(all, time.Since(begun).Round(time.Millisecond))
	}
	p.t.Logf("%s opened without signal in %v", path, all)
	slices.Sort(all)
	return all[len(all)/2]
}

// A site that somebody keeps for the road opens without signal on pages that
// nobody has opened before, and says from when they are.
func TestASiteForTheRoad(t *testing.T) {
	s, network := serving(t).patchy(t)
	p := visits(t, s, 380)
	p.walksRound()
	p.waits(`document.readyState === "complete" && !document.querySelector("meta[http-equiv]") && !!navigator.serviceWorker.controller`)
	id := s.siteID(t, "Cormorant")
	s.logs(t, id, "permeate", []string{"9 ppm", "9.5 ppm", "8.5 ppm"})
	p.open("/sites/" + id)
	p.ask(`(() => { document.querySelector("[data-pin]").click(); return true })()`)
	p.waits(`document.querySelector("#pinned").textContent.startsWith("on this phone, as of ")`)
	p.accessible("a site that is kept on the phone")
	p.waitsFor(fmt.Sprintf(`caches.match("/sites/%s/what-if").then(x => !!x)`, id))

	network.set(cut)
	if took := p.opens("/", "Cormorant Reach"); took > time.Second {
		t.Errorf("without signal the list opens in %v, wanted 1 s at most", took)
	}
	p.open("/sites/" + id + "/trends")
	p.sees("From this phone, as of")
	p.sees("After the membrane: strength")
	p.ask(`document.querySelectorAll('.trend [id*="point-"]').length >= 4`)
	p.open("/sites/" + id + "/reading")
	p.sees("last time 8.5 ppm")
	p.ask(`document.querySelector("#file").value.includes("9.5 ppm")`) // what it is held against comes along
	p.open("/sites/" + id)
	p.sees("What it does")
	p.accessible("a site without signal")
	p.shot("site-offline-380", 380)
	p.open("/sites/" + s.siteID(t, "Long Barrow") + "/trends") // which nobody kept
	p.sees("Sites for the road")
	p.sees("Cormorant Reach")
	p.waits(`document.querySelector("#road li .muted").textContent.startsWith("as of ") && document.querySelector("#road input").checked`)
	p.accessible("what is on the phone")
	p.shot("phone-road-380", 380)

	network.set(clear)
	p.open("/sites/" + id)
	p.sees("What it does")
	p.ask(`!document.querySelector("#askept")`)
}

// Two readings of one phone, sent while every tab sends at once, are two.
func TestTwoTabsSendOnce(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 380)
	p.begins()
	site := s.gullPoint(t)
	for _, value := range []string{"300", "310"} {
		p.open("/sites/" + site.ID + "/reading")
		p.types(`[name="raw.value"]`, value)
		p.presses("Keep the reading")
		p.sees("Sent")
	}
	// As if the receipts had been lost and two tabs sent all of it again.
	p.waitsFor(`(async () => { for (const one of await keeper.all()) await keeper.put({...one, state: "on this phone"});
		const again = async () => { for (const one of await keeper.all()) { const a = await fetch(one.to, {method: "POST", body: new URLSearchParams(one.said), headers: {"X-Part": "phone"}}); if (a.status !== 200) return false } return true };
		return (await Promise.all([again(), again(), again()])).every(Boolean) })()`)
	p.waitsForSamples(s, 2)
	samples, err := s.store.Samples(t.Context(), site.ID, 10)
	if err != nil {
		t.Fatal(err)
	}
	if samples[0].Device != samples[1].Device || samples[0].DeviceSeq == samples[1].DeviceSeq {
		t.Errorf("numbers %d and %d of %s and %s", samples[0].DeviceSeq, samples[1].DeviceSeq, samples[0].Device, samples[1].Device)
	}
}

// Whoever signs out with something unsent is told, and stays.
func TestSignOutWaitsForWhatIsUnsent(t *testing.T) {
	s, network := serving(t).patchy(t)
	p := visits(t, s, 380)
	p.begins()
	site := s.gullPoint(t)
	p.open("/sites/" + site.ID + "/reading")
	network.set(cut)
	p.types(`[name="raw.value"]`, "300")
	p.presses("Keep the reading")
	p.sees("On this phone")
	network.set(oneWay) // nothing comes back, so nothing is known to be sent
	p.presses("Sign out")
	p.sees("Send them before you sign out")
	network.set(clear)
	p.presses("Send now")
	p.waits(`document.querySelector("#unsent").hidden`)
	p.open("/")
	p.presses("Sign out")
	p.sees("Short name")
}

// signsInAgain signs in where the browser was killed before it wrote down that
// somebody was.
func (p *person) signsInAgain() {
	p.t.Helper()
	p.open("/sign-in")
	signedIn, err := chromedp.Run(p.ctx, chromedp.Evaluate[bool](`!document.querySelector("#login")`))
	if err != nil {
		p.fail(err)
	}
	if signedIn {
		return
	}
	p.types("#login", "kit")
	p.types("#password", password)
	p.presses("Sign in")
	p.sees("Cormorant Reach")
}

// waitsFor waits until what a promise gives is true.
func (p *person) waitsFor(promise string) {
	p.t.Helper()
	for deadline := time.Now().Add(90 * time.Second); ; time.Sleep(50 * time.Millisecond) {
		ok, err := chromedp.Run(p.ctx, chromedp.Evaluate[bool](promise, chromedp.EvalAwaitPromise))
		if ok {
			return
		}
		if time.Now().After(deadline) {
			p.fail(fmt.Errorf("waiting for %s: %w", promise, err))
		}
	}
}

// waitsForSamples waits until the office has n samples, and not one more.
func (p *person) waitsForSamples(s *served, n int) {
	p.t.Helper()
	sites, _, err := s.store.Sites(p.t.Context(), "", 0, 10)
	if err != nil {
		p.t.Fatal(err)
	}
	for deadline := time.Now().Add(60 * time.Second); ; time.Sleep(50 * time.Millisecond) {
		var all []store.Sample
		for _, site := range sites {
			samples, err := s.store.Samples(p.t.Context(), site.ID, 100)
			if err != nil {
				p.t.Fatal(err)
			}
			all = append(all, samples...)
		}
		if len(all) == n {
			return
		}
		if len(all) > n || time.Now().After(deadline) {
			p.t.Fatalf("the office has %d samples, want %d", len(all), n)
		}
	}
}

// Without signal the engine in the browser says what looks odd, held against
// what was read last, as the office would.
func TestOddReadingIsSaidWithoutSignal(t *testing.T) {
	s, network := serving(t).withEngine(t).patchy(t)
	p := visits(t, s, 380)
	p.walksRound()
	p.waits(`!!navigator.serviceWorker.controller`)
	p.waitsFor(`caches.match(document.documentElement.dataset.wasm).then(x => !!x)`)
	path := "/sites/" + s.siteID(t, "Cormorant") + "/reading"
	p.open(path)
	network.set(cut)
	p.open(path)
	p.presses("Gauges of the rig: pressures, flows, counters")
	p.types(`[name="gauge.permeate_meter"]`, "41000 gal")
	p.waits(`document.querySelector("#doubts").innerText.includes("less than on 2026-07-09") && document.querySelector("form.reading").dataset.by === "this browser"`)
	p.accessible("an odd reading without signal")
	p.types(`[name="gauge.permeate_meter"]`, "48100 gal")
	p.waits(`!document.querySelector("#doubts .notice")`)
	p.presses("Keep the reading")
	p.sees("It is sent by itself when there is signal")
}
