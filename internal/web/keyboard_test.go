package web

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// keys presses keys, as someone does who has no pointer.
func (p *person) keys(keys ...string) {
	p.t.Helper()
	for _, k := range keys {
		p.do(chromedp.KeyEvent(k))
	}
}

// tabsTo goes from where the focus is to what has this name, by the Tab key
// alone, and sees on the way that the focus can be seen.
func (p *person) tabsTo(name string) {
	p.t.Helper()
	for range 250 {
		p.keys(kb.Tab)
		at, err := chromedp.Run(p.ctx, chromedp.Evaluate[string](`(() => { const e = document.activeElement; if (!e || e === document.body) return "";
			const label = e.getAttribute("aria-label") || (e.labels && e.labels[0] && e.labels[0].innerText) || e.innerText || "";
			const box = e.getBoundingClientRect(), style = getComputedStyle(e), ring = style.outlineStyle !== "none" && parseFloat(style.outlineWidth) > 0;
			const bare = getComputedStyle(e, "::after"), after = bare.outlineStyle !== "none" && parseFloat(bare.outlineWidth) > 0;
			return (ring || after ? "" : "unseen ") + label.replace(/\s+/g, " ").trim() })()`))
		if err != nil {
			p.fail(err)
		}
		if unseen, ok := strings.CutPrefix(at, "unseen "); ok {
			p.t.Errorf("the focus on %q cannot be seen", unseen)
			at = unseen
		}
		if at == name {
			return
		}
	}
	p.fail(fmt.Errorf("nothing named %q is reached by Tab", name))
}

// writes goes to a field and replaces what stands there.
func (p *person) writes(field, text string) {
	p.t.Helper()
	p.tabsTo(field)
	p.do(chromedp.KeyEvent("a", chromedp.KeyModifiers(2)), chromedp.KeyEvent(text)) // all of it, then the new
}

// enters goes to a button or link and presses Enter.
func (p *person) enters(name string) {
	p.t.Helper()
	p.tabsTo(name)
	p.keys(kb.Enter)
}

// The ten main tasks, by keyboard alone: begin, look round, find a site, survey
// it, take a reading, change a price, add a colleague, choose units, bring in a
// file, back up.
func TestTenTasksByKeyboard(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 1440)
	p.open("/setup?token=" + setupToken)
	p.writes("Your name", "Kit")
	p.writes("Short name, to sign in", "kit")
	p.writes("Password", password)
	p.enters("Make the account")
	p.sees("No sites yet")

	p.enters("Walk round the five practice sites")
	p.sees("1 to 5 of 5")

	p.open("/")
	p.writes("Filter by name", "reach")
	p.sees("1 to 1 of 1")
	p.enters("Cormorant Reach")
	p.sees("Its record")

	p.open("/sites/new")
	p.writes("What the place is called", "Gull Point")
	p.enters("Begin")
	p.sees("Survey of Gull Point")
	p.writes("Static pressure", "60 psi")
	p.keys(kb.Enter)
	p.sees("Saved.")

	p.open("/sites/" + s.siteID(t, "Gull") + "/reading")
	p.writes("Strength, Raw water", "300")
	p.enters("Keep the reading")
	p.sees("Sent")

	p.open("/parts")
	p.writes("Price of 10 in filter, USD", "33.50")
	p.keys(kb.Enter)
	p.sees("Saved. Systems")

	p.open("/people")
	p.tabsTo("Change")
	p.writes("Name", "Jo")
	p.writes("Short name, to sign in", "jo")
	p.writes("Password to begin with", "wax on, wax off")
	p.enters("Add")
	p.waits(`document.querySelectorAll(".people li").length === 2`)

	p.open("/settings")
	p.tabsTo("as everyone (gallons, psi, °F)")
	p.keys(kb.ArrowDown, kb.ArrowDown)
	p.enters("Save mine")
	p.sees("Saved.")
	p.ask(`document.querySelector("form[action='/settings/mine'] [value=si]").checked`)

	file := filepath.Join(t.TempDir(), "site.toml")
	if err := os.WriteFile(file, []byte("rinsewright = 1\n[site]\nname = \"Heron Quay\" # invented\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	p.open("/sites/new")
	p.tabsTo("Choose the file")
	p.do(upload("#file", file)) // the browser's own window opens; its keys are not ours
	p.enters("Bring it in")
	p.sees("Heron Quay")

	p.open("/backup")
	p.enters("Back up now")
	p.sees("Made.")
	p.enters("Try it out")
	p.sees("the same to the last letter")
}
