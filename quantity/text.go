package quantity

import "strings"

// plainText writes the typographic forms of text in ASCII: the several spaces,
// minus signs, micro and ohm signs, superscripts, primes and drawn fractions
// that keyboards, spreadsheets and data sheets produce. A character it does not
// know stays, and is then refused by whoever reads on.
func plainText(text string) string {
	if isASCII(text) {
		return text
	}
	var b strings.Builder
	b.Grow(len(text) + 8)
	for _, r := range text {
		if s, ok := plainForms[r]; ok {
			b.WriteString(s)
			continue
		}
		if s, ok := drawnFractions[r]; ok {
			if done := b.String(); done != "" && isDigit(done[len(done)-1]) {
				b.WriteByte(' ')
			}
			b.WriteString(s)
			continue
		}
		b.WriteRune(r)
	}
	return b.String()
}

func isASCII(s string) bool {
	for i := range len(s) {
		if s[i] >= 0x80 {
			return false
		}
	}
	return true
}

var plainForms = map[rune]string{
	'\u00a0': " ", '\u2007': " ", '\u2009': " ", '\u200a': " ", '\u202f': " ", // spaces that do not break, or are thin
	'\u2212': "-", '\u2010': "-", '\u2011': "-", '\u2012': "-", '\u2013': "-", // minus sign, hyphens, figure and en dash
	'\u00b5': "u", '\u03bc': "u", // micro sign, Greek mu
	'\u2126': "Ohm", '\u03a9': "Ohm", // ohm sign, Greek omega
	'\u00b7': "*", '\u22c5': "*", '\u2022': "*", '\u2219': "*", '\u00d7': "*", // products
	'\u00b0': "°", '\u00ba': "°", '\u02da': "°", // degree sign and its lookalikes
	'\u2103': "°C", '\u2109': "°F",
	'\u00b9': "1", '\u00b2': "2", '\u00b3': "3", '\u2082': "2", '\u2083': "3", '\u207b': "-",
	'\u2032': "'", '\u2019': "'", '\u2018': "'",
	'\u2033': `"`, '\u201d': `"`, '\u201c': `"`,
	'\u2044': "/", '\u2215': "/",
}

var drawnFractions = map[rune]string{
	'½': "1/2", '¼': "1/4", '¾': "3/4", '⅓': "1/3", '⅔': "2/3",
	'⅛': "1/8", '⅜': "3/8", '⅝': "5/8", '⅞': "7/8",
}

// splitNumber cuts plain text into the number it starts with and what follows.
// It does not judge the number.
func splitNumber(s string) (number, unit string) {
	i := 0
	for i < len(s) {
		between := i > 0 && i+1 < len(s) && isDigit(s[i-1]) && isDigit(s[i+1])
		switch c := s[i]; {
		case isDigit(c), c == '.', c == ',':
		case i == 0 && (c == '+' || c == '-'):
		case (c == ' ' || c == '/') && between:
		case c == '-' && between && startsFraction(s[i+1:]): // 1-1/2
		case (c == 'e' || c == 'E') && startsExponent(s[:i], s[i+1:]):
			i++ // the exponent's sign or first digit
		default:
			return strings.TrimSpace(s[:i]), strings.TrimSpace(s[i:])
		}
		i++
	}
	return s, ""
}

func startsExponent(before, after string) bool {
	if !strings.ContainsAny(before, "0123456789") {
		return false
	}
	after = withoutSign(after)
	return after != "" && isDigit(after[0])
}

func startsFraction(s string) bool {
	rest := strings.TrimLeft(s, "0123456789")
	return len(rest) < len(s) && len(rest) > 1 && rest[0] == '/' && isDigit(rest[1])
}

// unitKey reduces a unit to what tells units apart: letters, digits, the
// slash, percent and prime marks. Spaces, points, products, brackets, carets
// and degree signs go, so "cu. ft", "L/(m²·h)" and "MOhm-cm" need one spelling
// each. A minus before a digit stays: m-2 is no m2.
func unitKey(unit string) string {
	if !strings.ContainsAny(unit, " .*()^-°'dD") {
		return unit
	}
	var b strings.Builder
	b.Grow(len(unit))
	for i, r := range unit {
		if strings.ContainsRune(" .*()^°", r) {
			continue
		}
		if r == '-' && !(i+1 < len(unit) && isDigit(unit[i+1])) {
			continue
		}
		b.WriteRune(r)
	}
	key := strings.ReplaceAll(b.String(), "''", `"`)
	for _, word := range []string{"degrees", "degree", "deg"} {
		if len(key) > len(word) && strings.EqualFold(key[:len(word)], word) {
			return key[len(word):]
		}
	}
	return key
}

// clip keeps what an error message quotes short enough for one line.
func clip(s string) string {
	const most = 40
	n := 0
	for i := range s {
		if n == most {
			return s[:i] + "…"
		}
		n++
	}
	return s
}
