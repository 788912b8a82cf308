package demand

import (
	"errors"
	"math"
	"testing"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

const (
	readExponential = "published: University of Cambridge, Mathematical Tripos 2004, workload of M/M/1"
	derived         = "from memory, unverified: "
)

// A lump of 10 L every minute on average; make-up sets the load.
var (
	aLump = quantity.Litres(10)
	every = quantity.Minutes(1)
)

func atLoad(rho float64) quantity.Flow { return quantity.LitresPerMinute(10 / rho) }

func TestDeficitMatchesTheExactTails(t *testing.T) {
	table := check.Ref(t, "testdata/ref/tank_deficit_mg1.csv")
	for _, row := range table.Rows {
		rho, x := row.Number("rho"), quantity.Litres(10*row.Number("x_in_mean_jobs"))
		random, err := DeficitExponential(every, aLump, atLoad(rho), x)
		if err != nil {
			t.Fatal(err)
		}
		check.Within(t, float64(random), row.Number("P(D>x)_exponential_jobs"), 2e-6, readExponential)
		constant, err := DeficitConstant(every, aLump, atLoad(rho), x)
		if err != nil {
			t.Fatal(err)
		}
		want := row.Number("P(D>x)_constant_jobs")
		check.Near(t, float64(constant), want, 1e-6*want+1e-13, table.Source())
	}
}

func TestDeficitOfOneBayMatchesTheExactTail(t *testing.T) {
	table := check.Ref(t, "testdata/ref/tank_deficit_single_bay_onoff.csv")
	for _, row := range table.Rows {
		got, err := DeficitOnOff(quantity.Minutes(row.Number("mean_on_min")), quantity.Minutes(row.Number("mean_off_min")),
			quantity.LitresPerMinute(row.Number("draw_L_min")), quantity.LitresPerMinute(row.Number("make_L_min")),
			quantity.Litres(row.Number("x_L")))
		if err != nil {
			t.Fatal(err)
		}
		check.Within(t, float64(got), row.Number("P(deficit>x)"), 2e-6, table.Source())
	}
}

func TestMeanDeficit(t *testing.T) {
	const source = derived + "Pollaczek-Khinchine mean, worked by hand"
	for _, c := range []struct {
		name string
		v    quantity.Ratio // coefficient of variation
		want float64        // minutes of make-up
	}{
		{"exponential lumps, mean 5 min of make-up", 1, 5.0},
		{"lumps even between 2 and 8 min of make-up", quantity.Ratio(6 / math.Sqrt(12) / 5), 2.8},
	} {
		t.Run(c.name, func(t *testing.T) {
			makeUp := quantity.LitresPerMinute(1)
			got, err := MeanDeficit(quantity.Minutes(10), quantity.Litres(5), c.v, makeUp)
			if err != nil {
				t.Fatal(err)
			}
			check.Near(t, got.Litres(), c.want, 1e-9, source)
		})
	}
}

func TestErlang(t *testing.T) {
	table := check.Ref(t, "testdata/ref/erlang.csv")
	for _, row := range table.Rows {
		offered, n, tol := row.Number("offered_erlangs"), int(row.Number("servers")), row.Number("tol_rel")
		b, err := ErlangB(offered, n)
		if err != nil {
			t.Fatal(err)
		}
		check.Within(t, float64(b), row.Number("B_blocking"), tol, table.Source())
		c, err := ErlangC(offered, n)
		if err != nil {
			t.Fatal(err)
		}
		check.Within(t, float64(c), row.Number("C_wait"), tol, table.Source())
	}
}

func TestErlangGivesThePublishedNumberOfServers(t *testing.T) {
	table := check.Ref(t, "testdata/ref/erlang_published_sizes.csv")
	for _, row := range table.Rows {
		offered, most, n := row.Number("offered_erlangs"), row.Number("blocking"), int(row.Number("integer_servers"))
		enough, err1 := ErlangB(offered, n)
		tooFew, err2 := ErlangB(offered, n-1)
		if err := errors.Join(err1, err2); err != nil {
			t.Fatal(err)
		}
		if !(float64(enough) <= most && most < float64(tooFew)) {
			t.Errorf("%g erlangs: %d servers lose %.4f and %d lose %.4f, want %d to be the least for %.3f (%s)",
				offered, n, enough, n-1, tooFew, n, most, table.Source())
		}
	}
}

// F5: Poisson of mean 4.
func TestPoissonTails(t *testing.T) {
	const source = derived + "Poisson probabilities of mean 4"
	tail := poissonTails(4, 10)
	check.Near(t, tail[0]-tail[1], 0.018316, 5e-7, source)
	check.Near(t, tail[4]-tail[5], 0.195367, 5e-7, source)
	check.Near(t, tail[9], 0.021363, 5e-7, source)
}

func TestFillAndEmptyTimes(t *testing.T) {
	const source = derived + "200 gal at 4 - 1.5 gpm is 80 minutes"
	got, err := EmptyTime(quantity.Gallons(200), quantity.GallonsPerMinute(4), quantity.GallonsPerMinute(1.5))
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, got.Minutes(), 80, 1e-9, source)
	got, err = FillTime(quantity.Gallons(150), quantity.GallonsPerMinute(1.5))
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, got.Minutes(), 100, 1e-9, source)
}

func TestExactResultsRefuseWhatHasNoAnswer(t *testing.T) {
	nan := math.NaN()
	lump, r := quantity.Litres(10), quantity.LitresPerMinute(1)
	for name, call := range map[string]func() error{
		"more asked for than made": func() error { _, err := DeficitExponential(every, lump, r, 0); return err },
		"load of one":              func() error { _, err := DeficitConstant(every, lump, quantity.LitresPerMinute(10), 0); return err },
		"no make-up":               func() error { _, err := MeanDeficit(every, lump, 1, 0); return err },
		"lump not a number":        func() error { _, err := DeficitExponential(every, quantity.Volume(nan), r, 0); return err },
		"deficit not a number":     func() error { _, err := DeficitConstant(every, lump, atLoad(.5), quantity.Volume(nan)); return err },
		"draw below make-up":       func() error { _, err := DeficitOnOff(60, 60, 1, 2, 0); return err },
		"no bays":                  func() error { _, err := ErlangB(1, 0); return err },
		"a line without end":       func() error { _, err := ErlangC(2, 2); return err },
		"erlangs not a number":     func() error { _, err := ErlangB(nan, 1); return err },
		"make-up covers the draw":  func() error { _, err := EmptyTime(1, 1, 1); return err },
		"nothing to fill with":     func() error { _, err := FillTime(1, 0); return err },
	} {
		t.Run(name, func(t *testing.T) {
			if err := call(); !errors.Is(err, ErrRange) {
				t.Errorf("error is %v, want ErrRange", err)
			}
		})
	}
}
