package web

import (
	"encoding/json"
	"math"
	"testing"

	"rinsewright/internal/door"
	"rinsewright/testdata/sites"
)

// The engine in the browser ranks the causes of every example site as the server's
// does: names and order to the letter, shares to one part in a million.
func TestTheBrowserSuspectsWhatTheServerSuspects(t *testing.T) {
	s := serving(t).withEngine(t)
	p := visits(t, s, 1440)
	p.open("/sign-in")
	shares := 0
	for _, name := range sites.Names {
		file, err := sites.File(name)
		if err != nil {
			t.Fatal(err)
		}
		q := door.Question{Ask: door.Faults, File: string(file), Units: "us", Said: []string{"slow to fill"}, Read: []string{"tank_strength = 12 ppm NaCl"}}
		var d door.Door
		want, got := d.Answer(t.Context(), q), p.asksEngine(q)
		if want.Faults != nil && got.Faults != nil && len(want.Faults.Suspects) == len(got.Faults.Suspects) {
			for i, w := range want.Faults.Suspects {
				g := &got.Faults.Suspects[i]
				if math.Abs(g.Share-w.Share) > 1e-6 {
					t.Errorf("%s: %s is %v in the browser, %v in the server", name, w.Name, g.Share, w.Share)
				}
				g.Share = w.Share // the last digits may differ
				shares++
			}
		}
		a, _ := json.Marshal(got)
		b, _ := json.Marshal(want)
		if string(a) != string(b) {
			t.Errorf("%s: the browser says %.900s, the server %.900s", name, a, b)
		}
	}
	if shares < 10 {
		t.Errorf("%d shares compared: too few to say anything", shares)
	}
}

// Without signal a remark and a reading are weighed by the phone itself.
func TestFaultsWithoutSignal(t *testing.T) {
	s, network := serving(t).withEngine(t).patchy(t)
	p := visits(t, s, 380)
	p.walksRound()
	page := "/sites/" + s.siteID(t, "Fennel") + "/faults"
	p.open("/")
	p.waits(`!!navigator.serviceWorker.controller`)
	p.waitsFor(`caches.match(document.documentElement.dataset.wasm).then(x => !!x)`)
	p.open(page)
	p.sees("How likely")

	network.set(cut)
	p.open(page)
	p.types(`#said`, "slow to fill")
	p.types(`#read`, "gun 3 63 ppm NaCl")
	p.presses("Weigh it")
	p.waits(`document.querySelector("#here").dataset.by === "this browser"`)
	p.waits(`document.querySelector("#here ol").innerText.includes("cross-over in one bay")`)
	p.ask(`document.getElementById("before").hidden`)
	p.accessible("causes without signal")
	p.shot("faults-offline-380", 380)
}
