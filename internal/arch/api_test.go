package arch

import (
	"fmt"
	"go/ast"
	"go/token"
	"regexp"
	"strings"
	"testing"
)

// numberRooms work on bare numbers by nature: quantity makes quantities of
// them, working carries the unit beside the value, num solves equations.
var numberRooms = map[string]bool{"quantity": true, "working": true, "internal/num": true}

// A bare float64 may leave the engine when its own comment says what kind of
// pure number it is, or which unit stands beside it, or when its name does.
var (
	pureComment = regexp.MustCompile(`(?i)\b(dimensionless|factors?|pH|shares?|numbers?|units?|fractions?|ratios?|probabilit(y|ies)|exponents?|valence|multiples?|per cent|chance|counts?|vends|vehicles|starts|erlangs|logarithm|velocity heads|bed volumes|over new)\b`)
	pureName    = regexp.MustCompile(`(?i)(^pH|pH$|factor|share|number|fraction|ratio|probability|exponent|charge|index|count|vends|vehicles|starts|reynolds|polarisation|activity|bedvolumes|^In[A-Z])`) // InGrains names its unit
	pureType    = regexp.MustCompile(`\b(dimensionless|SI)\b`)                                                                                                                                            // of a whole struct: an error type's bounds, say
)

// allowedNumbers are the bare numbers that stay, each with its reason.
var allowedNumbers = map[string]string{
	"hydraulics.FlowCoefficient":    flowCoefficient,
	"hydraulics.FlowCoefficient.Kv": flowCoefficient,
	"hydraulics.FlowCoefficient.Cv": flowCoefficient,
	"hydraulics.Kv.x":               flowCoefficient,
	"hydraulics.Cv.x":               flowCoefficient,
	"hydraulics.Pipe.C":             hazenWilliams,
	"hydraulics.LineRow.C":          hazenWilliams,
}

const (
	flowCoefficient = "a flow over the root of a pressure, used in this room only: it has its own type, made by Kv or Cv"
	hazenWilliams   = "the Hazen-Williams coefficient is a number by convention, whatever its formula makes of it"
)

// checkNumbers finds bare float64 in exported types and signatures.
func checkNumbers(rooms []room, allowed map[string]string) (findings []string) {
	met := map[string]bool{}
	for _, r := range engine(rooms) {
		if numberRooms[r.dir] {
			continue
		}
		for _, s := range r.files {
			if s.test {
				continue
			}
			for _, d := range s.file.Decls {
				for _, n := range bareNumbers(d) {
					name := r.dir + "." + n.name
					met[name] = true
					if allowed[name] == "" {
						findings = append(findings, fmt.Sprintf("%s: %s is a bare float64: give it a type of quantity, say in its comment that it is dimensionless, or allow it in internal/arch/api_test.go with a reason", s.at(n.node), name))
					}
				}
			}
		}
	}
	for _, name := range sorted(allowed) {
		if !met[name] {
			findings = append(findings, fmt.Sprintf("%s is allowed as a bare number in internal/arch/api_test.go and is none", name))
		}
	}
	return findings
}

type bare struct {
	node ast.Node
	name string
}

func bareNumbers(d ast.Decl) []bare {
	switch d := d.(type) {
	case *ast.FuncDecl:
		if !exportedFunc(d) || pureComment.MatchString(d.Doc.Text()) || pureName.MatchString(d.Name.Name) {
			return nil
		}
		name := d.Name.Name
		if recv := receiver(d); recv != "" {
			name = recv + "." + name
		}
		return bareIn(name, append(fieldsOf(d.Type.Params), fieldsOf(d.Type.Results)...))
	case *ast.GenDecl:
		var found []bare
		for _, spec := range d.Specs {
			if ts, ok := spec.(*ast.TypeSpec); ok && ts.Name.IsExported() {
				found = append(found, bareInType(d, ts)...)
			}
		}
		return found
	}
	return nil
}

