package water

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

const (
	contradiction = 3.0 // standard deviations, of the reading and of what the others allow
	asLikely      = 0.6 // share of the worst's sum of squares at which another reading may as well be the wrong one
	looser        = 4.0 // the prior's widths are taken this much wider, so that a rare water is no contradiction
)

// contradict looks for the reading that the others do not allow: each is left
// out in turn, and what then falls of the sum of squares is how far it stood
// apart, squared. The prior is loosened meanwhile, since two readings
// contradict each other, not the handbooks. The worst is named, with whichever
// others may as well be the wrong one, and believed less until it agrees.
func (f *settledFit) contradict() {
	loose := f.fit
	loose.prior.slack = looser
	all, ok := loose.best(f.at.x)
	if !ok || len(f.readings) < 2 || sumSquares(all.residuals[nPrior:]) < contradiction*contradiction/4 {
		return
	}
	suspects := loose.suspects(&all)
	if len(suspects) == 0 {
		return
	}
	for _, s := range suspects {
		f.apart[f.readings[s.reading].name] = s.apart
	}
	f.contradictions = append(f.contradictions, f.accuse(suspects))
	f.readings[suspects[0].reading].sd *= suspects[0].apart // so that it is one of its new deviations off
	if at, ok := f.best(f.at.x); ok {
		f.at = at
	}
}

// suspect is a reading that the others do not allow.
type suspect struct {
	reading   int
	apart     float64
	low, high float64 // what the others allow, in the unit of the reading
}

// suspects returns the readings that stand apart, the farthest first.
func (f *fit) suspects(all *fitted) (found []suspect) {
	worst := 0.0
	for i := range f.readings {
		without := *f
		without.readings = slices.Delete(slices.Clone(f.readings), i, i+1)
		if !without.strengthLeft() {
			continue
		}
		at, ok := without.best(all.x)
		if !ok || !(all.squares-at.squares > contradiction*contradiction*asLikely) {
			continue
		}
		s := suspect{reading: i, apart: math.Sqrt(all.squares - at.squares)}
		s.low, s.high = without.allowed(&f.readings[i], &at)
		found, worst = append(found, s), math.Max(worst, s.apart)
	}
	if worst < contradiction {
		return nil
	}
	found = slices.DeleteFunc(found, func(s suspect) bool { return s.apart*s.apart < asLikely*worst*worst })
	slices.SortStableFunc(found, func(a, b suspect) int {
		if a.apart > b.apart {
			return -1
		}
		return 1
	})
	return found
}

// strengthLeft tells whether what is left still says how strong the water is.
func (f *fit) strengthLeft() bool {
	for _, r := range f.readings {
		if r.name != "temperature" && r.name != "pH" && r.name != Silica.String() {
			return true
		}
	}
	return false
}

// allowed is the 5 to 95 % range of what r should show by the fit at, to first
// order.
func (f *fit) allowed(r *reading, at *fitted) (low, high float64) {
	m, ok := f.withConductivity(&at.x)
	if !ok {
		return r.value, r.value
	}
	middle := r.of(&m)
	var slope inside
	for i := range slope {
		x := at.x
		x[i] += derivativeBy
		if m, ok := f.withConductivity(&x); ok {
			slope[i] = (r.of(&m) - middle) / derivativeBy
		}
	}
	sd := 0.0
	if a := at.precision; a.cholesky() {
		spread := a.solve(slope)
		for i := range slope {
			sd += slope[i] * spread[i]
		}
		sd = math.Sqrt(math.Max(sd, 0))
	}
	return middle - 1.645*sd, middle + 1.645*sd
}

// withConductivity makes a water with its conductivity, whatever was read.
func (f *fit) withConductivity(x *inside) (made, bool) {
	g := *f
	g.needsConductivity = true
	return g.make(x)
}

// accuse says which reading it is, and how far.
func (f *settledFit) accuse(suspects []suspect) string {
	var parts []string
	for _, s := range suspects {
		r := &f.readings[s.reading]
		parts = append(parts, fmt.Sprintf("%s reads %s, and the other readings allow %s to %s (%.1f times the doubt of both)",
			r.name, r.text(r.value), r.text(math.Max(s.low, lowest(r))), r.text(s.high), s.apart))
	}
	text := strings.Join(parts, "; or ")
	if len(parts) > 1 {
		return text + ". One of them is wrong: read the first again"
	}
	return text + ". Read it again"
}

// lowest keeps an allowed range from falling below none.
func lowest(r *reading) float64 {
	if r.name == "conductivity" || r.name == "strength" || r.name == "alkalinity" {
		return math.Inf(-1)
	}
	return 0
}
