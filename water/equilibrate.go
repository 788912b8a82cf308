package water

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// The equilibrium is found by Newton's method on the logarithms of the free
// ions and of H+, all at once. In these unknowns every mass balance is a sum of
// exponentials, so that amounts stay positive and the closed system is the
// minimum of a convex function: there is one answer and Newton finds it. A
// metal shares no species with another metal, so metals are eliminated first,
// one division each, and only the ligands and H+ (nine unknowns) meet in a
// small dense system. Activity coefficients follow ionic strength from step to
// step; they move slowly, so that a few steps settle both.

// question says which of pH, total carbon, alkalinity and CO2 pressure are given.
type question uint8

const (
	closed       question = iota // total carbon and alkalinity given
	pHAlkalinity                 // pH and alkalinity given, carbon asked
	pHCarbon                     // pH and total carbon given, alkalinity asked
	openAir                      // CO2 pressure and alkalinity given
)

const (
	maxSteps      = 30
	settled       = 1e-8 // largest change of a logarithm in the last step
	longestStep   = 3.0  // limit on one step of a logarithm
	maxTotal      = 3000 // mol/m³
	lowestFree    = 1e-300
	dropsHydrogen = 3 // powers of h run from -2 to 3
)

// ligandOf maps the ligands and H+ to basis indexes; metals come first in the
// basis, Calcium up to Ammonia.
const (
	nMetals  = int(Chloride)
	nLigands = hydrogen + 1 - nMetals
	rowH     = nLigands - 1
	rowC     = int(Carbon) - nMetals
)

// NoConvergenceError says where the search for equilibrium stopped.
type NoConvergenceError struct {
	Operation string
	Steps     int
	PH        float64
	Change    float64 // last change of the worst logarithm
}

func (e *NoConvergenceError) Error() string {
	return fmt.Sprintf("%s: no equilibrium after %d steps, at pH %.2f with a change of %.2g; check the charge balance of the analysis",
		e.Operation, e.Steps, e.PH, e.Change)
}

// Unwrap makes errors.Is(err, ErrNoConvergence) hold.
func (e *NoConvergenceError) Unwrap() error { return ErrNoConvergence }

// Equilibrate returns the species of a closed water: its totals, carbon and
// alkalinity are kept, pH follows.
//
// Source: ion association as in [PHREEQC3dat]; within 0.02 pH and 0.03 in
// saturation index of [SpeciationTable] and [ConcentrateTable]. The error wraps
// [ErrRange] unless 0 ≤ t ≤ 60 °C and 0 ≤ each total ≤ 3000 mol/m³, or
// [ErrNoConvergence].
func Equilibrate(w Water) (Solution, error) {
	if err := checkWater("equilibrate", &w); err != nil {
		return Solution{}, err
	}
	m, _ := perKilogram(&w)
	return solve("equilibrate", closed, &m, 0)
}

// WithPH returns w with the carbon that its alkalinity carries at the given pH,
// and its species. w.Total[Carbon] is not read.
//
// Accuracy as [Equilibrate]. The error wraps [ErrRange], or [ErrImpossible]
// when the alkalinity is less than hydroxide, silicate and borate alone carry
// at that pH, or more than carbon can supply (below pH 4 or so).
func WithPH(w Water, pH float64) (Water, Solution, error) {
	const operation = "water from pH and alkalinity"
	w.Total[Carbon] = 0
	if err := checkWater(operation, &w); err != nil {
		return Water{}, Solution{}, err
	}
	if err := inRange(operation, "pH", pH, 3, 11.5); err != nil {
		return Water{}, Solution{}, err
	}
	w.Total[Carbon] = concentration(math.Max(0, float64(w.Alkalinity)))
	var s Solution
	for range 2 { // the second time with the volume that its carbon takes
		m, _ := perKilogram(&w)
		var err error
		if s, err = solve(operation, pHAlkalinity, &m, pH); err != nil {
			return Water{}, Solution{}, err
		}
		w.Total[Carbon] = concentration(s.total.total[Carbon] * s.content)
	}
	return w, s, nil
}

// OpenToAir returns w in balance with a gas that holds CO2 at partial pressure
// pCO2 (absolute; [AirCO2] for open air): alkalinity stays, carbon follows.
//
// Accuracy as [Equilibrate]. The error wraps [ErrRange] unless pCO2 is between
// 1e-7 and 10 atm.
func OpenToAir(w Water, pCO2 quantity.Pressure) (Water, Solution, error) {
	const operation = "open to air"
	if err := checkWater(operation, &w); err != nil {
		return Water{}, Solution{}, err
	}
	atm := float64(pCO2) / pascalsPerAtmosphere
	if err := inRange(operation, "CO2 pressure (atm)", atm, 1e-7, 10); err != nil {
		return Water{}, Solution{}, err
	}
	m, _ := perKilogram(&w)
	s, err := solve(operation, openAir, &m, math.Log(atm))
	if err != nil {
		return Water{}, Solution{}, err
	}
	return s.total.perVolume(), s, nil
}

