package quantity

import (
	"errors"
	"regexp"
	"strings"
	"testing"
)

// Each row reads the text as the kind and says how much it is in SI. Factors
// are published: [SP811]; degrees of hardness are common practice: 1 °fH is
// 10 mg/L as CaCO3, 1 °dH is 10 mg/L of CaO. Spellings are common practice.
func TestParseReadsWhatPeopleWrite(t *testing.T) {
	const psi, gpm, gal, inch = 6894.757, 6.309020e-5, 3.785412e-3, 0.0254
	for _, row := range []struct {
		door  door
		texts []string
		want  float64
	}{
		{doorOf[Pressure](), []string{"60 psi", "60psi", "60 PSI", "60 Psi", " 60  psi ", "60 psig", "60 lb/in²", "60.0 psi", "6e1 psi", "60 p.s.i.", "60-psi", "60\u00a0psi"}, 60 * psi},
		{doorOf[Pressure](), []string{"4 bar", "4bar", "4 Bar", "4 BAR", "4 barg", "4 bar(g)", "400 kPa", "400 kpa", "0.4 MPa", "4000 mbar"}, 4e5},
		{doorOf[Pressure](), []string{"100 inH2O", "100 in H2O", "100 in. H₂O", "100 in w.c.", "100 inches of water", `100 "H2O`}, 24908.89},
		{doorOf[Pressure](), []string{"10 ftH2O", "10 ft H2O", "10 feet of head", "10 ft. of water"}, 29890.67},
		{doorOf[Pressure](), []string{"10 mH2O", "10 m H₂O", "10 mwc", "1 kgf/cm²", "1 kg/cm2"}, 98066.5},
		{doorOf[Flow](), []string{"4.5 L/min", "4.5 l/min", "4.5 lpm", "4.5 LPM", "4.5L/min", "4.5 liters per minute", "4.5 litres/min", "4,500 mL/min", "270 L/h"}, 7.5e-5},
		{doorOf[Flow](), []string{"5 gpm", "5 GPM", "5 gal/min", "5 US gpm", "5 gal. per min.", "300 gph"}, 5 * gpm},
		{doorOf[Flow](), []string{"700 gpd", "700 GPD", "700 gal/day", "700 gallons per day"}, 700 * 4.381264e-8},
		{doorOf[Flow](), []string{"3.6 m3/h", "3.6 m³/h", "3.6 M3/H", "1 L/s", "86.4 m³/d"}, 1e-3},
		{doorOf[Volume](), []string{"50 gal", "50 gallons", "50 US gal", "50 US gallons", "50 gal.", "50 gal (US)", "50 U.S. gal"}, 50 * gal},
		{doorOf[Volume](), []string{"50 imp gal", "50 imp. gal.", "50 imperial gallons"}, 50 * 4.54609e-3},
		{doorOf[Volume](), []string{"1.25 ft3", "1.25 cu ft", "1.25 cu. ft.", "1.25 ft³", "1.25 ft^3", "1 1/4 cubic feet", "1¼ cf"}, 1.25 * 2.831685e-2},
		{doorOf[Volume](), []string{"1 285 L", "1,285 L", "1,285 liters", "1.285 m3", "1.285 cu m"}, 1.285},
		{doorOf[Length](), []string{"1/2 in", `1/2"`, `1/2 "`, "1/2 inch", "½ in", "½″", "0.5 in.", ".5in", "12.7 mm", "12.7 MM", "1.27 cm", "0.0127 m"}, 0.5 * inch},
		{doorOf[Length](), []string{`1 1/2"`, `1-1/2"`, "1-1/2 in", "1½ in"}, 1.5 * inch},
		{doorOf[Length](), []string{"10 ft", "10'", "10 feet", "10′"}, 3.048},
		{doorOf[Length](), []string{`5'6"`, `5' 6"`, `5'-6"`, "5 ft 6 in", "5 ft. 6 in.", "5 feet 6 inches"}, 66 * inch},
		{doorOf[Length](), []string{`-5' 6 1/2"`, "-5 ft 6.5 in", "−5′ 6½″"}, -66.5 * inch},
		{doorOf[Time](), []string{"1 h 30 min", "1h30min", "1 hr 30 mins", "90 min"}, 5400},
		{doorOf[Length](), []string{"5 µm", "5 μm", "5 um", "5 micron", "5 microns"}, 5e-6},
		{doorOf[Area](), []string{"80 ft2", "80 ft²", "80 sq ft", "80 sq. ft.", "80 square feet"}, 7.4322432},
		{doorOf[Area](), []string{"7.4 m2", "7.4 m²", "7.4 sq m", "7.4 m^2"}, 7.4},
		{doorOf[Mass](), []string{"10 lb", "10 lbs", "10 lb.", "10 pounds", "10 LB", "160 oz"}, 4.535924},
		{doorOf[Mass](), []string{"4.5 kg", "4.5 KG", "4500 g"}, 4.5},
		{doorOf[Temperature](), []string{"77F", "77 F", "77 °F", "77ºF", "77 deg F", "77 degrees F", "77 f", "77 ℉", "25 C", "25°C", "25 ° C", "25 degC", "25 ℃", "25 celsius", "298.15 K"}, 298.15},
		{doorOf[Temperature](), []string{"-40 F", "-40 C", "−40 °C"}, 233.15},
		{doorOf[TemperatureDifference](), []string{"9 F", "9 °F", "5 C", "5 K"}, 5},
		{doorOf[Time](), []string{"240 s", "4 min", "4 mins", "4 MIN", "4 minutes", "240 sec"}, 240},
		{doorOf[Time](), []string{"36 h", "36 hr", "36 hrs", "36 hours", "1.5 days", "1 1/2 d"}, 129600},
		{doorOf[Power](), []string{"1/2 hp", "0.5 HP", "½ hp"}, 0.5 * 745.6999},
		{doorOf[Power](), []string{"1.5 kW", "1500 W", "1500 watts"}, 1500},
		{doorOf[Energy](), []string{"3 kWh", "3 kwh", "3 KWH", "3 kW·h", "3000 Wh", "10.8 MJ"}, 10.8e6},
		{doorOf[Ratio](), []string{"45 %", "45%", "0.45", "45 percent", "9/20"}, 0.45},
		{doorOf[PH](), []string{"7.2", "pH 7.2", "7.2 pH", "ph 7.2", "pH7.2"}, 7.2},
		{doorOf[Speed](), []string{"5 ft/s", "5 fps", "5 ft/sec", "1.524 m/s"}, 1.524},
		{doorOf[Flux](), []string{"25 LMH", "25 lmh", "25 L/m2/h", "25 L/(m²·h)", "25 L/m²-h"}, 25 / 3.6e6},
		{doorOf[Flux](), []string{"15 gfd", "15 GFD", "15 gal/ft²/day"}, 15 * gal / 0.09290304 / 86400},
		{doorOf[Conductivity](), []string{"580 uS/cm", "580 µS/cm", "580 μS/cm", "580 µS", "580 us/cm", "580 umho/cm", "580 micromhos", "0.58 mS/cm", "0.58 mS", "0.58 ms/cm", "58 mS/m"}, 0.058},
		{doorOf[Resistivity](), []string{"18 MOhm.cm", "18 MΩ·cm", "18 MΩ-cm", "18 MΩ cm", "18 megohm-cm", "18 megohm", "18 Megohms", "18 MOHM-CM", "18000 kOhm.cm"}, 18e4},
		{doorOf[Density](), []string{"1.02 g/cm3", "1.02 kg/L", "1020 kg/m³"}, 1020},
		{doorOf[Viscosity](), []string{"0.89 cP", "0.89 mPa.s", "0.89 mPa·s"}, 0.89e-3},
		{doorOf[Diffusivity](), []string{"1.6e-9 m2/s", "1.6e-5 cm²/s"}, 1.6e-9},
		{doorOf[MassConc](), []string{"400 ppm", "400 PPM", "400 mg/L", "400 mg/l", "400 MG/L", "400 g/m3", "0.4 g/L", "400,000 ppb", "400000 µg/L"}, 0.4},
		{doorOf[CaCO3Conc](), []string{"14 gpg", "14 GPG", "14 gr/gal", "14 grains", "14 grains per gallon"}, 14 * 0.01711806},
		{doorOf[CaCO3Conc](), []string{"240 mg/L as CaCO3", "240 mg/L CaCO3", "240 ppm as CaCO3", "240 mg/l as caco3", "240 mg/L (as CaCO₃)", "24 °fH", "24 fH"}, 0.24},
		{doorOf[CaCO3Conc](), []string{"10 °dH", "10 dH", "10°dH", "10 deg dH", "10 ºdH"}, 0.1 * 100.087 / 56.077},
		{doorOf[MolarConc](), []string{"2.5 mmol/L", "2.5 mM", "2500 µmol/L", "0.0025 mol/L"}, 2.5},
		{doorOf[EquivConc](), []string{"5 meq/L", "5 MEQ/L", "5 meq/l", "0.005 eq/L"}, 5},
		{doorOf[WaterPermeability](), []string{"3.2 LMH/bar", "3.2 lmh/bar", "3.2 L/(m²·h·bar)"}, 3.2 / 3.6e6 / 1e5},
		{doorOf[SaltPermeability](), []string{"0.36 LMH", "1e-7 m/s"}, 1e-7},
		{doorOf[Exposure](), []string{"1000 ppm-hours", "1000 ppm-h", "1000 ppm·h", "1000 mg/L-hours", "1000 mg·h/L", "60,000 ppm-min"}, 3600},
	} {
		for _, text := range row.texts {
			got, err := row.door.parse(text, Locale{})
			if err != nil || !near(got, row.want, 1e-5) {
				t.Errorf("%s %q reads as %v, %v; want %v", row.door.kind, text, got, err, row.want)
			}
		}
	}
}

