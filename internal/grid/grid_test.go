package grid

import (
	"bytes"
	"errors"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
)

func TestTheSameTableInEachForm(t *testing.T) {
	want := [][]string{{"Day", "TDS out"}, {"2025-03-04", "8.5"}}
	for name, data := range map[string][]byte{
		"commas":     []byte("Day,TDS out\n2025-03-04,8.5\n"),
		"semicolons": []byte("\ufeffDay;TDS out\r\n2025-03-04;8.5\r\n"),
		"tabs":       []byte("Day\tTDS out\n2025-03-04\t8.5\n"),
		"workbook":   book(t),
	} {
		got, err := Rows(data)
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %q, %v", name, got, err)
		}
	}
}

// book is a workbook with a real date and a formula that was never run.
func book(t testing.TB) []byte {
	t.Helper()
	f := excelize.NewFile()
	style, err := f.NewStyle(&excelize.Style{NumFmt: 14})
	if err != nil {
		t.Fatal(err)
	}
	for cell, value := range map[string]any{"A1": "Day", "B1": "TDS out", "A2": time.Date(2025, 3, 4, 0, 0, 0, 0, time.UTC), "B2": 8.5} {
		if err := f.SetCellValue("Sheet1", cell, value); err != nil {
			t.Fatal(err)
		}
	}
	if err := f.SetCellStyle("Sheet1", "A2", "A2", style); err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestWhatIsTooLargeOrNoTableIsRefused(t *testing.T) {
	for name, data := range map[string][]byte{
		"nothing":          nil,
		"a header only":    []byte("Day,TDS\n"),
		"no workbook":      []byte("PK\x03\x04 not one"),
		"too many rows":    []byte("a,b\n" + strings.Repeat("1,2\n", MostRows+1)),
		"too many columns": []byte("a\n" + strings.Repeat("1,", MostColumns+1) + "\n"),
		"too large":        bytes.Repeat([]byte("a,b\n"), MostBytes/4+1),
	} {
		if _, err := Rows(data); !errors.Is(err, ErrTable) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func FuzzRows(f *testing.F) {
	f.Add([]byte("Day,TDS\n2025-03-04,8\n"))
	f.Add([]byte("PK\x03\x04"))
	f.Add(book(f))
	f.Fuzz(func(t *testing.T, data []byte) {
		if rows, err := Rows(data); err == nil && (len(rows) < 2 || len(rows) > MostRows) {
			t.Fatalf("%d rows", len(rows))
		}
	})
}
