package cost

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"rinsewright/quantity"
)

// Published: compound interest factor tables of engineering economy, 0.25 % and
// 16 % a period, uniform series present worth P/A and capital recovery A/P.
func TestInterestTables(t *testing.T) {
	for _, row := range []struct {
		d      quantity.Ratio
		n      int
		pa, ap float64 // as printed
		tol    float64
	}{
		{0.0025, 1, 0.9975, 1.00250, 5e-5},
		{0.0025, 10, 9.8639, 0.10138, 5e-5},
		{0.0025, 20, 19.4845, 0.05132, 5e-5},
		{0.16, 1, 0.8621, 1.16, 5e-5},
	} {
		got, err := PresentFactor(row.d, row.n)
		if err != nil || math.Abs(got-row.pa) > row.tol {
			t.Errorf("P/A at %v over %d: %v (%v), want %v", row.d, row.n, got, err, row.pa)
		}
		if math.Abs(1/got-row.ap) > row.tol {
			t.Errorf("A/P at %v over %d: %v, want %v", row.d, row.n, 1/got, row.ap)
		}
	}
}

// A loan's payments are worth the loan, and what has paid for itself after n
// years is worth nothing more or less over n.
func TestALifeIsWorthItsYears(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		l := Life{
			First: Money(rapid.Int64Range(0, 5e6).Draw(r, "first")), Yearly: Money(rapid.Int64Range(0, 5e6).Draw(r, "yearly")),
			Years: rapid.IntRange(1, 30).Draw(r, "years"), Discount: quantity.Ratio(rapid.Float64Range(0, 0.3).Draw(r, "discount")),
		}
		present, err := l.Present()
		if err != nil {
			r.Fatal(err)
		}
		annual, err := l.Annual()
		if err != nil {
			r.Fatal(err)
		}
		again, err := Life{Yearly: annual, Years: l.Years, Discount: l.Discount}.Present()
		if err != nil || math.Abs(float64(again-present)) > float64(l.Years)+1 { // each year's money is rounded
			r.Errorf("%+v: present %d, the annual money's present %d (%v)", l, present, again, err)
		}
		if n, ok := Payback(l.First, l.Yearly, l.Discount); ok && l.First > 0 && n >= 1 {
			low, err := PresentFactor(l.Discount, int(n))
			if err == nil && float64(l.Yearly)*low > float64(l.First)*(1+1e-9) {
				r.Errorf("%+v has paid for itself before the %v years that it is told to take", l, n)
			}
		}
	})
}

func TestWhatNeverPays(t *testing.T) {
	if _, ok := Payback(1000, 50, 0.06); ok { // interest alone is 60 a year: arithmetic
		t.Error("saving 50 a year never pays 1000 at 6 %")
	}
	if n, ok := Payback(1000, 250, 0); !ok || n != 4 {
		t.Errorf("1000 at 250 a year, no discount: %v years, want 4", n)
	}
	if _, err := PresentFactor(quantity.Ratio(math.NaN()), 5); err == nil {
		t.Error("a rate that is no number was taken")
	}
}

// At the tied price both ways cost the same. Arithmetic: 30 t + 70 = 60 t at
// t = 7/3.
func TestTieMakesBothCostTheSame(t *testing.T) {
	a := Year{Lines: []Line{{Name: "water", Amount: 30}, {Name: "resin", Amount: 70}}, Total: 100}
	b := Year{Lines: []Line{{Name: "water", Amount: 60}}, Total: 60}
	times, ok := Tie(a, b, "water")
	if !ok || math.Abs(times-7.0/3) > 1e-12 {
		t.Errorf("tied at %v times the price of water, want 7/3", times)
	}
	if _, ok := Tie(a, a, "water"); ok {
		t.Error("a way ties with itself at every price, so no price decides")
	}
}

// Published: compound interest factor tables, 0.25 % a period over 24 periods:
// A/P 0.04298, so 10,000.00 at 3 % a year over two years is paid by 429.80.
func TestALoanIsPaidByTheMonth(t *testing.T) {
	got, err := Monthly(1_000_000, 0.03, 2)
	if err != nil || math.Abs(float64(got-42980)) > 5 { // the table's last digit
		t.Errorf("%d a month (%v), want 42980", got, err)
	}
	if got, err = Monthly(1200, 0, 1); err != nil || got != 100 {
		t.Errorf("without interest %d a month (%v), want 100", got, err)
	}
	if _, err = Monthly(1200, quantity.Ratio(math.NaN()), 1); err == nil {
		t.Error("a rate that is no number was taken")
	}
}
