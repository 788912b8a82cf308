package web

import (
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"rinsewright/internal/store"
)

// Two phones were one: a copy of a phone's memory counts on from the same
// number, so two readings come in under it. Both are kept and a person chooses.
func TestTwoPhonesWithOneNumber(t *testing.T) {
	s := serving(t)
	first := visits(t, s, 380)
	first.begins()
	site := s.gullPoint(t)
	if status, _ := s.visitorAs(t, first).post("/people", "name", "Jo", "login", "jo", "role", "tech", "password", password); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	second := visits(t, s, 380)
	second.signsIn("jo")
	second.sees("Gull Point")
	device := store.NewID(site.Created)
	for _, p := range []*person{first, second} {
		p.open("/sites/" + site.ID + "/reading")
		p.waitsFor(`keeper.work("readwrite", ["device"], (tx) => tx.objectStore("device").put({id: "` + device + `", next: 1}, "me")).then(() => true)`)
		value := map[*person]string{first: "300", second: "310"}[p]
		p.types(`[name="raw.value"]`, value)
		p.presses("Keep the reading")
	}
	first.sees("Sent")
	second.sees("Two versions")
	second.sees("It keeps both")
	second.waits(`document.querySelector("#unsent").hidden`)
	first.open("/")
	first.sees("One thing waits here in two versions")
	first.presses("Look and choose")
	first.sees("310 ppm")
	first.sees("by Jo")
	for _, size := range []int64{380, 1440} {
		first.look("versions", "/versions", size)
	}
	first.presses("The later is right")
	first.sees("Nothing is here in two versions")
	first.open("/sites/" + site.ID)
	first.sees("300 ppm (put right later)")
	first.ask(`document.querySelector(".story").innerText.includes("310 ppm")`)
}

// visitorAs asks without a browser as somebody who is signed in in one.
func (s *served) visitorAs(t *testing.T, p *person) *visitor {
	t.Helper()
	v := s.visitor(t)
	v.signsIn("kit")
	return v
}

// A phone that cannot send saves what it has as a file. The office brings it in
// twice, the phone sends it after all, and it is there once.
func TestAFileFromAPhoneThatCannotSend(t *testing.T) {
	s, network := serving(t).patchy(t)
	p := visits(t, s, 380)
	p.begins()
	site := s.gullPoint(t)
	dir := t.TempDir()
	photo, saved := filepath.Join(dir, "photo.jpg"), filepath.Join(dir, "unsent.json")
	if err := os.WriteFile(photo, jpegOf(t, noisy(300, 200)), 0o600); err != nil {
		t.Fatal(err)
	}
	p.open("/phone")
	p.waits(`!!navigator.serviceWorker.controller`)
	p.open("/sites/" + site.ID + "/reading")
	network.set(cut)
	p.do(upload("#photo", photo))
	p.sees("One photo is on this phone")
	p.types(`[name="raw.value"]`, "300")
	p.types(`[name="permeate.value"]`, "8")
	p.presses("Keep the reading")
	p.sees("2 on this phone")
	p.open("/phone")
	p.waits(`document.querySelectorAll("#queue li").length === 2 && document.querySelector("#room").textContent !== ""`)
	p.ask(`(() => { URL.createObjectURL = (file) => { window.file = file; return "#" }; return true })()`)
	p.presses("Save as a file")
	p.sees("Saved among your downloads")
	p.accessible("a phone that cannot send")
	p.shot("phone-file-380", 380)
	text, err := chromedp.Run(p.ctx, chromedp.Evaluate[string](`window.file.text()`, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(saved, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	network.set(clear)
	office := visits(t, s, 1440)
	office.signsIn("kit")
	office.sees("Gull Point")
	for range 2 {
		office.open("/settings")
		office.do(upload("#file", saved))
		office.presses("Bring it in")
		office.waits(`[...document.querySelectorAll(".queue .state")].filter(x => x.textContent === "kept").length === 2`)
	}
	office.accessible("what a phone has saved")
	office.shot("unsent-1440", 1440)
	p.presses("Send now")
	p.waits(`document.querySelector("#unsent").hidden`)
	samples, err1 := s.store.Samples(t.Context(), site.ID, 10)
	photos, err2 := s.store.Photos(t.Context(), site.ID, 10)
	if len(samples) != 2 || len(photos) != 1 || err1 != nil || err2 != nil {
		t.Errorf("%d samples and %d photos, want 2 and 1 (%v, %v)", len(samples), len(photos), err1, err2)
	}
}

func TestOddFilesFromPhones(t *testing.T) {
	s := serving(t)
	v := s.visitor(t)
	v.begins()
	for name, file := range map[string]string{
		"nothing": "", "a page": "<script>", "another file": `{"readings":[]}`, "a later one": `{"rinsewright_unsent":2}`, "half": `{"rinsewright_unsent":1,"readings":[{"to":`,
	} {
		if status, body := v.uploads("/unsent", file); status != http.StatusUnprocessableEntity || !strings.Contains(body, "Nothing was kept") {
			t.Errorf("%s: %d", name, status)
		}
	}
	odd := `{"rinsewright_unsent":1,"readings":[{"to":"/people","name":"<b>x</b>","said":"role=owner"},{"to":"/sites/../reading","name":"y","said":""},{"to":"/sites/` + store.NewID(s.pages.options.Now()) + `/reading","name":"z","said":"raw.value=3"},{"to":"","name":"q","said":"%zz"}],` +
		`"photos":[{"to":"/sites/x/photos","name":"p","data":"AAAA"},{"to":"/sites/` + store.NewID(s.pages.options.Now()) + `/photos","name":"p","at":1780000000000,"data":"AAAA"}]}`
	if status, body := v.uploads("/unsent", odd); status != http.StatusOK || strings.Count(body, ">not kept<") != 6 || strings.Contains(body, "<b>x") {
		t.Errorf("odd ones: %d %s", status, body)
	}
}
