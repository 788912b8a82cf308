package web

import (
	"archive/zip"
	"bytes"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"rinsewright/catalog"
	"rinsewright/internal/scene"
)

// Every paper of a site comes as a file, as a button of the page hands it out;
// those about systems on offer wait for a sizing and say so.
func TestPapersOfASite(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 1440)
	p.walksRound()
	id := s.siteID(t, "Fennel")
	p.open("/sites/" + id)
	p.presses("Papers")
	p.sees("wait for a sizing")
	p.ask(`[...document.querySelectorAll(".papers li")].filter(l => l.innerText.includes("waits for a sizing")).length === 3`)
	p.ask(`document.querySelectorAll(".papers button:not([formmethod])").length === 11`)
	for _, size := range []int64{380, 1440} {
		p.look("papers", "/sites/"+id+"/papers", size)
	}
	v := s.visitor(t)
	v.signsIn("kit")
	for file, begins := range map[string]string{
		"owner.pdf": "%PDF-", "commissioning.pdf": "%PDF-", "label.pdf": "%PDF-", "wall-plan.pdf": "%PDF-", "start-up.pdf": "%PDF-", "service.pdf": "%PDF-",
		"warranty.pdf": "%PDF-", "hygiene.pdf": "%PDF-", "log-sheet.pdf": "%PDF-", "log.csv": "date,", "calendar.ics": "BEGIN:VCALENDAR",
	} {
		status, body, header := v.send(http.MethodGet, "/sites/"+id+"/papers/"+file+"?language=es&size=a4&from=Wren+Water", nil)
		if status != http.StatusOK || !strings.HasPrefix(body, begins) {
			t.Errorf("%s: %d %.60q", file, status, body)
		}
		if want := `attachment; filename="fennel-lane-` + file + `"`; header.Get("Content-Disposition") != want && status == http.StatusOK {
			t.Errorf("%s is handed out as %s", file, header.Get("Content-Disposition"))
		}
	}
	for path, want := range map[string]int{
		"quote.pdf": http.StatusConflict, "parts.xlsx": http.StatusConflict, "owner.pdf?option=B": http.StatusConflict, "owner.exe": http.StatusNotFound,
		"owner.pdf?from=" + strings.Repeat("x", 200): http.StatusUnprocessableEntity,
	} {
		if status, body := v.get("/sites/" + id + "/papers/" + path); status != want {
			t.Errorf("%s: %d, want %d: %.200q", path, status, want, body)
		}
	}
}

// A paper is issued from the page: the revision is kept to the byte, the next
// one tells what changed, and one that would say the same is not made.
func TestPapersAreIssuedAndStay(t *testing.T) {
	s := serving(t)
	p := visits(t, s, 1440)
	p.walksRound()
	id := s.siteID(t, "Fennel")
	papers := "/sites/" + id + "/papers"
	issue := func() { p.do(chromedp.Click(`button[aria-label="Issue Owner's page"]`)) }
	p.open(papers)
	p.do(chromedp.Click(`.more summary`))
	issue()
	p.sees("A revision says what changed and why")
	for i, row := range []struct{ units, why, sees string }{
		{"us", "for the new owner", "Issued: Owner's page A"}, {"us", "again", "it would say what Owner's page A says"}, {"si", "in SI units", "Issued: Owner's page B"},
	} {
		p.open(papers)
		p.do(chromedp.Click(`.more summary`))
		p.types("#change", row.why)
		p.types("#approved", "C. Owl")
		p.chooses("#units", row.units)
		issue()
		p.sees(row.sees)
		if i == 2 {
			p.ask(`[...document.querySelectorAll(".issued > li")].length === 2 && document.querySelector(".issued details").textContent.includes("was ")`)
		}
	}
	for _, size := range []int64{380, 1440} {
		p.look("papers-issued", papers, size)
	}
	v := s.visitor(t)
	v.signsIn("kit")
	_, first := v.get("/sites/" + id + "/issued/owner/A")
	if printed, holds := scene.Hashed([]byte(first)); !holds {
		t.Errorf("revision A prints the hash %q, which does not hold", printed)
	}
	if status, _ := v.post("/sites/"+id+"/survey", "name", "Fennel Lane, sold"); status >= 500 {
		t.Fatal(status)
	}
	if _, again := v.get("/sites/" + id + "/issued/owner/A"); again != first {
		t.Error("revision A changed with the record")
	}
	for path, want := range map[string]int{"owner/C": http.StatusNotFound, "quote/A": http.StatusNotFound, "owner-es/A": http.StatusNotFound} {
		if status, _ := v.get("/sites/" + id + "/issued/" + path); status != want {
			t.Errorf("%s: %d, want %d", path, status, want)
		}
	}
	if status, _ := v.post(papers+"/label.pdf", "change", "x"); status != http.StatusNotFound {
		t.Errorf("a form is issued: %d", status)
	}
}

// What the office calls its parts stands in a sizing and on the papers about it.
func TestSizingAndPapersTakeThePartsList(t *testing.T) {
	s := serving(t)
	v := s.visitor(t)
	v.begins()
	if status, _ := v.post("/practice"); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	table, err := tableOf(catalog.Text())
	if err != nil {
		t.Fatal(err)
	}
	for i := range table.rows {
		text := table.with(i, map[string]string{"name": "Ours " + table.cell(i, "name")})
		if table, err = tableOf(text); err != nil {
			t.Fatal(err)
		}
	}
	if status, body := v.post("/parts/import", "text", table.text); status != http.StatusSeeOther {
		t.Fatalf("%d %s", status, body)
	}
	id := s.siteID(t, "Long Barrow")
	sizing := "/sites/" + id + "/sizing"
	if status, _ := v.post(sizing); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	for end := time.Now().Add(5 * time.Minute); ; time.Sleep(time.Second) {
		if _, body := v.get(sizing); strings.Contains(body, `id="three"`) {
			break
		}
		if time.Now().After(end) {
			t.Fatal("the search finds no end")
		}
	}
	status, book := v.get("/sites/" + id + "/papers/parts.xlsx")
	if status != http.StatusOK || !strings.Contains(unzipped(t, book), "Ours ") {
		t.Errorf("the parts list answers %d, without our names", status)
	}
	for _, file := range []string{"quote.pdf", "install-day.pdf", "owner.pdf?option=A"} {
		if status, body := v.get("/sites/" + id + "/papers/" + file); status != http.StatusOK || !strings.HasPrefix(body, "%PDF-") {
			t.Errorf("%s: %d %.200q", file, status, body)
		}
	}
	if status, _ := v.post("/parts/import", "again", "yes"); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	if _, body := v.get(sizing); strings.Contains(body, `id="three"`) {
		t.Error("a sizing with another parts list is shown as if it were this one's")
	}
}

func unzipped(t *testing.T, whole string) string {
	t.Helper()
	r, err := zip.NewReader(bytes.NewReader([]byte(whole)), int64(len(whole)))
	if err != nil {
		t.Fatal(err)
	}
	var all strings.Builder
	for _, f := range r.File {
		part, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.Copy(&all, part); err != nil {
			t.Fatal(err)
		}
	}
	return all.String()
}
