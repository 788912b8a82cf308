package study_test

import (
	"errors"
	"strings"
	"testing"

	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
	"rinsewright/water"
)

// boosted is the marina with a booster, a recycle, a flush valve and controls.
// Invented.
func boosted(t *testing.T) *site.Site {
	t.Helper()
	s := example(t, "cormorant-reach")
	s.Rig.Booster = &site.Pump{Flow: quantity.Told(quantity.GallonsPerMinute(4)), Pressure: quantity.Told(quantity.PSI(80)), ShutOff: quantity.Told(quantity.PSI(110))}
	s.Rig.Recycle = &site.Recycle{Flow: quantity.Told(quantity.GallonsPerMinute(1)), Pressure: quantity.Told(quantity.PSI(60))}
	s.Rig.Flush = &site.Flush{Flow: quantity.Told(quantity.GallonsPerMinute(3)), Pressure: quantity.Told(quantity.PSI(20)), Lasts: quantity.Told(quantity.Time(30))}
	s.Rig.Controls = &site.Controls{Float: site.Sound, FloatStops: "booster", InletValve: site.Sound, LowLevel: site.Sound, VendTimer: site.Sound}
	return s
}

// A look at a rig closely, its parts all there.
func TestARigWithRecycleFlushAndControlsAnswers(t *testing.T) {
	r, err := study.Rig(boosted(t), study.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !(r.Point.Recycled > 0 && r.Point.Feed.Flow > r.Point.Fresh.Flow) {
		t.Errorf("recycled %g, fed %g of %g fresh", r.Point.Recycled, r.Point.Feed.Flow, r.Point.Fresh.Flow)
	}
	if r.Sweep == nil || !(r.Sweep.Speed > 1) {
		t.Errorf("a flush sweeps no faster than service: %+v", r.Sweep)
	}
	if m, ok := r.Nearest(); !ok || m.Source == "" {
		t.Error("no nearest limit with its source")
	}
	if len(r.Moments) < 2 || r.Moments[0].State != study.Fine {
		t.Errorf("moments: %+v", r.Moments)
	}
}

// Each stuck control shows in what the rig then does. Common practice, no source.
func TestAStuckControlIsToldByWhatItDoes(t *testing.T) {
	for _, row := range []struct {
		what  string
		spoil func(*site.Controls)
		says  string
	}{
		{"no inlet valve: the tap pushes on", func(c *site.Controls) { c.InletValve = site.NoControl }, "overflows"},
		{"float stuck on", func(c *site.Controls) { c.Float = site.StuckOn }, "overflows"},
		{"no low-level cut-off", func(c *site.Controls) { c.LowLevel = site.NoControl }, "dry"},
		{"vend timer stuck on", func(c *site.Controls) { c.VendTimer = site.StuckOn }, "nobody paid"},
		{"vend timer stuck off", func(c *site.Controls) { c.VendTimer = site.StuckOff }, "stands still"},
	} {
		s := boosted(t)
		if s.Rig.Tank.Kind == "pressurised" {
			s.Rig.Tank = &site.Tank{Kind: "vented", Volume: quantity.Told(quantity.Gallons(200))}
		}
		row.spoil(s.Rig.Controls)
		r, err := study.Rig(s, study.Options{})
		if err != nil {
			t.Fatalf("%s: %v", row.what, err)
		}
		told := ""
		for _, m := range r.Moments {
			if m.State != study.Fine {
				told += m.When + ": " + m.Does + "\n"
			}
		}
		if !strings.Contains(told, row.says) {
			t.Errorf("%s: told %q, want %q in it", row.what, told, row.says)
		}
	}
}

func TestARigThatAControlStopsSaysWhich(t *testing.T) {
	s := boosted(t)
	s.Rig.Controls.InletValve = site.StuckOff
	_, err := study.Rig(s, study.Options{})
	if !errors.Is(err, plant.ErrStopped) || !strings.Contains(err.Error(), "inlet valve") {
		t.Errorf("error %v, want one that names the inlet valve", err)
	}
}

// A second pass makes less water and holds back what salt is left, but no gas.
// Common practice, no source.
func TestASecondPassMakesLessAndWeaker(t *testing.T) {
	s := boosted(t)
	one, err := study.Rig(s, study.Options{})
	if err != nil {
		t.Fatal(err)
	}
	s.Rig.Second = &site.Second{Membrane: *s.Rig.Membrane}
	s.Rig.SecondPump = &site.Pump{Flow: quantity.Told(quantity.GallonsPerMinute(1)), Pressure: quantity.Told(quantity.PSI(60))}
	two, err := study.Rig(s, study.Options{})
	if err != nil {
		t.Fatal(err)
	}
	a, b := one.Point.Product(), two.Point.Product()
	if salt := b.Water.Total[water.Sodium] / a.Water.Total[water.Sodium]; !(b.Flow < a.Flow && salt < 1./5) {
		t.Errorf("two passes make %g with %g of the sodium that one's %g has", b.Flow, salt, a.Flow)
	}
	if gas := b.Water.Total[water.Carbon] / a.Water.Total[water.Carbon]; !(gas > 0.3) {
		t.Errorf("carbon dioxide crosses both, and %g of it is left", gas)
	}
}

// A cut-out that a weak supply trips keeps the booster off or makes it chatter.
func TestAWeakSupplyTripsTheCutOut(t *testing.T) {
	s := boosted(t)
	s.Rig.Controls.LowPressure = site.Sound
	s.Rig.Controls.TripsAt = quantity.Told(quantity.PSI(58))
	s.Rig.Controls.ResetsAt = quantity.Told(quantity.PSI(59))
	r, err := study.Rig(s, study.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if said := strings.Join(r.Moments[0].Because, "; "); !strings.Contains(said, "cut-out") {
		t.Errorf("said %q, want the cut-out in it", said)
	}
}
