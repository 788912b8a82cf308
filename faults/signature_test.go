package faults

import (
	"math"
	"strconv"
	"testing"

	"rinsewright/carbon"
	"rinsewright/internal/check"
	"rinsewright/membrane"
	"rinsewright/plant"
	"rinsewright/quantity"
)

// wall is an invented rig of the usual kind: booster, softener, carbon, two
// elements, resin ahead of the tank, three bays.
func wall() Facts {
	return Facts{
		Source: ChloramineCity, Booster: true, Softener: true, Carbon: carbon.Granular, CarbonBed: quantity.CubicFeet(1.5),
		Sheet: membrane.Sheet{
			Area: quantity.SquareFeet(28), PermeateFlow: quantity.GallonsPerDay(750), Rejection: 0.985,
			TestPressure: quantity.PSI(100), TestSalt: quantity.MilligramsPerLitre(500),
		},
		Housings: 2, Recovery: quantity.Told(quantity.Ratio(0.4)),
		ResinPlace: BeforeTank, Lead: quantity.CubicFeet(1), Lag: quantity.CubicFeet(1),
		Tank: quantity.Told(quantity.Gallons(500)), FloatGap: quantity.Told(quantity.Gallons(60)),
		Bays: 3, Gun: quantity.Told(quantity.GallonsPerMinute(1.5)), PerDay: quantity.Told(quantity.Gallons(400)),
		GaugeScale: quantity.Told(quantity.PSI(200)),
	}
}

// Every row of the trade's table moves the readings that it names, the way it
// says, when its cause is put to the plant.
func TestCausesMoveReadingsAsTheTradeSays(t *testing.T) {
	c := Case{Facts: wall()}
	n, err := nominalOf(&c.Facts)
	if err != nil {
		t.Fatal(err)
	}
	sound, err := n.see(&n.start)
	if err != nil {
		t.Fatal(err)
	}
	table := check.Ref(t, "testdata/ref/signatures.csv")
	for _, row := range table.Rows {
		number, bay := whole(t, row.Text("cause")), whole(t, row.Text("bay"))
		e := Evidence{Reading: plant.Reading{Of: plant.Gauge(row.Text("gauge")), Number: bay}}
		moved := n.start
		cause, _ := CauseOf(number)
		cause.forms(&c)[0].change(&moved, 0.6)
		ill, err := n.see(&moved)
		if err != nil {
			t.Errorf("cause %d: %v", number, err)
			continue
		}
		before, ok1 := shownBy(sound, &e)
		after, ok2 := shownBy(ill, &e)
		if !ok1 || !ok2 {
			t.Errorf("cause %d: %s has no value", number, e.Key())
			continue
		}
		if goes := direction(&e, before, after); goes != row.Text("goes") {
			t.Errorf("cause %d, %s: from %.5g to %.5g goes %s, want %s (%s)", number, e.Key(), before, after, goes, row.Text("goes"), table.Source())
		}
	}
}

func shownBy(v *seen, e *Evidence) (float64, bool) {
	x, ok := v.value(e)
	return e.shown(x, &v.meters), ok
}

// direction tells a change that a reading would show, by half its accuracy.
func direction(e *Evidence, before, after float64) string {
	in := e.instrument()
	d := in.onScale(after) - in.onScale(before)
	switch {
	case math.Abs(d) < 0.5*in.spread(before):
		return "same"
	case d > 0:
		return "up"
	}
	return "down"
}

func whole(t *testing.T, s string) int {
	t.Helper()
	x, err := strconv.Atoi(s)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// All 48 rows of the table and a demand outgrown have a home, each once and in order.
func TestAllFortyEightRowsAndADemandOutgrownHaveAHome(t *testing.T) {
	all := Causes()
	if len(all) != 49 {
		t.Fatalf("%d causes, want 49 (common practice, no source: the trade's table and a demand outgrown)", len(all))
	}
	for i, c := range all {
		if c.Number != i+1 || c.Name == "" || c.Station == "" || len(c.forms(&Case{Facts: wall()})) == 0 {
			t.Errorf("row %d: %+v", i+1, c)
		}
	}
}
