package web

import (
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"rinsewright/internal/sitefile"
	"rinsewright/internal/store"
	"rinsewright/site"
)

// The first day is read down the sheet: each reading is judged as it is typed,
// stays on the device, and is on record, sealed, once somebody signs.
func TestFirstDayIsReadJudgedAndSigned(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 1440)
	p.walksRound()
	id := s.siteID(t, "Cormorant")
	p.open("/sites/" + id)
	p.presses("First day")
	p.sees("Nothing is read yet.")
	p.ask(`(() => { const all = [...document.querySelectorAll(".startsteps h2")].map(h => h.innerText); return all[0] === "Before the first valve" && all.at(-1).includes("signature") && all.indexOf("Leak check under full pressure") > 0 })()`)
	p.ask(`[...document.querySelectorAll(".startsteps section")].every(s => { const c = s.querySelector(".care"), d = s.querySelector(".do"); return !c || c.compareDocumentPosition(d) & Node.DOCUMENT_POSITION_FOLLOWING })`)
	p.types(`[name="read.path.feed_temperature.first"], [name="read.path.feed_temperature"]`, "54 F")
	p.types(`[name="read.path.permeate_flow.first"]`, "0.05 gpm")
	p.waits(`document.querySelector('[data-verdict="permeate_flow"]').textContent.startsWith("falls short")`)
	p.types(`[name="read.path.permeate_flow.first"]`, "9 furlongs")
	p.waits(`document.querySelector('[data-wrong="read.path.permeate_flow.first"]').textContent.startsWith("Wanted")`)
	p.presses("Sign and keep")
	p.sees("Nobody has signed")
	p.types(`[name="read.path.permeate_flow.first"]`, "9 gpm")
	p.waits(`document.querySelector('[data-verdict="permeate_flow"]').textContent.startsWith("holds")`)
	p.types(`[name="read.path.permeate_strength.first"]`, "9")
	p.open("/sites/" + id + "/first-day") // the page was lost
	p.waits(`document.querySelector('[name="read.path.permeate_flow.first"]').value === "9 gpm"`)
	p.waits(`document.querySelector('[data-verdict="permeate_flow"]').textContent.startsWith("holds")`)
	p.watchesItSettle()
	for width, dark := range map[int64]bool{380: true, 1440: false} {
		p.do(chromedp.EmulateViewport(width, 900))
		p.dark(dark)
		p.fits("first day", width)
		p.accessible("first day")
		p.shot(map[int64]string{380: "startup-380", 1440: "startup-1440"}[width], width)
	}
	p.types("#signed", "O. Owner")
	p.presses("Sign and keep")
	p.sees("Signed and on record")
	kept, err := s.store.Site(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	record, err := sitefile.Read("site.toml", []byte(kept.File))
	if err != nil {
		t.Fatal(err)
	}
	c, ok := record.Baseline()
	if !ok || !c.Intact() || c.Signed != "O. Owner" || c.By != "Kit" || len(c.Promised) == 0 {
		t.Errorf("on record is %+v", c)
	}
	p.ask(`document.querySelector('[name="read.path.permeate_flow.first"]').value === ""`)
	p.types(`[name="read.path.permeate_flow.first"]`, "8 gpm")
	p.types("#signed", "O. Owner")
	p.presses("Sign and keep")
	p.sees("only with a reason")
	p.open("/audit")
	p.sees("site saved")
}

// A site with a record shows what it proves to everybody, and a form to nobody
// who may not write.
func TestFirstDayOnRecord(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 1440)
	p.walksRound()
	id := s.siteID(t, "Fennel")
	p.open("/sites/" + id + "/first-day")
	p.sees("On record: 2025-11-12")
	p.sees("Holds: every promise that was read is kept.")
	p.accessible("a record that stands")
	p.shot("startup-record-1440", 1440)
	v := s.visitor(t)
	v.signsIn("kit")
	if status, _ := v.post("/people", "name", "Robin", "login", "robin", "role", string(store.Reader), "password", password); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	robin := s.visitor(t)
	robin.signsIn("robin")
	if status, body := robin.get("/sites/" + id + "/first-day"); status != http.StatusOK || strings.Contains(body, "Sign and keep") {
		t.Errorf("a reader gets %d", status)
	}
	if status, _ := robin.post("/sites/"+id+"/first-day", "signed", "Robin"); status != http.StatusForbidden {
		t.Errorf("a reader may sign: %d", status)
	}
}

