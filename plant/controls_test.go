package plant

import (
	"errors"
	"testing"

	"rinsewright/hydraulics"
	"rinsewright/membrane"
	"rinsewright/quantity"
)

// controlled is a boosted rig with everything that can start and stop it.
func controlled(t testing.TB) Plant {
	p := rig(t, 2)
	curve, err := hydraulics.DutyPump(quantity.PSI(110), hydraulics.PumpPoint{Flow: quantity.GallonsPerMinute(2), Pressure: quantity.PSI(80)})
	if err != nil {
		t.Fatal(err)
	}
	p.Booster = curve
	p.Flush = &Flush{Valve: hydraulics.Cv(0.6), Lasts: 30}
	p.Controls = Controls{
		Float: Sound, InletValve: Sound, ShutOff: Sound, LowPressure: Sound, LowLevel: Sound, VendTimer: Sound, FlushValve: Sound,
		TripsAt: quantity.PSI(10), ResetsAt: quantity.PSI(20),
	}
	return p
}

// weaken gives the rig a main that falls from 60 to 10 psi at 4 gpm.
func weaken(p *Plant) {
	p.Supply = hydraulics.CityCurve{Static: quantity.PSI(60), RunningPressure: quantity.PSI(10), RunningFlow: quantity.GallonsPerMinute(4)}
	p.Controls.TripsAt, p.Controls.ResetsAt = quantity.PSI(48), quantity.PSI(50)
}

var middle = Moment{Level: 0.5, Start: 0.7, Stop: 0.9, LowCut: 0.1}

