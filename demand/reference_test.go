package demand

import (
	"context"
	"math"
	"testing"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

// Another simulator, written on a general discrete-event library, runs the same
// busy wash with too little make-up: the means agree within the error of both.
func TestAnotherSimulatorAgrees(t *testing.T) {
	table := check.Ref(t, "testdata/ref/busy_year.csv")
	p, tank, _ := busySite(t)
	const years = 40
	r, err := Repeat(context.Background(), Case{Profile: p, Tank: tank, MakeUp: SteadyMakeUp(quantity.LitresPerMinute(1.6))}, years, 1)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		column string
		got    Estimate[float64]
	}{
		{"vends", r.Wanted},
		{"short", r.Short},
		{"turned_away", r.TurnedAway},
		{"starts", times(r.StartsPerDay, DaysInYear)},
		{"delivered", Estimate[float64]{float64(r.Delivered.Mean), float64(r.Delivered.Low), float64(r.Delivered.High)}},
	} {
		mean, square, n := 0.0, 0.0, float64(len(table.Rows))
		for _, row := range table.Rows {
			mean += row.Number(c.column) / n
		}
		for _, row := range table.Rows {
			square += math.Pow(row.Number(c.column)-mean, 2) / (n - 1)
		}
		theirs := math.Sqrt(square / n)
		ours := (c.got.High - c.got.Low) / 2 / 2.02 // Student's 95 % of 39 degrees
		check.Near(t, c.got.Mean, mean, 3.5*math.Hypot(ours, theirs), "reference code: simpy 3.0.11, docs/bench/busy_year.py, "+c.column)
	}
}

func times(e Estimate[float64], by float64) Estimate[float64] {
	return Estimate[float64]{e.Mean * by, e.Low * by, e.High * by}
}
