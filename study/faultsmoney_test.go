package study

import (
	"math"
	"strings"
	"testing"

	"rinsewright/cost"
	"rinsewright/faults"
	"rinsewright/quantity"
	"rinsewright/site"
)

// Leaving, mending and new elements are set side by side by the year, and each
// amount is the yearly cost model's: prices invented, arithmetic by hand.
func TestRepairOrReplaceByTheYear(t *testing.T) {
	told := func(p cost.Price) cost.Entry { return cost.Entry{Value: p, Known: true} }
	s := &site.Site{}
	s.Rig.Membrane = &site.Membrane{Count: 2}
	s.Rig.Resin = []site.Vessel{{Volume: quantity.Told(quantity.Litres(30))}}
	s.Demand.NormalDay, s.Demand.PerVehicle = 10, quantity.Told(quantity.Litres(100))
	s.Prices = cost.Prices{Currency: "USD", Resin: told(1000), Labour: told(6000), Visit: told(5000), Membrane: told(20000), Carbon: told(4000)}
	for _, row := range []struct {
		cause int
		want  map[string]float64
	}{
		// 365 m³ a year: 7.3 bottles of 30 L at 10.00 a litre and 7.3 visits of 50.00 with half
		// an hour of 60.00 are 2,774.00; at twice the life half of it, 1,387.00.
		{3, map[string]float64{"left as it is": 2774, "to mend it": 170, "mended, a year": 170 + 1387, "new elements, with": 540, "new elements, a year": 135 + 1387}},
		{12, map[string]float64{"to mend it": 65, "mended, a year": 65./4 + 1387}},
		{1, map[string]float64{"left as it is": 2774, "new elements, with": 580}}, // carbon first
	} {
		c, _ := faults.CauseOf(row.cause)
		f := &faults.Finding{Ranked: []faults.Suspect{{Cause: c, Remedy: faults.RemedyOf(row.cause), Life: quantity.Litres(50000), Sound: quantity.Litres(100000)}}}
		got, err := repairOrReplace(s, f, &notes{})
		if err != nil {
			t.Fatal(err)
		}
		for name, want := range row.want {
			found := false
			for _, line := range got {
				if strings.HasPrefix(line.Name, name) {
					found = true
					if x := float64(line.Amount.(amount).minor) / 100; math.Abs(x-want) > 1 {
						t.Errorf("cause %d, %s: %.2f, want %.2f (arithmetic by hand)", row.cause, line.Name, x, want)
					}
				}
			}
			if !found {
				t.Errorf("cause %d has no line %q: %v", row.cause, name, got)
			}
		}
	}
}
