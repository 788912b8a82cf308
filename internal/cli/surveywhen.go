package cli

import (
	"fmt"
	"reflect"
	"regexp"
	"strings"

	"rinsewright/internal/sitefile"
	"rinsewright/water"
)

// optional are the parts that may not hang there: those asked for as a whole.
var optional = optionalParts(rounds)

func optionalParts(rounds []round) map[string]bool {
	found := map[string]bool{}
	for _, r := range rounds {
		for _, q := range r.questions {
			if q.part() && q.key != "report" {
				found[q.key] = true
			}
		}
	}
	return found
}

// applies tells whether a step is to be asked, by what was said so far.
func (a *asker) applies(st step) bool {
	if st.goOn {
		return true
	}
	key := a.key(st, st.key)
	section, _, _ := strings.Cut(st.key, ".")
	switch {
	case st.part() && st.index > 0 && !a.hangs(fmt.Sprintf("%s.%d", st.key, st.index)):
		return false
	case st.part() && a.settled[key]:
		return false
	case !st.part() && st.none == "" && optional[section] && !a.hangs(a.key(st, section)):
		return false
	}
	for _, condition := range st.when {
		if !a.holds(numbered(condition, st)) {
			return false
		}
	}
	return true
}

// numbered is a condition on the table that its question asks about: what
// "filter.drop" means at the second filter is "filter.2.drop".
func numbered(condition string, st step) string {
	section, _, _ := strings.Cut(st.key, ".")
	if st.index == 0 {
		return condition
	}
	return strings.Replace(condition, section+".", fmt.Sprintf("%s.%d.", section, st.index+1), 1)
}

// holds judges a condition such as "tank", "!restrictor.flow",
// "tank.kind=vented" or "membrane.count!=1".
func (a *asker) holds(condition string) bool {
	if name, value, ok := strings.Cut(condition, "!="); ok {
		return a.said(name) != value
	}
	if name, value, ok := strings.Cut(condition, "="); ok {
		return a.said(name) == value
	}
	if name, ok := strings.CutPrefix(condition, "!"); ok {
		return a.said(name) == ""
	}
	return a.said(condition) != ""
}

// said is what is known under a name of a condition, "" for nothing.
func (a *asker) said(name string) string {
	if at, ok := strings.CutPrefix(name, "sample:"); ok {
		place, last, inside := strings.Cut(at, ".")
		number := sampleNumber(a.site, place)
		if inside {
			return sitefile.Get(a.site, fmt.Sprintf("sample.%d.%s", number, last))
		}
		return yesWord(number <= len(a.site.Samples))
	}
	switch {
	case name == "report":
		return yesWord(a.hasReport())
	case strings.Contains(name, "."):
		return sitefile.Get(a.site, name)
	}
	return yesWord(a.hangs(name))
}

func yesWord(b bool) string {
	if b {
		return "yes"
	}
	return ""
}

// hasReport tells whether a report is at hand: as was said, or because the
// file holds one of its values.
func (a *asker) hasReport() bool {
	if a.report != nil {
		return *a.report
	}
	for _, q := range reportRound.questions {
		if !q.part() && sitefile.Get(a.site, a.key(step{question: q}, q.key)) != "" {
			return true
		}
	}
	return false
}

// present is what a question's key says now, as the brackets show it.
func (a *asker) present(st step) string {
	key := a.key(st, st.key)
	switch {
	case st.key == "report" && a.report != nil && !*a.report, st.part() && a.gone[key]:
		return "no"
	case st.key == "report":
		return yesWord(a.hasReport())
	case st.part():
		return yesWord(a.hangs(key))
	case st.none != "" && a.gone[st.none]:
		return "none"
	}
	return a.known(st)
}

// known is what the site says under a question's key, or under the key that
// stands in for it.
func (a *asker) known(st step) string {
	text := sitefile.Get(a.site, a.key(st, st.key))
	if text == "" && st.or != "" && st.ending == "" {
		text = sitefile.Get(a.site, a.key(st, st.or))
	}
	if text == "true" {
		return "yes"
	}
	if text == "" && st.key == "site.name" {
		return a.fileName()
	}
	return a.marked(text)
}

var bareNumber = regexp.MustCompile(`^\d+\.\d+$`)

// marked writes a bare number with the person's decimal mark.
func (a *asker) marked(text string) string {
	if a.locale.DecimalComma && bareNumber.MatchString(text) {
		return strings.Replace(text, ".", ",", 1)
	}
	return text
}

func sameSample(a, b water.Sample) bool { return reflect.DeepEqual(a, b) }
