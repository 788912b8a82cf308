package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"rinsewright/testdata/sites"
)

// An old log, invented: one cell cannot be read.
const oldTable = "Day,TDS out,Flow\n2025-05-02,9,1.1 gpm\n2025-06-02,ten,1.0 gpm\n2025-07-04,12,0.9 gpm\n"

// A table is looked at first, its columns are told, what cannot be read is named
// with its row, and what was kept is taken back as a whole.
func TestAnOldLogIsBroughtInByAProgram(t *testing.T) {
	o := open(t)
	text, err := sites.File("fennel-lane")
	if err != nil {
		t.Fatal(err)
	}
	var site struct{ ID, ETag string }
	_, b := o.ask(t, "POST", "/sites", string(text))
	if err := json.Unmarshal(b, &site); err != nil {
		t.Fatal(err)
	}
	at := "/sites/" + site.ID
	columns := url.Values{"map": {"Day=date", "TDS out=permeate_strength ppm NaCl", "Flow=permeate_flow"}}
	if status, b := o.ask(t, "POST", at+"/log/import", oldTable); status != http.StatusUnprocessableEntity || !strings.Contains(string(b), "its day") {
		t.Errorf("without a day: %d %s", status, b)
	}
	status, b := o.ask(t, "POST", at+"/log/import?"+columns.Encode(), oldTable)
	var found struct {
		Visits []struct {
			Date     string
			Readings []string
		}
		Errors []struct{ Read string }
		Kept   int `json:"visits_kept"`
	}
	if err := json.Unmarshal(b, &found); err != nil || status != http.StatusOK || len(found.Visits) != 3 || len(found.Errors) != 1 || !strings.Contains(found.Errors[0].Read, "row 3, TDS out") || found.Kept != 0 {
		t.Fatalf("looked at: %d %s", status, b)
	}
	if _, b := o.ask(t, "GET", at+"/file", ""); string(b) != string(text) {
		t.Error("looking at it changed the site")
	}
	columns.Set("save", "true")
	if status, b := o.ask(t, "POST", at+"/log/import?"+columns.Encode(), oldTable); status != http.StatusOK || !strings.Contains(string(b), `"visits_kept": 3`) {
		t.Fatalf("kept: %d %s", status, b)
	}
	if status, b := o.ask(t, "POST", at+"/log/import?"+columns.Encode(), oldTable); status != http.StatusUnprocessableEntity || !strings.Contains(string(b), "imported before") {
		t.Errorf("kept twice: %d %s", status, b)
	}
	if _, b := o.ask(t, "GET", at+"/file", ""); !strings.Contains(string(b), "2025-07-04") {
		t.Errorf("the site does not hold it: %s", b)
	}
	if status, b := o.ask(t, "POST", at+"/log/undo", ""); status != http.StatusOK || !strings.Contains(string(b), `"visits_taken_back": 3`) {
		t.Errorf("taken back: %d %s", status, b)
	}
	if _, b := o.ask(t, "GET", at+"/file", ""); strings.Contains(string(b), "2025-07-04") {
		t.Error("it is still there")
	}
}

// A workbook and a laboratory's table come in the same way.
func TestAWorkbookAndAnAnalysisAreBroughtIn(t *testing.T) {
	o := open(t)
	text, err := sites.File("fennel-lane")
	if err != nil {
		t.Fatal(err)
	}
	var site struct{ ID string }
	_, b := o.ask(t, "POST", "/sites", string(text))
	if err := json.Unmarshal(b, &site); err != nil {
		t.Fatal(err)
	}
	book := excelize.NewFile()
	for i, row := range []string{"date,permeate_strength", "2025-05-02,9 ppm NaCl", "2025-06-02,10 ppm NaCl"} { // invented
		cells := strings.Split(row, ",")
		if err := book.SetSheetRow("Sheet1", "A"+string(rune('1'+i)), &cells); err != nil {
			t.Fatal(err)
		}
	}
	sheet, err := book.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	if status, b := o.ask(t, "POST", "/sites/"+site.ID+"/log/import?save=true", sheet.String()); status != http.StatusOK || !strings.Contains(string(b), `"visits_kept": 2`) {
		t.Errorf("a workbook: %d %s", status, b)
	}
	table := "sample,date,calcium mg/L,magnesium mg/L,bicarbonate mg/L,pH\nWell 2,2025-05-02,80,10,280,7.4\n" // invented
	if status, b := o.ask(t, "POST", "/sites/"+site.ID+"/analysis?save=true&place=raw", table); status != http.StatusOK || !strings.Contains(string(b), `"written": true`) {
		t.Errorf("an analysis: %d %s", status, b)
	}
	if _, b := o.ask(t, "GET", "/sites/"+site.ID+"/file", ""); !strings.Contains(string(b), "2025-06-02") || !strings.Contains(string(b), "calcium") {
		t.Errorf("the site does not hold them: %s", b)
	}
}

