package hydraulics

import (
	"errors"
	"math"
	"testing"

	"rinsewright/quantity"
)

// Invented: a pump, 20 m of 3/4 in pipe, and three bays on 1/2 in branches.
func bays(t testing.TB) Branching {
	t.Helper()
	pump, err := DutyPump(quantity.PSI(75), PumpPoint{Flow: quantity.GallonsPerMinute(6), Pressure: quantity.PSI(50)})
	if err != nil {
		t.Fatal(err)
	}
	tubes := Tubes()
	gun, err := CoefficientOf(quantity.GallonsPerMinute(2), quantity.PSI(40), water20)
	if err != nil {
		t.Fatal(err)
	}
	return Branching{Pump: pump, Level: 1, Runs: []Run{
		{Name: "main", Line: tubes[4].Pipe(20), Height: 1},
		{Name: "bay 1", From: "main", Line: tubes[3].Pipe(3), Gun: gun, Height: 1},
		{Name: "bay 2", From: "main", Line: tubes[3].Pipe(9), Gun: gun, Height: 1},
		{Name: "bay 3", From: "bay 2", Line: tubes[3].Pipe(9), Gun: gun, Height: 2.5},
	}}
}

func TestEveryGunMoreWeakensTheOthers(t *testing.T) {
	was := math.Inf(1)
	for _, open := range [][]string{{"bay 1"}, {"bay 1", "bay 2"}, {"bay 1", "bay 2", "bay 3"}} {
		all, err := bays(t).With(open, water20)
		if err != nil {
			t.Fatal(err)
		}
		if now := float64(all[1].GunFlow); !(now < was && now > 0) {
			t.Errorf("with %d guns open bay 1 gets %v, before %v", len(open), now, was)
		} else {
			was = now
		}
		guns := 0.0
		for _, r := range all {
			guns += float64(r.GunFlow)
		}
		if main := float64(all[0].Flow); !(math.Abs(main-guns) <= 1e-8*guns) {
			t.Errorf("%v m³/s through the main, %v from the guns", main, guns)
		}
	}
}

func TestTheFarGunGetsLeast(t *testing.T) {
	all, err := bays(t).With([]string{"bay 1", "bay 2", "bay 3"}, water20)
	if err != nil {
		t.Fatal(err)
	}
	if !(all[1].GunFlow > all[2].GunFlow && all[2].GunFlow > all[3].GunFlow) {
		t.Errorf("bays get %v, %v, %v", all[1].GunFlow, all[2].GunFlow, all[3].GunFlow)
	}
	if _, err := bays(t).With([]string{"bay 9"}, water20); !errors.Is(err, ErrRange) {
		t.Errorf("a bay that is not there: %v", err)
	}
}

// Equal branches at one height are what a Delivery is made of.
func TestEqualBranchesAgreeWithADelivery(t *testing.T) {
	b := bays(t)
	b.Runs = b.Runs[:2]
	b.Runs = append(b.Runs, b.Runs[1])
	b.Runs[2].Name = "bay 2"
	all, err := b.With([]string{"bay 1", "bay 2"}, water20)
	if err != nil {
		t.Fatal(err)
	}
	d := Delivery{From: Boosted{From: Level{Height: 1, Fluid: water20}, Pump: b.Pump}, Shared: b.Runs[0].Line, Branch: b.Runs[1].Line, Gun: b.Runs[1].Gun, Rise: 1}
	point, err := d.With(2, water20)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := float64(all[1].GunFlow), float64(point.GunFlow); !(math.Abs(got-want) <= 1e-6*want) {
		t.Errorf("network %v m³/s, delivery %v", got, want)
	}
}