func checkWater(operation string, w *Water) error {
	if err := inRange(operation, "temperature (°C)", w.Temperature.Celsius(), 0, 60); err != nil {
		return err
	}
	for c, x := range w.Total {
		if err := inRange(operation, "", float64(x), 0, maxTotal); err != nil {
			return inRange(operation, components[c].name+" (mol/m³)", float64(x), 0, maxTotal)
		}
	}
	return inRange(operation, "alkalinity (eq/m³)", float64(w.Alkalinity), -maxTotal, maxTotal)
}

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
	drift    float64         // last change of strength
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
		if q.strengthen(); change < settled && math.Abs(q.drift) <= settled*q.strength {
			return q.finish(operation)
		}
	}
	return Solution{}, &NoConvergenceError{operation, min(s.steps, maxSteps), -q.lnFree[hydrogen] / math.Ln10, change}
}

// strengthen takes the ionic strength to where the last step points. Each step
// leaves about the same share of the drift, so that the rest is foreseen.
func (q *search) strengthen() {
	next := q.ionicStrength()
	drift := next - q.strength
	if share := drift / q.drift; math.Abs(share) < 0.5 {
		next += drift * share / (1 - share)
	}
	q.strength, q.drift = next, drift
}

// begin takes the constants to temperature and guesses the free ions.
func (q *search) begin() {
	p := powersOf(q.m.t)
	for c := range NComponents {
		q.present[c] = q.m.total[c] > 0
	}
	q.present[Carbon] = q.present[Carbon] || q.ask == pHAlkalinity || q.ask == openAir
	q.present[hydrogen], q.present[absent] = true, true
	for f := range nFormed {
		r := &reactions[f]
		q.lnK[f] = math.Ln10 * r.k.log10K(&p)
		if r.through != noReaction {
			q.lnK[f] += q.lnK[r.through]
		}
		if q.present[r.one] && q.present[r.two] {
			q.active[q.nActive] = f
			q.nActive++
		}
	}
	q.lnHenry = math.Ln10 * henryCO2.log10K(&p)
	q.guess()
}

func (q *search) guess() {
	for c := range NComponents {
		q.lnFree[c] = math.Log(math.Max(q.m.total[c], lowestFree))
	}
	alk, carbon := q.m.alkalinity, q.m.total[Carbon]
	h := 1e-7
	switch {
	case q.ask == pHAlkalinity || q.ask == pHCarbon:
		h = math.Pow(10, -q.given)
	case q.ask == openAir && alk > 0:
		h = math.Min(1e-5, 6e-12/alk)
	case alk < 0:
		h = math.Max(1e-7, -alk)
	case carbon > alk && alk > 0:
		h = math.Min(1e-4, math.Exp(q.lnK[sHCO3]-q.lnK[sCO2])*(carbon-alk)/alk)
	case alk > 0:
		h = 1e-10
	}
	h = math.Min(math.Max(h, 1e-11), 1e-2)
	q.lnFree[hydrogen] = math.Log(h)
	q.strength = math.Max(1e-7, stoichiometricStrength(&q.m.total, alk))
	if q.ask == pHAlkalinity || q.ask == openAir {
		carbon = math.Max(alk, 1e-5)
	}
	if q.present[Carbon] {
		inHCO3, inCO2 := math.Exp(q.lnK[sHCO3])*h, math.Exp(q.lnK[sCO2])*h*h
		q.lnFree[Carbon] = math.Log(carbon / (1 + inHCO3 + inCO2))
	}
	if q.present[Phosphate] {
		q.lnFree[Phosphate] -= math.Log(1 + math.Exp(q.lnK[sHPO4])*h + math.Exp(q.lnK[sH2PO4])*h*h)
	}
}

// activities brings the coefficients to the present ionic strength.
func (q *search) activities() {
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

// finish fills the solution in and refuses what is not finite.
func (q *search) finish(operation string) (Solution, error) {
	q.distribute()
	q.moved = [nBasis]float64{}
	s := q.s
	s.total, s.slopes, s.IonicStrength = *q.m, q.slopes, q.ionicStrength()
	s.total.total[Carbon], s.total.alkalinity = s.totalCarbon(), s.alkalinityOfSpecies()
	s.PH = -(q.lnFree[hydrogen] + q.lnGamma[hydrogen]) / math.Ln10
	s.content = waterInMolal(&s.total)
	if !(s.PH > -2 && s.PH < 16) || !(s.IonicStrength >= 0 && s.IonicStrength < 100) || !(s.content > 0) {
		return Solution{}, fmt.Errorf("%s: pH %.3g at ionic strength %.3g: %w", operation, s.PH, s.IonicStrength, ErrImpossible)
	}
	return *s, nil
}

func (s *Solution) totalCarbon() float64 {
	sum := s.free[Carbon]
	for f := range nFormed {
		r := &reactions[f]
		if r.one == int(Carbon) {
			sum += float64(r.nOne) * s.species[f]
		} else if r.two == int(Carbon) {
			sum += float64(r.nTwo) * s.species[f]
		}
	}
	return sum
}

func (s *Solution) alkalinityOfSpecies() float64 {
	sum := 2*s.free[Carbon] + 2*s.free[Phosphate] - s.free[hydrogen]
	for f := range nFormed {
		sum += alkalinityPer[f] * s.species[f]
	}
	return sum
}

// alkalinityPer is [reaction.alkalinityOf], worked out once from the table.
var alkalinityPer = func() (a [nFormed]float64) {
	for f := range nFormed {
		a[f] = float64(reactions[f].alkalinityOf())
	}
	return a
}()
