package sitefile

import (
	"fmt"
	"strings"

	"rinsewright/site"
)

// Reference returns the site file's format as a page, made from the same table
// that reads it.
func Reference() string {
	var b strings.Builder
	b.WriteString(`# The site file

The record of one installation, as [TOML](https://toml.io). ` + "`rinsewright survey FILE`" + ` writes and edits it; so can you. This page is made from the
table that reads it (` + "`UPDATE=1 go test ./internal/sitefile`" + `).

The first line says which version of the format it is; ` + "`decimal = \"comma\"`" + ` makes quoted numbers read with a decimal comma. Every quantity is text
with its unit ("60 psi", "4.1 bar", "14 gpg", "77 F"); a bare number is refused, since nobody knows its unit. Everything else is optional: what is
missing is assumed, and every answer lists what it assumed. An unknown key, a wrong unit or an impossible value is refused with its place, what was
wanted and an example; all problems are told at once and nothing is half read.

` + "```toml\nrinsewright = 1\n```\n")
	for _, sec := range sections() {
		fmt.Fprintf(&b, "\n## `%s`\n\n%s.", sec.header(), capital(sec.says))
		if sec.list {
			b.WriteString(" There may be several.")
		}
		b.WriteString("\n\n| key | meaning | example |\n|---|---|---|\n")
		for _, f := range sec.fields(&site.Site{}, 0) {
			fmt.Fprintf(&b, "| `%s` | %s | `%s` |\n", f.key, strings.ReplaceAll(f.says, "|", "\\|"), f.example)
		}
	}
	return b.String() + gaugeTable()
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