// On the page: a workbook is chosen, its columns are told, it is looked at, kept
// and taken back.
func TestATableIsBroughtInOnThePage(t *testing.T) {
	o := open(t)
	text, err := sites.File("fennel-lane")
	if err != nil {
		t.Fatal(err)
	}
	var site struct{ ID string }
	_, b := o.ask(t, "POST", "/sites", string(text))
	if err := json.Unmarshal(b, &site); err != nil {
		t.Fatal(err)
	}
	client := o.signedIn(t)
	send := func(fields ...string) string {
		t.Helper()
		var b bytes.Buffer
		w := multipart.NewWriter(&b)
		for i := 0; i < len(fields); i += 2 {
			if err := w.WriteField(fields[i], fields[i+1]); err != nil {
				t.Fatal(err)
			}
		}
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
		r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, o.URL+"/sites/"+site.ID+"/import", &b)
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Content-Type", w.FormDataContentType())
		answer, err := client.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		page, err := io.ReadAll(answer.Body)
		if err := errors.Join(err, answer.Body.Close()); err != nil {
			t.Fatal(err)
		}
		return string(page)
	}
	if page := send("kind", "log", "text", oldTable, "do", "look"); !strings.Contains(page, "Say which column is the day") || strings.Contains(page, "Keep 3 visits") {
		t.Errorf("nobody has said what the columns are: %s", page)
	}
	told := []string{"kind", "log", "text", oldTable, "means.0", "date", "means.1", "permeate_strength", "unit.1", "ppm NaCl", "means.2", "permeate_flow"}
	if page := send(append(told, "do", "look")...); !strings.Contains(page, "Keep 3 visits") || !strings.Contains(page, "row 3, TDS out") || !strings.Contains(page, "permeate_strength = 9 ppm NaCl") {
		t.Errorf("looked at: %s", page)
	}
	if page := send(append(told, "do", "keep")...); !strings.Contains(page, "3 visits were kept.") || !strings.Contains(page, "Take this import back") {
		t.Errorf("kept: %s", page)
	}
	if page := send("do", "undo", "kind", "log"); !strings.Contains(page, "3 visits were taken back.") {
		t.Errorf("taken back: %s", page)
	}
	long := []string{"kind", "log", "text", "Day,Parameter,Result,Units\n2025-05-02,TDS out,9,ppm\n2025-05-02,Flow,1.1,gpm\n", "means.0", "date", "means.1", "gauge", "means.2", "value", "means.3", "unit"}
	if page := send(append(long, "do", "look")...); !strings.Contains(page, "What its names mean, one a line") || !strings.Contains(page, "read &#34;TDS out&#34;") {
		t.Errorf("a reading a row, its names not told: %s", page)
	}
	if page := send(append(long, "names", "TDS out = permeate_strength ppm NaCl\nFlow = permeate_flow gpm", "do", "look")...); !strings.Contains(page, "Keep one visit") || !strings.Contains(page, "permeate_strength = 9 ppm NaCl") {
		t.Errorf("a reading a row: %s", page)
	}
	if page := send("kind", "log", "text", "one line only", "do", "look"); !strings.Contains(page, "No rows") && !strings.Contains(page, "no rows under a header") {
		t.Errorf("no table: %s", page)
	}
	if page := send("kind", "analysis", "text", "sample,date,Ca,pH\nWell 2,2025-05-02,80,7.4\n", "means.2", "calcium mg/L", "do", "look"); !strings.Contains(page, "Keep one sample") || !strings.Contains(page, "80 mg/L") {
		t.Errorf("an analysis: %s", page)
	}
}

// signedIn is a browser of somebody who may write.
func (o office) signedIn(t *testing.T) *http.Client {
	t.Helper()
	if status, b := o.ask(t, "POST", "/people", `{"login":"toni","name":"Toni","role":"tech","password":"a dry panel shines"}`); status != http.StatusCreated {
		t.Fatalf("%d %s", status, b)
	}
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	client := &http.Client{Jar: jar}
	answer, err := client.PostForm(o.URL+"/sign-in", url.Values{"login": {"toni"}, "password": {"a dry panel shines"}})
	if err != nil {
		t.Fatal(err)
	}
	if err := answer.Body.Close(); err != nil {
		t.Fatal(err)
	}
	return client
}
