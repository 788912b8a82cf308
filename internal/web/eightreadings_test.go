package web

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// thumb is somebody with one free hand: it counts every touch of the glass, the
// keys of its number pad too.
type thumb struct {
	*person
	taps int
}

// touches touches what the page shows there.
func (h *thumb) touches(selector string) {
	h.t.Helper()
	h.taps++
	h.waits(fmt.Sprintf(`(() => { const e = document.querySelector(%q); e?.scrollIntoView({block: "center"}); return !!e && e.offsetParent !== null })()`, selector))
	h.do(chromedp.Click(selector))
}

// types touches the number pad, a key at a time.
func (h *thumb) types(number string) {
	h.t.Helper()
	for _, key := range number {
		h.taps++
		h.do(chromedp.KeyEvent(string(key)))
	}
}

// next touches the key at the corner of the number pad.
func (h *thumb) next() {
	h.t.Helper()
	h.taps++
	h.do(chromedp.KeyEvent(kb.Enter))
}

// Eight readings are taken without signal in a minute and thirty touches of the
// glass at most, from the list of sites to what is kept on the phone.
func TestEightReadingsWithoutSignal(t *testing.T) {
	s, network := serving(t).patchy(t)
	p := visits(t, s, 380)
	p.walksRound()
	p.waits(`document.readyState === "complete" && !document.querySelector("meta[http-equiv]") && !!navigator.serviceWorker.controller`)
	id := s.siteID(t, "Cormorant")
	p.waitsFor(fmt.Sprintf(`caches.match("/sites/%s/reading").then(x => !!x)`, id))
	network.set(cut)
	p.open("/")

	h := &thumb{person: p}
	begun := time.Now()
	h.touches(fmt.Sprintf(`.quick a[href="/sites/%s/reading"]`, id))
	h.touches(`[name="raw.value"]`)
	for i, number := range []string{"290", "9", "0"} {
		if i > 0 {
			h.next()
		}
		h.types(number)
	}
	h.touches(`details.more:nth-of-type(1) summary`)
	h.touches(`[name="temperature"]`)
	h.types("57")
	h.touches(`details.more:nth-of-type(2) summary`)
	h.touches(`[name="gauge.static_pressure"]`)
	h.types("62")
	for _, number := range []string{"61", "60", "59"} {
		h.next()
		h.types(number)
	}
	h.touches("button.full")
	p.waits(`!document.querySelector("#kept").hidden || !!document.querySelector("#doubts .notice")`)
	if odd, err := chromedp.Run(p.ctx, chromedp.Evaluate[bool](`document.querySelector("#kept").hidden`)); err != nil || odd {
		h.touches("button.full")
	}
	p.sees("1 on this phone")
	took := time.Since(begun)
	t.Logf("eight readings in %d touches and %v", h.taps, took.Round(time.Millisecond))
	if h.taps > 30 || took > time.Minute {
		t.Error("that is too much for one free hand")
	}
	network.set(clear)
	p.waits(`document.querySelector("#unsent").hidden`)
	p.waitsForSamples(s, 4)
	samples, err := s.store.Samples(t.Context(), id, 10)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, x := range samples {
		for _, r := range x.Readings {
			if r.Name != "scale" {
				n++
			}
		}
	}
	if n != 8 {
		t.Errorf("the office has %d readings, want 8", n)
	}
}

// What was meant is put in with one press; how long the rig has run is counted
// and kept with the strengths; a gauge that was not read says why.
func TestReadingWithWhatWasMeant(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 380)
	p.walksRound()
	id := s.siteID(t, "Cormorant")
	p.open("/sites/" + id + "/reading")
	p.types(`[name="raw.value"]`, "9")
	p.types(`[name="permeate.value"]`, "300")
	p.sees("swapped?")
	p.presses("Swap them")
	p.waits(`document.querySelector('[name="raw.value"]').value === "300" && document.querySelector('[name="permeate.value"]').value === "9" && !document.querySelector("#doubts .notice")`)
	p.types(`[name="permeate.value"]`, "")
	p.ask(`(() => { const b = document.querySelector('[name="permeate.value"]'); b.value = ""; b.dispatchEvent(new Event("input", {bubbles: true})); return true })()`)
	p.presses("It starts now")
	p.waits(`document.querySelector("#after-says").textContent.startsWith("running 0:0")`)
	p.ask(`(() => { const k = Object.keys(localStorage).find(k => k.startsWith("started ")); localStorage.setItem(k, Date.now() - 11.5 * 60000); return true })()`)
	p.open("/sites/" + id + "/reading")
	p.waits(`document.querySelector("#after").value === "11" && document.querySelector("#after-says").textContent.startsWith("running 11:")`)
	p.types(`[name="raw.value"]`, "300")
	p.types(`[name="permeate.value"]`, "9")
	p.presses("Gauges of the rig: pressures, flows, counters")
	p.chooses(`[name="gauge.feed_pressure.skipped"]`, "sensor bad")
	p.accessible("a reading with its minutes")
	p.shot("reading-minutes-380", 380)
	p.presses("Keep the reading")
	p.sees("Sent")
	p.open("/sites/" + id)
	p.sees("9 ppm, after 11 min")
	p.sees("sensor bad")
}
