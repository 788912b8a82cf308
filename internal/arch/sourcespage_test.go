package arch

import (
	"os"
	"path"
	"path/filepath"
	"sort"
	"strings"
	"testing"
)

const sourcesPreface = `# Sources

The works that the engine cites, gathered from the pages of [sources](sources), one for each package. ` + "`UPDATE=1 go test ./internal/arch`" + ` writes this page.
A test fails on a key that no page lists, and on a listed key that nothing uses; [how to add one](howto/add-a-source.md).

A line that says "from memory, unverified" is a work nobody had at hand when the code was written; the tests that stand on it say so too.

`

// sourcesPage gathers docs/sources/*.md by key. Packages that say the same of
// a work share its line.
func sourcesPage(all map[string]string) string {
	packages := map[string][]string{} // by line
	for _, p := range sorted(all) {
		if path.Dir(p) != "docs/sources" {
			continue
		}
		for _, m := range keyLine.FindAllStringSubmatch(all[p], -1) {
			line := "- [" + m[1] + "] " + strings.TrimRight(m[2], " .")
			packages[line] = append(packages[line], strings.TrimSuffix(path.Base(p), ".md"))
		}
	}
	lines := sorted(packages)
	sort.SliceStable(lines, func(i, j int) bool { return strings.ToLower(lines[i]) < strings.ToLower(lines[j]) })
	var page strings.Builder
	page.WriteString(sourcesPreface)
	for _, line := range lines {
		page.WriteString(line + " · " + strings.Join(packages[line], ", ") + "\n")
	}
	return page.String()
}

func TestSourcesPageGathersEveryPage(t *testing.T) {
	all := allTexts(t)
	want := sourcesPage(all)
	if os.Getenv("UPDATE") != "" {
		if err := os.WriteFile(filepath.Join(top(), "docs", "SOURCES.md"), []byte(want), 0o600); err != nil {
			t.Fatal(err)
		}
		return
	}
	if all["docs/SOURCES.md"] != want {
		t.Error("docs/SOURCES.md is not what docs/sources says: UPDATE=1 go test ./internal/arch")
	}
}

func TestSourcesPageControl(t *testing.T) {
	page := sourcesPage(map[string]string{
		"docs/sources/water.md": "# water\n\n- [Zinc1900] Z. Zinc, Water, 1900.\n- [able1999] A. Able, Air, 1999\n",
		"docs/sources/resin.md": "- [Zinc1900] Z. Zinc, Water, 1900\n",
		"docs/other.md":         "- [No1] nothing\n",
	})
	want := "- [able1999] A. Able, Air, 1999 · water\n- [Zinc1900] Z. Zinc, Water, 1900 · resin, water\n"
	if got := strings.TrimPrefix(page, sourcesPreface); got != want {
		t.Errorf("gathered\n%s\nwant\n%s", got, want)
	}
}
