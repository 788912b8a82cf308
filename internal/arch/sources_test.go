package arch

import (
	"fmt"
	"go/ast"
	"path"
	"regexp"
	"strings"
	"testing"
)

// A citation is a key in brackets. Anything shaped like [Key2005] is one, and
// so is whatever stands in brackets after "Source:", unless it is the name of
// something in the code, which Go's documentation links.
var (
	bracketed = regexp.MustCompile(`(?:^|[\s(,;:])\[([A-Za-z][A-Za-z0-9&.'-]*)\]`)
	dated     = regexp.MustCompile(`^[A-Z][A-Za-z&'-]*(?:1[89]|20)\d\d[a-z]?$`)
	keyLine   = regexp.MustCompile(`(?m)^- \[([^\]]+)\] (.*)$`)
	sourceTag = regexp.MustCompile(`\bSources?:|(?m:^# Sources$)`)
)

// listedKeys reads docs/sources/*.md: key to the pages that list it.
func listedKeys(all map[string]string) (keys map[string][]string, findings []string) {
	keys = map[string][]string{}
	for _, p := range sorted(all) {
		if path.Dir(p) != "docs/sources" || path.Ext(p) != ".md" {
			continue
		}
		for _, m := range keyLine.FindAllStringSubmatch(all[p], -1) {
			keys[m[1]] = append(keys[m[1]], p)
			if len(m[2]) < 15 {
				findings = append(findings, fmt.Sprintf("%s: [%s] does not say author, title, year and where", p, m[1]))
			}
		}
	}
	return keys, findings
}

// citations returns the keys that a comment cites.
func citations(comment string, listed map[string][]string, names map[string]bool) (keys []string) {
	comment = strings.Replace(comment, "# Sources\n\n", "# Sources\n", 1)
	for _, paragraph := range strings.Split(comment, "\n\n") {
		tag := sourceTag.FindStringIndex(paragraph)
		for _, m := range bracketed.FindAllStringSubmatchIndex(paragraph, -1) {
			key := paragraph[m[2]:m[3]]
			afterTag := tag != nil && m[2] > tag[0]
			if len(listed[key]) > 0 || dated.MatchString(key) || afterTag && !names[key] {
				keys = append(keys, key)
			}
		}
	}
	return keys
}

// declared returns every name that a documentation link may point at.
func declared(rooms []room) map[string]bool {
	names := map[string]bool{"error": true, "float64": true}
	for _, r := range rooms {
		prefix := path.Base(r.dir) + "."
		add := func(name string) { names[name], names[prefix+name] = true, true }
		for _, s := range r.files {
			for _, d := range s.file.Decls {
				switch d := d.(type) {
				case *ast.FuncDecl:
					add(d.Name.Name)
					if recv := receiver(d); recv != "" {
						add(recv + "." + d.Name.Name)
					}
				case *ast.GenDecl:
					for _, spec := range d.Specs {
						for _, id := range specNames(spec) {
							add(id.Name)
						}
					}
				}
			}
		}
	}
	return names
}

func checkSources(rooms []room, all map[string]string) (findings []string) {
	listed, findings := listedKeys(all)
	names := declared(rooms)
	for _, r := range engine(rooms) {
		doc := packageDoc(r)
		cited := map[string]string{}
		for _, s := range r.files {
			for _, c := range s.file.Comments {
				for _, key := range citations(c.Text(), listed, names) {
					if cited[key] == "" {
						cited[key] = s.at(c)
					}
				}
			}
		}
		for _, key := range sorted(cited) {
			if len(listed[key]) == 0 {
				findings = append(findings, fmt.Sprintf("%s cites [%s], which no page of docs/sources lists", cited[key], key))
			}
			if !sourceTag.MatchString(doc) || !strings.Contains(doc, "["+key+"]") {
				findings = append(findings, fmt.Sprintf("%s cites [%s], which the package comment of %s does not list under Sources", cited[key], key, r.dir))
			}
		}
	}
	for _, key := range sorted(listed) {
		if !used(key, all) {
			findings = append(findings, fmt.Sprintf("%s lists [%s], which nothing uses", strings.Join(listed[key], " and "), key))
		}
	}
	return findings
}

// used tells whether code or a reference table names the key.
func used(key string, all map[string]string) bool {
	for p, text := range all {
		if ext := path.Ext(p); (ext == ".go" || ext == ".csv") && strings.Contains(text, key) {
			return true
		}
	}
	return false
}

// packageDoc returns the package comment, whichever file carries it.
func packageDoc(r room) string {
	var doc strings.Builder
	for _, s := range r.files {
		if !s.test {
			doc.WriteString(s.file.Doc.Text())
		}
	}
	return doc.String()
}

func receiver(d *ast.FuncDecl) string {
	if d.Recv == nil || len(d.Recv.List) == 0 {
		return ""
	}
	e := d.Recv.List[0].Type
	for {
		switch x := e.(type) {
		case *ast.StarExpr:
			e = x.X
		case *ast.IndexExpr:
			e = x.X
		case *ast.Ident:
			return x.Name
		default:
			return ""
		}
	}
}

func specNames(spec ast.Spec) []*ast.Ident {
	switch s := spec.(type) {
	case *ast.TypeSpec:
		return []*ast.Ident{s.Name}
	case *ast.ValueSpec:
		return s.Names
	}
	return nil
}

func allTexts(t *testing.T) map[string]string {
	t.Helper()
	all, err := texts()
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func TestEveryCitedWorkIsListedAndUsed(t *testing.T) {
	report(t, checkSources(tree(t), allTexts(t)))
}

func TestSourcesControl(t *testing.T) {
	code := map[string]string{
		"water/a.go": `// Package water is a sample. See [Bed] and a[i].
//
// Sources: [Good2001] a book, [SP811].
package water

// Bed lies at [0, 1] by [Good2001]; [Lost1999] disagrees.
//
// Source: [Bed], [SP811] table 2 and [Stray].
type Bed struct{}
`,
		"resin/a.go": "// Package resin cites nothing up here.\npackage resin\n\n// Bed follows [Good2001].\ntype Bed struct{}\n",
	}
	all := map[string]string{
		"docs/sources/water.md": "- [Good2001] A. Author, A good book, 2001, chapter 2\n- [SP811] too short\n- [Idle1950] B. Author, An idle book, 1950, page 3\n",
	}
	for p, text := range code {
		all[p] = text
	}
	mustFind(t, checkSources(sample(t, code), all),
		"water.md: [SP811] does not say author",
		"a.go:6 cites [Lost1999], which no page of docs/sources lists",
		"a.go:6 cites [Lost1999], which the package comment of water does not list",
		"a.go:6 cites [Stray], which no page",
		"a.go:6 cites [Stray], which the package comment",
		"resin/a.go:4 cites [Good2001], which the package comment of resin",
		"water.md lists [Idle1950], which nothing uses",
	)
}
