package demand

import (
	"context"
	"fmt"
	"math"
	"testing"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

// steady is a site with the same rate of arrival at every hour of the year.
func steady(perDay float64, bays, waiting int, v Vend) Profile {
	p := Profile{Bays: bays, Waiting: waiting, Vends: []Vend{v}}
	for i := range p.Weekday {
		p.Weekday[i] = perDay
	}
	for i := range p.Month {
		p.Month[i] = 1
	}
	for i := range p.Hours {
		p.Hours[i] = 1
	}
	return p
}

// bottomless is a tank so large for its lumps that it never runs dry, with a
// float valve, so that its deficit is a workload.
func bottomless(full quantity.Volume) Tank {
	return Tank{Total: full, Stop: full, Start: full, Restart: full / 2}
}

func mustSimulate(t testing.TB, p Profile, tank Tank, m MakeUp, seed uint64) Year {
	t.Helper()
	y, err := SimulateYear(context.Background(), p, tank, m, seed)
	if err != nil {
		t.Fatal(err)
	}
	return y
}

// Lumps are drawn in a millisecond, a mean of one each 52 seconds: 600,000 a year.
func TestSimulatedTankMatchesTheExactDeficit(t *testing.T) {
	const perDay, lump = 1650, 10.0 // L
	table := check.Ref(t, "testdata/ref/tank_deficit_mg1.csv")
	for _, law := range []struct {
		spread Spread
		column string
	}{{Exponential, "P(D>x)_exponential_jobs"}, {Fixed, "P(D>x)_constant_jobs"}} {
		years := map[float64]Year{}
		for _, row := range table.Rows {
			rho := row.Number("rho")
			full := quantity.Litres(128 * lump)
			if _, done := years[rho]; !done {
				const draw = 1e-3 // s
				p := steady(perDay, 16, 100, Vend{
					Length: draw, SpotFree: 1, Spread: law.spread,
					Flow: quantity.Flow(lump * 1e-3 / draw),
				})
				makeUp := quantity.Flow(lump * 1e-3 * perDay / 86400 / rho)
				years[rho] = mustSimulate(t, p, bottomless(full), SteadyMakeUp(makeUp), 7)
				if y := years[rho]; y.Wanted < 2e5 || y.Short() != 0 {
					t.Fatalf("%d vends, %d short: want 200,000 or more and none", y.Wanted, y.Short())
				}
			}
			x := quantity.Litres(lump * row.Number("x_in_mean_jobs"))
			got := years[rho].ShareBelow(full - x)
			check.Near(t, float64(got), row.Number(law.column), row.Number("tol_abs_for_simulation"), table.Source())
		}
	}
}

// The mean deficit of M/G/1, by the area under its tail.
func TestSimulatedTankMatchesTheMeanDeficit(t *testing.T) {
	const perDay = 1440.0 // one a minute, so that 0.1 a minute of 5 min is load 0.5 here
	full := quantity.Litres(64)
	for _, c := range []struct {
		name   string
		spread Spread
		want   float64 // in mean lumps
	}{{"exponential", Exponential, 1}, {"even between 0.4 and 1.6", Uniform, 0.56}} {
		t.Run(c.name, func(t *testing.T) {
			p := steady(perDay, 16, 100, Vend{Length: 1e-3, SpotFree: 1, Spread: c.spread, Within: 0.6, Flow: 1})
			y := mustSimulate(t, p, bottomless(full), SteadyMakeUp(quantity.LitresPerMinute(2)), 3)
			mean := 0.0
			for k := range 640 { // L/10
				mean += 0.1 * float64(y.ShareBelow(full-quantity.Litres(0.1*(float64(k)+0.5))))
			}
			check.Near(t, mean, c.want, 0.02, derived+"Pollaczek-Khinchine mean: 5.0 and 2.8 minutes of lumps of 5")
		})
	}
}

// One bay, nobody waits: the pauses are the exponential waits for the next
// vehicle.
func TestSimulatedTankMatchesOneBay(t *testing.T) {
	table := check.Ref(t, "testdata/ref/tank_deficit_single_bay_onoff.csv")
	years := map[string]Year{}
	for _, row := range table.Rows {
		on, off := row.Number("mean_on_min"), row.Number("mean_off_min")
		draw, makes := row.Number("draw_L_min"), row.Number("make_L_min")
		full := quantity.Litres(1280)
		key := fmt.Sprint(on, off, draw, makes)
		if _, done := years[key]; !done {
			// ten times as fast, so that a year holds more than 200,000 vends
			p := steady(1440/off*10, 1, 0, Vend{
				Length: quantity.Minutes(on / 10), SpotFree: 1,
				Spread: Exponential, Flow: quantity.LitresPerMinute(draw * 10),
			})
			years[key] = mustSimulate(t, p, bottomless(full), SteadyMakeUp(quantity.LitresPerMinute(makes*10)), 11)
			if y := years[key]; y.Served < 2e5 || y.Short() != 0 {
				t.Fatalf("%d vends served, %d short: want 200,000 or more and none", y.Served, y.Short())
			}
		}
		got := years[key].ShareBelow(full - quantity.Litres(row.Number("x_L")))
		check.Near(t, float64(got), row.Number("P(deficit>x)"), row.Number("tol_abs_for_simulation"), table.Source())
	}
}

func TestSimulatedBaysMatchErlang(t *testing.T) {
	table := check.Ref(t, "testdata/ref/erlang.csv")
	const perDay = 700.0 // 255,500 vehicles
	tank, makeUp := bottomless(quantity.Litres(1e6)), SteadyMakeUp(quantity.LitresPerMinute(1))
	for i, row := range table.Rows {
		offered, n := row.Number("offered_erlangs"), int(row.Number("servers"))
		v := Vend{Length: quantity.Time(offered * 86400 / perDay), Spread: Exponential}
		lost := mustSimulate(t, steady(perDay, n, 0, v), tank, makeUp, uint64(i))
		b := row.Number("B_blocking")
		// arrivals that find the bays full come in bunches: allow four times the
		// error of independent ones, stretched by the load
		tol := 4 * math.Sqrt(b*(1-b)/float64(lost.Wanted)*(1+2*offered))
		check.Near(t, float64(lost.TurnedAwayShare()), b, tol, table.Source())

		queue := mustSimulate(t, steady(perDay, n, maxWaiting, v), tank, makeUp, uint64(i))
		c := row.Number("C_wait")
		tol = 4 * math.Sqrt(c*(1-c)/float64(queue.Wanted)*(1+2*offered/(1-offered/float64(n))))
		check.Near(t, float64(queue.Waited)/float64(queue.Wanted), c, tol, table.Source())
		if queue.Waited > 1e4 {
			check.Within(t, float64(queue.MeanWait), float64(v.Length)/(float64(n)-offered), 0.1,
				derived+"M/M/c: who waits, waits a vend length over the bays not offered a load")
		}
	}
}

// Where all bays are taken longer than vends last, the water follows: loss does
// not depend on the law of vend length.
func TestBlockingDoesNotDependOnTheSpreadOfVends(t *testing.T) {
	tank, makeUp := bottomless(quantity.Litres(1e6)), SteadyMakeUp(quantity.LitresPerMinute(1))
	want, err := ErlangB(2, 4)
	if err != nil {
		t.Fatal(err)
	}
	for _, spread := range []Spread{Fixed, Uniform, Exponential} {
		v := Vend{Length: 2 * 86400.0 / 700, Spread: spread, Within: 0.5}
		y := mustSimulate(t, steady(700, 4, 0, v), tank, makeUp, 5)
		if got := y.TurnedAwayShare(); math.Abs(float64(got-want)) > 0.004 {
			t.Errorf("spread %d: turned away %.4f, Erlang's loss is %.4f", spread, got, want)
		}
	}
}
