package faults

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// Two causes at once: how often, and how many of the likeliest are tried beside
// every other. Common practice, no source: about one visit in ten.
const (
	twoAtOnce = 0.1
	pairedUp  = 3
)

var pairSeverities = [...]float64{0.25, 0.7}

// pair is two causes at work together.
type pair struct {
	one, two int     // indexes into causes
	log      float64 // of likelihood
}

// pairs tries the likeliest causes, each at its best severity, with every other
// at two severities, around the first one's point.
func (a *asked) pairs(logs []float64, best []*trial) (all []pair) {
	if len(a.rows) == 0 {
		return nil
	}
	order := make([]int, len(causes))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(logs[j], logs[i]) })
	for _, k := range order[:pairedUp] {
		if best[k] == nil || best[k].failed || math.IsInf(logs[k], -1) {
			continue
		}
		for j := range causes {
			if j == k || best[j] == nil || slices.ContainsFunc(all, func(p pair) bool { return p.one == j && p.two == k }) {
				continue
			}
			all = append(all, pair{k, j, a.together(best[k], best[j])})
		}
	}
	return all
}

func (a *asked) together(first, second *trial) float64 {
	node := floats.MaxIdx(first.logs[:])
	x := severities[node]
	logs := make([]float64, 0, len(pairSeverities))
	for _, z := range pairSeverities {
		y, err := a.predict(first.at, func(s *state) { first.form.change(s, x); second.form.change(s, z) }, a.rows)
		if err != nil {
			continue
		}
		both := *first
		both.y[node] = y
		bend := first.bend(node)
		for i := range bend { // the second's severity is as open as the first's
			bend[i] = math.Hypot(bend[i], 0.5*(y[i]-first.y[node][i]))
		}
		logs = append(logs, a.likelihood(&both, node, bend))
	}
	if len(logs) == 0 {
		return math.Inf(-1)
	}
	return floats.LogSumExp(logs) - math.Log(float64(len(pairSeverities)))
}
