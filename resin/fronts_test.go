package resin

import (
	"math"
	"testing"

	"rinsewright/water"
)

// The constant pattern of Hall and others 1966 (from memory, unverified), by a
// pocket calculator: a film alone passes 1/e when the sharp front would be there,
// beads alone 1 - 1/e; at a twentieth a film of 50 units is early by
// (ln 20 - 1)/50 = 3.991 %, and beads of 50 units let nothing through until 2 % before.
func TestFrontsAreRoundedAsTheConstantPatternIs(t *testing.T) {
	still := math.Inf(1)
	for _, row := range []struct{ film, bead, x, want float64 }{
		{50, still, 1 / math.E, 1},
		{still, 50, 1 - 1/math.E, 1},
		{50, still, 0.05, 1 - 0.0399146},
		{still, 50, 1e-9, 1 - 0.02},
		{50, 50, 0.5, 1 + (1-math.Ln2)/50 - (1-math.Ln2)/50},
		{still, still, 0.05, 1},
	} {
		f := front{at: 1, film: row.film, bead: row.bead}
		if got := f.rounded(row.x); math.Abs(got-row.want) > 1e-6 {
			t.Errorf("film %v, bead %v, share %v: %v of the sharp front, want %v (from memory, unverified: Hall and others 1966)", row.film, row.bead, row.x, got, row.want)
		}
	}
}

// A zone much wider than its fronts has its full strength, one much narrower what
// is fed and little more.
func TestNarrowZonesAreBlunted(t *testing.T) {
	f := front{component: water.Silica, strength: 1, film: 100, bead: 100} // 50 units in series
	if got := f.blunted(0.5, 1); math.Abs(got-1) > 1e-9 {
		t.Errorf("half the bed: %v of full strength", got)
	}
	if got, want := f.blunted(1e-5, 1), 1e-5+125e-5; math.Abs(got/want-1) > 0.01 {
		t.Errorf("a hundred-thousandth of the bed: %v, want %v: the zone's share of the front's width", got, want)
	}
}
