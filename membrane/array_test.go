package membrane

import (
	"errors"
	"math"
	"testing"

	"rinsewright/quantity"
	"rinsewright/water"
)

func ready(t testing.TB, a Array, w water.Water) *Ready {
	t.Helper()
	return must[*Ready](t)(a.Ready(w))
}

// A small element and a large one, so that unlike means unlike.
func small(t testing.TB) Element {
	t.Helper()
	e, _, err := FromSheet(Sheet{Area: 2.6, PermeateFlow: quantity.GallonsPerDay(750), Rejection: 0.98, TestPressure: quantity.PSI(100)})
	if err != nil {
		t.Fatal(err)
	}
	return e
}

func TestTwoStagesInARowAreOneTrain(t *testing.T) {
	s, train := tapStream(18), pair(t)
	one := must[Result](t)(train.Run(s, 0, 0))
	split := ready(t, Array{{Train{Housings: train.Housings[:1]}}, {Train{Housings: train.Housings[1:]}}}, s.Water)
	two := must[Result](t)(split.Run(s.Flow, s.Pressure, 0))
	near(t, "permeate", float64(two.Permeate.Flow), float64(one.Permeate.Flow), 1e-7)
	for c := range water.NComponents {
		if s.Water.Total[c] > 0 {
			near(t, c.String(), passage(two, s.Water, c), passage(one, s.Water, c), 1e-7)
		}
	}
}

func TestLikeRowsBesideEachOtherShareAlike(t *testing.T) {
	s, train := tapStream(18), pair(t)
	s.Flow *= 2
	train.Parallel = 2
	one := must[Result](t)(train.Run(s, 0, 0))
	beside := ready(t, Array{{pair(t), pair(t)}}, s.Water)
	two := must[Result](t)(beside.Run(s.Flow, s.Pressure, 0))
	near(t, "permeate", float64(two.Permeate.Flow), float64(one.Permeate.Flow), 1e-9)
	near(t, "concentrate's pressure", float64(two.Concentrate.Pressure), float64(one.Concentrate.Pressure), 1e-9)
}

func TestUnlikeRowsEndAtOnePressure(t *testing.T) {
	s, fouled := tapStream(18), New()
	s.Flow *= 1.5
	fouled.Drop = 3
	a := Array{{pair(t), Train{Housings: []Housing{{small(t), fouled}}}}, {Train{Housings: []Housing{{small(t), New()}}}}}
	r := ready(t, a, s.Water)
	res := must[Result](t)(r.Run(s.Flow, s.Pressure, quantity.PSI(3)))
	long, short := res.Elements[1].Concentrate.Pressure, res.Elements[2].Concentrate.Pressure
	near(t, "pressure of the two rows", float64(long), float64(short), 1e-7)
	q, p, err := r.Flows(s.Flow, s.Pressure, quantity.PSI(3))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "Flows' permeate", float64(q), float64(res.Permeate.Flow), 1e-9)
	near(t, "Flows' pressure", float64(p), float64(res.Concentrate.Pressure), 1e-9)
	for c := range water.NComponents {
		in, out := float64(s.Flow)*float64(s.Water.Total[c]), float64(res.Permeate.Flow)*float64(res.Permeate.Water.Total[c])+float64(res.Concentrate.Flow)*float64(res.Concentrate.Water.Total[c])
		if !(math.Abs(in-out) <= 1e-9*in) {
			t.Errorf("%v: %.12g enters, %.12g leaves", c, in, out)
		}
	}
}

func TestWithoutPressureThereIsOnlyFriction(t *testing.T) {
	s := tapStream(18)
	r := ready(t, Array{{pair(t)}}, s.Water)
	q, p, err := r.Flows(s.Flow, quantity.PSI(20), quantity.PSI(25))
	if err != nil || q != 0 || !(0 < p && p < quantity.PSI(20)) {
		t.Errorf("permeate %v, pressure %v, error %v", q, p, err)
	}
	if _, err := r.Run(s.Flow, quantity.PSI(20), quantity.PSI(25)); !errors.Is(err, ErrNoFlow) {
		t.Errorf("error %v, want ErrNoFlow", err)
	}
}

func TestArraysMustBeMadeOfRows(t *testing.T) {
	w := tapWater(20)
	for name, a := range map[string]Array{"empty": {}, "empty stage": {{}}, "empty row": {{Train{}}}, "eleven stages": make(Array, 11)} {
		if _, err := a.Ready(w); !errors.Is(err, ErrRange) {
			t.Errorf("%s: error %v, want ErrRange", name, err)
		}
	}
	r := ready(t, Array{{pair(t)}}, w)
	bad := math.NaN()
	for name, err := range map[string]error{
		"flow":     second(r.Run(quantity.Flow(bad), 4e5, 0)),
		"pressure": second(r.Run(2e-4, quantity.Pressure(bad), 0)),
		"back":     second(r.Run(2e-4, 4e5, quantity.Pressure(math.Inf(1)))),
	} {
		if !errors.Is(err, ErrRange) {
			t.Errorf("%s: error %v, want ErrRange", name, err)
		}
	}
}

func BenchmarkReadyFlows(b *testing.B) {
	s := tapStream(15)
	r := ready(b, Array{{pair(b)}}, s.Water)
	b.ReportAllocs()
	for b.Loop() {
		_, _, _ = r.Flows(s.Flow, s.Pressure, 0)
	}
}