func TestParseFollowsTheLocale(t *testing.T) {
	got, err := Parse[Pressure]("3,8 bar", Locale{DecimalComma: true})
	if err != nil || got != Bar(3.8) {
		t.Errorf("3,8 bar reads as %v, %v", got, err)
	}
	if _, err := Parse[Pressure]("3,8 bar", Locale{}); !errors.Is(err, ErrNumber) {
		t.Errorf("3,8 bar with a decimal point: %v, want it refused", err)
	}
}

func TestParseRefusesWhatIsNotClear(t *testing.T) {
	number, unit := ErrNumber, ErrUnit
	for _, row := range []struct {
		door door
		text string
		want error
	}{
		{doorOf[Pressure](), "60", unit},     // units are never guessed
		{doorOf[Temperature](), "77", unit},  //
		{doorOf[Temperature](), "77°", unit}, //
		{doorOf[Pressure](), "60 psia", unit},
		{doorOf[Pressure](), "4 bara", unit},
		{doorOf[Pressure](), "10 ft", unit},
		{doorOf[Pressure](), "4 Mbar", unit},
		{doorOf[Conductivity](), "1.2 MS/cm", unit}, // M is mega
		{doorOf[Resistivity](), "18 mohm.cm", unit}, // m is milli
		{doorOf[Power](), "5 mW", unit},
		{doorOf[Area](), "5 m-2", unit},
		{doorOf[Viscosity](), "1 cSt", unit},
		{doorOf[CaCO3Conc](), "240 mg/L", unit}, // of the ion, or as CaCO3?
		{doorOf[CaCO3Conc](), "240 ppm", unit},
		{doorOf[Length](), "1-2 in", unit},       // a range
		{doorOf[Length](), "5 ft 13 in", unit},   // more inches than a foot has
		{doorOf[Length](), "5.5 ft 6 in", unit},  //
		{doorOf[Length](), "5 in 6 ft", unit},    //
		{doorOf[Length](), "5 ft 6", unit},       //
		{doorOf[Pressure](), "5 psi 1 Pa", unit}, //
		{doorOf[PH](), "72 %", unit},
		{doorOf[PH](), "pH", number},
		{doorOf[Ratio](), "pH 7.2", number},
		{doorOf[Ratio](), "0.45 gal", unit},
		{doorOf[Ratio](), "0.45 ()", unit},
		{doorOf[Pressure](), "60 _psi", unit},
		{doorOf[Pressure](), "0x10 psi", unit},
		{doorOf[Pressure](), "60 psi psi", unit},
		{doorOf[Pressure](), "60 psi 5", unit},
		{doorOf[Pressure](), "", number},
		{doorOf[Pressure](), "psi", number},
		{doorOf[Pressure](), "psi 60", number},
		{doorOf[Pressure](), "NaN psi", number},
		{doorOf[Pressure](), "Inf psi", number},
		{doorOf[Pressure](), "1e305 bar", number}, // overflows in Pa
		{doorOf[Pressure](), "1e999 Pa", number},
		{doorOf[Volume](), "1,28 gal", number},
	} {
		got, err := row.door.parse(row.text, Locale{})
		var parseErr *ParseError
		if !errors.Is(err, row.want) || !errors.As(err, &parseErr) || parseErr.Kind != row.door.kind || got != 0 {
			t.Errorf("%s %q reads as %v, %v; want an error that wraps %q", row.door.kind, row.text, got, err, row.want)
		}
	}
}

