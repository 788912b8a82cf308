package web

import (
	"net/http"
	"strings"
	"testing"
)

// What may be wrong is ranked, says why and what to test next, and marks the
// suspect station on the path.
func TestWhatMayBeWrong(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 1440)
	p.walksRound()
	id := s.siteID(t, "Fennel")
	p.open("/sites/" + id)
	p.presses("What may be wrong")
	p.sees("How likely")
	p.sees("Test next")
	p.sees("σ; ")
	p.ask(`document.querySelectorAll("meter").length >= 5`)
	p.ask(`document.querySelector("figure.wide svg") !== null && document.querySelector("#remedy") !== null`)
	p.open("/sites/" + id + "/faults?said=slow+to+fill")
	p.waits(`!document.querySelector("meta[http-equiv]") && document.querySelector("#said").value === "slow to fill"`)
	p.ask(`document.querySelector("section[aria-labelledby=call] table").innerText.includes("slow to fill")`)
	for _, size := range []int64{380, 1440} {
		p.look("faults", "/sites/"+id+"/faults", size)
	}
	v := s.visitor(t)
	v.signsIn("kit")
	if status, _ := v.get("/sites/" + id + "/faults?said=" + strings.Repeat("x", 500)); status != http.StatusUnprocessableEntity {
		t.Errorf("too much said: %d", status)
	}
	p.open("/sites/" + s.siteID(t, "Brightmere") + "/faults")
	p.sees("not known")
	p.accessible("a site without a rig")
}
