package study

import (
	"math"
	"slices"
	"strings"
	"testing"

	"rinsewright/quantity"
)

// TestWaterPerVehicleNeedsNoHurry tells how much a vehicle takes and not how
// long: the gun then has a usual flow, said to be assumed, and the time follows.
// A flow that is told is used.
func TestWaterPerVehicleNeedsNoHurry(t *testing.T) {
	for _, name := range []string{"brightmere", "harrow-field"} {
		s := surveyed(t, name)
		s.Demand.GunFlow, s.Demand.VendTime = quantity.Entry[quantity.Flow]{}, quantity.Entry[quantity.Time]{}
		for _, row := range []struct {
			told, want float64 // gpm; 0 is not told
			source     string
		}{
			{0, 1.5, "from memory, unverified: the usual gun"},
			{6, 6, "invented: as told"},
		} {
			if row.told > 0 {
				s.Demand.GunFlow = quantity.Told(quantity.GallonsPerMinute(row.told))
			}
			var l look
			n := &notes{}
			if err := l.takeDemand(s, drawn{}, n); err != nil {
				t.Fatal(err)
			}
			vend := l.profile.Vends[0]
			if got := l.gunFlow(s).GallonsPerMinute(); !(math.Abs(got-row.want) <= 1e-9) {
				t.Errorf("%s, %g gpm told: the gun gives %g gpm, want %g (%s)", name, row.told, got, row.want, row.source)
			}
			if got := vend.Water(); !(math.Abs(float64(got/s.Demand.PerVehicle.Value)-1) <= 1e-9) {
				t.Errorf("%s: a vehicle takes %g L, told %g L", name, got.Litres(), s.Demand.PerVehicle.Value.Litres())
			}
			said := slices.ContainsFunc(n.assumed, func(a Assumption) bool { return strings.Contains(a.What, "gun: 1.5 gpm") })
			if said != (row.told == 0) {
				t.Errorf("%s, %g gpm told: assumed %v", name, row.told, n.assumed)
			}
		}
	}
}