// Signed on glass and photographed where there is no signal: both stay on the
// phone, arrive by themselves once, stand in the record under its seal, and on
// its paper.
func TestFirstDayIsSignedOnGlassWithoutSignal(t *testing.T) {
	s, network := serving(t).patchy(t)
	p := visits(t, s, 380)
	p.walksRound()
	p.waits(`document.readyState === "complete" && !!navigator.serviceWorker.controller`)
	id := s.siteID(t, "Cormorant")
	path := "/sites/" + id + "/first-day"
	p.open(path)
	p.waitsFor(fmt.Sprintf(`caches.match(%q).then(x => !!x)`, path))
	network.set(cut)
	p.open(path)
	p.types(`[name="read.path.permeate_flow.first"]`, "9 gpm")
	p.types("#signed", "O. Owner")
	p.ask(`(() => { const c = document.querySelector("canvas.glass"); c.scrollIntoView({block: "center"}); const b = c.getBoundingClientRect();
		const at = (type, x, y) => c.dispatchEvent(new PointerEvent(type, {pointerId: 1, bubbles: true, button: 0, clientX: b.left + x * b.width, clientY: b.top + y * b.height}));
		c.setPointerCapture = () => {}; at("pointerdown", .1, .6); for (let i = 1; i < 40; i++) at("pointermove", .1 + i * .02, .5 + .3 * Math.sin(i / 2)); at("pointerup", .9, .5);
		return document.querySelector("[name=drawn]").value.split(" ").length > 20 })()`)
	file := filepath.Join(t.TempDir(), "gauge.jpg")
	if err := os.WriteFile(file, jpegOf(t, noisy(300, 200)), 0o600); err != nil {
		t.Fatal(err)
	}
	p.types("#photo-words", "gauge at the feed end")
	p.do(upload("#photo", file))
	p.waits(`document.querySelector("#taken li")?.textContent.startsWith("gauge at the feed end")`)
	p.shot("startup-glass-380", 380)
	p.presses("Sign and keep")
	p.sees("Signed on this phone")
	p.sees("2 on this phone")
	network.set(clear)
	p.ask(`dispatchEvent(new Event("online"))`)
	p.sees("Signed and on record")
	c := s.baseline(t, id)
	if !c.Intact() || c.Signed != "O. Owner" || len(c.Drawn) != 1 || len(c.Photos) != 1 || c.Photos[0].Shows != "gauge at the feed end" {
		t.Fatalf("on record is %+v", c)
	}
	p.waitsFor(`fetch(location.pathname).then(a => a.text()).then(x => x.includes("<img") && x.includes("<path d=\"M100 "))`)
	p.accessible("a record that was signed on glass")
	p.open(path)
	p.shot("startup-signed-380", 380)
	v := s.visitor(t)
	v.signsIn("kit")
	status, pdf := v.get("/sites/" + id + "/papers/commissioning.pdf")
	if status != http.StatusOK || !strings.Contains(pdf, "/Subtype /Image") {
		t.Errorf("the record's paper answers %d, without its photograph", status)
	}
	if status, _ := v.get("/sites/" + id + "/papers/commissioning.pdf?language=es&size=a4"); status != http.StatusOK {
		t.Errorf("in Spanish it answers %d", status)
	}
}

// baseline is the record of a site that stands.
func (s *served) baseline(t *testing.T, id string) site.Commissioning {
	t.Helper()
	kept, err := s.store.Site(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	record, err := sitefile.Read("site.toml", []byte(kept.File))
	if err != nil {
		t.Fatal(err)
	}
	c, _ := record.Baseline()
	return c
}

// watchesItSettle notes the strength of a run, whose clock is turned back so that
// it began a quarter of an hour ago, until it stands still, and writes it down.
func (p *person) watchesItSettle() {
	p.presses("The run begins now")
	p.ask(`(() => { const box = document.querySelector("[data-watch]"), form = box.closest("form"); form.elements["watch.began"].value = Date.now() - 900e3;
		form.elements.watch.value = "1.00 30 ppm\n3.00 24 ppm\n5.00 20 ppm"; return true })()`)
	p.types("#watch-now", "19")
	p.presses("Note it")
	p.waits(`document.querySelector("[data-says-steady]").textContent !== ""`)
	p.ask(`document.querySelector("[data-steady-since]").hidden && document.querySelectorAll("[data-watch] li").length === 4`)
	p.ask(`(() => { const form = document.querySelector("[data-watch]").closest("form"); form.elements.watch.value = [2, 4, 6, 8, 10, 12, 14].map((m) => m + ".00 18.0 ppm").join("\n"); return true })()`)
	p.types("#watch-now", "18.0")
	p.presses("Note it")
	p.waits(`!document.querySelector("[data-steady-since]").hidden`)
	p.presses("Write it down")
	p.ask(`document.querySelector('[name="read.steady.permeate_strength"]').value === "18.0 ppm" && document.querySelector('[name="read.steady.permeate_strength.after"]').value === "15"`)
	p.ask(`/^15:\d\d/.test(document.querySelector("[data-clock]").textContent)`)
}