func bareInType(d *ast.GenDecl, ts *ast.TypeSpec) []bare {
	doc := d.Doc.Text() + ts.Doc.Text() + ts.Comment.Text()
	switch x := ts.Type.(type) {
	case *ast.StructType:
		if pureType.MatchString(doc) || unitBeside(x) {
			return nil
		}
		return bareIn(ts.Name.Name, exportedFields(x.Fields))
	case *ast.InterfaceType:
		return bareIn(ts.Name.Name, fieldsOf(x.Methods))
	}
	if pureComment.MatchString(doc) || pureName.MatchString(ts.Name.Name) {
		return nil
	}
	return bareIn(ts.Name.Name, []*ast.Field{{Type: ts.Type}})
}

// unitBeside tells whether a field of the struct carries the unit of the rest.
func unitBeside(s *ast.StructType) bool {
	for _, f := range fieldsOf(s.Fields) {
		if id, ok := f.Type.(*ast.Ident); !ok || id.Name != "string" {
			continue
		}
		for _, id := range f.Names {
			if id.Name == "Unit" || strings.Contains(f.Comment.Text(), "its unit") {
				return true
			}
		}
	}
	return false
}

// bareIn returns those of fields whose type holds a float64 and whose comment
// and names do not say that it is pure.
func bareIn(owner string, fields []*ast.Field) (found []bare) {
	for _, f := range fields {
		if !holdsFloat(f.Type) || pureComment.MatchString(f.Doc.Text()+" "+f.Comment.Text()) {
			continue
		}
		if len(f.Names) == 0 {
			found = append(found, bare{f.Type, owner})
		}
		for _, id := range f.Names {
			if !pureName.MatchString(id.Name) {
				found = append(found, bare{id, owner + "." + id.Name})
			}
		}
	}
	return found
}

func holdsFloat(e ast.Expr) (found bool) {
	ast.Inspect(e, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok && (id.Name == "float64" || id.Name == "float32") {
			found = true
		}
		return !found
	})
	return found
}

func fieldsOf(list *ast.FieldList) []*ast.Field {
	if list == nil {
		return nil
	}
	return list.List
}

func exportedFields(list *ast.FieldList) (fields []*ast.Field) {
	for _, f := range fieldsOf(list) {
		if len(f.Names) > 0 && f.Names[0].IsExported() {
			fields = append(fields, f)
		}
	}
	return fields
}

// exportedFunc tells whether a user of the package can call d.
func exportedFunc(d *ast.FuncDecl) bool {
	return d.Name.IsExported() && (d.Recv == nil || ast.IsExported(receiver(d)))
}

// wellKnown methods say all in their name; Go's own packages define them.
var wellKnown = map[string]bool{
	"String": true, "Error": true, "Unwrap": true, "Is": true, "Len": true, "Less": true, "Swap": true,
	"MarshalJSON": true, "UnmarshalJSON": true, "MarshalText": true, "UnmarshalText": true,
}

// checkDocs finds exported names of the engine without a comment, and packages
// without one.
func checkDocs(rooms []room) (findings []string) {
	for _, r := range engine(rooms) {
		code := false
		for _, s := range r.files {
			if s.test {
				continue
			}
			code = true
			for _, d := range s.file.Decls {
				findings = append(findings, undocumented(s, d)...)
			}
		}
		if code && !strings.HasPrefix(packageDoc(r), "Package ") {
			findings = append(findings, fmt.Sprintf("%s has no package comment that begins \"Package …\"", r.dir))
		}
	}
	return findings
}

func undocumented(s source, d ast.Decl) (findings []string) {
	switch d := d.(type) {
	case *ast.FuncDecl:
		if exportedFunc(d) && !wellKnown[d.Name.Name] && !begins(d.Doc, d.Name.Name) {
			findings = append(findings, fmt.Sprintf("%s: the comment of %s does not begin with its name", s.at(d), d.Name.Name))
		}
	case *ast.GenDecl:
		if d.Tok == token.IMPORT {
			return nil
		}
		for _, spec := range d.Specs {
			findings = append(findings, undocumentedSpec(s, d, spec)...)
		}
	}
	return findings
}

