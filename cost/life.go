package cost

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// Life is what something costs over years: money at once, then the same money
// at the end of each year.
type Life struct {
	First    Money
	Yearly   Money
	Years    int
	Discount quantity.Ratio // what money is worth less for coming a year later
}

// PresentFactor returns what one unit of money a year, for some years, is worth
// today, a number of years' worth:
//
//	(P/A) = (1 − (1+d)⁻ⁿ) / d,  n for d = 0
//
// Source: [InterestTables], uniform series present worth. The error wraps
// [ErrRange] unless 1 ≤ n ≤ 100 and 0 ≤ d ≤ 1.
func PresentFactor(d quantity.Ratio, n int) (float64, error) {
	if !(d >= 0 && d <= 1) || n < 1 || n > 100 {
		return 0, fmt.Errorf("present worth: %w: %g a year over %d years, wanted 0 to 1 over 1 to 100", ErrRange, float64(d), n)
	}
	if d == 0 {
		return float64(n), nil
	}
	return -math.Expm1(-float64(n)*math.Log1p(float64(d))) / float64(d), nil
}

// Present returns what a life costs in today's money:
//
//	first + yearly · (P/A)
//
// Errors are those of [PresentFactor].
func (l Life) Present() (Money, error) {
	f, err := PresentFactor(l.Discount, l.Years)
	if err != nil {
		return 0, fmt.Errorf("cost over a life: %w", err)
	}
	return l.First + Money(math.Round(float64(l.Yearly)*f)), nil
}

// Annual returns the same money each year that is worth as much as the whole
// life: the first cost paid back over the years, and the yearly cost,
//
//	first · (A/P) + yearly,  (A/P) = 1 / (P/A)
//
// With the lender's rate as the discount, first · (A/P) is the yearly payment
// of a loan for it. Errors are those of [PresentFactor].
func (l Life) Annual() (Money, error) {
	f, err := PresentFactor(l.Discount, l.Years)
	if err != nil {
		return 0, fmt.Errorf("cost a year over a life: %w", err)
	}
	return l.Yearly + Money(math.Round(float64(l.First)/f)), nil
}

// Monthly returns the payment each month of a loan at a rate a year, its
// twelfth each month:
//
//	loan · (r/12) / (1 − (1 + r/12)^−12n),  loan/12n for r = 0
//
// Source: [InterestTables], capital recovery by months. The error wraps
// [ErrRange] unless the loan is not negative, 0 ≤ r ≤ 1 and 1 ≤ n ≤ 30 years.
func Monthly(loan Money, rate quantity.Ratio, years int) (Money, error) {
	if !(rate >= 0 && rate <= 1) || years < 1 || years > 30 || loan < 0 {
		return 0, fmt.Errorf("loan: %w: %d over %d years at %g a year", ErrRange, loan, years, float64(rate))
	}
	months, r := float64(12*years), float64(rate)/12
	if r == 0 {
		return Money(math.Round(float64(loan) / months)), nil
	}
	return Money(math.Round(float64(loan) * r / -math.Expm1(-months*math.Log1p(r)))), nil
}

// Payback returns the years until a dearer first cost has paid for itself by
// what it saves each year, in money that is worth less for coming later:
//
//	n = −ln(1 − extra·d/saved) / ln(1+d),  extra/saved for d = 0
//
// Nothing extra pays at once. ok is false where it never does. Source:
// [InterestTables], the present worth factor solved for n.
func Payback(extra, saved Money, d quantity.Ratio) (years float64, ok bool) {
	if extra <= 0 {
		return 0, true
	}
	if saved <= 0 || !(d >= 0 && d <= 1) {
		return 0, false
	}
	n := float64(extra) / float64(saved)
	if d == 0 {
		return n, true
	}
	if n*float64(d) >= 1 { // the interest alone is more than what is saved
		return 0, false
	}
	return -math.Log1p(-n*float64(d)) / math.Log1p(float64(d)), true
}

// Tie returns by how many times one price would have to change for a year of a
// to cost as much as one of b, a dimensionless number; the line is found by
// name in both. ok is false where no such price above nothing exists.
func Tie(a, b Year, line string) (times float64, ok bool) {
	counted := float64(a.of(line) - b.of(line))
	if counted == 0 {
		return 0, false
	}
	times = 1 - float64(a.Total-b.Total)/counted
	return times, times > 0 && !math.IsInf(times, 0)
}

func (y Year) of(name string) Money {
	for _, l := range y.Lines {
		if l.Name == name {
			return l.Amount
		}
	}
	return 0
}
