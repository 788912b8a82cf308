package quantity

import (
	"math"
	"strconv"
	"strings"
)

// A style says how many digits fit a number.
type style uint8

const (
	threeFigures style = iota // three figures, but never fewer than the whole number
	oneDecimal                // at most one decimal, for temperatures
)

// plainest and largest bound what is printed without an exponent.
const (
	plainest = 1e-4
	largest  = 1e9
)

// fit rounds x to the digits that are printed, and returns them in ASCII. What
// it returns, read and fitted again, stays the same: every choice is made from
// the rounded number.
func (st style) fit(x float64) string {
	scientific := strconv.FormatFloat(x, 'e', 2, 64)
	rounded, _ := strconv.ParseFloat(scientific, 64)
	tiny := st == threeFigures && x != 0 && math.Abs(rounded) < plainest
	if tiny || math.Round(math.Abs(x)) >= largest {
		return shortExponent(trimZeros(scientific))
	}
	decimals := 1
	if st == threeFigures {
		exponent, _ := strconv.Atoi(scientific[strings.IndexByte(scientific, 'e')+1:])
		decimals = max(0, 2-exponent)
	}
	text := trimZeros(strconv.FormatFloat(x, 'f', decimals, 64))
	if x == 0 || text == "-0" {
		return "0"
	}
	return text
}

// shortExponent writes e-05 as e-5 and e+09 as e9.
func shortExponent(s string) string {
	mantissa, exponent, _ := strings.Cut(s, "e")
	n, _ := strconv.Atoi(exponent)
	return mantissa + "e" + strconv.Itoa(n)
}

// trimZeros drops the zeros that end the decimals of s, before any exponent.
func trimZeros(s string) string {
	mantissa, exponent, hasExponent := strings.Cut(s, "e")
	if strings.Contains(mantissa, ".") {
		mantissa = strings.TrimRight(strings.TrimRight(mantissa, "0"), ".")
	}
	if hasExponent {
		return mantissa + "e" + exponent
	}
	return mantissa
}

// narrowSpace keeps the groups of a number on one line.
const narrowSpace = "\u202f"

// localize groups the thousands of plain digits and sets the decimal mark: "1,285.5"
// with a point; with a comma "1 285,5", whose groups are parted by a narrow space
// since a point there would read as a decimal elsewhere.
func localize(digits string, loc Locale) string {
	end := strings.IndexAny(digits, ".e")
	if end < 0 {
		end = len(digits)
	}
	mark, group := ".", ","
	if loc.DecimalComma {
		mark, group = ",", narrowSpace
	}
	var b strings.Builder
	for i := range end {
		if i > 0 && isDigit(digits[i-1]) && (end-i)%3 == 0 {
			b.WriteString(group)
		}
		b.WriteByte(digits[i])
	}
	b.WriteString(strings.Replace(digits[end:], ".", mark, 1))
	return b.String()
}
