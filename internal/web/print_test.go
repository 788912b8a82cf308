package web

import (
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// Printed by the browser, a page is paper: nothing to press, nothing wider than
// the sheet, and what is folded on the screen is open.
func TestPagesArePrinted(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 1440)
	p.walksRound()
	id := s.siteID(t, "Cormorant")
	for name, path := range map[string]string{"site": "/sites/" + id, "trends": "/sites/" + id + "/trends", "faults": "/sites/" + s.siteID(t, "Fennel") + "/faults", "papers": "/sites/" + id + "/papers"} {
		p.open(path)
		p.waits(`document.readyState === "complete" && !document.querySelector("meta[http-equiv]")`)
		p.do(chromedp.EmulateViewport(720, 1000)) // a sheet between its margins
		p.paper("print")
		p.fitsPaper(name)
		p.shot("print-"+name, 720)
		p.paper("")
		p.do(chromedp.EmulateViewport(1440, 900))
	}
}

func (p *person) paper(media string) {
	p.t.Helper()
	if _, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: media}); err != nil {
		p.fail(err)
	}
}

func (p *person) fitsPaper(name string) {
	p.t.Helper()
	wide, err := chromedp.Run(p.ctx, chromedp.Evaluate[int64](`document.documentElement.scrollWidth`))
	if err != nil {
		p.fail(err)
	}
	if wide > 720 {
		p.t.Errorf("%s is %d px wide on a sheet of 720", name, wide)
	}
	p.ask(`[...document.querySelectorAll("button, input, nav, .bar, .actions")].every(e => e.offsetParent === null || e.closest(".papersays, .papers"))`)
}
