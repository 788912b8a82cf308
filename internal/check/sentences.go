package check

import (
	"go/ast"
	"go/constant"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// Literal is a text that stands in a Go file.
type Literal struct {
	Text string
	At   token.Position
	// Call is the function that the text is handed to, such as "fmt.Errorf", or
	// empty.
	Call string
}

// Literals lists the texts of the Go files of a folder, tests aside; those that
// are joined with + are one.
func Literals(dir string) (all []Literal, err error) {
	names, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil {
		return nil, err
	}
	files := token.NewFileSet()
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(files, name, nil, 0)
		if err != nil {
			return nil, err
		}
		c := &collector{files: files, all: &all}
		for _, d := range f.Decls {
			if g, ok := d.(*ast.GenDecl); ok && g.Tok == token.IMPORT {
				continue
			}
			ast.Walk(c, d)
		}
	}
	return all, nil
}

type collector struct {
	files *token.FileSet
	all   *[]Literal
	call  string
}

// Visit implements [ast.Visitor].
func (c *collector) Visit(n ast.Node) ast.Visitor {
	switch n := n.(type) {
	case *ast.Field: // a struct's tag is no text
		if n.Tag != nil {
			if n.Type != nil {
				ast.Walk(c, n.Type)
			}
			return nil
		}
	case *ast.CallExpr:
		return &collector{c.files, c.all, called(n.Fun)}
	case *ast.BinaryExpr, *ast.BasicLit:
		if text, ok := folded(n.(ast.Expr)); ok {
			*c.all = append(*c.all, Literal{text, c.files.Position(n.Pos()), c.call})
			return nil
		}
	}
	return c
}

func called(f ast.Expr) string {
	switch f := f.(type) {
	case *ast.Ident:
		return f.Name
	case *ast.SelectorExpr:
		if x, ok := f.X.(*ast.Ident); ok {
			return x.Name + "." + f.Sel.Name
		}
		return f.Sel.Name
	}
	return ""
}

// folded is the text of a literal, or of literals that are joined.
func folded(e ast.Expr) (string, bool) {
	switch e := e.(type) {
	case *ast.BasicLit:
		if e.Kind != token.STRING {
			return "", false
		}
		text, err := strconv.Unquote(e.Value)
		return text, err == nil
	case *ast.ParenExpr:
		return folded(e.X)
	case *ast.BinaryExpr:
		a, okA := folded(e.X)
		b, okB := folded(e.Y)
		if e.Op != token.ADD || !okA || !okB {
			return "", false
		}
		return constant.StringVal(constant.BinaryOp(constant.MakeString(a), token.ADD, constant.MakeString(b))), true
	}
	return "", false
}

// Folders lists the folders below root that hold Go files.
func Folders(root string) (all []string, err error) {
	err = fs.WalkDir(os.DirFS(root), ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == "testdata" || strings.HasPrefix(d.Name(), ".") && d.Name() != ".") {
			return fs.SkipDir
		}
		if d.IsDir() {
			all = append(all, root+"/"+path)
		}
		return nil
	})
	return all, err
}