func TestParseErrorSaysWhatWasReadAndWhatFits(t *testing.T) {
	for _, row := range []struct {
		err  error
		want string
	}{
		{second(Parse[Pressure]("3 gpm", Locale{})), `read "3 gpm", a flow; wanted a pressure such as "60 psi" or "4 bar"`},
		{second(Parse[Area]("60 psi", Locale{})), `read "60 psi", a pressure; wanted an area such as "80 ft2" or "7.4 m2"`},
		{second(Parse[Pressure]("60", Locale{})), `read "60", a number without a unit; wanted a pressure such as "60 psi" or "4 bar"`},
		{second(Parse[Resistivity]("18 mohm.cm", Locale{})), `read "18 mohm.cm", and no unit "mohm.cm" is known (M and m differ: "MOhm.cm" is); wanted a resistivity such as "18 MOhm.cm" or "200 kOhm.cm"`},
		{second(Parse[Power]("5 mW", Locale{})), `read "5 mW", and no unit "mW" is known (M and m differ: "MW" is); wanted a power such as "1/2 hp" or "0.4 kW"`},
		{second(Parse[Conductivity]("1.2 MS/cm", Locale{})), `read "1.2 MS/cm", and no unit "MS/cm" is known (M and m differ: "mS/cm" is); wanted a conductivity such as "580 uS/cm" or "1.2 mS/cm"`},
		{second(In(Bar(1), "gpm")), `read "gpm", a flow; wanted a pressure such as "60 psi" or "4 bar"`},
	} {
		if row.err == nil || row.err.Error() != row.want {
			t.Errorf("got  %v\nwant %s", row.err, row.want)
		}
	}
	var err *ParseError
	if !errors.As(second(Parse[Pressure]("3 gpm", Locale{})), &err) || err.Found != KindFlow {
		t.Errorf("3 gpm is found to be %q, want a flow", err.Found)
	}
	if long := second(Parse[Pressure](strings.Repeat("x\n", 1e5), Locale{})); len(long.Error()) > 300 || strings.Contains(long.Error(), "\n") {
		t.Errorf("the message for a long text is %d bytes, want one line", len(long.Error()))
	}
}

func second[T any](_ T, err error) error { return err }

func TestExamplesInErrorsParse(t *testing.T) {
	quoted := regexp.MustCompile(`"([^"]+)"`)
	for _, d := range doors {
		found := quoted.FindAllStringSubmatch(examples[d.kind], -1)
		if len(found) != 2 {
			t.Errorf("%s: examples %s, want two", d.kind, examples[d.kind])
		}
		for _, m := range found {
			if _, err := d.parse(m[1], Locale{}); err != nil {
				t.Errorf("%s: the example does not parse: %v", d.kind, err)
			}
		}
	}
}
