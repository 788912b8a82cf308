package site

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/water"
)

// Each line is what a person on site writes, and what must be kept of it.
func TestALineOfTheLogIsReadAsItWasMeant(t *testing.T) {
	nacl, err := water.ScaleNaCl.Conductivity(quantity.MilligramsPerLitre(9))
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		line   string
		key    string
		si     float64
		minute float64
		by     string
	}{
		{"permeate_strength = 9 ppm NaCl, after 20 min, by pen B", "permeate_strength", float64(nacl), 20, "pen B"},
		{"permeate 9 ppm NaCl, by pen B, after 20 min", "permeate_strength", float64(nacl), 20, "pen B"},
		{"permeate 1.1 gpm, by bucket", "permeate_flow", float64(quantity.GallonsPerMinute(1.1)), -1, "bucket"},
		{"gun 3 = 63 uS/cm, after 1 min", "gun_strength 3", 63e-4, 1, ""},
		{"gun_strength 3 63 uS/cm", "gun_strength 3", 63e-4, -1, ""},
		{"feed_pH = 7.4", "feed_pH", 7.4, -1, ""},
		{"tank 60 %", "tank_level", 0.6, -1, ""},
		{"hardness: 12 gpg", "feed_hardness", float64(quantity.GrainsPerGallon(12)), -1, ""},
		{"run_hours_per_day = 6 h", "run_hours_per_day", 0.25, -1, ""},
		{"starts_per_hour = 4", "starts_per_hour", 4, -1, ""},
		{"meter 41,250 gal", "permeate_meter", float64(quantity.Gallons(41250)), -1, ""},
	} {
		r, err := ParseReading(row.line, quantity.Locale{})
		if err != nil {
			t.Errorf("%s: %v", row.line, err)
			continue
		}
		minute := -1.0
		if r.Timed {
			minute = r.Running.Minutes()
		}
		if r.Key() != row.key || math.Abs(r.SI-row.si) > 1e-9*row.si || math.Abs(minute-row.minute) > 1e-9 || r.Instrument != row.by {
			t.Errorf("%s: read as %s = %v after %v min by %q; want %s = %v after %v min by %q", row.line, r.Key(), r.SI, minute, r.Instrument, row.key, row.si, row.minute, row.by)
		}
	}
}

func TestALineThatCannotBeMeantIsToldWhatWasWanted(t *testing.T) {
	for _, row := range []struct{ line, wanted string }{
		{"", "a gauge"},
		{"permeat_flow 1 gpm", "permeate_flow"}, // one letter short: the example names it
		{"permeate_flow = 60 psi", "flow"},
		{"permeate_flow = 60", "unit"},
		{"feed_pressure = NaN psi", "pressure"},
		{"feed_temperature = 400 C", "between"},
		{"permeate_flow 2 = 1 gpm", "no number"},
		{"tank_level = skipped", "why"},
		{"tank_level = 60 %, sideways", "after how long"},
		{"feed_pressure = 60 psi NaCl", "only with"},
		{"permeate_strength = 9 ppm scale 7", "0.3 to 1"},
	} {
		_, err := ParseReading(row.line, quantity.Locale{})
		if err == nil || !strings.Contains(err.Error(), row.wanted) {
			t.Errorf("%q: told %v; want something of %q", row.line, err, row.wanted)
		}
	}
}

// A reading of nothing is a bound, since every display has a last digit.
func TestAReadingOfZeroIsABoundBelowHalfADigit(t *testing.T) {
	r, err := ParseReading("polished_strength = 0 ppm NaCl", quantity.Locale{})
	if err != nil {
		t.Fatal(err)
	}
	// 1 ppm of sodium chloride conducts about 2.1 µS/cm. Source: from memory, unverified.
	if r.SI != 0 || !(1.9e-4 < r.Digit && r.Digit < 2.3e-4) {
		t.Errorf("0 ppm is %v, step %v S/m", r.SI, r.Digit)
	}
	bound, err := ParseReading("membrane_total_chlorine = <0.1 mg/L", quantity.Locale{})
	if err != nil || bound.SI != 0 || math.Abs(bound.Digit-2*1e-4) > 1e-12 {
		t.Errorf("<0.1 mg/L is %v, step %v kg/m3, %v", bound.SI, bound.Digit, err)
	}
}

