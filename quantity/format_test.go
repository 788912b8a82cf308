package quantity

import (
	"math"
	"testing"
)

// The printed forms are this project's own choice (WORDS: the person's units);
// the amounts are plain or follow published factors [SP811].
func TestFormatPrintsTheDigitsThatFit(t *testing.T) {
	for _, row := range []struct{ got, want string }{
		{Format(PSI(60), US), "60 psi"},
		{Format(PSI(60), SI), "4.14 bar"},
		{Format(Bar(4), US), "58 psi"},
		{Format(Bar(0), SI), "0 bar"},
		{Format(Bar(-0.5), SI), "-0.5 bar"},
		{Format(GallonsPerMinute(5), US), "5 gpm"},
		{Format(GallonsPerMinute(5), SI), "18.9 L/min"},
		{Format(GallonsPerDay(700), US), "700 gpd"},
		{Format(GallonsPerDay(700), SI), "1.84 L/min"},
		{Format(GallonsPerDay(1439.2), US), "1,439 gpd"},
		{Format(GallonsPerDay(1439.7), US), "1 gpm"},
		{Format(Flow(0), US), "0 gpm"},
		{Format(Gallons(1285.4), US), "1,285 gal"},
		{Format(Gallons(1285.4), SI), "4,866 L"},
		{Format(CubicMetres(12.34), SI), "12.3 m³"},
		{Format(Inches(0.5), US), "0.5 in"},
		{Format(Inches(0.5), SI), "12.7 mm"},
		{Format(Feet(10), US), "10 ft"},
		{Format(Feet(10), SI), "3.05 m"},
		{Format(Metres(40.7458e-6), SI), "40.7 µm"},
		{Format(Celsius(25), US), "77 °F"},
		{Format(Celsius(25), SI), "25 °C"},
		{Format(Celsius(24.96), SI), "25 °C"},
		{Format(Celsius(-0.04), SI), "0 °C"},
		{Format(Kelvin(298), US), "76.7 °F"},
		{Format(TemperatureDifference(5), US), "9 °F"},
		{Format(Seconds(90), US), "90 s"},
		{Format(Seconds(119.6), SI), "2 min"},
		{Format(Minutes(4), SI), "4 min"},
		{Format(Hours(36), SI), "36 h"},
		{Format(Days(90), SI), "90 d"},
		{Format(Percent(45), US), "45 %"},
		{Format(Ratio(0.0123), SI), "1.23 %"},
		{Format(MicrosiemensPerCm(580), US), "580 µS/cm"},
		{Format(MicrosiemensPerCm(12880), SI), "12,880 µS/cm"},
		{Format(MicrosiemensPerCm(0.05501), SI), "0.055 µS/cm"},
		{Format(MegohmCm(18.18), US), "18.2 MΩ·cm"},
		{Format(MegohmCm(0.2), SI), "200 kΩ·cm"},
		{Format(MilligramsPerLitre(400), US), "400 mg/L"},
		{Format(MilligramsPerLitre(0.03), SI), "30 µg/L"},
		{Format(GrainsPerGallon(14), US), "14 gpg"},
		{Format(GrainsPerGallon(14), SI), "240 mg/L as CaCO3"},
		{Format(LitresPerSquareMetreHour(25), US), "14.7 gfd"},
		{Format(LitresPerSquareMetreHour(25), SI), "25 LMH"},
		{Format(Horsepower(0.5), US), "373 W"},
		{Format(KilowattHours(3), SI), "3 kWh"},
		{Format(Diffusivity(1.61e-9), SI), "1.61e-9 m²/s"},
		{Format(Metres(2e9), SI), "2e9 m"},
		{Format(Bar(9.9999e-5), SI), "0.0001 bar"},
		{Format(Bar(9.99e-5), SI), "9.99e-5 bar"},
		{Format(PH(7.214), US), "7.21"},
		{Format(Pressure(math.NaN()), SI), "no value"},
		{Format(Pressure(math.Inf(-1)), SI), "no value"},
		{FormatLocale(Bar(3.8), SI, Locale{DecimalComma: true}), "3,8 bar"},
		{FormatLocale(Gallons(1285.4), SI, Locale{DecimalComma: true}), "4\u202f866 L"},
	} {
		if row.got != row.want {
			t.Errorf("prints %q, want %q", row.got, row.want)
		}
	}
}

func TestExactIsShort(t *testing.T) {
	for _, row := range []struct {
		got  string
		err  error
		want string
	}{
		exactly(PSI(60), "psi", "60 psi"),
		exactly(Bar(0.3), "bar", "0.3 bar"),
		exactly(Fahrenheit(77), "°F", "77 F"),
		exactly(Celsius(0), "C", "0 C"),
		exactly(Celsius(25.4), "°C", "25.4 C"),
		exactly(MicrosiemensPerCm(580), "µS/cm", "580 uS/cm"),
		exactly(Percent(45), "%", "45 %"),
		exactly(Percent(45), "1", "0.45"),
		exactly(Gallons(50), "US gallons", "50 gal"),
		exactly(Pressure(math.Copysign(0, -1)), "bar", "-0 bar"),
		exactly(Diffusivity(1.61e-9), "m2/s", "1.61e-09 m2/s"),
	} {
		if row.err != nil || row.got != row.want {
			t.Errorf("prints %q, %v; want %q", row.got, row.err, row.want)
		}
	}
	if s, err := Exact(Pressure(math.NaN()), "psi"); err == nil {
		t.Errorf("NaN prints as %q, want it refused", s)
	}
	if s, err := Exact(Bar(4), "gpm"); err == nil {
		t.Errorf("4 bar in gpm prints as %q, want it refused", s)
	}
}

func exactly[Q Quantity](q Q, unit, want string) struct {
	got  string
	err  error
	want string
} {
	got, err := Exact(q, unit)
	return struct {
		got  string
		err  error
		want string
	}{got, err, want}
}

// A range reads in one unit: 1,344 gpd is 0.9333 gpm (1440 minutes a day), 0.3 m
// is 11.8 in beside inches. Arithmetic on defined units (published: SP 811).
func TestARangeReadsInTheUnitOfItsValue(t *testing.T) {
	for _, row := range []struct{ got, want string }{
		{FormatBeside(GallonsPerDay(1344), GallonsPerMinute(1.1), US, Locale{}), "0.933 gpm"},
		{FormatBeside(GallonsPerMinute(1.1), GallonsPerDay(1344), US, Locale{}), "1,584 gpd"},
		{FormatBeside(Minutes(90), Hours(4), SI, Locale{}), "1.5 h"},
		{FormatBeside(Minutes(90), 0, SI, Locale{DecimalComma: true}), "90 min"},
		{FormatBeside(GallonsPerDay(math.NaN()), GallonsPerMinute(1), US, Locale{}), "no value"},
	} {
		if row.got != row.want {
			t.Errorf("got %q, wanted %q", row.got, row.want)
		}
	}
}
