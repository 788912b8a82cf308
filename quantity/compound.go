package quantity

import (
	"math"
	"strings"
)

// parseCompound reads the second part of a length or a time in two parts, such
// as `5' 6 1/2"` and "1 h 30 min". The first number is x; tail is its unit with
// all that follows. A dash may join the parts, as in 5'-6". The second must stay below
// one of the first unit, or the text is not read: "1 h 90 min" is more likely a slip.
func parseCompound(k Kind, x float64, tail string, loc Locale) (si float64, ok bool) {
	if k != KindLength && k != KindTime {
		return 0, false
	}
	cut := strings.IndexAny(tail, "0123456789.")
	for cut >= 0 && cut < len(tail) && tail[cut] == '.' && !(cut+1 < len(tail) && isDigit(tail[cut+1])) {
		next := strings.IndexAny(tail[cut+1:], "0123456789.") // the point of "ft."
		if next < 0 {
			return 0, false
		}
		cut += 1 + next
	}
	if cut <= 0 || x != math.Trunc(x) {
		return 0, false
	}
	number, rest := splitNumber(tail[cut:])
	y, fault := readNumber(number, loc)
	large, _ := findUnit(k, strings.TrimSpace(tail[:cut]))
	small, _ := findUnit(k, rest)
	if fault != "" || large == nil || small == nil || !(small.toSI(y) < large.toSI(1)) {
		return 0, false
	}
	si = large.toSI(x) + math.Copysign(small.toSI(y), x)
	return si, finite(si)
}