func TestAVisitSaysWhatItsGaugesRead(t *testing.T) {
	strength, _ := ParseReading("gun 2 = 12 uS/cm", quantity.Locale{})
	skipped, _ := ParseReading("tank_level = skipped: no ladder", quantity.Locale{})
	v := Visit{
		Meter: quantity.Entry[quantity.Volume]{Value: quantity.Gallons(100), Typed: "100 gal", Known: true},
		Sample: &water.Sample{
			Place: "permeate", Running: quantity.Told(quantity.Minutes(20)), Instrument: "pen",
			Strength: water.Strength{PPM: quantity.Entry[quantity.MassConc]{Value: quantity.MilligramsPerLitre(9), Typed: "9 ppm", Known: true}},
		},
		Read: []Reading{strength, skipped},
	}
	var keys []string
	for _, r := range v.Gauged() {
		keys = append(keys, r.Key())
	}
	if want := []string{"permeate_strength", "permeate_meter", "gun_strength 2"}; !reflect.DeepEqual(keys, want) {
		t.Errorf("gauges %v, want %v", keys, want)
	}
	if p := v.Gauged()[0]; !p.Timed || p.Scale != water.ScaleNaCl || p.Of != plant.PermeateStrength || !(p.Digit > 0) {
		t.Errorf("the pen's reading lost its time, scale or digit: %+v", p)
	}
}

func TestWhatWasChangedIsHeardAsOneOfFixedWords(t *testing.T) {
	for _, row := range []struct {
		said        string
		meant, near Change
	}{
		{"lead resin", LeadResin, ""},
		{"Lead Resin", LeadResin, ""},
		{"5 µm filter", SedimentFilter, ""}, // as files of before said it
		{"carbon cartridge", CarbonChanged, ""},
		{"o-ring", Seals, ""},
		{"lead out, lag moved to lead", ResinRotated, ""},
		{"membrne", "", MembraneChanged},
		{"other: a new padlock", Other("a new padlock"), ""},
		{"painted the door", Other("painted the door"), ""},
		{"", "", ""},
	} {
		meant, near := ChangeMeant(row.said)
		if meant != row.meant || near != row.near {
			t.Errorf("%q: heard %q, near %q; want %q, %q", row.said, meant, near, row.meant, row.near)
		}
	}
}

func FuzzParseReading(f *testing.F) {
	for _, s := range []string{
		"permeate_strength = 9 ppm NaCl, after 20 min, by pen B", "gun 3 63 ppm scale 0.5", "tank_level = skipped: a, b , ", "feed_pH=7.4", "polished 0 ppm",
		"membrane_total_chlorine = <0.1 mg/L", "starts_per_hour 1e9", "feed_temperature NaN C", "meter 1 1/2 gal", "gun 3=1", "run_hours_per_day 6 h", "lead <<1 ppm", "gun_flow -0 gpm",
	} {
		f.Add(s, false)
	}
	f.Add("permeate 3,8 L/min", true)
	f.Fuzz(func(t *testing.T, line string, comma bool) {
		loc := quantity.Locale{DecimalComma: comma}
		r, err := ParseReading(line, loc)
		if err != nil {
			return
		}
		if math.IsNaN(r.SI) || math.IsInf(r.SI, 0) || math.IsNaN(r.Digit) || math.IsInf(r.Digit, 0) || r.Digit < 0 {
			t.Fatalf("%q reads as %v, step %v", line, r.SI, r.Digit)
		}
		again, err := ParseReading(r.String(), loc)
		if err != nil || !reflect.DeepEqual(r, again) {
			t.Fatalf("%q became %q, which reads as %+v, not %+v (%v)", line, r.String(), again, r, err)
		}
	})
}
