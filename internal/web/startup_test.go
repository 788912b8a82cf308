package web

import (
	"net/http"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"rinsewright/internal/sitefile"
	"rinsewright/internal/store"
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
