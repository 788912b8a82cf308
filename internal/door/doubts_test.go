package door

import (
	"strings"
	"testing"
)

// What looks odd is said without the office: points that were swapped, a unit
// that was meant otherwise, a day that cannot be.
func TestDoubtsWithoutTheOffice(t *testing.T) {
	for _, c := range []struct {
		name, decimal, says string
		read                []string
	}{
		{"as on other days", "", "", []string{"feed_strength = 305 ppm NaCl", "permeate_strength = 8 ppm NaCl"}},
		{"two waters swapped", "", "swapped", []string{"feed_strength = 8 ppm NaCl", "permeate_strength = 305 ppm NaCl"}},
		{"one water twice", "", "same water read twice", []string{"feed_strength = 305 ppm NaCl", "permeate_strength = 305 ppm NaCl"}},
		{"a comma is a comma", "comma", "", []string{"feed_strength = 305,5 ppm NaCl", "permeate_strength = 8,5 ppm NaCl"}},
		{"no reading", "", "", []string{"feed_strength = many"}},
	} {
		var d Door
		a := d.Answer(t.Context(), Question{Ask: Odd, File: file(t, "fennel-lane"), Read: c.read, Date: "2026-06-13", Decimal: c.decimal})
		said := strings.Join(a.Doubts, " ")
		if a.Why != "" || (c.says == "") != (said == "") || !strings.Contains(said, c.says) {
			t.Errorf("%s: said %q %q, want %q", c.name, said, a.Why, c.says)
		}
	}
}
