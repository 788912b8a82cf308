package demand

import (
	"context"
	"errors"
	"testing"

	"pgregory.net/rapid"

	"rinsewright/quantity"
)

// The rinses that run short are those of simulating every day of every year,
// whatever the site and the tank. Two ways of our own to one number: the
// simulation is held against published results elsewhere.
func TestCustomersMetOnceRunShortAsOftenAsSimulated(t *testing.T) {
	none, some := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		c := aCase(t)
		seed := rapid.Uint64().Draw(t, "seed")
		want, err := Replicate(context.Background(), c.Profile, c.Tank, c.MakeUp, 3, seed)
		if err != nil {
			t.Fatal(err)
		}
		met, err := Meet(context.Background(), c.Profile, 3, seed)
		if err != nil {
			t.Fatal(err)
		}
		got, err := met.ShortShare(context.Background(), c.Tank, c.MakeUp)
		if err != nil {
			t.Fatal(err)
		}
		if got != want.ShortShare.Mean {
			t.Errorf("%g of the rinses run short, simulated %g", float64(got), float64(want.ShortShare.Mean))
		}
		if got > 0 {
			some++
		} else {
			none++
		}
	})
	if none == 0 || some == 0 {
		t.Errorf("%d sites never run short, %d do: nothing is shown", none, some)
	}
}

// A tank that holds the busiest day with room to spare is not simulated.
func TestARoomyTankNeedsNoSimulation(t *testing.T) {
	p := steady(20, 3, 3, Vend{Length: 240, SpotFree: 0.3, Flow: 1e-4})
	c, err := Meet(context.Background(), p, 2, 1)
	if err != nil {
		t.Fatal(err)
	}
	flows, err := SteadyMakeUp(1e-5).flows()
	if err != nil {
		t.Fatal(err)
	}
	for i, year := range c.years {
		if day := year.lastRisk(roomyTank(), flows); day >= 0 {
			t.Errorf("year %d may run dry as late as day %d", i, day)
		}
		tight := Tank{Total: 0.01, Stop: 0.01, Start: 0.009, CutOff: 0.001, Restart: 0.002}
		if day := year.lastRisk(tight, flows); day < 300 {
			t.Errorf("year %d: ten litres are safe after day %d", i, day)
		}
	}
}

func TestCustomersOfNoUseAreRefused(t *testing.T) {
	p := steady(20, 3, 3, Vend{Length: 240, SpotFree: 0.3, Flow: 1e-4})
	if _, err := Meet(context.Background(), p, 1, 1); !errors.Is(err, ErrRange) {
		t.Errorf("one year: %v", err)
	}
	c, err := Meet(context.Background(), p, 2, 1)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := c.ShortShare(context.Background(), Tank{}, SteadyMakeUp(1e-5)); err == nil {
		t.Error("no tank has an answer")
	}
	if _, err := c.ShortShare(context.Background(), roomyTank(), nil); !errors.Is(err, ErrRange) {
		t.Errorf("no make-up: %v", err)
	}
	ended, end := context.WithCancel(context.Background())
	end()
	if _, err := c.ShortShare(ended, Tank{Total: 0.01, Stop: 0.01, Start: 0.009, CutOff: 0.001, Restart: 0.002}, SteadyMakeUp(quantity.Flow(1e-6))); !errors.Is(err, context.Canceled) {
		t.Errorf("an ended context: %v", err)
	}
}

// Tanks of all sizes, from one that is short all year to one that never is, among
// them those that just hold or just do not.
func TestTanksThatJustHoldAreToldFromThoseThatDoNot(t *testing.T) {
	for name, row := range map[string]struct {
		vend    Vend
		perDay  float64
		makeUp  quantity.Flow
		restart float64 // share of the tank at which the pump may run again
	}{
		"short vends":            {Vend{Length: 240, SpotFree: 0.5, Flow: 1e-4, Spread: Exponential}, 30, 6e-6, 0.2},
		"vends past midnight":    {Vend{Length: 40000, SpotFree: 0.9, Flow: 2e-5, Spread: Exponential}, 3, 3.4e-5, 0.06},
		"a pump that waits long": {Vend{Length: 240, SpotFree: 0.5, Flow: 1e-4, Spread: Exponential}, 30, 6e-6, 0.85},
	} {
		p := steady(row.perDay, 4, 4, row.vend)
		c, err := Meet(context.Background(), p, 2, 9)
		if err != nil {
			t.Fatal(err)
		}
		none, some := 0, 0
		for volume := 0.05; volume < 20; volume *= 1.08 { // m³
			v := quantity.Volume(volume)
			tank := Tank{Total: v, Stop: v, Start: 0.9 * v, CutOff: 0.05 * v, Restart: quantity.Volume(row.restart) * v}
			want, err := Replicate(context.Background(), p, tank, SteadyMakeUp(row.makeUp), 2, 9)
			if err != nil {
				t.Fatal(err)
			}
			got, err := c.ShortShare(context.Background(), tank, SteadyMakeUp(row.makeUp))
			if err != nil {
				t.Fatal(err)
			}
			if got != want.ShortShare.Mean {
				t.Errorf("%s, %.3g m³: %g run short, simulated %g", name, volume, float64(got), float64(want.ShortShare.Mean))
			}
			if got > 0 {
				some++
			} else {
				none++
			}
		}
		if none < 2 || some < 2 {
			t.Errorf("%s: %d tanks hold, %d do not", name, none, some)
		}
	}
}
