package sitefile

import (
	"bytes"
	"fmt"
	"strings"

	"rinsewright/quantity"
	"rinsewright/site"
)

// Write returns s as a site file: valid, commented, with every key that nobody
// answered shown as a comment and an example, so that the file teaches its own
// format. Reading it back gives the same site.
func Write(s *site.Site, loc quantity.Locale) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "rinsewright = %d\n", Version)
	if loc.DecimalComma {
		fmt.Fprintln(&b, `decimal = "comma"`)
	}
	for _, sec := range sections() {
		n := sec.count(s)
		if n == 0 {
			writeAbsent(&b, sec)
			continue
		}
		for i := range n {
			writeTable(&b, sec, sec.fields(s, i))
		}
	}
	return b.Bytes()
}

func writeTable(b *bytes.Buffer, sec section, fields []field) {
	fmt.Fprintf(b, "\n%s # %s\n", sec.header(), sec.says)
	for _, f := range fields {
		line := f.key + " = " + f.get()
		if f.get() == "" {
			line = "# " + f.key + " = " + f.example
		}
		fmt.Fprintf(b, "%-34s # %s\n", line, f.says)
	}
}

// writeAbsent shows how to add a part that is not there.
func writeAbsent(b *bytes.Buffer, sec section) {
	fmt.Fprintf(b, "\n# %s # %s; none here\n", sec.header(), sec.says)
	for _, f := range sec.fields(&site.Site{}, 0) {
		fmt.Fprintf(b, "# %-32s # %s\n", f.key+" = "+f.example, f.says)
	}
}

func (s section) header() string {
	if s.list {
		return "[[" + s.name + "]]"
	}
	return "[" + s.name + "]"
}

// Set sets one key, such as "sample.strength" or "resin.2.volume", from text
// as a person would say it. An empty text forgets the value. The error is a
// single [Problem] inside [Problems].
func Set(s *site.Site, key, text string, loc quantity.Locale) error {
	name, index, last, err := splitKey(key)
	if err != nil {
		return err
	}
	sec, _ := sectionNamed(name)
	fields := sec.fields(s, index)
	for _, f := range fields {
		if f.key != last {
			continue
		}
		if strings.TrimSpace(text) == "" {
			f.clear()
			return nil
		}
		if err := f.set(spoken(text, f), loc); err != nil {
			return Problems{{key, quoted(text), wanted(err), key + "=" + f.example}}
		}
		return nil
	}
	names := make([]string, len(fields))
	for i, f := range fields {
		names[i] = f.key
	}
	return Problems{{key, fmt.Sprintf("the key %q in [%s]", last, name), "one of " + strings.Join(names, " "), nearest(last, names)}}
}

// Get returns one key's value as typed, "" when nobody said.
func Get(s *site.Site, key string) string {
	name, index, last, err := splitKey(key)
	if err != nil {
		return ""
	}
	sec, _ := sectionNamed(name)
	if index >= sec.count(s) {
		return ""
	}
	for _, f := range sec.fields(s, index) {
		if f.key == last {
			return strings.Trim(f.get(), `"`)
		}
	}
	return ""
}

// Example returns what a key means and an example of it.
func Example(key string) (says, example string) {
	name, _, last, err := splitKey(key)
	if err != nil {
		return "", ""
	}
	sec, _ := sectionNamed(name)
	for _, f := range sec.fields(&site.Site{}, 0) {
		if f.key == last {
			return f.says, strings.Trim(f.example, `"`)
		}
	}
	return "", ""
}

// Has reports whether a section of the rig is there; Remove takes it away.
func Has(s *site.Site, name string) bool {
	sec, known := sectionNamed(name)
	return known && sec.count(s) > 0
}

// Remove takes a section away, with all its values.
func Remove(s *site.Site, name string) {
	if sec, known := sectionNamed(name); known && sec.remove != nil {
		sec.remove(s)
	}
}

func splitKey(key string) (section string, index int, last string, err error) {
	parts := strings.Split(key, ".")
	bad := Problems{{key, "a key that names no section", "section.key", "sample.strength"}}
	if len(parts) < 2 || len(parts) > 3 {
		return "", 0, "", bad
	}
	sec, known := sectionNamed(parts[0])
	if !known {
		return "", 0, "", Problems{{key, fmt.Sprintf("the section %q", parts[0]), "one of " + strings.Join(sectionNames(), " "), nearest(parts[0], sectionNames())}}
	}
	if len(parts) == 3 {
		if _, e := fmt.Sscanf(parts[1], "%d", &index); e != nil || index < 1 || index > 99 || !sec.list {
			return "", 0, "", bad
		}
		index--
	}
	return parts[0], index, parts[len(parts)-1], nil
}
