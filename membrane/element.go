package membrane

import (
	"fmt"
	"math"

	"rinsewright/internal/num"
	"rinsewright/quantity"
)

// Element is a spiral element: its sheet, complete, and the permeabilities
// that make the model repeat the sheet's test. Make one with [FromSheet].
type Element struct {
	Sheet             Sheet                      // every field filled
	WaterPermeability quantity.WaterPermeability // A at 25 °C, new
	SaltPermeability  quantity.SaltPermeability  // B for NaCl at 25 °C, new

	section  float64 // m2 of open channel
	diameter float64 // m, hydraulic
}

// FromSheet solves the element model backwards at the sheet's own test and
// returns the element, with what had to be assumed, one sentence each. The
// model at the test then gives the sheet's permeate flow and rejection to
// 1e-7, polarisation, osmotic rise and pressure drop included.
//
// Source: the package's element model. Errors wrap [ErrMissing], [ErrRange] or,
// when no A and B repeat the test, [ErrSheet].
func FromSheet(s Sheet) (Element, []string, error) {
	if fields := s.missing(); fields != nil {
		return Element{}, nil, &MissingError{Fields: fields}
	}
	s, assumed := s.fill()
	if err := s.check(); err != nil {
		return Element{}, nil, err
	}
	e := Element{Sheet: s}
	e.shape()
	test, err := s.test()
	if err != nil {
		return Element{}, nil, err
	}
	if err := e.fit(test); err != nil {
		return Element{}, nil, err
	}
	return e, assumed, nil
}

// shape lays the membrane out as one flat channel with membrane on both sides.
func (e *Element) shape() {
	h := float64(e.Sheet.SpacerHeight)                                   // m
	width := float64(e.Sheet.Area) / (2 * float64(e.Sheet.Length))       // m
	e.section = width * h * spacerPorosity                               // m2
	e.diameter = float64(HydraulicDiameter(quantity.Length(float64(h)))) // m
}

// test is the feed of the sheet's test.
func (s Sheet) test() (Feed, error) {
	f := Feed{
		Flow:        quantity.Flow(float64(s.PermeateFlow) / float64(s.TestRecovery)),
		Pressure:    s.TestPressure,
		Temperature: s.TestTemperature,
	}
	pi, err := saltOsmotic(s.TestSalt, s.TestTemperature)
	if err != nil {
		return Feed{}, fmt.Errorf("membrane: osmotic pressure of the test feed: %w", err)
	}
	f.OsmoticPressure = pi
	if err := f.fill(); err != nil {
		return Feed{}, err
	}
	if !(f.Pressure > pi) {
		return Feed{}, &NoFlowError{Feed: f.Pressure, Osmotic: pi}
	}
	return f, nil
}

// fit finds A and B. Salt barely moves the water, so the two are solved in
// turn, each as a root of its logarithm, until neither moves.
func (e *Element) fit(test Feed) error {
	s := e.Sheet
	wantFlow, wantPassage := float64(s.PermeateFlow), 1-float64(s.Rejection)
	mean := wantFlow / float64(s.Area) // m/s
	a := mean / float64(test.Pressure-test.OsmoticPressure)
	b := mean * wantPassage / (1 - wantPassage)
	for range 40 {
		was := [2]float64{a, b}
		var okA, okB bool
		a, okA = solveLog(a, func(a float64) float64 { q, _ := e.try(a, b, test); return q - wantFlow })
		b, okB = solveLog(b, func(b float64) float64 { _, sp := e.try(a, b, test); return sp - wantPassage })
		if !okA || !okB {
			return fmt.Errorf("membrane: no permeabilities give %.3g L/min at %.4g %% rejection at the test: %w",
				s.PermeateFlow.LitresPerMinute(), 100*float64(s.Rejection), ErrSheet)
		}
		if math.Abs(a/was[0]-1) < 1e-12 && math.Abs(b/was[1]-1) < 1e-12 {
			break
		}
	}
	if q, sp := e.try(a, b, test); !(math.Abs(q/wantFlow-1) < 1e-7 && math.Abs(sp/wantPassage-1) < 1e-7) {
		return fmt.Errorf("membrane: fit to the test did not settle: %w", ErrSheet)
	}
	e.WaterPermeability = quantity.WaterPermeability(a / s.WaterEnergies.factor(float64(s.TestTemperature), reference))
	e.SaltPermeability = quantity.SaltPermeability(b / s.SaltEnergies.factor(float64(s.TestTemperature), reference))
	return nil
}

// try runs the test with permeabilities at the test's temperature and returns
// permeate flow and passage; a channel run dry counts as too much of both.
func (e *Element) try(a, b float64, f Feed) (flow, passage float64) {
	c := e.conduit(&f)
	c.a, c.b = a, b
	w := place{q: float64(f.Flow), salt: float64(f.Flow), p: float64(f.Pressure)}
	q0 := w.q
	for i := range DefaultSlices {
		w.step(&c, i, DefaultSlices, 0, float64(f.OsmoticPressure))
		if !(w.q > starved*q0) {
			return q0, 1
		}
	}
	return q0 - w.q, (q0 - w.salt) / (q0 - w.q)
}

// solveLog finds the root of a rising f near x by its logarithm: it widens a
// bracket until f changes sign, up to four decades either way.
func solveLog(x float64, f func(float64) float64) (float64, bool) {
	lo, hi := math.Log(x)-0.05, math.Log(x)+0.05
	for f(math.Exp(lo)) > 0 {
		if lo -= 0.5; lo < math.Log(x)-9 {
			return x, false
		}
	}
	for f(math.Exp(hi)) < 0 {
		if hi += 0.5; hi > math.Log(x)+9 {
			return x, false
		}
	}
	u, err := num.Root(func(u float64) float64 { return f(math.Exp(u)) }, lo, hi, 1e-13)
	return math.Exp(u), err == nil
}

// conduit makes a new element ready to be marched in this feed.
func (e *Element) conduit(f *Feed) conduit {
	t := float64(f.Temperature)
	ch := Channel{
		Diameter:    quantity.Length(e.diameter),
		Viscosity:   f.Viscosity,
		Density:     f.Density,
		Diffusivity: f.Diffusivity,
	}
	return conduit{
		a:        float64(e.WaterPermeability) * e.Sheet.WaterEnergies.factor(t, reference),
		b:        float64(e.SaltPermeability) * e.Sheet.SaltEnergies.factor(t, reference) * f.Passage,
		area:     float64(e.Sheet.Area),
		section:  e.section,
		length:   float64(e.Sheet.Length),
		transfer: ch.transferCoefficient(),
		laminar:  ch.laminarTransfer(),
		friction: ch.frictionCoefficient(),
	}
}

// sound reports whether e came from FromSheet.
func (e *Element) sound() bool {
	return e.WaterPermeability > 0 && e.SaltPermeability > 0 && e.section > 0 && e.diameter > 0
}
