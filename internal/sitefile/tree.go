package sitefile

import (
	"errors"
	"fmt"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// value is one TOML value with its place in the file. Nested tables are not
// part of the format, so a value is a scalar or a list of scalars.
type value struct {
	kind  unstable.Kind
	text  string
	items []value
	line  int
	col   int
}

// table is one [section] or [[section]] of a file.
type table struct {
	name  string
	array bool
	line  int
	col   int
	keys  []string
	vals  map[string]value
}

// parse splits a document into its tables in order; the first holds the keys
// above any section.
func parse(name string, data []byte) ([]table, Problems) {
	if problem, bad := syntax(name, data); bad {
		return nil, Problems{problem}
	}
	tables := []table{{vals: map[string]value{}, line: 1, col: 1}}
	var problems Problems
	var p unstable.Parser
	p.Reset(data)
	for p.NextExpression() {
		e := p.Expression()
		key, line, col := dotted(&p, e)
		switch e.Kind {
		case unstable.Table, unstable.ArrayTable:
			tables = append(tables, table{name: key, array: e.Kind == unstable.ArrayTable, line: line, col: col, vals: map[string]value{}})
		case unstable.KeyValue:
			t := &tables[len(tables)-1]
			v := scalar(&p, e.Value())
			v.line, v.col = line, col
			if _, twice := t.vals[key]; twice {
				problems = append(problems, Problem{place(name, line, col), fmt.Sprintf("%q a second time", key), "each key once", ""})
				continue
			}
			t.keys = append(t.keys, key)
			t.vals[key] = v
		}
	}
	if err := p.Error(); err != nil {
		problems = append(problems, Problem{name, "text that is not TOML", "a TOML document", `name = "A name"`})
	}
	return tables, problems
}

// syntax lets the TOML library judge the whole document first: it knows the
// rules (duplicate tables, bad escapes) that a pass over expressions does not.
func syntax(name string, data []byte) (Problem, bool) {
	var any map[string]any
	err := toml.Unmarshal(data, &any)
	if err == nil {
		return Problem{}, false
	}
	problem := Problem{Where: name, Read: "text that is not TOML", Wanted: "a TOML document", Example: `name = "A name"`}
	var bad *toml.DecodeError
	if errors.As(err, &bad) {
		line, col := bad.Position()
		problem.Where = place(name, line, col)
		problem.Read = fmt.Sprintf("%q, which TOML does not allow here (%s)", lineAt(data, line), strings.TrimPrefix(bad.Error(), "toml: "))
	}
	return problem, true
}

func lineAt(data []byte, line int) string {
	lines := strings.Split(string(data), "\n")
	if line < 1 || line > len(lines) {
		return ""
	}
	text := strings.TrimSpace(lines[line-1])
	if r := []rune(text); len(r) > 60 {
		text = string(r[:60]) + "…"
	}
	return text
}

func place(name string, line, col int) string { return fmt.Sprintf("%s:%d:%d", name, line, col) }

func dotted(p *unstable.Parser, e *unstable.Node) (key string, line, col int) {
	var parts []string
	for it := e.Key(); it.Next(); {
		n := it.Node()
		if line == 0 {
			at := p.Shape(n.Raw).Start
			line, col = at.Line, at.Column
		}
		parts = append(parts, string(n.Data))
	}
	return strings.Join(parts, "."), line, col
}

func scalar(p *unstable.Parser, n *unstable.Node) value {
	v := value{kind: n.Kind, text: string(n.Data)}
	if n.Kind != unstable.Array {
		return v
	}
	for it := n.Children(); it.Next(); {
		v.items = append(v.items, scalar(p, it.Node()))
	}
	return v
}

// shown is the value as a person would point at it.
func (v value) shown() string {
	switch v.kind {
	case unstable.String:
		return fmt.Sprintf("%q", v.text)
	case unstable.Array:
		return "a list"
	case unstable.InlineTable:
		return "a table"
	}
	return v.text
}
