package quantity

import (
	"errors"
	"testing"
)

var awkward = []string{
	"", " ", "NaN", "Inf", "-Inf", "+inf", "0", "-0", "-1", "1e308", "1e309", "5e-324", "0x1p4", "1_0", "1,285", "1.285,5", "1/2", "1/0", "½",
	"60 psi", "4 bar", "3,8 bar", "77F", "-300 C", "25 °C", "14 gpg", "240 mg/L as CaCO3", "4.5 lpm", "1 1/2\"", "1-1/2 in", "580 µS", "18 MΩ·cm",
	"1e308 bar", "NaN psi", "Inf gpm", "-5 gal", "45 %", "25 L/(m²·h)", "1000 ppm-hours", "10 °dH", "5 m-2", "60 psi\x00", "\xff psi", "1\u202f285 L", "9e", "1e+", "\"", "'",
}

func FuzzParseNumber(f *testing.F) {
	for _, s := range awkward {
		f.Add(s, false)
		f.Add(s, true)
	}
	f.Fuzz(func(t *testing.T, text string, comma bool) {
		x, err := ParseNumber(text, Locale{DecimalComma: comma})
		if err == nil && !finite(x) {
			t.Errorf("%q reads as %v without an error", text, x)
		}
		if err != nil && (!errors.Is(err, ErrNumber) || x != 0) {
			t.Errorf("%q: %v, %v", text, x, err)
		}
	})
}

// FuzzParse reads each text as every kind: no error means finite, and what was
// read can be printed and read again.
func FuzzParse(f *testing.F) {
	for _, s := range awkward {
		f.Add(s, false)
		f.Add(s, true)
	}
	f.Fuzz(func(t *testing.T, text string, comma bool) {
		for _, d := range doors {
			x, err := d.parse(text, Locale{DecimalComma: comma})
			var parseErr *ParseError
			switch {
			case err != nil && (!errors.As(err, &parseErr) || !errors.Is(err, ErrNumber) && !errors.Is(err, ErrUnit) || x != 0):
				t.Errorf("%s %q: %v, %v", d.kind, text, x, err)
			case err == nil && !finite(x):
				t.Errorf("%s %q reads as %v without an error", d.kind, text, x)
			case err == nil:
				for _, s := range systems {
					if _, err := d.parse(d.format(x, s, Locale{}), Locale{}); err != nil {
						t.Errorf("%s %q cannot be read again: %v", d.kind, text, err)
					}
				}
			}
		}
	})
}

// FuzzUnit asks every kind for a value in a unit that someone spelt.
func FuzzUnit(f *testing.F) {
	for _, s := range awkward {
		f.Add(s, 1.0)
	}
	f.Add("psi", 1e308)
	f.Add("ug/L", -1e308)
	f.Fuzz(func(t *testing.T, unit string, x float64) {
		for _, d := range doors {
			if y, err := d.in(x, unit); err == nil && !finite(y) {
				t.Errorf("%s %v in %q is %v without an error", d.kind, x, unit, y)
			}
			if text, err := d.exact(x, unit); err == nil {
				if y, err := d.parse(text, Locale{}); err != nil || y != x {
					t.Errorf("%s %v in %q prints as %q, which reads as %v, %v", d.kind, x, unit, text, y, err)
				}
			}
		}
	})
}
