package arch

import (
	"encoding/csv"
	"fmt"
	"path"
	"regexp"
	"strings"
	"testing"
)

// banned are words that no file of the tree may hold, each with the reason.
// They are written in two halves so that this file does not hold them.
var banned = []struct {
	word *regexp.Regexp
	only string // files whose path ends so; all when empty
	why  string
}{
	{regexp.MustCompile(`\b(TO` + `DO|FIX` + `ME|XX` + `X|HA` + `CK)\b`), "", "finish it, or leave it out and say so in the documentation"},
	{regexp.MustCompile(`not ` + `implemented|stub` + `bed out`), ".go", "finish it, or leave it out"},
	{regexp.MustCompile(`\b[tb]\.Sk` + `ip(Now|f)?\(|testing\.Sh` + `ort\(`), "_test.go", "a test that does not run says nothing: install what it needs, or fail"},
	{regexp.MustCompile(`(^|[^A-Za-z0-9.])/(wo` + `rk|tm` + `p|ho` + `me|ro` + `ot|Us` + `ers)/`), "", "a path of one machine"},
	{regexp.MustCompile(`\.lib` + `rary\b`), "", "a path of one machine"},
}

func checkWords(all map[string]string) (findings []string) {
	for _, p := range sorted(all) {
		for _, b := range banned {
			if !strings.HasSuffix(p, b.only) {
				continue
			}
			for _, at := range b.word.FindAllStringIndex(all[p], -1) {
				line := 1 + strings.Count(all[p][:at[0]], "\n")
				findings = append(findings, fmt.Sprintf("%s:%d: %q: %s", p, line, strings.TrimSpace(all[p][at[0]:at[1]]), b.why))
			}
		}
	}
	return findings
}

// refHead is how every table of outside values begins.
var refHead = []string{"# source: ", "# where: ", "# kind: ", "# unit: "}

var refKinds = map[string]bool{"published": true, "reference code": true, "common practice": true, "from memory": true}

// checkTables finds reference tables that do not say where they come from.
func checkTables(all map[string]string) (findings []string) {
	for _, p := range sorted(all) {
		if !strings.HasSuffix(path.Dir(p), "testdata/ref") || path.Ext(p) != ".csv" {
			continue
		}
		r := csv.NewReader(strings.NewReader(all[p]))
		r.Comment = '#'
		if _, err := r.ReadAll(); err != nil {
			findings = append(findings, fmt.Sprintf("%s: %v: quote a field that holds a comma", p, err))
		}
		lines := strings.Split(all[p], "\n")
		for i, head := range refHead {
			if i >= len(lines) || !strings.HasPrefix(lines[i], head) || strings.TrimSpace(lines[i]) == strings.TrimSpace(head) {
				findings = append(findings, fmt.Sprintf("%s:%d: line must say %q and what follows it", p, i+1, head))
				continue
			}
			kind := strings.TrimSpace(strings.TrimPrefix(lines[i], head))
			if head == "# kind: " && !refKinds[kind] {
				findings = append(findings, fmt.Sprintf("%s:%d: kind %q is none of published, reference code, common practice, from memory", p, i+1, kind))
			}
		}
	}
	return findings
}

func TestNoFileHoldsABannedWord(t *testing.T) {
	report(t, checkWords(allTexts(t)))
}

func TestReferenceTablesSayWhereTheyComeFrom(t *testing.T) {
	report(t, checkTables(allTexts(t)))
}

func TestWordsControl(t *testing.T) {
	mustFind(t, checkWords(map[string]string{
		"a.go":      "package a\n// TO" + "DO later\n",
		"a_test.go": "func f() { t.Sk" + "ip(\"later\") }",
		"b.md":      "see /wo" + "rk/main and docs/ho" + "me/x and https://example.org/ro" + "ot/",
		"c_test.go": "if testing.Sh" + "ort() {",
		"d.md":      "t.Sk" + "ip( may be named in a page",
	}),
		"a.go:2:", "a_test.go:1:", "b.md:1:", "c_test.go:1:",
	)
}

func TestTablesControl(t *testing.T) {
	head := "# source: a book\n# where: table 2\n# kind: published\n# unit: Pa\n"
	mustFind(t, checkTables(map[string]string{
		"water/testdata/ref/good.csv":  head + "x\n1\n",
		"water/testdata/ref/kind.csv":  strings.Replace(head, "published", "well known", 1) + "x\n1\n",
		"water/testdata/ref/order.csv": "# source: a book\n# kind: published\n# where: \n# unit: Pa\n",
		"water/testdata/ref/empty.csv": strings.Replace(head, "table 2", " ", 1) + "x\n1\n",
		"water/testdata/ref/comma.csv": head + "x\n1,5\n",
		"water/testdata/other.csv":     "x\n1\n",
	}),
		"comma.csv: record on line 6", "empty.csv:2:", "kind.csv:3: kind \"well known\"", "order.csv:2:", "order.csv:3:",
	)
}
