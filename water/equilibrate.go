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
	maxSteps    = 30
	settled     = 1e-8 // largest change of a logarithm in the last step
	longestStep = 3.0  // limit on one step of a logarithm
	patience    = 10   // steps before they are kept short
	maxTotal    = 3000 // mol/m³
	lowestFree  = 1e-300
	traceless   = 1e-15 // mol/kg, taken for none
	strongest   = 20    // mol/kg, where activities are held while searching
)

// Metals come first in the basis, Calcium up to Ammonia, then the ligands and H+.
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
	m, content := perKilogram(&w)
	s, err := solve("equilibrate", closed, &m, 0)
	if err != nil {
		return Solution{}, err
	}
	s.content = content
	return s, nil
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
	for range maxSteps { // mostly twice: carbon takes volume, and so changes the rest a little
		m, content := perKilogram(&w)
		var err error
		if s, err = solve(operation, pHAlkalinity, &m, pH); err != nil {
			return Water{}, Solution{}, err
		}
		before := float64(w.Total[Carbon])
		w.Total[Carbon] = concentration(s.total.total[Carbon] * content)
		if err := checkWater(operation, &w); err != nil {
			return Water{}, Solution{}, err
		}
		if math.Abs(float64(w.Total[Carbon])-before) <= 1e-6*before {
			s.content = content
			return w, s, nil
		}
	}
	return Water{}, Solution{}, &NoConvergenceError{operation, maxSteps, pH, float64(w.Total[Carbon])}
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
