package membrane

import (
	"errors"
	"math"
	"testing"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

func TestRecoveryIdentitiesAgreeWithExactIntegrals(t *testing.T) {
	table := check.Ref(t, "testdata/ref/ro_recovery_identities.csv")
	for _, row := range table.Rows {
		y, r := quantity.Ratio(row.Number("recovery")), quantity.Ratio(row.Number("r_local"))
		tol := row.Number("tol_rel")
		check.Within(t, must[float64](t)(AverageConcentration(y)), row.Number("avg_concentration_factor_ln"), tol, table.Source())
		check.Within(t, must[float64](t)(EndConcentration(y, r)), row.Number("end_concentration_factor"), tol, table.Source())
		check.Within(t, float64(must[quantity.Ratio](t)(MeanPassage(y, r))), row.Number("permeate_over_feed_plugflow"), tol, table.Source())
		check.Within(t, must[float64](t)(PolarisationRule(y)), row.Number("beta_exp_0.7Y"), tol, table.Source())
	}
}

func TestConcentrateStrengthIsTheStandardsBalance(t *testing.T) {
	for _, c := range []struct{ passage, want float64 }{{0, 300}, {0.01, 298.5}} {
		got := must[quantity.MassConc](t)(ConcentrateStrength(quantity.MilligramsPerLitre(150), 0.5, quantity.Ratio(c.passage)))
		check.Within(t, got.MilligramsPerLitre(), c.want, 1e-12, "published: ASTM D4582-91, section 7.1-7.2, worked for 150 mg/L calcium at half recovery")
	}
}

func TestThreePensTellRecoveryThatMadeThem(t *testing.T) {
	for _, y := range []quantity.Ratio{0.1, 0.33, 0.5, 0.75} {
		feed, sp := quantity.MilligramsPerLitre(400), quantity.Ratio(0.03)
		c := must[quantity.MassConc](t)(ConcentrateStrength(feed, y, sp))
		got := must[quantity.Ratio](t)(RecoveryFromStrengths(feed, quantity.MassConc(float64(sp)*float64(feed)), c))
		near(t, "recovery", float64(got), float64(y), 1e-12)
	}
}

func TestRecoveryIdentitiesRefuseWhatIsNoRecovery(t *testing.T) {
	for _, y := range []quantity.Ratio{-0.1, 1, 2, quantity.Ratio(math.NaN()), quantity.Ratio(math.Inf(1))} {
		for name, f := range map[string]func() error{
			"average": func() error { _, err := AverageConcentration(y); return err },
			"end":     func() error { _, err := EndConcentration(y, 0.9); return err },
			"mean":    func() error { _, err := MeanPassage(y, 0.9); return err },
			"balance": func() error { _, err := ConcentrateStrength(1, y, 0.9); return err },
		} {
			if err := f(); !errors.Is(err, ErrRange) {
				t.Errorf("%s at recovery %v: error %v, want ErrRange", name, y, err)
			}
		}
	}
	if _, err := RecoveryFromStrengths(0.4, 0.4, 0.4); !errors.Is(err, ErrRange) {
		t.Errorf("three equal pens: error %v, want ErrRange", err)
	}
}
