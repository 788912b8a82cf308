package sitefile

import (
	"bytes"
	"fmt"

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
