package sitefile

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"rinsewright/quantity"
	"rinsewright/site"
)

// Update is s as the file data with what changed, so that a person's own
// remarks, order and spacing stay. It changes only lines of one value, adds
// missing keys at the end of their section and missing sections at the end of
// the file. What it made it reads back; where that is not s exactly, as after a
// part was taken away or when a value runs over several lines, it is [Write].
func Update(data []byte, s *site.Site, loc quantity.Locale) []byte {
	whole := Write(s, loc)
	tables, problems := parse("update", data)
	old, err := Read("update", data)
	if len(problems) > 0 || err != nil {
		return whole
	}
	e := edit{lines: strings.Split(string(data), "\n"), after: map[int][]string{}}
	seen := map[string]int{}
	for i, t := range tables[1:] {
		last := t.line
		for _, key := range t.keys {
			last = max(last, t.vals[key].line)
		}
		sec, known := sectionNamed(t.name)
		if !known || seen[t.name] >= sec.count(s) {
			return whole
		}
		e.table(tables[i+1], sec.fields(old, seen[t.name]), sec.fields(s, seen[t.name]), last)
		seen[t.name]++
	}
	for _, sec := range sections() {
		for i := seen[sec.name]; i < sec.count(s); i++ {
			if fields := sec.fields(s, i); sec.remove != nil || anyKnown(fields) {
				e.section(sec, fields)
			}
		}
	}
	updated := e.bytes()
	again, err := Read("update", updated)
	if err != nil || !bytes.Equal(Write(again, loc), whole) {
		return whole
	}
	return updated
}

// Cut is the file data without the tables of a list section that gone names by
// their number, counted from 0; what else stands in the file stays to the letter.
// The error is [Problems] where data is no site file before or after.
func Cut(data []byte, section string, gone func(number int) bool) ([]byte, error) {
	tables, problems := parse("cut", data)
	if len(problems) > 0 {
		return nil, problems
	}
	lines := strings.Split(string(data), "\n")
	var kept []string
	at, number := 0, 0
	for i, t := range tables[1:] {
		next := len(lines)
		if i+2 < len(tables) {
			next = tables[i+2].line - 1
		}
		kept = append(kept, lines[at:t.line-1]...)
		at = t.line - 1
		if t.name == section {
			if gone(number) {
				at = next
			}
			number++
		}
	}
	text := strings.TrimRight(strings.Join(append(kept, lines[at:]...), "\n"), "\n") + "\n"
	if _, err := Read("cut", []byte(text)); err != nil {
		return nil, err
	}
	return []byte(text), nil
}

// edit is a file being changed line by line.
type edit struct {
	lines []string
	after map[int][]string // new lines behind a line, counted from 1
	end   []string
}

// table brings one table's lines from what its fields said to what they say.
func (e *edit) table(t table, old, fields []field, last int) {
	changed := map[string]bool{}
	for i, f := range fields {
		now := f.get()
		if now == old[i].get() {
			continue
		}
		changed[f.key] = true
		switch v, told := t.vals[f.key]; {
		case !told:
			e.add(t, last, f.key+" = "+now, f)
		case now == "":
			e.silence(v.line)
		default:
			e.replace(v.line, now)
		}
	}
	// A price told as a bill does makes way for the one that was told now.
	for _, key := range t.keys {
		if first, _, ok := strings.Cut(key, "_per_"); ok && changed[first] {
			e.silence(t.vals[key].line)
		}
	}
}

func anyKnown(fields []field) bool {
	return slices.ContainsFunc(fields, func(f field) bool { return f.get() != "" })
}

// silence turns a line into a remark.
func (e *edit) silence(line int) { e.lines[line-1] = "# " + e.lines[line-1] }

// replace puts a value in the place of the one on a line, and keeps what
// stands around it.
func (e *edit) replace(line int, now string) {
	before, rest, _ := strings.Cut(e.lines[line-1], "=")
	space := rest[:len(rest)-len(strings.TrimLeft(rest, " \t"))]
	e.lines[line-1] = before + "=" + space + now + remark(rest[len(space):])
}

// remark is what follows the value that text begins with.
func remark(text string) string {
	if text == "" {
		return ""
	}
	if quote := text[0]; quote == '"' || quote == '\'' {
		for i := 1; i < len(text); i++ {
			switch {
			case text[i] == '\\' && quote == '"':
				i++
			case text[i] == quote:
				return text[i+1:]
			}
		}
		return ""
	}
	if text[0] == '[' {
		if i := strings.LastIndexByte(text, ']'); i >= 0 {
			return text[i+1:]
		}
		return ""
	}
	if i := strings.IndexAny(text, " \t#"); i >= 0 {
		return text[i:]
	}
	return ""
}

// add gives a table a new key: in the place of the line that showed how, or
// behind its last.
func (e *edit) add(t table, last int, line string, f field) {
	line = fmt.Sprintf("%-34s # %s", line, f.says)
	for i := t.line; i < len(e.lines) && !strings.HasPrefix(strings.TrimSpace(e.lines[i]), "["); i++ {
		if strings.HasPrefix(e.lines[i], "# "+f.key+" = ") {
			e.lines[i] = line
			return
		}
		if strings.HasPrefix(e.lines[i], "# [") {
			break
		}
	}
	e.after[last] = append(e.after[last], line)
}

// section adds a section that the file had not.
func (e *edit) section(sec section, fields []field) {
	var b bytes.Buffer
	writeTable(&b, sec, fields)
	e.end = append(e.end, strings.TrimRight(b.String(), "\n"))
}

func (e *edit) bytes() []byte {
	var lines []string
	for i, l := range e.lines {
		lines = append(lines, l)
		lines = append(lines, e.after[i+1]...)
	}
	text := strings.TrimRight(strings.Join(lines, "\n"), "\n") + "\n"
	if len(e.end) > 0 {
		text += strings.Join(e.end, "\n") + "\n"
	}
	return []byte(text)
}
