package water

import (
	"fmt"
	"math"
)

// search is the state of one solution in progress. Logarithms are natural.
type search struct {
	ask      question
	given    float64 // pH, or ln of the CO2 pressure in atm
	m        *molal
	slopes   debyeHueckel
	lnK      [nFormed]float64
	present  [nBasis]bool
	active   [nFormed]formed
	nActive  int
	lnFree   [nBasis]float64
	lnGamma  [nBasis]float64
	lnConst  [nFormed]float64 // ln K with activity coefficients
	strength float64
	moved    [nBasis]float64 // last change of lnFree
	lnHenry  float64
	s        *Solution
}

func solve(operation string, ask question, m *molal, given float64) (Solution, error) {
	var s Solution
	q := search{ask: ask, given: given, m: m, s: &s, slopes: slopesAt(m.t)}
	q.begin()
	change := math.Inf(1)
	for s.steps = 1; s.steps <= maxSteps; s.steps++ {
		q.activities()
		q.distribute()
		var ok bool
		if change, ok = q.step(); !ok {
			break
		}
		next := q.ionicStrength()
		drift := math.Abs(next - q.strength)
		q.strength = next
		if change < settled && drift <= settled*next {
			return q.finish(operation)
		}
	}
	return Solution{}, q.refuse(operation, change)
}

// refuse says why: for pH and alkalinity it looks whether the water holds more
// alkalinity without any carbon.
func (q *search) refuse(operation string, change float64) error {
	if q.ask == pHAlkalinity {
		bare := *q.m
		bare.total[Carbon] = 0
		s, err := solve(operation, pHCarbon, &bare, q.given)
		if err == nil && s.total.alkalinity >= bare.alkalinity {
			return fmt.Errorf("%s: at pH %.2f hydroxide, silicate and the like alone carry more than the alkalinity given; check both: %w",
				operation, q.given, ErrImpossible)
		}
	}
	return &NoConvergenceError{operation, min(q.s.steps, maxSteps), -q.lnFree[hydrogen] / math.Ln10, change}
}

// begin takes the constants to temperature and guesses the free ions.
func (q *search) begin() {
	p := powersOf(q.m.t)
	for c := range NComponents {
		q.present[c] = q.m.total[c] > traceless
	}
	q.present[Carbon] = q.present[Carbon] || q.ask == pHAlkalinity || q.ask == openAir
	q.present[hydrogen], q.present[absent] = true, true
	for f := range nFormed {
		r := &reactions[f]
		q.lnK[f] = math.Ln10 * r.k.log10K(&p)
		if r.through != noReaction {
			q.lnK[f] += float64(r.nOne/reactions[r.through].nOne) * q.lnK[r.through]
		}
		if q.present[r.one] && q.present[r.two] {
			q.active[q.nActive] = f
			q.nActive++
		}
	}
	q.lnHenry = math.Ln10 * henryCO2.log10K(&p)
	q.guess()
}

// activities brings the coefficients to the present ionic strength.
func (q *search) activities() {
	q.strength = math.Min(q.strength, strongest)
	root := math.Sqrt(q.strength)
	for b := range hydrogen + 1 {
		if q.present[b] {
			q.lnGamma[b] = math.Ln10 * q.slopes.log10Gamma(&basisActivity[b], basisCharge[b], q.strength, root)
		}
	}
	if q.ask == pHAlkalinity || q.ask == pHCarbon {
		q.lnFree[hydrogen] = -q.given*math.Ln10 - q.lnGamma[hydrogen]
	}
	for _, f := range q.active[:q.nActive] {
		r := &reactions[f]
		g := float64(r.nOne)*q.lnGamma[r.one] + float64(r.nTwo)*q.lnGamma[r.two] + float64(r.nHydrogen)*q.lnGamma[hydrogen]
		q.lnConst[f] = q.lnK[f] + g - math.Ln10*q.slopes.log10Gamma(&r.activity, r.charge, q.strength, root)
	}
}

// distribute works out every species from the free ions.
func (q *search) distribute() {
	for b := range hydrogen + 1 {
		if q.present[b] {
			q.s.free[b] = math.Exp(q.lnFree[b])
		}
	}
	for _, f := range q.active[:q.nActive] {
		r := &reactions[f]
		q.s.species[f] = math.Exp(q.lnConst[f] + float64(r.nOne)*q.lnFree[r.one] + float64(r.nTwo)*q.lnFree[r.two] +
			float64(r.nHydrogen)*q.lnFree[hydrogen])
	}
}

// ionicStrength is that of the species after the last move, by its first order.
func (q *search) ionicStrength() float64 {
	var i float64
	for b := range hydrogen + 1 {
		i += float64(basisCharge[b]*basisCharge[b]) * q.s.free[b] * growth(q.moved[b])
	}
	for _, f := range q.active[:q.nActive] {
		r := &reactions[f]
		if r.charge == 0 {
			continue
		}
		moved := float64(r.nOne)*q.moved[r.one] + float64(r.nTwo)*q.moved[r.two] + float64(r.nHydrogen)*q.moved[hydrogen]
		i += float64(r.charge*r.charge) * q.s.species[f] * growth(moved)
	}
	return i / 2
}

// growth is exp(x) for a small x, and tame for a large one.
func growth(x float64) float64 {
	if x > 1 || x < -1 {
		return math.Exp(math.Min(x, longestStep))
	}
	return 1 + x*(1+x*(0.5+x/6))
}
