package door

import (
	"slices"
	"strings"
	"testing"

	"rinsewright/quantity"
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
		said := ""
		for _, d := range a.Doubts {
			said += d.Says + " "
		}
		if a.Why != "" || (c.says == "") != (said == "") || !strings.Contains(said, c.says) {
			t.Errorf("%s: said %q %q, want %q", c.name, said, a.Why, c.says)
		}
	}
}

// What was meant instead comes along, as a button says it and as a form takes it.
func TestADoubtSaysWhatWasMeant(t *testing.T) {
	for _, c := range []struct {
		name, decimal, button string
		read, instead         []string
	}{
		{"two waters swapped", "", "Swap them", []string{"feed_strength = 8 ppm NaCl", "permeate_strength = 305 ppm NaCl"}, []string{"permeate_strength = 8 ppm NaCl", "feed_strength = 305 ppm NaCl"}},
		{"degrees", "comma", "It was 53,5 F", []string{"feed_temperature = 53,5 C"}, []string{"feed_temperature = 53,5 F"}},
	} {
		var d Door
		a := d.Answer(t.Context(), Question{Ask: Odd, File: file(t, "fennel-lane"), Read: c.read, Date: "2026-06-13", Decimal: c.decimal})
		if len(a.Doubts) != 1 || a.Doubts[0].Button != c.button || !slices.Equal(a.Doubts[0].Instead, c.instead) {
			t.Errorf("%s: %+v %s", c.name, a.Doubts, a.Why)
		}
	}
}

// A thousand in one country is a decimal in the next: it is asked about, and
// one press puts the other in its place.
func TestANumberThatMayBeADecimalIsAskedAbout(t *testing.T) {
	for _, c := range []struct {
		line    string
		comma   bool
		instead string
	}{
		{"feed_strength = 1,234 ppm NaCl", false, "feed_strength = 1.234 ppm NaCl"},
		{"feed_strength = 1.234 ppm NaCl, after 20 min", true, "feed_strength = 1,234 ppm NaCl, after 20 min"},
		{"feed_strength = 1.234 ppm NaCl", false, ""},
		{"feed_strength = 1,234 ppm NaCl", true, ""},
		{"feed_strength = 1234 ppm NaCl", false, ""},
		{"feed_strength = 1,234.5 ppm NaCl", false, ""},
		{"feed_strength = 0,234 ppm NaCl", false, ""},
	} {
		d, ok := grouped(c.line, quantity.Locale{DecimalComma: c.comma})
		if ok != (c.instead != "") || ok && d.Instead[0] != c.instead {
			t.Errorf("%s (comma %v): %+v", c.line, c.comma, d)
		}
	}
}
