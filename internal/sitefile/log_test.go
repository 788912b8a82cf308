package sitefile

import (
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