func undocumentedSpec(s source, d *ast.GenDecl, spec ast.Spec) (findings []string) {
	switch spec := spec.(type) {
	case *ast.TypeSpec:
		if spec.Name.IsExported() && !begins(spec.Doc, spec.Name.Name) && !begins(d.Doc, spec.Name.Name) {
			findings = append(findings, fmt.Sprintf("%s: the comment of %s does not begin with its name", s.at(spec), spec.Name.Name))
		}
	case *ast.ValueSpec:
		if d.Doc != nil || spec.Doc != nil || spec.Comment != nil {
			return nil
		}
		for _, id := range spec.Names {
			if id.IsExported() {
				findings = append(findings, fmt.Sprintf("%s: %s has no comment, nor has its group", s.at(id), id.Name))
			}
		}
	}
	return findings
}

// begins tells whether a comment starts with the name, an article allowed.
func begins(doc *ast.CommentGroup, name string) bool {
	words := strings.Fields(doc.Text())
	if len(words) > 1 && (words[0] == "A" || words[0] == "An" || words[0] == "The") {
		words = words[1:]
	}
	return len(words) > 0 && strings.TrimRight(words[0], ",:;'s") == strings.TrimRight(name, "s")
}

func TestExportedNumbersCarryTheirDimension(t *testing.T) {
	report(t, checkNumbers(tree(t), allowedNumbers))
}

func TestExportedNamesAreDocumented(t *testing.T) {
	report(t, checkDocs(tree(t)))
}

func TestNumbersControl(t *testing.T) {
	mustFind(t, checkNumbers(sample(t, map[string]string{
		"rinse/a.go": `package rinse
type Film struct {
	Thickness float64
	Left []float64 // share of the film that stays
	PH, Depth float64
	inner float64
}
type Read struct { Unit string; Value float64 }
// Bound is in SI.
type Bound struct { Low float64 }
type Speed float64
// Curve is dimensionless.
type Curve float64
type Drain interface { Rate(t float64) float64 }
func (f Film) Mass(area float64) (kg float64) { return 0 }
func (f film) Mass(area float64) float64 { return 0 }
// Thin is by a factor.
func Thin(x float64) float64 { return x }
func LossFactor(x float64) float64 { return x }
func Solve(f func(float64) float64) error { return nil }
func small(x float64) float64 { return x }
`,
		"quantity/a.go": "package quantity\nfunc Bar(x float64) Pressure { return 0 }",
	}), map[string]string{"rinse.Film.Depth": "for the control", "rinse.Gone": "for the control"}),
		"rinse.Gone is allowed as a bare number",
		"a.go:3: rinse.Film.Thickness", "a.go:11: rinse.Speed", "a.go:14: rinse.Drain.Rate",
		"a.go:15: rinse.Film.Mass.area", "a.go:15: rinse.Film.Mass.kg", "a.go:20: rinse.Solve.f",
	)
}

func TestDocsControl(t *testing.T) {
	mustFind(t, checkDocs(sample(t, map[string]string{
		"rinse/a.go": `package rinse
type Film struct{}
// A Drop is what beads.
type Drop struct{}
// Returns the mass.
func Mass() {}
func (Drop) String() string { return "" }
func (drop) Size() {}
const Limit = 1
// The limits.
const ( A = 1; B = 2 )
var Bare, named = 1, 2
`,
		"water/a.go": "// Package water is here.\npackage water",
	})),
		"rinse has no package comment", "a.go:2: the comment of Film", "a.go:6: the comment of Mass",
		"a.go:9: Limit has no comment", "a.go:12: Bare has no comment",
	)
}