func doing(t testing.TB, p Plant, m Moment) Doing {
	t.Helper()
	d, err := p.At(Conditions{Feed: tap(t, 15)}, m)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// The failures of TRADE section 4 that are a control's, by their row there.
func TestStuckControlsDoWhatTheTradeSees(t *testing.T) {
	full := Moment{Level: 1, Start: 0.7, Stop: 0.9, LowCut: 0.1}
	empty := Moment{Level: 0, Start: 0.7, Stop: 0.9, LowCut: 0.1, Paid: true, Trigger: true}
	for _, row := range []struct {
		about string
		plant func(*Plant)
		at    Moment
		holds func(Doing) bool
	}{
		{"sound: makes water into a half-full tank", func(*Plant) {}, middle, func(d Doing) bool { return d.Makes > 0 && d.Boosted && !d.Overflows }},
		{"sound: stands still at a full tank", func(*Plant) {}, full, func(d Doing) bool { return !d.Runs && d.Drains == 0 && d.Makes == 0 }},
		{"row 13, flush valve stuck open: concentrate runs off", func(p *Plant) { p.Controls.FlushValve = StuckOn }, middle, func(d Doing) bool { return d.Drains > quantity.GallonsPerMinute(2) }},
		{"row 14, inlet valve does not shut: waste runs with the tank full", func(p *Plant) { p.Controls.InletValve = StuckOn }, full, func(d Doing) bool { return d.Drains > 0 }},
		{"row 14, float stops the booster alone: waste runs at tap pressure", func(p *Plant) { p.Controls.InletValve, p.Controls.FloatStops = Absent, OnBooster }, full, func(d Doing) bool { return d.Drains > 0 && !d.Boosted }},
		{"row 35, low-level cut-off stuck: pump runs dry", func(p *Plant) { p.Controls.LowLevel = StuckOn }, empty, func(d Doing) bool { return d.DryPump }},
		{"sound: pump stands at an empty tank", func(*Plant) {}, empty, func(d Doing) bool { return !d.Delivers && d.Makes > 0 }},
		{"row 38, float stuck calling: the tank overflows", func(p *Plant) { p.Controls.Float = StuckOn }, full, func(d Doing) bool { return d.Overflows }},
		{"row 39, float stuck full: never starts", func(p *Plant) { p.Controls.Float = StuckOff }, empty, func(d Doing) bool { return !d.Runs }},
		{"row 39, low-pressure switch open: the booster never starts", func(p *Plant) { p.Controls.LowPressure = StuckOff }, empty, func(d Doing) bool { return d.Runs && !d.Boosted }},
		{"row 40, weak supply: the cut-out chatters", func(p *Plant) { weaken(p) }, middle, func(d Doing) bool { return d.Chatters && !d.Boosted }},
		{"row 41, inlet valve stuck shut: no water", func(p *Plant) { p.Controls.InletValve = StuckOff }, middle, func(d Doing) bool { return !d.Runs && len(d.Because) > 0 }},
		{"row 47, vend relay open: paid and no water", func(p *Plant) { p.Controls.VendTimer = StuckOff }, Moment{Level: 0.5, Start: 0.7, Stop: 0.9, LowCut: 0.1, Paid: true, Trigger: true}, func(d Doing) bool { return !d.Delivers }},
		{"row 32, vend valve stuck open: water runs unpaid", func(p *Plant) { p.Controls.VendTimer = StuckOn }, middle, func(d Doing) bool { return d.Delivers && d.Unpaid }},
		{"held permeate and no shut-off valve: all of it goes to the drain", func(p *Plant) { p.Controls.ShutOff = Absent }, Moment{Level: 0.5, Start: 0.7, Stop: 0.9, Held: true}, func(d Doing) bool {
			return d.Makes == 0 && d.Drains > 0 && errors.Is(d.NoPermeate, membrane.ErrNoFlow)
		}},
		{"held permeate with a shut-off valve: nothing runs", func(*Plant) {}, Moment{Level: 0.5, Start: 0.7, Stop: 0.9, Held: true}, func(d Doing) bool { return !d.Runs && d.Drains == 0 }},
	} {
		p := controlled(t)
		row.plant(&p)
		if d := doing(t, p, row.at); !row.holds(d) {
			t.Errorf("%s: makes %.2f, drains %.2f L/min, %+v", row.about, d.Makes.LitresPerMinute(), d.Drains.LitresPerMinute(), d.Because)
		}
	}
}

// Every control every way at every moment: an answer, and one that makes sense.
func TestEveryCombinationOfControlsHasAnAnswer(t *testing.T) {
	p := controlled(t)
	p.Train.Housings = p.Train.Housings[:1]
	c := Conditions{Feed: tap(t, 15)}
	moments := []Moment{
		{Level: 0, Start: 0.7, Stop: 0.9, LowCut: 0.1, Paid: true, Trigger: true},
		{Level: 0.8, Start: 0.7, Stop: 0.9, LowCut: 0.1, Calling: true, Flushing: true},
		{Level: 1, Start: 0.7, Stop: 0.9, LowCut: 0.1, Trigger: true, Held: true},
	}
	ways := []Works{Absent, Sound, StuckOn, StuckOff}
	for n := range 1 << 14 { // two bits for each of seven controls
		way := func(i int) Works { return ways[n>>(2*i)&3] }
		p.Controls = Controls{
			Float: way(0), InletValve: way(1), ShutOff: way(2), LowPressure: way(3), LowLevel: way(4), VendTimer: way(5), FlushValve: way(6),
			FloatStops: Acts(n % 2), TripsAt: quantity.PSI(10), ResetsAt: quantity.PSI(20),
		}
		m := moments[n%len(moments)]
		d, err := p.At(c, m)
		switch {
		case err != nil:
			t.Fatalf("%+v at %+v: %v", p.Controls, m, err)
		case !d.Runs && (d.Makes != 0 || d.Drains != 0):
			t.Errorf("%+v at %+v: nothing runs and %v is made", p.Controls, m, d.Makes)
		case d.Runs && d.Makes == 0 && d.NoPermeate == nil:
			t.Errorf("%+v at %+v: water runs, none is made, and no reason", p.Controls, m)
		case d.Overflows && p.Controls.Float == Sound && p.Controls.InletValve == Sound:
			t.Errorf("%+v at %+v: overflows past a sound float", p.Controls, m)
		case p.Controls.LowLevel == Sound && d.DryPump:
			t.Errorf("%+v at %+v: pump runs dry past a sound cut-off", p.Controls, m)
		}
	}
}

func TestAFlushSweepsTheChannel(t *testing.T) {
	s, err := controlled(t).Sweep(Conditions{Feed: tap(t, 15)})
	if err != nil {
		t.Fatal(err)
	}
	if !(s.Speed > 2 && s.Exchanged > 1 && s.Volume > 0) {
		t.Errorf("a wide valve for 30 s: %+v", s)
	}
	if _, err := rig(t, 1).Sweep(Conditions{Feed: tap(t, 15)}); !errors.Is(err, ErrIncomplete) {
		t.Errorf("no valve: %v, want ErrIncomplete", err)
	}
}
