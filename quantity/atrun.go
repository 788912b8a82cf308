package quantity

import (
	"math"
	"strings"
)

// A log holds readings of many kinds in one list, so their kind is known only
// when the program runs. These doors do for a [Kind] what the typed ones do.

// ParseKind reads text as a quantity of kind k, as [Parse] does, and tells its
// number in the kind's SI unit and the size of one step of its last digit in the
// same unit: 0.1 gpm for "1.5 gpm", 0 where the number is a fraction or has an
// exponent. A kind that does not exist is a [*ParseError] wrapping [ErrUnit].
func ParseKind(k Kind, text string, loc Locale) (si, step float64, err error) {
	if indexes[k] == nil {
		return 0, 0, &ParseError{Kind: k, Read: text, Wanted: "a quantity", Fault: ", of which nobody knows what it measures", cause: ErrUnit}
	}
	si, fault := parseKind(k, text, loc)
	if fault != nil {
		return 0, 0, fault
	}
	return si, stepOf(k, si, text, loc), nil
}

// stepOf is one step of the last digit of text, in the SI unit of k.
func stepOf(k Kind, si float64, text string, loc Locale) float64 {
	number, unitText := splitNumber(strings.TrimSpace(plainText(text)))
	number = strings.TrimSpace(number)
	if number == "" || strings.ContainsAny(number, "/eE ") {
		return 0
	}
	u, fault := unitOf(k, text, unitText)
	if fault != nil {
		return 0
	}
	decimals := 0
	if i := strings.IndexByte(number, loc.decimalMark()); i >= 0 {
		decimals = len(number) - i - 1
	}
	step := math.Abs(u.toSI(u.fromSI(si)+math.Pow(10, -float64(decimals))) - si)
	if !finite(step) {
		return 0
	}
	return step
}

// FormatKind prints a number in the SI unit of k as [FormatLocale] prints a
// quantity of that kind; a kind that does not exist prints as a bare number.
func FormatKind(k Kind, si float64, s System, loc Locale) string {
	return FormatKindBeside(k, si, 0, s, loc)
}

// FormatKindBeside is [FormatBeside] for numbers in the SI unit of k.
func FormatKindBeside(k Kind, si, reference float64, s System, loc Locale) string {
	if !finite(si) {
		return "no value"
	}
	if indexes[k] == nil {
		return localize(threeFigures.fit(si), loc)
	}
	if finite(reference) && reference != 0 {
		if _, u := fitKind(k, reference, s); u != indexes[k].units[0] { // which is an exponent's
			return withUnit(localize(shown[k].style.fit(u.fromSI(si)), loc), u)
		}
	}
	digits, u := fitKind(k, si, s)
	return withUnit(localize(digits, loc), u)
}

// PlainKind returns a number in the SI unit of k in the ASCII unit that
// [PlainUnit] gives its kind, and that unit; "1" for a kind that does not exist.
func PlainKind(k Kind, si float64, s System) (float64, string) {
	if indexes[k] == nil {
		return si, "1"
	}
	u := mustFind(k, plainUnit(k, s))
	x := u.fromSI(si)
	if !finite(x) {
		return si, indexes[k].units[0].plain
	}
	return x, u.plain
}

// KindsOf lists the kinds that have the unit of text, such as "60 psi"; none
// where the number or the unit cannot be read.
func KindsOf(text string) (kinds []Kind) {
	number, unitText := splitNumber(strings.TrimSpace(plainText(text)))
	key := unitKey(unitText)
	if number == "" || key == "" {
		return nil
	}
	for _, group := range unitTable {
		if indexes[group.kind].find(key) != nil {
			kinds = append(kinds, group.kind)
		}
	}
	return kinds
}

// KindFor returns the kind of the type Q.
func KindFor[Q Quantity]() Kind {
	var q Q
	return q.kind()
}
