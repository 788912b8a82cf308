package faults

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// sealForms is a leak in each housing in turn.
func sealForms(c *Case) (all []form) {
	for i := range max(c.Facts.Housings, 1) {
		all = append(all, form{fmt.Sprintf("housing %d", i+1), 1, func(s *state, x float64) {
			s.rig.LeaksAt, s.rig.Membrane.Bypass = i+1, quantity.Ratio(rising(x, 0.004, 0.08))
		}, false})
	}
	return all
}

// feedForms is a feed that grew stronger, or weaker.
func feedForms(*Case) []form {
	return []form{
		{"stronger", 3, func(s *state, x float64) { s.rig.strength *= rising(x, 1.25, 2.3) }, true},
		{"weaker", 1, func(s *state, x float64) { s.rig.strength *= rising(x, 0.8, 0.5) }, true},
	}
}

// penForms is a pen that shows too much, or too little: another scale, or a
// dirty cell.
func penForms(*Case) []form {
	return []form{
		{"too high", 1, func(s *state, x float64) { s.penGain += math.Log(rising(x, 1.18, 1.45)) }, true},
		{"too low", 1, func(s *state, x float64) { s.penGain -= math.Log(rising(x, 1.18, 1.55)) }, true},
	}
}

// bayForms is tap water in each bay in turn.
func bayForms(c *Case) (all []form) {
	for i := range max(c.Facts.Bays, 1) {
		all = append(all, form{fmt.Sprintf("bay %d", i+1), 1, func(s *state, x float64) {
			s.crossBay, s.cross = i, rising(x, 0.04, 0.5)
		}, false})
	}
	return all
}

// overflowForms is a membrane that does not stop, and water that comes back.
func overflowForms(*Case) []form {
	over := func(s *state, x float64) { s.level, s.runsOn = 1, rising(x, 0.2, 0.9) }
	return []form{
		{"the membrane runs on", 1, func(s *state, x float64) { over(s, x); s.drains = 1 }, false},
		{"the tank overfills", 1, over, false},
	}
}

// gasForms are a load of carbon dioxide whose bottle has broken, and one whose bottle
// comes to its end early: gas is held most weakly and leaves first.
func gasForms(*Case) []form {
	broken := func(s *state, x float64) {
		s.rig.pH = max(s.rig.pH-rising(x, 0.3, 0.9), 6)
		s.rig.alkaline = shifted(s.rig.alkaline, 0.3+0.5*x)
		s.spend(rising(x, 0.95, 1.2), 0.12)
		s.leadGas = 1
		s.lead += rising(x, 0.02, 0.6)
	}
	ending := func(s *state, x float64) {
		s.rig.pH = max(s.rig.pH-rising(x, 0.05, 0.3), 6)
		s.spend(rising(x, 0.7, 1), 0.15)
		s.leadGas = rising(x, 0.05, 0.6)
	}
	return []form{{change: broken, weight: 0.7}, {change: ending, weight: 0.3}}
}
