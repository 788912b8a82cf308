package quantity

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// ErrNumber marks text whose number cannot be read, or is too large to hold.
var ErrNumber = errors.New("not a number that can be read")

// Locale says how numbers are written. The zero value uses a decimal point.
type Locale struct {
	// DecimalComma reads and prints 3,8 where the zero value has 3.8.
	DecimalComma bool
}

func (l Locale) decimalMark() byte {
	if l.DecimalComma {
		return ','
	}
	return '.'
}

func (l Locale) groupMark() byte {
	if l.DecimalComma {
		return '.'
	}
	return ','
}

// ParseNumber reads a number as people write it: an optional sign, digits, one
// decimal mark (the one of loc, never guessed), thousands in well formed groups
// of three ("1,285", "1 285"), an exponent ("1.2e-9"), or a fraction ("1/2",
// "1 1/2", "1-1/2", "1½").
//
// It refuses NaN, infinities, hexadecimal, underscores, empty text and numbers
// too large for a float64, so a nil error means a finite number. The error
// wraps [ErrNumber].
func ParseNumber(text string, loc Locale) (float64, error) {
	x, fault := readNumber(strings.TrimSpace(plainText(text)), loc)
	if fault != "" {
		return 0, fmt.Errorf("read %q as a number: %w: %s", clip(text), ErrNumber, fault)
	}
	return x, nil
}

// readNumber returns the number in s, or says in words what is wrong with it.
func readNumber(s string, loc Locale) (x float64, fault string) {
	if s == "" {
		return 0, "there is none"
	}
	sign := 1.0
	switch s[0] {
	case '-':
		sign, s = -1, s[1:]
	case '+':
		s = s[1:]
	}
	if strings.IndexByte(s, '/') >= 0 {
		x, fault = readFraction(s)
	} else {
		x, fault = readDecimal(s, loc)
	}
	return sign * x, fault
}

// readFraction reads "1/2", "1 1/2" and "1-1/2".
func readFraction(s string) (x float64, fault string) {
	whole, part, mixed := "0", s, false
	if i := strings.IndexAny(s, " -"); i >= 0 {
		whole, part, mixed = s[:i], s[i+1:], true
	}
	top, bottom, _ := strings.Cut(part, "/")
	if !digitsOnly(whole) || !digitsOnly(top) || !digitsOnly(bottom) {
		return 0, `a fraction is written "1/2" or "1 1/2"`
	}
	w, _ := strconv.ParseFloat(whole, 64)
	t, _ := strconv.ParseFloat(top, 64)
	b, _ := strconv.ParseFloat(bottom, 64)
	x = w + t/b
	switch {
	case b == 0:
		return 0, "a fraction cannot have 0 below the line"
	case mixed && !(t < b):
		return 0, "the fraction after a whole number must be less than one"
	case !finite(x):
		return 0, "it is too large"
	}
	return x, ""
}

// readDecimal reads digits with groups, decimal mark and exponent.
func readDecimal(s string, loc Locale) (x float64, fault string) {
	mantissa, exponent := s, ""
	if i := strings.IndexAny(s, "eE"); i >= 0 {
		mantissa, exponent = s[:i], s[i+1:]
		if !digitsOnly(withoutSign(exponent)) {
			return 0, "its exponent is not a whole number"
		}
	}
	whole, decimals, marked := mantissa, "", false
	if i := strings.IndexByte(mantissa, loc.decimalMark()); i >= 0 {
		whole, decimals, marked = mantissa[:i], mantissa[i+1:], true
	}
	whole, fault = ungroup(whole, loc)
	switch {
	case fault != "":
		return 0, fault
	case whole == "" && decimals == "", whole != "" && !digitsOnly(whole), decimals != "" && !digitsOnly(decimals):
		return 0, fmt.Sprintf("it must be digits with at most one decimal %s", loc.markName())
	}
	text := whole
	if marked {
		text += "." + decimals
	}
	if exponent != "" {
		text += "e" + exponent
	}
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || !finite(x) {
		return 0, "it is too large"
	}
	return x, ""
}

func withoutSign(s string) string {
	if s != "" && (s[0] == '+' || s[0] == '-') {
		return s[1:]
	}
	return s
}

func (l Locale) markName() string {
	if l.DecimalComma {
		return "comma"
	}
	return "point"
}

// ungroup takes the thousands marks out of the whole part of a number. Groups
// that are not one to three digits, then threes, are refused: "3,8" is a number
// written for another locale, and so is "0,285".
func ungroup(whole string, loc Locale) (digits, fault string) {
	mark := loc.groupMark()
	if strings.IndexByte(whole, mark) < 0 {
		mark = ' '
	}
	if strings.IndexByte(whole, mark) < 0 {
		return whole, ""
	}
	groups := strings.Split(whole, string(mark))
	for i, g := range groups {
		first := i == 0 && len(g) >= 1 && len(g) <= 3 && g[0] != '0'
		later := i > 0 && len(g) == 3
		if !digitsOnly(g) || !first && !later {
			return "", fmt.Sprintf("%q groups thousands here and the decimal mark is a %s", mark, loc.markName())
		}
	}
	return strings.Join(groups, ""), ""
}

func digitsOnly(s string) bool {
	for i := range len(s) {
		if !isDigit(s[i]) {
			return false
		}
	}
	return s != ""
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

func finite(x float64) bool { return x-x == 0 }
