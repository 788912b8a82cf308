package site

import (
	"testing"

	"pgregory.net/rapid"

	"rinsewright/commissioning"
	"rinsewright/quantity"
)

// What is frozen asks no more than was promised, and next to no less.
func TestAFrozenPromiseIsTheSamePromise(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(1e-9, 1).Draw(t, "low")
		high := low * rapid.Float64Range(1.01, 3).Draw(t, "high")
		loc := quantity.Locale{DecimalComma: rapid.Bool().Draw(t, "comma")}
		for name := range promisedKinds {
			for _, limits := range []commissioning.Limits{commissioning.AtLeast(low), commissioning.AtMost(high), {Low: low, High: high}} {
				p, err := Freeze(name, limits, loc)
				if err != nil {
					t.Fatalf("%s %v: %v", name, limits, err)
				}
				if p.Limits.Low > limits.Low*(1+1e-9) || p.Limits.High < limits.High*(1-1e-9) ||
					limits.Low > 0 && p.Limits.Low < limits.Low*0.998 && p.Limits.Low > 0 && limits.High < 1e300 && p.Limits.High > limits.High*1.002 {
					t.Fatalf("%s: %v became %v (%s)", name, limits, p.Limits, p.Typed)
				}
			}
		}
	})
}

func FuzzParseInstrument(f *testing.F) {
	for _, s := range []string{"pen B = pen, ±2 %, calibrated 2026-05-01", "g = pressure gauge, full scale 150 psi", "x=pen, ±NaN %", "a = bucket, full scale -1 psi", "=", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, line string) {
		i, err := ParseInstrument(line, quantity.Locale{})
		if err != nil {
			return
		}
		again, err := ParseInstrument(i.Typed, quantity.Locale{})
		if err != nil || again != i || !(i.Share >= 0 && i.FullScale >= 0) {
			t.Fatalf("%q: %+v, then %+v (%v)", line, i, again, err)
		}
	})
}

func FuzzParsePromised(f *testing.F) {
	for _, s := range []string{"permeate_flow = at least 0.95 gpm", "recovery = 35 % to 45 %", "recovery = 45 % to 35 %", "gun_flow = at most NaN gpm", "x = 1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, line string) {
		p, err := ParsePromised(line, quantity.Locale{})
		if err == nil && !(p.Limits.Low < p.Limits.High) {
			t.Fatalf("%q: %+v", line, p)
		}
	})
}
