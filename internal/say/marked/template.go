// Package marked puts the templates of pages into a language, by the catalogue
// of package say.
package marked

import (
	"html"
	"html/template"
	"reflect"
	"strings"
	"text/template/parse"
	"unicode"

	"rinsewright/internal/say"
)

// Functions are those that a page's template may use:
//
//	{{own .Site.Name}}                         what people wrote stays as it is
//	{{count .N "One photo." "%d photos."}}     one and many
//	{{say "%s of %s" .A .B}}                   a sentence with values where no text stands
func Functions(s *say.Speaker) template.FuncMap {
	return template.FuncMap{
		"language": s.Language,
		"own":      asOwn,
		"said":     func(x any) any { return value(s, x) },
		"count":    s.Count,
		"say": func(format string, values ...any) string {
			for i := range values {
				values[i] = value(s, values[i])
			}
			return s.Sayf(format, values...)
		},
	}
}

// asTheyStand are functions whose value is in the reader's language already, or
// is nobody's sentence.
var asTheyStand = map[string]bool{"own": true, "said": true, "count": true, "say": true, "day": true, "clock": true, "short": true, "asset": true, "language": true}

// ownWords are people's own.
type ownWords string

func asOwn(x any) any {
	if words, ok := x.(string); ok {
		return ownWords(words)
	}
	return x
}

// value says what a template shows, if it is words.
func value(s *say.Speaker, x any) any {
	switch x.(type) {
	case template.HTML, template.CSS, template.JS, template.URL, template.HTMLAttr, ownWords, nil:
		return x
	}
	if v := reflect.ValueOf(x); v.Kind() == reflect.String {
		return s.Say(v.String())
	}
	return x
}

// Template puts a set of templates into the language, before it is used for
// the first time: every text of it is looked up, sentence by sentence with %s
// where a value stands, and every value that is shown as text is said. The set
// must know [Functions].
func Template(s *say.Speaker, set *template.Template) {
	if s.Plain() {
		return
	}
	walk(set, s.Sentence)
}

// Phrases are the sentences of a set of templates, as the catalogue has them.
func Phrases(set *template.Template) (all []string) {
	walk(set, func(phrase string) string { all = append(all, phrase); return phrase })
	for _, t := range set.Templates() {
		if t.Tree != nil {
			all = append(all, called(t.Tree.Root)...)
		}
	}
	return all
}

// called are the sentences handed to count and say.
func called(n parse.Node) (all []string) {
	switch n := n.(type) {
	case *parse.ListNode:
		if n == nil {
			return nil
		}
		for _, x := range n.Nodes {
			all = append(all, called(x)...)
		}
	case *parse.ActionNode:
		return called(n.Pipe)
	case *parse.PipeNode:
		for _, c := range n.Cmds {
			all = append(all, calledBy(c)...)
		}
	case *parse.IfNode:
		return append(called(n.List), called(n.ElseList)...)
	case *parse.RangeNode:
		return append(called(n.List), called(n.ElseList)...)
	case *parse.WithNode:
		return append(called(n.List), called(n.ElseList)...)
	}
	return all
}

func calledBy(c *parse.CommandNode) (all []string) {
	name, ok := c.Args[0].(*parse.IdentifierNode)
	for _, x := range c.Args[1:] {
		if text, is := x.(*parse.StringNode); is && ok && (name.Ident == "count" || name.Ident == "say") {
			all = append(all, text.Text)
		}
	}
	return all
}

func walk(set *template.Template, say func(string) string) {
	for _, t := range set.Templates() {
		if t.Tree != nil {
			w := &walker{say: say}
			w.list(t.Tree.Root)
		}
	}
}

// place is where in a page's text we are.
type place int

const (
	text   place = iota // what is shown
	tag                 // between < and >
	shown               // the value of an attribute that is shown or read aloud
	silent              // the value of another
	raw                 // script, style, code, and what is typed in a field
)

// walker goes through one template and replaces what is said.
type walker struct {
	say func(string) string

	at      place
	element string // the last one begun
	out     []parse.Node
	run     []any // of strings and actions: what stands between two tags
}

// heard are the attributes that people see or hear.
var heard = map[string]bool{"aria-label": true, "alt": true, "placeholder": true, "title": true}

// rawElements are those whose inside is nobody's sentence.
var rawElements = map[string]bool{"script": true, "style": true, "textarea": true, "code": true}

func (w *walker) list(l *parse.ListNode) {
	if l == nil {
		return
	}
	outer := w.out
	w.out = nil
	for _, n := range l.Nodes {
		w.node(n)
	}
	w.flush()
	l.Nodes, w.out = w.out, outer
}

func (w *walker) node(n parse.Node) {
	switch n := n.(type) {
	case *parse.TextNode:
		w.text(string(n.Text))
		return
	case *parse.ActionNode:
		if len(n.Pipe.Decl) == 0 && (w.at == text || w.at == shown) {
			w.run = append(w.run, n)
			return
		}
	}
	w.flush()
	switch n := n.(type) {
	case *parse.IfNode:
		w.branch(&n.BranchNode)
	case *parse.RangeNode:
		w.branch(&n.BranchNode)
	case *parse.WithNode:
		w.branch(&n.BranchNode)
	}
	w.out = append(w.out, n)
}

