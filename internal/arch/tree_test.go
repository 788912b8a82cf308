package arch

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"sync"
	"testing"
)

const module = "rinsewright"

// source is one parsed Go file; path is relative to the top of the tree.
type source struct {
	path string
	file *ast.File
	fset *token.FileSet
	test bool
}

// room is one package folder with all its Go files; dir is "" at the top.
type room struct {
	dir   string
	files []source
}

// top returns the folder that holds go.mod.
var top = sync.OnceValue(func() string {
	dir, err := os.Getwd()
	if err != nil {
		return "."
	}
	for ; dir != filepath.Dir(dir); dir = filepath.Dir(dir) {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
	}
	return "."
})

// texts returns every text file of the tree that git would keep, by slash
// path: what other modules and hidden folders hold is left out.
var texts = sync.OnceValues(func() (map[string]string, error) {
	found := map[string]string{}
	err := filepath.WalkDir(top(), func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(top(), p)
		if err != nil {
			return err
		}
		if d.IsDir() {
			if rel != "." && skipDir(p, d.Name()) {
				return filepath.SkipDir
			}
			return nil
		}
		switch filepath.Ext(p) {
		case ".go", ".md", ".csv", ".txtar", ".toml", ".sh", ".html", ".css", ".js", ".svg", ".mod":
		default:
			if d.Name() != "Makefile" {
				return nil
			}
		}
		b, err := os.ReadFile(p)
		found[filepath.ToSlash(rel)] = string(b)
		return err
	})
	return found, err
})

func skipDir(p, name string) bool {
	if strings.HasPrefix(name, ".") || strings.HasPrefix(name, "_") || name == "node_modules" {
		return true
	}
	_, err := os.Stat(filepath.Join(p, "go.mod"))
	return err == nil
}

func tree(t *testing.T) []room {
	t.Helper()
	rooms, err := parsedTree()
	if err != nil {
		t.Fatal(err)
	}
	return rooms
}

var parsedTree = sync.OnceValues(func() ([]room, error) {
	all, err := texts()
	if err != nil {
		return nil, err
	}
	code := map[string]string{}
	for p, text := range all {
		if strings.HasSuffix(p, ".go") && (path.Dir(p) == "testdata/sites" || !strings.Contains("/"+p, "/testdata/")) {
			code[p] = text
		}
	}
	return parse(code)
})

// sample parses code written in a control.
func sample(t *testing.T, code map[string]string) []room {
	t.Helper()
	rooms, err := parse(code)
	if err != nil {
		t.Fatal(err)
	}
	return rooms
}

func parse(code map[string]string) ([]room, error) {
	byDir := map[string]*room{}
	fset := token.NewFileSet()
	for _, p := range sorted(code) {
		f, err := parser.ParseFile(fset, p, code[p], parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		dir := strings.TrimPrefix(path.Dir(p), ".")
		if byDir[dir] == nil {
			byDir[dir] = &room{dir: dir}
		}
		byDir[dir].files = append(byDir[dir].files, source{p, f, fset, strings.HasSuffix(p, "_test.go")})
	}
	rooms := make([]room, 0, len(byDir))
	for _, dir := range sorted(byDir) {
		rooms = append(rooms, *byDir[dir])
	}
	return rooms, nil
}

func sorted[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

// imports returns the paths that the file imports.
func (s source) imports() []string {
	var paths []string
	for _, spec := range s.file.Imports {
		if p, err := strconv.Unquote(spec.Path.Value); err == nil {
			paths = append(paths, p)
		}
	}
	return paths
}

// at says where a node stands, as file:line.
func (s source) at(n ast.Node) string {
	return s.path + ":" + strconv.Itoa(s.fset.Position(n.Pos()).Line)
}

// ours returns the folder of an imported package of this module.
func ours(importPath string) (dir string, ok bool) {
	return strings.CutPrefix(importPath, module+"/")
}

// report fails the test once for each finding.
func report(t *testing.T, findings []string) {
	t.Helper()
	sort.Strings(findings)
	for _, f := range findings {
		t.Error(f)
	}
}

// mustFind fails a control whose rule did not find what it is there to find.
func mustFind(t *testing.T, findings []string, want ...string) {
	t.Helper()
	for _, w := range want {
		if !strings.Contains(strings.Join(findings, "\n"), w) {
			t.Errorf("the rule did not find %q; it found %q", w, findings)
		}
	}
	if len(findings) != len(want) {
		t.Errorf("the rule found %d, want %d: %q", len(findings), len(want), findings)
	}
}
