package water

import (
	"sort"
	"testing"

	"rinsewright/internal/check"
)

func TestDatabaseSpreadIsThatOfTheTable(t *testing.T) {
	table, apart := check.Ref(t, "testdata/ref/si_database_spread.csv"), map[string][]float64{}
	for _, r := range table.Rows {
		apart[r.Text("quantity")] = append(apart[r.Text("quantity")], r.Number("max_minus_min_ion_pairing_dbs"))
	}
	for column, m := range indexColumns {
		x := apart[column]
		sort.Float64s(x)
		// The table here is two thirds of the one that was summed up, so the last of nine in ten moves a little.
		check.Near(t, m.DatabaseSpread(), x[len(x)*9/10], 0.02+0.1*m.DatabaseSpread(), table.Source())
	}
}
