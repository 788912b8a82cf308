package web

import (
	"encoding/csv"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"rinsewright/internal/store"
)

// Readings of some weeks stand on the band of the model; a key steps through
// them, a table says the same, and a spreadsheet can have them.
func TestTrendsOfSomeWeeks(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 1440)
	p.walksRound()
	id := s.siteID(t, "Cormorant")
	s.logs(t, id, "permeate", []string{"9 ppm", "9.5 ppm", "8.5 ppm", "40 ppm"})
	p.open("/sites/" + id)
	p.presses("Trends")
	p.sees("After the membrane: strength")
	p.waits(`!document.querySelector("meta[http-equiv]")`)
	p.sees("readings outside.")
	p.ask(`[...document.querySelectorAll("section")].find(s => s.innerText.includes("After the membrane")).querySelectorAll('.wide [id*="point-"]').length >= 5`)
	p.ask(`(() => { const c = [...document.querySelectorAll(".trend")].find(c => c.getAttribute("aria-label").startsWith("After the membrane")); c.setAttribute("data-this", ""); return true })()`)
	p.do(chromedp.Focus("[data-this]"), chromedp.SendKeys("[data-this]", kb.End))
	p.waits(`/^(\d+) of \1:/.test(document.querySelector("[data-this] + .readout").textContent)`)
	p.sees("40 ppm")
	p.do(chromedp.SendKeys("[data-this]", kb.ArrowLeft))
	p.waits(`!/^(\d+) of \1:/.test(document.querySelector("[data-this] + .readout").textContent)`)
	p.ask(`(() => { for (const s of document.querySelectorAll("section summary")) s.click(); return true })()`)
	p.sees("outside the band")
	for width, dark := range map[int64]bool{380: true, 1440: false} {
		p.do(chromedp.EmulateViewport(width, 900))
		p.dark(dark)
		p.open("/sites/" + id + "/trends")
		p.waits(`!document.querySelector("meta[http-equiv]")`)
		p.fits("trends", width)
		p.accessible(fmt.Sprintf("trends at %d px, dark %v", width, dark))
		p.shot(fmt.Sprintf("trends-%d-dark-%v", width, dark), width)
	}
}

// The table for a spreadsheet keeps numbers numbers and makes no formula of
// what somebody typed.
func TestTrendsAsATable(t *testing.T) {
	s := serving(t)
	v := s.visitor(t)
	v.begins()
	if status, _ := v.post("/practice"); status != 303 {
		t.Fatal(status)
	}
	id := s.siteID(t, "Cormorant")
	s.logs(t, id, "permeate", []string{"9 ppm", "=1+1"})
	status, body, header := v.send("GET", "/sites/"+id+"/trends.csv", nil)
	lines, err := csv.NewReader(strings.NewReader(body)).ReadAll()
	if status != 200 || err != nil || !strings.HasPrefix(header.Get("Content-Type"), "text/csv") {
		t.Fatal(status, err, header)
	}
	typed := map[string]bool{}
	for _, line := range lines[1:] {
		typed[line[5]] = true
		if line[5] != "" && strings.ContainsRune("=+-@", rune(line[5][0])) {
			t.Errorf("a formula: %q", line)
		}
	}
	if !typed["9 ppm"] || !typed["'=1+1"] {
		t.Errorf("typed are %v", typed)
	}
	// Where decimals have a comma, cells are parted as spreadsheets there want it.
	if status, _ := v.post("/settings/mine", "units", "si", "decimal", "comma"); status != 303 {
		t.Fatal(status)
	}
	_, body, _ = v.send("GET", "/sites/"+id+"/trends.csv", nil)
	r := csv.NewReader(strings.NewReader(body))
	r.Comma = ';'
	again, err := r.ReadAll()
	if err != nil || len(again) != len(lines) || len(again[0]) != len(lines[0]) {
		t.Fatalf("%d lines, %v", len(again), err)
	}
	for i, line := range again[1:] {
		if strings.Contains(line[3], ".") || strings.Replace(line[3], ",", ".", 1) != lines[i+1][3] {
			t.Errorf("%q, with a point it was %q", line[3], lines[i+1][3])
		}
	}
}

// logs keeps readings of a pen, a week apart, the last of them a week ago.
func (s *served) logs(t *testing.T, site, place string, typed []string) {
	t.Helper()
	device := store.NewID(time.Now())
	for i, words := range typed {
		var ppm float64
		if _, err := fmt.Sscanf(words, "%g", &ppm); err != nil {
			ppm = 9
		}
		taken := time.Now().AddDate(0, 0, -7*(len(typed)-i))
		receipts, err := s.store.Log(t.Context(), "", []store.Sample{{
			ID: store.NewID(taken), Site: site, Place: place, Taken: taken, Device: device, DeviceSeq: int64(i + 1), Program: "test",
			Readings: []store.Reading{{Name: "strength", Typed: words, SI: ppm / 1000, Unit: "kg/m3"}, {Name: "scale", Typed: "NaCl"}},
		}})
		if err != nil || receipts[0].Err != nil {
			t.Fatal(err, receipts)
		}
	}
}

// What the tracker makes of a log stands above the readings: when each part
// comes due with its band, and how it wore through time.
func TestTrendsTellWhatTheLogForesees(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 1440)
	p.walksRound()
	id := s.siteID(t, "Cormorant")
	p.open("/sites/" + id + "/trends")
	p.waits(`!document.querySelector("meta[http-equiv]")`)
	p.sees("What comes due, soonest first")
	// Tracked charts step, tell and have their table like the others.
	p.ask(`(() => { const c = document.querySelector('.foreseen .trend'); c.setAttribute("data-this", ""); return c.getAttribute("aria-label").includes("day by day") })()`)
	p.do(chromedp.Focus("[data-this]"), chromedp.SendKeys("[data-this]", kb.End))
	p.waits(`/^(\d+) of \1: .*band/.test(document.querySelector("[data-this] + .readout").textContent)`)
	p.ask(`document.querySelectorAll(".foreseen details table tbody tr").length >= 20`)
	p.sees("The wear as tracked says")
	p.ask(`(() => { const s = [...document.querySelectorAll("section")].find(s => s.querySelector("h2")?.innerText === "After the membrane: flow"); const d = s.querySelector(".wide svg polyline, .wide svg polygon, .wide svg path"); return !!d })()`)
	p.ask(`document.querySelectorAll(".pair figure.wide svg").length >= 2 && document.querySelectorAll(".findings li").length >= 2`)
	p.ask(`(() => { const ids = [...document.querySelectorAll("[id]")].map(e => e.id); return new Set(ids).size === ids.length })()`)
	p.sees("What was read")
	for _, size := range []int64{380, 1440} {
		p.look("trends-foreseen", "/sites/"+id+"/trends", size)
	}
}

// What the tracker makes of a log is a table for a spreadsheet too.
func TestTheTrackedAsATable(t *testing.T) {
	s := serving(t)
	v := s.visitor(t)
	v.begins()
	if status, _ := v.post("/practice"); status != 303 {
		t.Fatal(status)
	}
	status, body, _ := v.send("GET", "/sites/"+s.siteID(t, "Cormorant")+"/tracked.csv", nil)
	lines, err := csv.NewReader(strings.NewReader(body)).ReadAll()
	if status != 200 || err != nil {
		t.Fatal(status, err)
	}
	units := map[string]int{}
	for _, line := range lines[1:] {
		units[line[6]]++
	}
	if units["%"] < 20 || units["uS/cm"] < 5 {
		t.Errorf("lines by unit: %v", units)
	}
}
