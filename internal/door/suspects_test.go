package door

import (
	"strings"
	"testing"
)

// Fennel Lane was invented with tap water that crosses over in bay 3; what is typed
// counts, and what is no reading is told.
func TestSuspectsWithoutTheOffice(t *testing.T) {
	var d Door
	q := Question{Ask: Faults, File: file(t, "fennel-lane"), Read: []string{"gun 3 63 ppm NaCl"}, Said: []string{"spots at bay 3"}}
	a := d.Answer(t.Context(), q)
	if a.Faults == nil || a.Faults.Suspects[0].Number != 28 || len(a.Faults.Next) == 0 || len(a.Faults.Do) == 0 {
		t.Fatalf("%q %+v", a.Why, a.Faults)
	}
	q.Language = "es"
	if a = d.Answer(t.Context(), q); a.Faults == nil || strings.Contains(a.Faults.Suspects[0].Name, "cross-over") {
		t.Errorf("in Spanish: %q %+v", a.Why, a.Faults)
	}
	q.Read = []string{"gun 3 many"}
	if a = d.Answer(t.Context(), q); a.Why == "" || a.Faults != nil {
		t.Errorf("no reading: %q %+v", a.Why, a.Faults)
	}
}
