package arch

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"strings"
	"testing"
)

// outside are the standard packages through which the machine, the clock, the
// network or chance would come in unasked; a prefix covers what lies under it.
// math/rand/v2 and time are allowed, and their doors to chance and the clock
// are checked call by call.
var outside = []string{
	"os", "net", "log", "database", "syscall", "unsafe", "plugin", "testing",
	"math/rand", "crypto/rand", "io/ioutil", "runtime/debug", "path/filepath",
}

// forbiddenCalls are functions of allowed packages that read the clock, the
// machine or unseeded chance, or that print.
var forbiddenCalls = map[string]map[string]string{
	"time": whyEach("a time comes in as an argument",
		"Now", "Since", "Until", "After", "AfterFunc", "Sleep", "Tick", "NewTicker", "NewTimer", "Local", "LoadLocation"),
	"math/rand/v2": whyEach("chance comes from a seed: rand.New(rand.NewPCG(seed, 0))",
		"Float64", "Float32", "Int", "IntN", "Int32", "Int32N", "Int64", "Int64N", "N", "Uint", "UintN", "Uint32", "Uint32N",
		"Uint64", "Uint64N", "NormFloat64", "ExpFloat64", "Perm", "Shuffle"),
	"fmt": whyEach("the engine returns, it does not print", "Print", "Println", "Printf", "Scan", "Scanln", "Scanf"),
}

func whyEach(why string, names ...string) map[string]string {
	m := map[string]string{}
	for _, n := range names {
		m[n] = why
	}
	return m
}

// checkPure finds imports and calls that let the outside into the engine.
func checkPure(rooms []room) (findings []string) {
	for _, r := range engine(rooms) {
		for _, s := range r.files {
			if s.test {
				continue
			}
			findings = append(findings, badImports(s)...)
			findings = append(findings, badCalls(s)...)
		}
	}
	return findings
}

func badImports(s source) (findings []string) {
	for _, p := range s.imports() {
		for _, o := range outside {
			if p == o || strings.HasPrefix(p, o+"/") && p != "math/rand/v2" {
				findings = append(findings, fmt.Sprintf("%s imports %s: the engine is pure, hand the value in", s.path, p))
			}
		}
	}
	return findings
}

func badCalls(s source) (findings []string) {
	named := importNames(s)
	ast.Inspect(s.file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.SelectorExpr:
			if x, ok := n.X.(*ast.Ident); ok {
				if why := forbiddenCalls[named[x.Name]][n.Sel.Name]; why != "" {
					findings = append(findings, fmt.Sprintf("%s uses %s.%s: %s", s.at(n), x.Name, n.Sel.Name, why))
				}
			}
		case *ast.CallExpr:
			if f, ok := n.Fun.(*ast.Ident); ok && (f.Name == "panic" || f.Name == "print" || f.Name == "println") {
				findings = append(findings, fmt.Sprintf("%s calls %s: the engine returns errors", s.at(n), f.Name))
			}
		}
		return true
	})
	return findings
}

// importNames maps the name a file knows a package by to its import path.
func importNames(s source) map[string]string {
	named := map[string]string{}
	for i, p := range s.imports() {
		name := strings.TrimSuffix(p, "/v2")
		name = name[strings.LastIndex(name, "/")+1:]
		if given := s.file.Imports[i].Name; given != nil {
			name = given.Name
		}
		named[name] = p
	}
	return named
}

// checkState finds package variables that a function changes: tables are
// written once, where they are declared.
func checkState(rooms []room) (findings []string) {
	for _, r := range engine(rooms) {
		// The importer knows no package: only names of this package need to
		// resolve, and those do without.
		info := &types.Info{Uses: map[*ast.Ident]types.Object{}}
		config := types.Config{Error: func(error) {}, Importer: noPackage{}}
		var files []*ast.File
		for _, s := range r.files {
			if !s.test {
				files = append(files, s.file)
			}
		}
		_, _ = config.Check(r.dir, r.files[0].fset, files, info)
		for _, s := range r.files {
			if !s.test {
				findings = append(findings, stateChanges(s, info)...)
			}
		}
	}
	return findings
}

