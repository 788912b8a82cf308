package paper

import (
	"fmt"
	"strings"

	"rinsewright/internal/paper/layout"
	"rinsewright/working"
)

// working shows how numbers came about, step by step, with their sources: the
// formula, what went in and where that is from. It can be repeated with a
// pocket calculator.
func (p *setting) working(head string, steps []working.Step) {
	if len(steps) == 0 {
		return
	}
	p.Break()
	p.Head(head)
	p.Small(p.say("Each step gives its number from those above it. Formulas and sources stand as they were published, in English."))
	for i, s := range steps {
		p.Sub(fmt.Sprintf("%d  %s = %s", i+1, p.called(s.Name), number(s.Value, s.Unit)))
		if s.Formula != "" {
			p.Para(s.Symbol + " = " + s.Formula)
		} else if s.Solved != "" {
			p.Para(s.Symbol + ": " + s.Solved)
		}
		p.Small(p.inputs(s))
		p.Small(strings.Join(some(s.Source, s.Limits), " · "))
	}
}

// inputs tells in one paragraph what went into a step, and where each is from.
func (p *setting) inputs(s working.Step) string {
	var all []string
	for _, in := range s.Inputs {
		from := p.say(string(in.Origin))
		if in.Step != "" {
			from = p.sayf("step %s", strings.TrimPrefix(in.Step, "w"))
		}
		all = append(all, fmt.Sprintf("%s = %s (%s, %s)", in.Symbol, number(in.Value, in.Unit), p.called(in.Name), from))
	}
	return strings.Join(all, "; ")
}

// called names a step or what goes into it; a part that is counted is called as
// in the parts list.
func (p *setting) called(name string) string {
	if part, count, ok := cutLast(name, ", "); ok && strings.Trim(count, "0123456789.") == "" {
		return p.part(part) + ", " + count
	}
	return p.say(name)
}

func cutLast(s, sep string) (before, after string, found bool) {
	at := strings.LastIndex(s, sep)
	if at < 0 {
		return s, "", false
	}
	return s[:at], s[at+len(sep):], true
}

// number prints a value of the working as pages do.
func number(value float64, unit string) string {
	return strings.TrimSpace(fmt.Sprintf("%.6g %s", value, unit))
}

// Change is one thing that differs between two revisions; an empty Was or Is
// means that the thing is new, or gone.
type Change struct{ Section, Name, Was, Is string }

// Changes compares what two revisions say, in the order of the later one; what
// is gone comes last.
func Changes(was, is []layout.Fact) (all []Change) {
	type place struct{ section, name string }
	old, seen := map[place][]string{}, map[place]int{}
	for _, f := range was {
		at := place{f.Section, f.Name}
		old[at] = append(old[at], f.Value)
	}
	for _, f := range is {
		at := place{f.Section, f.Name}
		before := ""
		if n := seen[at]; n < len(old[at]) {
			before = old[at][n]
		}
		seen[at]++
		if before != f.Value {
			all = append(all, Change{f.Section, f.Name, before, f.Value})
		}
	}
	for _, f := range was {
		at := place{f.Section, f.Name}
		if seen[at]--; seen[at] < 0 {
			all = append(all, Change{f.Section, f.Name, f.Value, ""})
		}
	}
	return all
}
