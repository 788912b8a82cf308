package grid

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"strings"
	"testing"
	"time"
	"unicode/utf16"

	"github.com/xuri/excelize/v2"
)

// sheetOf is a workbook whose first sheet is this XML, and whatever else.
func sheetOf(t testing.TB, sheet string, more ...zipped) []byte {
	t.Helper()
	parts := append([]zipped{
		{"[Content_Types].xml", `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/></Types>`},
		{"_rels/.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`},
		{"xl/workbook.xml", `<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="S" sheetId="1" r:id="rId1"/></sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/></Relationships>`},
		{"xl/worksheets/sheet1.xml", sheet},
	}, more...)
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, p := range parts {
		f, err := w.Create(p.name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(f, p.text); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

type zipped struct{ name, text string }

const sheetHead = `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>`

func cells(refs ...string) string {
	var b strings.Builder
	b.WriteString(sheetHead)
	for i, ref := range refs {
		fmt.Fprintf(&b, `<row r="%d"><c r="%s"><v>1</v></c></row>`, i+1, ref)
	}
	return b.String() + `</sheetData></worksheet>`
}

// lying says of each of a workbook's parts that it unpacks to a few bytes.
func lying(data []byte) []byte {
	out := bytes.Clone(data)
	for at := 0; ; {
		i := bytes.Index(out[at:], []byte("PK\x01\x02"))
		if i < 0 {
			return out
		}
		at += i
		binary.LittleEndian.PutUint32(out[at+24:], 10)
		at += 4
	}
}

func inUTF16(s string, order binary.ByteOrder) []byte {
	var b bytes.Buffer
	for _, u := range utf16.Encode([]rune("\ufeff" + s)) {
		_ = binary.Write(&b, order, u)
	}
	return b.Bytes()
}

// hostile are tables made to harm whoever reads them.
func hostile(t testing.TB) map[string][]byte {
	t.Helper()
	all := map[string][]byte{
		"UTF-16, little end first":                  inUTF16("Day,TDS\n2026-06-13,8\n", binary.LittleEndian),
		"UTF-16, big end first":                     inUTF16("Day,TDS\n2026-06-13,8\n", binary.BigEndian),
		"a hundred thousand columns, in the header": []byte(strings.Repeat("a,", 100_000) + "\n1,2\n"),
		"a hundred thousand columns, later":         []byte("a,b\n" + strings.Repeat("1,", 100_000) + "\n"),
		"four million cells":                        []byte(strings.Repeat(strings.Repeat(",", 390)+"\n", 20_000)),
		"one line without end":                      bytes.Repeat([]byte("a"), MostBytes+1),
		"far cells":                                 sheetOf(t, cells("A1", "XFD1048576")),
		"cells beyond the sheet":                    sheetOf(t, cells("A1", "XFE1")),
		"no cell has such a name":                   sheetOf(t, cells("A1", "../../x")),
		"rows from far down":                        sheetOf(t, sheetHead+`<row r="1"><c r="A1"><v>1</v></c></row><row r="1048576"><c r="A1048576"><v>1</v></c></row></sheetData></worksheet>`),
		"entities that grow":                        sheetOf(t, `<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;">]>`+sheetHead+`<row r="1"><c r="A1" t="inlineStr"><is><t>&c;</t></is></c></row></sheetData></worksheet>`),
		"a file from outside":                       sheetOf(t, `<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]>`+sheetHead+`<row r="1"><c r="A1" t="inlineStr"><is><t>&a;</t></is></c></row></sheetData></worksheet>`),
		"a sheet that is no XML":                    sheetOf(t, "\x00\x01\x02"),
		"deep in one another":                       sheetOf(t, strings.Repeat("<a>", 500_000)),
	}
	for _, mb := range []int{33, 65, 200} {
		big := sheetOf(t, sheetHead+strings.Repeat(" ", mb<<20)+`</sheetData></worksheet>`)
		all[fmt.Sprintf("%d MB in %d kB", mb, len(big)>>10)] = big
		all[fmt.Sprintf("%d MB, and says 10 bytes", mb)] = lying(big)
	}
	for _, n := range []int{1100, 5000, 20_000} {
		var many []zipped
		for i := range n {
			many = append(many, zipped{fmt.Sprint("xl/x", i), ""})
		}
		all[fmt.Sprint(n, " parts")] = sheetOf(t, cells("A1", "A2"), many...)
	}
	for i, name := range []string{"../../outside", "/outside", `..\outside`, "xl/../../outside", "C:/outside"} {
		all[fmt.Sprint("a part above, ", i)] = sheetOf(t, "not XML", zipped{name, "x"})
	}
	whole := sheetOf(t, cells("A1", "A2"))
	for i := range 150 { // cut and changed all along
		at := i * len(whole) / 150
		all[fmt.Sprint("cut at ", at)] = whole[:at]
		if i%3 == 0 {
			changed := bytes.Clone(whole)
			changed[at] ^= 0x55
			all[fmt.Sprint("changed at ", at)] = changed
		}
	}
	for i, odd := range []string{"\x00", "a\x00b,c\n1,2\n", "\xff\xfe\xff", "a,\"b\n" + strings.Repeat("x\n", 30_000), strings.Repeat("\"", 100_001), "\r\r\r\r", strings.Repeat(",", 1000) + "\n"} {
		all[fmt.Sprint("odd ", i)] = []byte(odd)
	}
	return all
}

const mostGrowth = 64 << 20 // of memory in use

// Every file of the corpus is refused, or read as the small table that it is,
// within a second and without much memory, and nothing is written anywhere.
func TestHostileTables(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	all, refused := hostile(t), 0
	worst, growth := time.Duration(0), uint64(0)
	for name, data := range all {
		grown := peak(func() {
			begun := time.Now()
			rows, err := Rows(data)
			worst = max(worst, time.Since(begun))
			if took := time.Since(begun); took > 5*time.Second { // a second where nobody else works
				t.Errorf("%s took %v", name, took)
			}
			if err != nil {
				refused++
				if !errors.Is(err, ErrTable) {
					t.Errorf("%s: %v", name, err)
				}
			} else if len(rows) > 10 && !strings.HasPrefix(name, "changed") {
				t.Errorf("%s was read as %d rows", name, len(rows))
			}
		})
		if growth = max(growth, grown); grown > 2*mostGrowth { // what the collector has not taken yet counts too
			t.Errorf("%s took %d MB", name, grown>>20)
		}
	}
	if left, err := os.ReadDir(dir); err != nil || len(left) > 0 {
		t.Errorf("left %v, %v", left, err)
	}
	t.Logf("%d files, %d refused, the slowest %v, %d MB at most", len(all), refused, worst.Round(time.Millisecond), growth>>20)
	if len(all) < 200 {
		t.Errorf("only %d files", len(all))
	}
}

// The control reads without bounds: a workbook that is small until it is
// unpacked must take more memory then.
func TestHostileTablesControl(t *testing.T) {
	big := sheetOf(t, sheetHead+strings.Repeat(" ", 200<<20)+`</sheetData></worksheet>`)
	grown := peak(func() {
		if f, err := excelize.OpenReader(bytes.NewReader(big), excelize.Options{UnzipSizeLimit: 1 << 40, UnzipXMLSizeLimit: 1 << 40}); err == nil {
			_ = f.Close()
		}
	})
	t.Logf("without bounds: %d MB", grown>>20)
	if grown < 2*mostGrowth {
		t.Error("the test of memory sees nothing")
	}
}

// peak is by how much the heap in use grew at most while do ran.
func peak(do func()) uint64 {
	runtime.GC()
	var before, now runtime.MemStats
	runtime.ReadMemStats(&before)
	done, most := make(chan bool), make(chan uint64)
	go func() {
		top := uint64(0)
		for {
			select {
			case <-done:
				most <- top
				return
			case <-time.After(2 * time.Millisecond):
				runtime.ReadMemStats(&now)
				top = max(top, now.HeapInuse)
			}
		}
	}()
	do()
	done <- true
	top := <-most
	return top - min(top, before.HeapInuse)
}
