package web

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// All by the keyboard: a site's page by its name, the keys and words of a page,
// and neither while somebody types or where they are switched off (WCAG 2.2,
// 2.1.4).
func TestTwoKeysLeadToAPageAndTellTheWords(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 1440)
	p.begins()
	p.presses("Walk round the five practice sites")
	p.sees("Fennel Lane")
	p.keys("/")
	p.waits(`document.querySelector("#goto[open] input") === document.activeElement`)
	p.keys("Fennel trends", kb.Enter)
	p.waits(`location.pathname.endsWith("/trends")`)
	p.open("/people")
	p.keys("?")
	p.waits(`document.querySelector("#keys[open] .glossary") !== null`)
	p.waits(`[...document.querySelectorAll("#keys dt")].some((x) => x.textContent === "/")`)
	p.accessible("keys and words")
	p.shot("keys-1440", 1440)
	p.keys(kb.Escape)
	p.waits(`!document.querySelector("dialog[open]")`)
	p.open("/")
	p.do(chromedp.Focus("#q"), chromedp.KeyEvent("/?"))
	p.waits(`document.getElementById("q").value === "/?" && !document.querySelector("dialog[open]")`)
	p.open("/settings")
	p.do(chromedp.Click(`#device [name="keys"]`), chromedp.Click(`#device [value="sun"]`))
	p.presses("Save for this device")
	p.sees("Saved.")
	p.waits(`document.documentElement.dataset.theme === "sun"`)
	p.keys("?")
	p.waits(`document.documentElement.dataset.keys === "off" && !document.querySelector("dialog[open]")`)
	fennel := s.siteID(t, "Fennel")
	for name, path := range map[string]string{"sun-sites": "/", "sun-reading": "/sites/" + fennel + "/reading", "sun-settings": "/settings"} {
		for _, width := range []int64{380, 1440} {
			p.look(name, path, width)
		}
	}
}
