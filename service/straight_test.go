package service

import (
	"testing"

	"rinsewright/internal/check"
)

// Half a year on, the south has the north's season.
func TestTheSeasonTurnsSouthOfTheEquator(t *testing.T) {
	north, south := Outset{}, Outset{MidSummer: 12}
	for _, day := range []float64{0, 80, 195, 300} {
		c, s := north.phase(day)
		oc, os := south.phase(day - 183)
		check.Within(t, oc, c, 0.02, "from memory, unverified: half a year apart")
		check.Within(t, os, s, 0.02, "from memory, unverified: half a year apart")
	}
}
