package web

import (
	"fmt"
	"net/http"
	"net/url"
	"reflect"
	"strings"
	"testing"

	"rinsewright/catalog"
)

// What is not changed stays to the letter: remarks, empty lines, odd quotes.
func TestOnePartChangesAndTheRestStays(t *testing.T) {
	text := "\xef\xbb\xbf# currency: EUR\n# mine\nname,kind,price,note\n\n# a tank\n\"big, blue\",tank,12,\" odd \"\"quote\"\"\"\nred,tank,13,\n# the end\n" // invented
	table, err := tableOf(text)
	if err != nil || len(table.rows) != 2 || table.cell(0, "name") != "big, blue" || table.cell(1, "price") != "13" || table.cell(1, "volume") != "" {
		t.Fatalf("%+v, %v", table, err)
	}
	for what, c := range map[string][2]string{
		"one row": {table.with(1, map[string]string{"price": "14.50"}), strings.Replace(text, "red,tank,13,", "red,tank,14.50,", 1)},
		"added":   {table.after(1, map[string]string{"name": "green", "kind": "tank", "price": "1"}), strings.Replace(text, "red,tank,13,\n", "red,tank,13,\ngreen,tank,1,\n", 1)},
		"removed": {table.without(0), strings.Replace(text, "\"big, blue\",tank,12,\" odd \"\"quote\"\"\"\n", "", 1)},
	} {
		if c[0] != c[1] {
			t.Errorf("%s:\n%q, want\n%q", what, c[0], c[1])
		}
	}
	generic, err := tableOf(catalog.Text())
	if err != nil {
		t.Fatal(err)
	}
	read, err := catalog.Generic()
	if err != nil || len(read.Parts) != len(generic.rows) {
		t.Fatalf("%d rows for %d parts, %v", len(generic.rows), len(read.Parts), err)
	}
	for i := range generic.rows {
		if generic.cell(i, "name") != read.Parts[i].Name {
			t.Errorf("row %d is %q, part %q", i, generic.cell(i, "name"), read.Parts[i].Name)
		}
		if _, err := catalog.Read([]byte(generic.with(i, map[string]string{"note": "\"a, b\"\n# c"}))); err != nil {
			t.Errorf("row %d: %v", i, err)
		}
	}
}

func TestPricesAreChangedWhereTheyStand(t *testing.T) {
	s := serving(t)
	v := s.visitor(t)
	v.begins()
	if _, body := v.get("/parts"); !strings.Contains(body, "Its prices are invented") || !strings.Contains(body, `name="price.0" value="28.00"`) {
		t.Errorf("before anyone changed it: %s", body)
	}
	form := url.Values{"rev": {"0"}, "decimal": {"comma"}}
	generic, err := catalog.Generic()
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range generic.Parts { // as the page shows them to somebody who writes a comma
		form.Set(fmt.Sprintf("price.%d", i), strings.Replace(amount(int64(p.Price), reader{}.locale), ".", ",", 1))
	}
	form.Set("price.0", "31,50")
	if status, body, _ := v.send(http.MethodPost, "/parts", form); status != http.StatusSeeOther {
		t.Fatalf("%d %s", status, body)
	}
	_, out := v.get("/parts/export")
	if want := strings.Replace(catalog.Text(), ",28.00,", ",31.50,", 1); out != want {
		t.Errorf("more than one price has changed")
	}
	if status, _, _ := v.send(http.MethodPost, "/parts", form); status != http.StatusConflict {
		t.Errorf("a form made for an older list: %d", status)
	}
	form.Set("rev", "1")
	form.Set("price.0", "cheap")
	if status, body, _ := v.send(http.MethodPost, "/parts", form); status != http.StatusUnprocessableEntity || !strings.Contains(body, "column price says &#34;cheap&#34;") {
		t.Errorf("a price that is none: %d %s", status, body)
	}
	if status, body := v.post("/parts/0", "rev", "1", "decimal", "point", "do", "save", "kind", "element", "name", "tap element, mine", "size", "1812", "flow", "80 gpd", "pressure", "50 psi", "rejection", "97 %", "area", "4.5 ft2", "price", "33"); status != http.StatusSeeOther {
		t.Errorf("one part: %d %s", status, body)
	}
	if status, body := v.post("/parts/0", "rev", "2", "decimal", "point", "do", "save", "kind", "element", "name", "x", "flow", "80 gallons of fun"); status != http.StatusUnprocessableEntity || !strings.Contains(body, "80 gallons of fun") {
		t.Errorf("a flow that is none: %d", status)
	}
	if status, _ := v.post("/parts/0", "rev", "2", "do", "remove"); status != http.StatusSeeOther {
		t.Errorf("taken off: %d", status)
	}
	list, err := s.pages.catalogue(t.Context())
	if err != nil || len(list.Parts) != len(generic.Parts)-1 || list.Parts[0].Name != generic.Parts[1].Name {
		t.Errorf("%d parts, %v", len(list.Parts), err)
	}
	if status, _ := v.post("/parts/import", "text", "kind,name,price\nfloat,a float,9\n"); status != http.StatusSeeOther {
		t.Errorf("brought in: %d", status)
	}
	if status, body := v.post("/parts/import", "text", "kind,name,price\nboat,a boat,9\n"); status != http.StatusUnprocessableEntity || !strings.Contains(body, "a boat,9") || !strings.Contains(body, "Line 2") {
		t.Errorf("brought in with a mistake: %d", status)
	}
	if status, _ := v.post("/parts/import", "again", "yes"); status != http.StatusSeeOther {
		t.Errorf("the built-in list again: %d", status)
	}
	if _, body := v.get("/parts"); !strings.Contains(body, "before: 31.50 USD since") {
		t.Error("what the part has cost before is not told")
	}
}

// A workbook goes out with the day of the last change, and comes back in; bad rows of
// another are all told.
func TestPricesGoToAWorkbookAndBack(t *testing.T) {
	s := serving(t)
	v := s.visitor(t)
	v.begins()
	_, book := v.get("/parts/export?as=xlsx")
	if !strings.HasPrefix(book, "PK") {
		t.Fatalf("no workbook: %.40q", book)
	}
	if status, body := v.uploads("/parts/import", book); status != http.StatusSeeOther {
		t.Fatalf("%d %s", status, body)
	}
	_, out := v.get("/parts/export")
	got, err := catalog.Read([]byte(out))
	want, _ := catalog.Generic()
	if err != nil || !reflect.DeepEqual(got.Parts, want.Parts) {
		t.Errorf("came back changed: %v", err)
	}
	status, body := v.uploads("/parts/import", "kind,name,price,volume\ntank,a,x,55 gal\ntank,b,12,55\n")
	if status != http.StatusUnprocessableEntity || !strings.Contains(body, "Line 2, column price") || !strings.Contains(body, "Line 3, column volume") {
		t.Errorf("%d, bad rows are not both told", status)
	}
	if _, page := v.get("/parts?old=3"); !strings.Contains(page, `value="3" selected`) {
		t.Error("the age that was chosen is not shown")
	}
}
