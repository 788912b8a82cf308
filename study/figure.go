package study

import (
	"fmt"
	"math"
	"strconv"
	"unicode"
	"unicode/utf8"

	"rinsewright/cost"
	"rinsewright/quantity"
)

// Figure is one number with its unit, ready for any face: as a person reads it
// in their units, or as a program does.
type Figure interface {
	// Text prints it with digits that fit.
	Text(s quantity.System, loc quantity.Locale) string
	// Plain gives it as a number in the ASCII unit of a system.
	Plain(s quantity.System) (value float64, unit string)
}

type typed[Q quantity.Quantity] struct{ q Q }

func (t typed[Q]) Text(s quantity.System, loc quantity.Locale) string {
	return quantity.FormatLocale(t.q, s, loc)
}

func (t typed[Q]) Plain(s quantity.System) (float64, string) { return quantity.Plain(t.q, s) }

// besides prints a figure in the unit of another of its kind.
type besides interface {
	textBeside(value Figure, s quantity.System, loc quantity.Locale) string
}

func (t typed[Q]) textBeside(value Figure, s quantity.System, loc quantity.Locale) string {
	if v, same := value.(typed[Q]); same {
		return quantity.FormatBeside(t.q, v.q, s, loc)
	}
	return t.Text(s, loc)
}

// textBeside prints f in the unit of value where both are of one kind.
func textBeside(f, value Figure, s quantity.System, loc quantity.Locale) string {
	if b, ok := f.(besides); ok {
		return b.textBeside(value, s, loc)
	}
	return f.Text(s, loc)
}

func figure[Q quantity.Quantity](q Q) Figure { return typed[Q]{q} }

// asTold shows a value in the words it came in, where it did.
func asTold[Q quantity.Quantity](e quantity.Entry[Q], q Q) Figure {
	if e.Typed == "" {
		return figure(q)
	}
	return spoken[Q]{typed[Q]{q}, e.Typed}
}

type spoken[Q quantity.Quantity] struct {
	typed[Q]
	words string
}

func (s spoken[Q]) Text(quantity.System, quantity.Locale) string { return s.words }

// capital begins a sentence.
func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// count is a plain number of things, such as starts a day.
type count struct {
	n    float64
	unit string // "per day", "days", ""
}

func (c count) Text(_ quantity.System, loc quantity.Locale) string {
	digits := 0
	if math.Abs(c.n) < 9.95 && c.n != math.Trunc(c.n) {
		digits = 1
	}
	return trimSpace(localised(strconv.FormatFloat(c.n, 'f', digits, 64), loc) + " " + c.unit)
}

func (c count) Plain(quantity.System) (float64, string) { return c.n, c.unit }

func trimSpace(s string) string {
	for len(s) > 0 && s[len(s)-1] == ' ' {
		s = s[:len(s)-1]
	}
	return s
}

func localised(s string, loc quantity.Locale) string {
	if !loc.DecimalComma {
		return s
	}
	b := []byte(s)
	for i := range b {
		if b[i] == '.' {
			b[i] = ','
		}
	}
	return string(b)
}

// amount is money, in minor units with their fraction: 0.4 cents a rinse is
// worth telling.
type amount struct {
	minor    float64
	currency string
}

// wholeMoney rounds a number of minor units.
func wholeMoney(minor float64) cost.Money { return cost.Money(math.Round(minor)) }

func money(m cost.Money, currency string) Figure { return amount{float64(m), currency} }

func (a amount) Text(_ quantity.System, loc quantity.Locale) string {
	digits := 2
	if math.Abs(a.minor) >= 100000 {
		digits = 0
	}
	return localised(strconv.FormatFloat(a.minor/100, 'f', digits, 64), loc) + " " + a.currency
}

func (a amount) Plain(quantity.System) (float64, string) { return a.minor / 100, a.currency }

// life is a length of time told as people tell it: hours, days, months, years.
type life struct{ t quantity.Time }

func (l life) Text(_ quantity.System, loc quantity.Locale) string {
	days := l.t.Days()
	show := func(x float64, unit string) string {
		digits := 0
		if x < 9.95 {
			digits = 1
		}
		return localised(strconv.FormatFloat(x, 'f', digits, 64), loc) + " " + unit
	}
	switch {
	case days < 1.0/24:
		return show(l.t.Minutes(), "min")
	case days < 2:
		return show(l.t.Hours(), "h")
	case days < 90:
		return show(days, "days")
	case days < 730:
		return show(days/30.4, "months")
	case days < 36500:
		return show(days/365, "years")
	}
	return "over 100 years"
}

func (l life) Plain(quantity.System) (float64, string) { return l.t.Days(), "d" }

// Band is a figure with its 5 to 95 % band.
type Band struct {
	Value, Low, High Figure
}

// Text prints "11 days (9 to 14)"; the band's ends carry their unit only where the
// upper one's differs from the value's.
func (b Band) Text(s quantity.System, loc quantity.Locale) string {
	value, low, high := b.Value.Text(s, loc), textBeside(b.Low, b.Value, s, loc), textBeside(b.High, b.Value, s, loc)
	if low == value && high == value {
		return value
	}
	least, most := withoutUnit(low, value), withoutUnit(high, value)
	if most == high { // "15 to 2.1 days" would read as 15 days
		least = low
	}
	return fmt.Sprintf("%s (%s to %s)", value, least, most)
}

// withoutUnit drops the unit of text when reference ends in the same one.
func withoutUnit(text, reference string) string {
	unit := func(s string) string {
		for i := len(s) - 1; i >= 0; i-- {
			if '0' <= s[i] && s[i] <= '9' {
				return s[i+1:]
			}
		}
		return s
	}
	if u := unit(text); u == unit(reference) {
		return text[:len(text)-len(u)]
	}
	return text
}