type noPackage struct{}

func (noPackage) Import(path string) (*types.Package, error) {
	return nil, fmt.Errorf("import %s: not needed here", path)
}

func stateChanges(s source, info *types.Info) (findings []string) {
	changed := func(e ast.Expr) {
		id := root(e)
		if id == nil {
			return
		}
		v, ok := info.Uses[id].(*types.Var)
		if ok && v.Pkg() != nil && v.Parent() == v.Pkg().Scope() {
			findings = append(findings, fmt.Sprintf("%s changes package variable %s: the engine keeps no state", s.at(e), id.Name))
		}
	}
	ast.Inspect(s.file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.AssignStmt:
			for _, e := range n.Lhs {
				changed(e)
			}
		case *ast.IncDecStmt:
			changed(n.X)
		case *ast.RangeStmt:
			if n.Tok == token.ASSIGN {
				changed(n.Key)
			}
		}
		return true
	})
	return findings
}

// root returns the variable at the bottom of table[i].field.
func root(e ast.Expr) *ast.Ident {
	for {
		switch x := e.(type) {
		case *ast.Ident:
			return x
		case *ast.IndexExpr:
			e = x.X
		case *ast.SelectorExpr:
			e = x.X
		case *ast.StarExpr:
			e = x.X
		case *ast.ParenExpr:
			e = x.X
		default:
			return nil
		}
	}
}

func TestEngineIsPure(t *testing.T) {
	report(t, checkPure(tree(t)))
}

func TestEngineKeepsNoState(t *testing.T) {
	report(t, checkState(tree(t)))
}

func TestPureControl(t *testing.T) {
	mustFind(t, checkPure(sample(t, map[string]string{
		"water/a.go": `package water
import ("os"; "log/slog"; "math/rand"; "net/http"; "database/sql")`,
		"water/b.go": `package water
import ("time"; chance "math/rand/v2"; "fmt")
func f(at time.Time) error {
	r := chance.New(chance.NewPCG(1, 2))
	_ = r.Float64() + chance.Float64()
	_ = time.Now()
	fmt.Println(time.Hour)
	panic("no")
}`,
		"water/c_test.go":      "package water\nimport (\"os\"; \"testing\")",
		"internal/cli/d.go":    "package cli\nimport \"os\"",
		"internal/num/e.go":    "package num\nimport \"math\"",
		"catalog/embedded.go":  "package catalog\nimport _ \"embed\"",
		"service/f.go":         "package service\nimport \"time\"\nvar day = 24 * time.Hour",
		"cmd/rinsewright/g.go": "package main\nimport \"log\"",
	})),
		"water/a.go imports os", "water/a.go imports log/slog", "water/a.go imports math/rand", "water/a.go imports net/http", "water/a.go imports database/sql",
		"water/b.go:5 uses chance.Float64", "water/b.go:6 uses time.Now", "water/b.go:7 uses fmt.Println", "water/b.go:8 calls panic",
	)
}

func TestStateControl(t *testing.T) {
	mustFind(t, checkState(sample(t, map[string]string{
		"water/a.go": "package water\nvar seen = map[string]int{}\nvar calls int\nvar table = [3]float64{1, 2, 3}",
		"water/b.go": `package water
import "rinsewright/quantity"
func f(q quantity.Flow) float64 {
	seen["f"] = 1
	calls++
	table := [2]float64{}
	table[0] = 7
	return table[1] + float64(q)
}`,
		"internal/cli/c.go": "package cli\nvar n int\nfunc f() { n = 2 }",
	})),
		"water/b.go:4 changes package variable seen", "water/b.go:5 changes package variable calls",
	)
}
