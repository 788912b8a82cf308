package sitefile

import (
	"bytes"
	"errors"
	"reflect"
	"strings"
	"testing"

	"rinsewright/quantity"
	"rinsewright/site"
)

const visit = head + `[[visit]]
date = "2026-07-01"
at = "14:30"
by = "A. Person"
said = "spots on the blue boats"
changed = ["lead resin", "other: padlock"]
hours = "1280 h"
vends = 20451
readings = [
  "permeate_strength = 9 ppm NaCl, after 20 min, by pen B", # a remark
  "gun_strength 3 = 63 ppm",
  "tank_level = skipped: no ladder",
]
`

const started = head + `[[commissioning]]
date = "2026-06-13"
by = "A. Person"
signed = "O. Owner"
instruments = ["pen B = pen, ±2 %, calibrated 2026-05-01", "panel gauge = pressure gauge, full scale 150 psi"]
done = ["flush, 12 min", "leaks, 30 min dry"]
readings = ["permeate_flow = 1.1 gpm, by bucket", "permeate_flow = 1.12 gpm, by bucket"]
promised = ["permeate_flow = at least 0.95 gpm", "recovery = 35 % to 45 %", "strength_after_membrane = at most 22 uS/cm"]
`

func TestTheRecordOfTheFirstDayKeepsThroughAFile(t *testing.T) {
	s, err := Read("f", []byte(started))
	if err != nil {
		t.Fatal(err)
	}
	c := &s.Commissioned[0]
	if len(c.Instruments) != 2 || c.Instruments[0].Share != 0.02 || c.Instruments[1].FullScale < 1e6 || len(c.Read) != 2 || len(c.Promised) != 3 || c.Intact() {
		t.Fatalf("read %+v", c)
	}
	c.Seal = c.Mark()
	again, err := Read("again", Write(s, quantity.Locale{}))
	if err != nil || !reflect.DeepEqual(s, again) || !again.Commissioned[0].Intact() {
		t.Errorf("the record changed on its way through a file: %v", err)
	}
	// One digit changed by hand shows.
	changed, err := Read("changed", bytes.Replace(Write(s, quantity.Locale{}), []byte("1.12 gpm"), []byte("1.21 gpm"), 1))
	if err != nil || changed.Commissioned[0].Intact() {
		t.Errorf("a changed record passes as sealed (%v)", err)
	}
}

func TestACorrectionNamesWhatItCorrectsAndWhy(t *testing.T) {
	for about, rest := range map[string]string{
		"an earlier record": "[[commissioning]]\ndate = \"2026-06-14\"\ncorrects = \"2026-01-01\"\nreason = \"x\"\n",
		"why":               "[[commissioning]]\ndate = \"2026-06-14\"\ncorrects = \"2026-06-13\"\n",
		"another day":       "[[commissioning]]\ndate = \"2026-06-13\"\n",
		"the day it was":    "[[commissioning]]\nby = \"A\"\n",
	} {
		if _, err := Read("f", []byte(started+rest)); err == nil || !strings.Contains(err.Error(), about) {
			t.Errorf("wanted something of %q, told %v", about, err)
		}
	}
	s, err := Read("f", []byte(started+"[[commissioning]]\ndate = \"2026-06-14\"\ncorrects = \"2026-06-13\"\nreason = \"wrong pen\"\n"))
	if err != nil {
		t.Fatal(err)
	}
	if b, ok := s.Baseline(); !ok || b.Date != "2026-06-14" {
		t.Errorf("the baseline is %q", b.Date)
	}
}

func TestAVisitKeepsItsReadingsThroughAFile(t *testing.T) {
	s, err := Read("f", []byte(visit))
	if err != nil {
		t.Fatal(err)
	}
	v := s.Log[0]
	if len(v.Read) != 3 || v.Read[0].Instrument != "pen B" || v.Read[1].Number != 3 || !v.Read[1].ScaleUnknown() || v.Read[2].Skipped != "no ladder" || v.Vends != 20451 {
		t.Errorf("read %+v", v)
	}
	again, err := Read("again", Write(s, quantity.Locale{}))
	if err != nil || !reflect.DeepEqual(s, again) {
		t.Errorf("the visit changed on its way through a file: %v", err)
	}
	// A visit added to a file leaves what stood there as it stood.
	s.Log = append(s.Log, site.Visit{Date: "2026-07-02", Read: v.Read})
	if updated := string(Update([]byte(visit), s, quantity.Locale{})); !strings.HasPrefix(updated, visit) || strings.Count(updated, "[[visit]]") != 2 {
		t.Errorf("the file became\n%s", updated)
	}
}

// A file as version 0.1 wrote them: its changes were any text.
func TestAVisitOfAnOldFileIsStillRead(t *testing.T) {
	s, err := Read("f", []byte(head+"[[visit]]\ndate = \"2026-06-13\"\nchanged = [\"lead resin\", \"5 µm filter\", \"the lock\"]\nmeter = \"41250 gal\"\nplace = \"permeate\"\nstrength = \"9 ppm\"\n"))
	if err != nil {
		t.Fatal(err)
	}
	if want := []site.Change{site.LeadResin, site.SedimentFilter, site.Other("the lock")}; !reflect.DeepEqual(s.Log[0].Changed, want) {
		t.Errorf("changed %q, want %q", s.Log[0].Changed, want)
	}
}

func TestAReadingThatCannotBeIsToldWithItsLine(t *testing.T) {
	_, err := Read("f", []byte(head+"[[visit]]\nreadings = [\"permeate_flow = 60 psi\"]\n"))
	var ps Problems
	if !errors.As(err, &ps) || !strings.HasPrefix(ps[0].Where, "f:5:") || !strings.Contains(ps[0].Wanted, "flow") || !strings.Contains(ps[0].Wanted, "60 psi") {
		t.Errorf("told %v", err)
	}
}
