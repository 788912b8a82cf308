package say

import (
	"html"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// sources is all that this program may say, in one text: what stands in its Go
// files, pages, scripts and embedded tables.
func sources(t *testing.T) string {
	t.Helper()
	var b strings.Builder
	root := os.DirFS("../..")
	err := fs.WalkDir(root, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (strings.HasPrefix(d.Name(), ".") && path != "." || d.Name() == "testdata" || d.Name() == "docs") {
			return fs.SkipDir
		}
		switch filepath.Ext(path) {
		case ".go", ".html", ".js", ".csv", ".toml":
			if strings.HasSuffix(path, "_test.go") || strings.HasPrefix(path, "internal/say/spanish/") {
				return nil
			}
			text, err := fs.ReadFile(root, path)
			if err != nil {
				return err
			}
			b.Write(text)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return plainText(b.String())
}

// plainText leaves letters and digits, so that neither quotes nor the joints of a
// text in the source part a sentence.
func plainText(s string) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune("abcdefghijklmnopqrstuvwxyz0123456789", r) {
			return r
		}
		return -1
	}, strings.ToLower(html.UnescapeString(s)))
}

// A line that no page says any more is taken out: the longest piece of its own
// words stands nowhere in the program. Sentences of the engine are put together
// from a name and its numbers, so that this cannot be told of them.
func TestEveryLineOfAPageIsSaid(t *testing.T) {
	all := sources(t)
	for _, row := range Rows() {
		if row.File != "page.csv" && row.File != "look.csv" {
			continue
		}
		longest := ""
		for _, words := range verbs.Split(row.English, -1) {
			for _, part := range strings.FieldsFunc(words, func(r rune) bool { return strings.ContainsRune(".,;:()", r) }) {
				if part = plainText(part); len(part) > len(longest) {
					longest = part
				}
			}
		}
		if !strings.Contains(all, longest) {
			t.Errorf("%s: nothing says %q any more: take the line out", row.File, row.English)
		}
	}
}
