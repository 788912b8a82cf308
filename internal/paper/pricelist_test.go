package paper

import (
	"reflect"
	"strings"
	"testing"

	"rinsewright/catalog"
	"rinsewright/internal/grid"
)

// A price list goes to a workbook and comes back the same, currency and day with it;
// a name that a spreadsheet would run is text in between. Invented rows.
func TestAPriceListComesBackFromAWorkbook(t *testing.T) {
	text := Dated(strings.Replace(catalog.Text(), "USD", "EUR", 1), "2026-06-13") + "tank,=HYPERLINK(1),,,,,,,,,,,55 gal,23 in,,,,,,115.00,,0.8,\n"
	want, err := catalog.Read([]byte(text))
	if err != nil || want.Date != "2026-06-13" {
		t.Fatalf("%q, %v", want.Date, err)
	}
	g, err := PriceList(text)
	if err != nil {
		t.Fatal(err)
	}
	book, err := g.XLSX()
	if err != nil {
		t.Fatal(err)
	}
	rows, err := grid.Rows(book)
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows {
		for _, cell := range row {
			if strings.HasPrefix(cell, "=") {
				t.Errorf("%q would be run", cell)
			}
		}
	}
	back, err := grid.Text(book)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := catalog.Read(back); err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("came back as %+v, %v", got, err)
	}
	plain, err := PriceText(text)
	if err != nil || !strings.Contains(plain, "'=HYPERLINK") {
		t.Errorf("as text: %v", err)
	}
	if got, err := catalog.Read([]byte(plain)); err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("as text it came back as %+v, %v", got, err)
	}
	if same, err := PriceText(catalog.Text()); err != nil || same != catalog.Text() {
		t.Errorf("a list without formulas was changed, %v", err)
	}
}
