package commissioning

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"rinsewright/internal/check"
	"rinsewright/plant"
)

func read(of plant.Gauge, y, share float64) Measured { return Measured{Of: of, Y: y, U: share * y} }

// Worked by hand in the checks of this product from the law of propagation.
func TestRecoveryAndRejectionWithTheirDoubts(t *testing.T) {
	y, err := Recovery(read(plant.PermeateFlow, 2, 0.05), read(plant.ConcentrateFlow, 2, 0.05))
	if err != nil {
		t.Fatal(err)
	}
	const hand = "published: law of propagation, JCGM 100:2008 5.1.2, worked by hand"
	check.Near(t, y.Y, 0.5, 1e-12, hand)
	check.Near(t, y.U, 0.0177, 5e-5, hand)
	r, err := Rejection(read(plant.FeedStrength, 400, 0.02), read(plant.PermeateStrength, 8, 0.02))
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, r.Y, 0.98, 1e-12, hand)
	check.Near(t, r.U, 0.000566, 5e-7, hand)
	r, err = Rejection(read(plant.FeedStrength, 400, 0.02), Measured{Of: plant.PermeateStrength, Y: 8, U: 1})
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, r.U, 0.00253, 5e-6, hand)
	// A membrane at half recovery that passes nothing doubles the concentrate.
	by, err := RecoveryByStrength(read(plant.FeedStrength, 400, 0.02), read(plant.PermeateStrength, 4, 0.1), read(plant.ConcentrateStrength, 796, 0.02))
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, by.Y, 0.5, 1e-12, "published: conservation of salt, worked by hand")
	// √(8² + (0.5·0.4)² + (0.5·15.92)²)/792 = 0.014252, and 3 % of 0.25 beside it.
	check.Near(t, by.U, math.Hypot(0.014252, 0.0075), 2e-6, hand)
}

func TestABalanceThatClosesSaysNothingOfTheMeters(t *testing.T) {
	b, err := Water(read(plant.FeedFlow, 4.1, 0.02), read(plant.PermeateFlow, 2, 0.02), read(plant.ConcentrateFlow, 2, 0.02))
	if err != nil || !b.Closes || len(b.Suspects) != 0 {
		t.Errorf("%+v, %v", b, err)
	}
}

// A pen on another scale reads the concentrate a fifth too low: the salt does
// not close, and the first suspects are strengths, not the machine.
func TestAWrongScaleQuestionsThePenBeforeTheMachine(t *testing.T) {
	b, err := Salt(read(plant.PermeateFlow, 2, 0.02), read(plant.ConcentrateFlow, 2, 0.02),
		read(plant.FeedStrength, 400, 0.015), read(plant.PermeateStrength, 8, 0.1), read(plant.ConcentrateStrength, 0.75*792, 0.015), nil)
	if err != nil {
		t.Fatal(err)
	}
	if b.Closes {
		t.Fatal("a quarter of the salt is missing and the balance closes")
	}
	var first []plant.Gauge
	for _, s := range b.Suspects[:3] {
		first = append(first, s.Of)
	}
	if !b.questions(plant.ConcentrateStrength, 0) || b.questions(plant.PermeateStrength, 0) {
		t.Errorf("suspects %v", b.Suspects)
	}
	j, err := Judge(Promise{Name: "concentrate", Of: plant.ConcentrateStrength, Limits: AtMost(700)}, &Measured{Of: plant.ConcentrateStrength, Y: 594, U: 9}, []Balance{b})
	if err != nil || j.Verdict != CannotTell || j.Why == "" {
		t.Errorf("a questioned reading is judged: %+v, %v (first suspects %v)", j, err, first)
	}
}

func TestBalancesCloseWhereverNothingIsLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		qp, qc := drawn(t, "permeate", 0.1, 50), drawn(t, "concentrate", 0.1, 50)
		kf := drawn(t, "feed", 50, 3000)
		kp := kf * drawn(t, "passage", 0.001, 0.5)
		kc := (kf*(qp+qc) - kp*qp) / qc
		u := drawn(t, "doubt", 0.001, 0.1)
		w, err1 := Water(read(plant.FeedFlow, qp+qc, u), read(plant.PermeateFlow, qp, u), read(plant.ConcentrateFlow, qc, u))
		s, err2 := Salt(read(plant.PermeateFlow, qp, u), read(plant.ConcentrateFlow, qc, u), read(plant.FeedStrength, kf, u), read(plant.PermeateStrength, kp, u), read(plant.ConcentrateStrength, kc, u), nil)
		if err1 != nil || err2 != nil || math.Abs(w.Off) > 1e-9 || math.Abs(s.Off) > 1e-9 || !w.Closes || !s.Closes {
			t.Fatalf("water %+v %v, salt %+v %v", w, err1, s, err2)
		}
		y, err := Recovery(read(plant.PermeateFlow, qp, u), read(plant.ConcentrateFlow, qc, u))
		by, err3 := RecoveryByStrength(read(plant.FeedStrength, kf, u), read(plant.PermeateStrength, kp, u), read(plant.ConcentrateStrength, kc, u))
		if err != nil || err3 != nil || math.Abs(y.Y-by.Y) > 1e-9 {
			t.Fatalf("recovery %g by flows, %g by strengths (%v, %v)", y.Y, by.Y, err, err3)
		}
	})
}

// The factor told for a suspect mends the balance, to first order.
func TestASuspectSetRightMendsTheBalance(t *testing.T) {
	feed, permeate, concentrate := read(plant.FeedFlow, 5, 0.02), read(plant.PermeateFlow, 2, 0.02), read(plant.ConcentrateFlow, 2, 0.02)
	b, err := Water(feed, permeate, concentrate)
	if err != nil || b.Closes {
		t.Fatalf("%+v, %v", b, err)
	}
	feed.Y *= b.Suspects[0].Factor
	feed.U *= b.Suspects[0].Factor
	if again, err := Water(feed, permeate, concentrate); err != nil || b.Suspects[0].Of != plant.FeedFlow || !again.Closes {
		t.Errorf("suspects %+v; set right: %+v, %v", b.Suspects, again, err)
	}
}

func TestAReadingWithoutADoubtHasNoBalance(t *testing.T) {
	if _, err := Water(Measured{Y: 4}, read(plant.PermeateFlow, 2, 0.02), read(plant.ConcentrateFlow, 2, 0.02)); !errors.Is(err, ErrRange) {
		t.Errorf("got %v", err)
	}
}

func TestTwoReadingsOfOneMeterKeepTheMetersOwnError(t *testing.T) {
	m, agree, err := Together([]Measured{{Y: 10, U: 0.3}, {Y: 10.4, U: 0.3}})
	if err != nil || !agree {
		t.Fatalf("%+v %v %v", m, agree, err)
	}
	check.Near(t, m.Y, 10.2, 1e-12, "published: mean, JCGM 100:2008 4.2.1, by hand")
	check.Near(t, m.U, math.Sqrt(0.09+0.04), 1e-12, "published: JCGM 100:2008 4.2.3 and 4.3, by hand")
	m, _, err = Together([]Measured{{Y: 9, U: 0.3}, {Y: 10, U: 0.3}, {Y: 11, U: 0.3}})
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, m.U, math.Sqrt(0.09+2.0/6), 1e-12, "published: JCGM 100:2008 4.2.3 and 4.3, by hand")
	if _, agree, _ := Together([]Measured{{Y: 10, U: 0.3}, {Y: 13, U: 0.3}}); agree {
		t.Error("readings five doubts apart agree")
	}
}
