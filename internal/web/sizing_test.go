package web

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// A sizing is asked for, searches in the background while other pages answer,
// and shows its three systems and any point of the frontier.
func TestSizingInTheBackground(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 1440)
	p.walksRound()
	p.waits(`!document.querySelector("meta[http-equiv]")`)
	id := s.siteID(t, "Long Barrow")
	p.open("/sites/" + id)
	p.presses("Sizing")
	p.presses("Size it")
	begun := time.Now()
	p.waits(`document.body.innerText.includes("Searching.") || !!document.querySelector("#three")`)
	p.open("/help") // nobody waits for the search
	t.Logf("another page answered in %v", time.Since(begun).Round(time.Millisecond))
	p.open("/sites/" + id + "/sizing")
	for deadline := time.Now().Add(5 * time.Minute); ; time.Sleep(time.Second) { // the page comes back by itself
		over, err := chromedp.Run(p.ctx, chromedp.Evaluate[bool](`!!document.querySelector("#three")`))
		if err == nil && over {
			break
		}
		if time.Now().After(deadline) {
			t.Fatal("the search finds no end")
		}
	}
	t.Logf("sized in %v", time.Since(begun).Round(time.Second))
	p.sees("Least first cost")
	p.sees("binds")
	p.ask(`document.querySelectorAll(".pick").length >= 1`)
	for width, dark := range map[int64]bool{380: true, 1440: false} {
		p.do(chromedp.EmulateViewport(width, 900))
		p.dark(dark)
		p.open("/sites/" + id + "/sizing")
		p.fits("sizing", width)
		p.accessible(fmt.Sprintf("sizing at %d px, dark %v", width, dark))
		p.shot(fmt.Sprintf("sizing-%d-dark-%v", width, dark), width)
	}
	p.do(chromedp.EmulateViewport(1440, 900))
	p.dark(false)
	p.open("/sites/" + id + "/sizing")
	p.ask(`document.querySelectorAll('#frontier ~ figure a[href*="point="]').length > 0`)
	p.presses("point 1")
	p.sees("Point 1 of the frontier")
	p.ask(`document.querySelector(".pick h2").innerText === "Point 1 of the frontier"`)
	p.accessible("a point of the frontier")
	p.shot("sizing-point-1440", 1440)
	p.open("/sites/" + id + "/sizing?point=999")
	p.sees("There is no such system on the frontier")

	// As if the program had stopped and begun again.
	s.pages.sizings.forget()
	p.open("/sites/" + id + "/sizing")
	p.sees("Worked out on")
	p.sees("Least first cost")
	p.accessible("a sizing of a program that has stopped")
	p.open("/sites/" + id + "/sizing?point=1")
	p.sees("Size it again to look at other points")
}

// Nothing to size with is said in words.
func TestSizingOfAnEmptySurvey(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 380)
	p.begins()
	site := s.gullPoint(t)
	p.open("/sites/" + site.ID + "/sizing")
	p.presses("Size it")
	p.sees("Nobody has read the raw water yet")
	p.accessible("a sizing that cannot begin")
}

// forget is what a program that stops does.
func (z *sizings) forget() {
	z.mu.Lock()
	defer z.mu.Unlock()
	z.kept, z.order = map[sizeQuestion]*sizing{}, nil
}
