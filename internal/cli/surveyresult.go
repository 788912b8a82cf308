package cli

import (
	"fmt"
	"sort"
	"strconv"
	"strings"

	"rinsewright/internal/sitefile"
	"rinsewright/site"
)

// settle makes what was said a site that a file can hold: parts that are gone
// go, and what makes no sense with the rest is left out, and said.
func (s *surveyed) settle(gone map[string]bool) {
	for _, part := range goneParts(gone) {
		section, number, numbered := strings.Cut(part, ".")
		if !numbered {
			sitefile.Remove(s.site, section)
			continue
		}
		// Nothing hangs behind what does not hang.
		for sitefile.Has(s.site, section+"."+number) {
			sitefile.Remove(s.site, section+"."+number)
		}
	}
	s.complete()
	for range 100 {
		problems := s.site.Problems()
		if len(problems) == 0 {
			return
		}
		s.leaveOut(problems[0])
	}
}

func goneParts(gone map[string]bool) (parts []string) {
	for part, is := range gone {
		if is {
			parts = append(parts, part)
		}
	}
	sort.Strings(parts)
	return parts
}

// leaveOut takes back the answer that breaks a rule, or its other half.
func (s *surveyed) leaveOut(p site.Problem) {
	keys := append([]string{p.Key}, partners(p.Key)...)
	for _, key := range keys {
		if text := sitefile.Get(s.site, key); text != "" {
			if sitefile.Set(s.site, key, "", s.locale) == nil {
				s.notes = append(s.notes, fmt.Sprintf("Left out: %s %s; wanted %s.", key, clipped(strconv.Quote(text), 40), p.Wanted))
				return
			}
		}
	}
	part := p.Key
	if section, _, inside := strings.Cut(p.Key, "."); inside && !sitefile.Has(s.site, p.Key) {
		part = section
	}
	sitefile.Remove(s.site, part)
	s.notes = append(s.notes, fmt.Sprintf("Left out: %s; wanted %s.", p.Read, p.Wanted))
}

// partners are the keys that make no sense without one.
func partners(key string) (found []string) {
	for _, r := range rounds {
		for _, q := range r.questions {
			if q.key == key && q.with != "" {
				found = append(found, q.with)
			}
		}
	}
	return found
}

// lacks is what check needs and nobody said.
func (a *asker) lacks() (words []string) {
	for _, need := range needs {
		if !a.holds(need.condition) && (need.or == "" || !a.holds(need.or)) {
			words = append(words, need.says)
		}
	}
	return words
}

// needs is the least that check can work with.
var needs = []struct{ condition, or, says string }{
	{"sample:raw.strength", "sample:raw.conductivity", "what a pen shows at the tap"},
	{"demand.normal_day", "", "how many vehicles come"},
	{"membrane", "", "how many membrane elements hang there"},
}

// sayResult tells what the file holds now, what nobody said, and what to do
// next.
func (s *surveyed) sayResult(out *sheet) {
	a := newAsker(s, nil, out)
	for i, note := range s.notes {
		if i == 0 {
			out.line("")
		}
		out.wrap("", note)
	}
	if s.asked {
		a.sayKnown()
		a.sayUnknown()
	}
	out.line("")
	switch {
	case s.written:
		out.wrap("", clipped(s.file, 60)+" is written.")
	default:
		out.wrap("", "Nothing changed: "+clipped(s.file, 50)+" stays as it is.")
	}
	if lacks := a.lacks(); len(lacks) > 0 {
		out.wrap("", "rinsewright check does not work yet: nobody said "+listedWords(lacks)+".")
		out.line("Next: rinsewright survey " + shellWord(s.file))
		return
	}
	out.line("Next: rinsewright check " + shellWord(s.file))
	out.line("Which reading would help most: rinsewright water " + shellWord(s.file))
}

// sayKnown lists what the file holds, by the rounds of the survey.
func (a *asker) sayKnown() {
	a.out.head("What the file says now")
	for _, r := range rounds {
		var said []string
		for i := range max(r.times, 1) {
			for _, q := range r.questions {
				st := step{question: q, index: i}
				if a.there(st) && a.known(st) != "" && !q.part() {
					said = append(said, keyLabel(q.key)+" "+clipped(a.known(st), 30))
				}
			}
		}
		if len(said) > 0 {
			a.out.wrap("- ", r.title+": "+strings.Join(said, ", "))
		}
	}
}

// sayUnknown lists what nobody said of what is there.
func (a *asker) sayUnknown() {
	var parts []string
	for _, r := range rounds {
		var open []string
		for _, q := range r.questions {
			if st := (step{question: q}); q.part() && q.key != "report" && !a.hangs(q.key) {
				parts = append(parts, q.key)
			} else if !q.part() && a.there(st) && a.applies(st) && a.known(st) == "" {
				open = append(open, keyLabel(q.key))
			}
		}
		if len(open) > 0 {
			if len(a.unsaid) == 0 {
				a.out.head("What nobody said; check assumes it and tells what it takes")
			}
			a.unsaid = append(a.unsaid, open...)
			a.out.wrap("- ", r.title+": "+strings.Join(open, ", "))
		}
	}
	if len(parts) > 0 {
		a.out.line("")
		a.out.wrap("", "Not there, or nobody said: "+strings.Join(parts, ", "))
	}
}

// there tells whether the part hangs there that a step asks about.
func (a *asker) there(st step) bool {
	section, _, _ := strings.Cut(st.key, ".")
	return !optional[section] || a.hangs(a.key(st, section))
}

func keyLabel(key string) string {
	section, last, _ := strings.Cut(key, ".")
	if section == "booster" || section == "softener" {
		last = section + " " + last
	}
	return strings.ReplaceAll(last, "_", " ")
}

// shellWord is a file name as a shell takes it.
func shellWord(name string) string {
	if strings.ContainsFunc(name, func(r rune) bool {
		return !(r == '.' || r == '-' || r == '_' || r == '/' || '0' <= r && r <= '9' || 'a' <= r && r <= 'z' || 'A' <= r && r <= 'Z')
	}) {
		return "'" + strings.ReplaceAll(name, "'", `'\''`) + "'"
	}
	return name
}
