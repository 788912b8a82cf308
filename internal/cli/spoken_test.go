package cli

import (
	"strings"
	"testing"

	"rinsewright/internal/say"
)

// Columns stay where they stand as long as the words let them.
func TestColumnsKeepTheirPlaceInAnotherLanguage(t *testing.T) {
	words := say.Of("es", "tank", "tanque", "first", "la primera de todas", "fine", "bien")
	for _, c := range []struct{ line, want string }{
		{"tank      fine", "tanque    bien"},
		{"first  fine", "la primera de todas bien"},
		{"  tank   12", "  tanque 12"},
		{"tank   ", "tanque "},
		{"- ", "- "},
		{"", ""},
	} {
		var b strings.Builder
		terminal := &terminal{w: &b, words: words}
		if got := terminal.columns(c.line); got != c.want {
			t.Errorf("%q: got %q, want %q", c.line, got, c.want)
		}
	}
}
