package quantity

import (
	"testing"

	"pgregory.net/rapid"
)

func TestRewrite(t *testing.T) {
	point, comma := Locale{}, Locale{DecimalComma: true}
	for text, want := range map[string]string{ // from memory, unverified: how the two ways are written
		"8.5 ppm": "8,5 ppm", "1,285.75 L": "1.285,75 L", ".5 in": ",5 in", "1 1/2 in.": "1 1/2 in.", "60 psi": "60 psi", "5 gal.": "5 gal.", "": "",
		"1.2e-9": "1,2e-9", "20-25 C, at noon": "20-25 C, at noon",
	} {
		if got := Rewrite(text, point, comma); got != want {
			t.Errorf("%q became %q, want %q", text, got, want)
		}
		if back := Rewrite(Rewrite(text, point, comma), comma, point); back != text {
			t.Errorf("%q came back as %q", text, back)
		}
		if same := Rewrite(text, comma, comma); same != text {
			t.Errorf("%q became %q without a change of locale", text, same)
		}
	}
}

// What one locale reads, the other reads alike once it is rewritten.
func TestRewriteKeepsTheNumber(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := Locale{DecimalComma: rapid.Bool().Draw(t, "comma")}
		to := Locale{DecimalComma: !from.DecimalComma}
		text := rapid.StringMatching(`-?[0-9]{0,3}([.,][0-9]{1,3}){0,3}(e-?[0-9])?`).Draw(t, "text")
		x, err1 := ParseNumber(text, from)
		y, err2 := ParseNumber(Rewrite(text, from, to), to)
		if (err1 == nil) != (err2 == nil) || x != y {
			t.Errorf("%q is %v (%v), rewritten it is %v (%v)", text, x, err1, y, err2)
		}
	})
}
