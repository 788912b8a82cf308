package sitefile

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"rinsewright/quantity"
	"rinsewright/site"
)

// Set sets one key, such as "sample.strength" or "resin.2.volume", from text
// as a person would say it. An empty text forgets the value. A key without a
// dot, such as "tank" or "filter.2", is a part: yes hangs it there with nothing
// known of it, no or an empty text takes it away. A list grows by one at most.
// The error is a single [Problem] inside [Problems], and s is then unchanged.
func Set(s *site.Site, key, text string, loc quantity.Locale) error {
	if !utf8.ValidString(text) || strings.ContainsFunc(text, unicode.IsControl) {
		return Problems{{key, shortened(quoted(text)), "plain text on one line", ""}}
	}
	at, err := splitKey(key)
	if err != nil {
		return err
	}
	count := at.section.count(s)
	if at.index > count {
		return Problems{{key, fmt.Sprintf("number %d of %d", at.index+1, count), "the next one", fmt.Sprintf("%s.%d", at.section.name, count+1)}}
	}
	if at.last == "" {
		return at.hang(s, key, text)
	}
	if strings.TrimSpace(text) == "" && at.index >= count {
		return at.known(key) // nothing to forget
	}
	if err := at.set(s, key, text, loc); err != nil {
		at.shrink(s, count)
		return err
	}
	return nil
}

func (at address) set(s *site.Site, key, text string, loc quantity.Locale) error {
	f, ok := at.field(s)
	if !ok {
		return at.known(key)
	}
	if strings.TrimSpace(text) == "" {
		f.clear()
		return nil
	}
	if err := f.set(spoken(text, f), loc); err != nil {
		return Problems{{key, shortened(quoted(text)) + fault(err), wanted(err), key + "=" + shown(f.example)}}
	}
	return nil
}

// hang puts a part there or takes it away.
func (at address) hang(s *site.Site, key, text string) error {
	if at.section.remove == nil {
		return Problems{{key, "a section without a key", "section.key", key + "." + at.section.fields(&site.Site{}, 0)[0].key}}
	}
	switch meant := yesMeant(strings.TrimSpace(text)); meant {
	case "true":
		at.section.fields(s, at.index)
	case "false", "":
		Remove(s, key)
	default:
		return Problems{{key, shortened(quoted(text)), "yes or no", key + "=yes"}}
	}
	return nil
}

// known refuses a key that its section has not.
func (at address) known(key string) error {
	names := at.section.keys()
	for _, n := range names {
		if n == at.last {
			return nil
		}
	}
	return Problems{{key, fmt.Sprintf("the key %s in [%s]", shortened(quoted(at.last)), at.section.name), "one of " + strings.Join(names, " "), nearest(at.last, names)}}
}

// shrink undoes what looking at a part that was not there has made of it.
func (at address) shrink(s *site.Site, count int) {
	for at.section.count(s) > count {
		if at.section.cut == nil {
			at.section.remove(s)
			return
		}
		at.section.cut(s, at.section.count(s)-1)
	}
}

// Get returns one key's value as a person said it, "" when nobody did.
func Get(s *site.Site, key string) string {
	at, err := splitKey(key)
	if err != nil || at.index >= at.section.count(s) {
		return ""
	}
	f, ok := at.field(s)
	if !ok {
		return ""
	}
	return shown(f.get())
}

// shown is a TOML value without its quotes and escapes.
func shown(literal string) string {
	if text, err := strconv.Unquote(literal); err == nil {
		return text
	}
	return literal
}

// Example returns what a key means and an example of it.
func Example(key string) (says, example string) {
	at, err := splitKey(key)
	if err != nil {
		return "", ""
	}
	at.index = 0
	f, ok := at.field(&site.Site{})
	if !ok {
		return "", ""
	}
	return f.says, shown(f.example)
}

// Words returns the words that a key may be, nil when it is no choice.
func Words(key string) []string {
	at, err := splitKey(key)
	if err != nil {
		return nil
	}
	at.index = 0
	f, _ := at.field(&site.Site{})
	return f.words
}

// Keys lists every key of the format as section.key, in the order of a file.
func Keys() (keys []string) {
	for _, sec := range sections() {
		for _, key := range sec.keys() {
			keys = append(keys, sec.name+"."+key)
		}
	}
	return keys
}

// KeysOf lists the keys of which s knows something, in the order of a file.
func KeysOf(s *site.Site) (keys []string) {
	for _, sec := range sections() {
		for i := range sec.count(s) {
			name := sec.name
			if sec.list {
				name = fmt.Sprintf("%s.%d", sec.name, i+1)
			}
			for _, f := range sec.fields(s, i) {
				if f.get() != "" {
					keys = append(keys, name+"."+f.key)
				}
			}
		}
	}
	return keys
}

// Has reports whether a part is there: "tank", or "resin.2" for the second.
func Has(s *site.Site, part string) bool {
	at, err := splitKey(part)
	return err == nil && at.last == "" && at.index < at.section.count(s)
}

// Remove takes a part away with all its values: "tank", every "resin", or
// "resin.2" alone. What is always there, such as "supply", stays.
func Remove(s *site.Site, part string) {
	at, err := splitKey(part)
	switch {
	case err != nil || at.last != "" || at.section.remove == nil:
	case !at.numbered:
		at.section.remove(s)
	case at.index < at.section.count(s):
		at.section.cut(s, at.index)
	}
}

// Copy returns a site that shares nothing with s; loc is how its texts are
// written. Unlike a file it may break rules across keys.
func Copy(s *site.Site, loc quantity.Locale) (*site.Site, error) {
	tables, problems := parse("copy", Write(s, loc))
	if len(problems) > 0 {
		return nil, problems
	}
	f := &file{name: "copy", places: map[string][2]int{}, locale: loc}
	copied, problems := f.site(tables[1:])
	if len(problems) > 0 {
		return nil, problems
	}
	return copied, nil
}

// address is where a key points: a table of a section, and in it a field.
type address struct {
	section  section
	index    int
	numbered bool   // the index was said
	last     string // the key inside, "" for the part itself
}

func (at address) field(s *site.Site) (field, bool) {
	for _, f := range at.section.fields(s, at.index) {
		if f.key == at.last {
			return f, true
		}
	}
	return field{}, false
}

func (s section) keys() (names []string) {
	for _, f := range s.fields(&site.Site{}, 0) {
		names = append(names, f.key)
	}
	return names
}

func splitKey(key string) (at address, err error) {
	parts := strings.Split(key, ".")
	bad := Problems{{shortened(key), "a key that names no section", "section.key", "sample.strength"}}
	if len(parts) > 3 || !utf8.ValidString(key) {
		return at, bad
	}
	sec, known := sectionNamed(parts[0])
	if !known {
		return at, Problems{{shortened(key), "the section " + shortened(quoted(parts[0])), "one of " + strings.Join(sectionNames(), " "), nearest(parts[0], sectionNames())}}
	}
	at.section, parts = sec, parts[1:]
	if len(parts) > 0 && sec.list {
		if n, e := strconv.Atoi(parts[0]); e == nil {
			if n < 1 || n > 99 {
				return at, bad
			}
			at.index, at.numbered, parts = n-1, true, parts[1:]
		}
	}
	switch len(parts) {
	case 0:
	case 1:
		at.last = parts[0]
	default:
		return at, bad
	}
	return at, nil
}

// shortened keeps what a person typed to what fits a line.
func shortened(s string) string {
	if r := []rune(s); len(r) > 50 {
		return string(r[:49]) + "…"
	}
	return s
}
