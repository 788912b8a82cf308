package study

import (
	"testing"

	"rinsewright/quantity"
)

// A band whose ends are in two units carries both: "15 to 2.1 days" would be read as
// fifteen days. Arithmetic, no outside source.
func TestABandInTwoUnitsCarriesBoth(t *testing.T) {
	for want, b := range map[string]Band{
		"27 h (15 h to 2.1 days)":     {life{quantity.Hours(27)}, life{quantity.Hours(15)}, life{quantity.Days(2.1)}},
		"11 days (9.0 to 14)":         {life{quantity.Days(11)}, life{quantity.Days(9)}, life{quantity.Days(14)}},
		"2.5 days (30 h to 4.0)":      {life{quantity.Days(2.5)}, life{quantity.Hours(30)}, life{quantity.Days(4)}},
		"3.0 months (80 days to 4.0)": {life{quantity.Days(91.2)}, life{quantity.Days(80)}, life{quantity.Days(121.6)}},
	} {
		if got := b.Text(quantity.SI, quantity.Locale{}); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}