// branch goes through both sides from the same place.
func (w *walker) branch(n *parse.BranchNode) {
	at, element := w.at, w.element
	w.list(n.ElseList)
	w.at, w.element = at, element
	w.list(n.List)
}

// text goes through a piece of the page's own text.
func (w *walker) text(s string) {
	for s != "" {
		switch w.at {
		case text:
			s = w.until(s, "<", func() { w.flush(); w.at = tag })
		case shown:
			s = w.until(s, `"`, func() { w.flush(); w.at = tag })
		case silent:
			s = w.copied(s, `"`, tag)
		case raw:
			s = w.copied(s, "</"+w.element, tag)
		case tag:
			s = w.tag(s)
		}
	}
}

// until takes words up to an end mark, which is left to what follows.
func (w *walker) until(s, end string, then func()) string {
	before, after, ok := strings.Cut(s, end)
	if before != "" {
		w.run = append(w.run, before)
	}
	if !ok {
		return ""
	}
	then()
	w.put(end)
	return after
}

func (w *walker) copied(s, end string, then place) string {
	before, after, ok := strings.Cut(s, end)
	w.put(before)
	if !ok {
		return ""
	}
	w.put(end)
	if w.at == raw {
		w.element = ""
	}
	w.at = then
	return after
}

// tag copies a tag up to its end or to the value of an attribute.
func (w *walker) tag(s string) string {
	i := strings.IndexAny(s, `>"`)
	if i < 0 {
		w.begun(s)
		w.put(s)
		return ""
	}
	w.begun(s[:i])
	w.put(s[:i+1])
	switch {
	case s[i] == '"':
		name := strings.TrimSuffix(s[:i], "=")
		name = name[strings.LastIndexAny(name, " \n\t")+1:]
		w.at = silent
		if heard[name] {
			w.at = shown
		}
	case rawElements[w.element]:
		w.at = raw
	default:
		w.at = text
	}
	return s[i+1:]
}

// begun notes which element a tag begins. What ends one ends its rawness.
func (w *walker) begun(s string) {
	if len(w.out) == 0 || !w.opens() {
		return
	}
	end := strings.IndexFunc(s, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	if end < 0 {
		end = len(s)
	}
	w.element = s[:end]
}

// opens tells whether the last thing written was the beginning of a tag.
func (w *walker) opens() bool {
	t, ok := w.out[len(w.out)-1].(*parse.TextNode)
	return ok && strings.HasSuffix(string(t.Text), "<")
}

func (w *walker) put(s string) {
	if s == "" {
		return
	}
	if len(w.out) > 0 {
		if t, ok := w.out[len(w.out)-1].(*parse.TextNode); ok {
			t.Text = append(t.Text, s...)
			return
		}
	}
	w.out = append(w.out, &parse.TextNode{NodeType: parse.NodeText, Text: []byte(s)})
}

// flush says what stood between two tags.
func (w *walker) flush() {
	var phrase strings.Builder
	var actions []*parse.ActionNode
	for _, x := range w.run {
		switch x := x.(type) {
		case string:
			phrase.WriteString(strings.ReplaceAll(html.UnescapeString(x), "%", "%%"))
		case *parse.ActionNode:
			phrase.WriteString("%s")
			actions = append(actions, spoken(x))
		}
	}
	w.run = nil
	before, sentence, after := trimmed(phrase.String())
	if strings.ContainsFunc(strings.ReplaceAll(sentence, "%s", ""), unicode.IsLetter) {
		sentence = w.say(sentence)
	}
	w.put(before)
	for _, p := range say.Pieces(sentence) {
		if p.Value >= 0 && p.Value < len(actions) {
			w.out = append(w.out, actions[p.Value])
			continue
		}
		w.put(html.EscapeString(strings.ReplaceAll(p.Words, "%%", "%")))
	}
	w.put(after)
}

// trimmed parts a sentence from the blanks around it, and makes those within
// single ones.
func trimmed(s string) (before, sentence, after string) {
	sentence = strings.TrimLeftFunc(s, unicode.IsSpace)
	before = s[:len(s)-len(sentence)]
	whole := strings.TrimRightFunc(sentence, unicode.IsSpace)
	return before, strings.Join(strings.Fields(whole), " "), sentence[len(whole):]
}

// spoken is an action whose value is said.
func spoken(n *parse.ActionNode) *parse.ActionNode {
	last := n.Pipe.Cmds[len(n.Pipe.Cmds)-1]
	if name, ok := last.Args[0].(*parse.IdentifierNode); ok && asTheyStand[name.Ident] {
		return n
	}
	n.Pipe.Cmds = append(n.Pipe.Cmds, &parse.CommandNode{NodeType: parse.NodeCommand, Args: []parse.Node{parse.NewIdentifier("said").SetPos(n.Pos)}})
	return n
}
