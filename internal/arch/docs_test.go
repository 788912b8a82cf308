package arch

import (
	"fmt"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var pageLink = regexp.MustCompile(`\]\(([^)\s]+)\)`)

// checkLinks finds links of a page that lead to no file of the tree.
func checkLinks(all map[string]string, exists func(string) bool) (findings []string) {
	for _, p := range sorted(all) {
		if path.Ext(p) != ".md" {
			continue
		}
		for _, m := range pageLink.FindAllStringSubmatch(all[p], -1) {
			target, _, _ := strings.Cut(m[1], "#")
			if target == "" || strings.Contains(target, "://") || strings.HasPrefix(target, "mailto:") {
				continue
			}
			if !exists(path.Join(path.Dir(p), target)) {
				findings = append(findings, fmt.Sprintf("%s links to %s, which is not there", p, m[1]))
			}
		}
	}
	return findings
}

func TestLinksLeadSomewhere(t *testing.T) {
	report(t, checkLinks(allTexts(t), func(p string) bool {
		_, err := os.Stat(filepath.Join(top(), filepath.FromSlash(p)))
		return err == nil
	}))
}

func TestLinksControl(t *testing.T) {
	mustFind(t, checkLinks(map[string]string{
		"docs/a.md": "[b](b.md#top) [c](../c.md) [d](https://example.org/d) [e](#here)",
		"a.go":      "x[i](gone.md)",
	}, func(p string) bool { return p == "docs/b.md" }),
		"docs/a.md links to ../c.md",
	)
}
