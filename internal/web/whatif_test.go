package web

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// A number is changed where it stands on the path, by typing, by button and by
// key; what it was stays beneath it, and everything that follows moves.
func TestWhatIfOnThePath(t *testing.T) {
	s := serving(t).withEngine(t)
	p := visits(t, s, 1440)
	p.walksRound()
	p.open("/sites/" + s.siteID(t, "Cormorant"))
	p.presses("What if")
	p.sees("As the survey stands")
	p.sees("Bands from 16 looks")
	p.ask(`document.querySelector("#wide svg").textContent.includes("Membrane ×3")`)

	knob := `[id="knob-sample.1.temperature"]`
	p.types(knob, "6 C")
	p.sees("was 14 C")
	p.waits(`document.querySelector("#wide svg").textContent.includes("was ") && document.querySelector("#promises .was").textContent.startsWith("was ")`)
	p.sees("permeate flow today")
	p.waits(`document.querySelector("#whatif").dataset.by === "this browser"`)
	p.sees("Bands from 16 looks")
	p.ask(`[...document.querySelectorAll("#promises tr")].some(r => r.children[2].textContent.includes(" to "))`)

	// Keys and buttons go one step on.
	p.do(chromedp.Focus(knob), chromedp.SendKeys(knob, kb.ArrowUp))
	p.waits(`document.querySelector('[id="knob-sample.1.temperature"]').value === "6.2 C"`)
	p.do(chromedp.SendKeys(knob, "+"), chromedp.SendKeys(knob, "-"), chromedp.SendKeys(knob, kb.ArrowDown))
	p.waits(`document.querySelector('[id="knob-sample.1.temperature"]').value === "6 C"`)
	p.do(chromedp.Click(`[aria-label="more: Membrane ×3, elements"]`))
	p.waits(`document.querySelector('[id="knob-membrane.count"]').value === "4"`)
	p.sees("was 3")
	p.waits(`document.querySelector("#wide svg").textContent.includes("Membrane ×4")`)
	p.accessible("what if, changed, on a desk")
	p.shot("what-if-changed-1440", 1440)
	p.do(chromedp.EmulateViewport(1440, 900))

	// What cannot be read is said beside it.
	p.types(knob, "6 gpm")
	p.waits(`document.querySelector('[id="wrong-sample.1.temperature"]').textContent.includes("Wanted")`)
	p.types(knob, "6 C")
	p.waits(`document.querySelector('[id="wrong-sample.1.temperature"]').textContent === ""`)

	// And kept only when someone says so.
	p.presses("Keep this in the survey")
	p.sees("Saved.")
	p.ask(`document.querySelector("[name='sample.1.temperature']").value === "6 C" && document.querySelector("[name='membrane.count']").value === "4"`)
}

func TestWhatIfPutBack(t *testing.T) {
	s := serving(t).withEngine(t)
	p := visits(t, s, 380)
	p.walksRound()
	p.open("/sites/" + s.siteID(t, "Harrow") + "/what-if")
	p.sees("As the survey stands")
	p.do(chromedp.Click(`[aria-label="more: Tank, holds"]`))
	p.waits(`!document.querySelector("#undo").disabled && document.querySelector(".knob.turned .was").textContent.startsWith("was ")`)
	p.accessible("what if, changed, on a phone")
	p.shot("what-if-changed-380", 380)
	p.presses("Put everything back")
	p.waits(`document.querySelector("#undo").disabled && !document.querySelector(".knob.turned")`)
	p.sees("As the survey stands")
}

func TestWhatIfCanBeUsedByEveryone(t *testing.T) {
	s := serving(t).withEngine(t)
	p := visits(t, s, 1440)
	p.walksRound()
	p.dark(true) // on light paper it is looked at where it was changed
	for _, width := range []int64{380, 1440} {
		p.do(chromedp.EmulateViewport(width, 900))
		p.open("/sites/" + s.siteID(t, "Fennel") + "/what-if")
		p.sees("As the survey stands")
		p.fits("what-if", width)
		p.accessible(fmt.Sprintf("what if at %d px on dark paper", width))
		p.shot(fmt.Sprintf("what-if-%d-dark", width), width)
	}
}

// Where there is no engine, the server answers.
func TestWhatIfWithoutAnEngine(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 1440)
	p.walksRound()
	p.open("/sites/" + s.siteID(t, "Cormorant") + "/what-if")
	p.sees("As the survey stands")
	p.types(`[id="knob-sample.1.temperature"]`, "6 C")
	p.sees("was 14 C")
	p.waits(`document.querySelector("#promises .was")?.textContent.startsWith("was ")`)
	p.ask(`document.querySelector("#whatif").dataset.by === "the server"`)
}

// Without signal the engine on the phone answers.
func TestWhatIfWithoutSignal(t *testing.T) {
	s, network := serving(t).withEngine(t).patchy(t)
	p := visits(t, s, 380)
	p.walksRound()
	p.waits(`!document.querySelector("meta[http-equiv]") && !!navigator.serviceWorker.controller`)
	path := "/sites/" + s.siteID(t, "Cormorant") + "/what-if"
	p.waitsFor(`caches.match(document.documentElement.dataset.wasm).then(x => !!x)`)
	p.open(path)
	p.sees("As the survey stands")
	network.set(cut)
	p.open(path)
	p.sees("As the survey stands")
	p.types(`[id="knob-sample.1.temperature"]`, "6 C")
	p.sees("was 14 C")
	p.waits(`document.querySelector("#whatif").dataset.by === "this browser" && document.querySelector("#promises .was").textContent.startsWith("was ")`)
	p.sees("Bands from 16 looks")
}
