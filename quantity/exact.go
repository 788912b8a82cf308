package quantity

import (
	"math"
	"strconv"
)

// Exact prints q in unit with the fewest digits that [Parse] reads back to
// exactly q, bit for bit, with a decimal point and an ASCII unit: "60 psi".
//
// Converting rounds, so some values have no decimal in some units. Those print
// in the SI unit of the kind, where every value has one. The error is as for
// [In]; it wraps [ErrNumber] if q is not finite.
func Exact[Q Quantity](q Q, unit string) (string, error) {
	u, fault := unitOf(q.kind(), unit, unit)
	if fault != nil {
		return "", fault
	}
	si := float64(q)
	if !finite(si) {
		return "", newParseError(q.kind(), strconv.FormatFloat(si, 'g', -1, 64), ErrNumber, ", which is not finite")
	}
	digits, ok := u.shortest(si)
	if !ok {
		u = indexes[q.kind()].units[0]
		digits = plainDigits(si)
	}
	if u.name == "" {
		return digits, nil
	}
	return digits + " " + u.plain, nil
}

// shortest searches the decimals of one digit, then two, up to seventeen, next
// to si in unit u. Beyond the rounding of x itself its neighbours are tried,
// since x carries the rounding of the conversion.
func (u *unit) shortest(si float64) (digits string, ok bool) {
	if u.exactly(0, si) {
		return plainDigits(math.Copysign(0, si)), true
	}
	x := u.fromSI(si)
	for figures := 1; figures <= 17; figures++ {
		rounded, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', figures-1, 64), 64)
		if err == nil && u.exactly(rounded, si) {
			return plainDigits(rounded), true
		}
	}
	const neighbours = 8
	up, down := x, x
	for range neighbours {
		up, down = math.Nextafter(up, math.Inf(1)), math.Nextafter(down, math.Inf(-1))
		for _, y := range []float64{up, down} {
			if u.exactly(y, si) {
				return plainDigits(y), true
			}
		}
	}
	return "", false
}

// exactly tells bits apart, so that -0 is not 0.
func (u *unit) exactly(x, si float64) bool {
	return math.Float64bits(u.toSI(x)) == math.Float64bits(si)
}

// plainDigits is the shortest text of x, without an exponent where it is short.
func plainDigits(x float64) string {
	if size := math.Abs(x); size == 0 || 1e-5 <= size && size < 1e15 {
		return strconv.FormatFloat(x, 'f', -1, 64)
	}
	return strconv.FormatFloat(x, 'g', -1, 64)
}
