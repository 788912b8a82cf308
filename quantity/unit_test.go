package quantity

import (
	"strings"
	"testing"
)

func TestFirstUnitOfEachKindIsSI(t *testing.T) {
	for kind, ix := range indexes {
		if u := ix.units[0]; u.toSI(3.7) != 3.7 || u.fromSI(3.7) != 3.7 {
			t.Errorf("%s: %q is not the SI unit", kind, u.plain)
		}
	}
}

func TestNoSpellingMeansTwoUnitsOfAKind(t *testing.T) {
	for kind, ix := range indexes {
		owner := map[string]*unit{}
		for _, u := range ix.units {
			for _, s := range append([]string{u.name, u.plain}, append(u.spelling, u.cased...)...) {
				key := unitKey(plainText(s))
				if other := owner[key]; other != nil && other != u {
					t.Errorf("%s: %q means %q and %q", kind, s, other.plain, u.plain)
				}
				owner[key] = u
				if got := ix.find(key); got != u {
					t.Errorf("%s: %q finds %v, want %q", kind, s, got, u.plain)
				}
			}
		}
	}
}

// Freedom of case must not let one unit of a kind pass for another.
func TestCaseNeverTurnsOneUnitIntoAnother(t *testing.T) {
	for kind, ix := range indexes {
		folded := map[string]*unit{}
		for _, u := range ix.units {
			for _, s := range u.spelling {
				key := strings.ToLower(unitKey(plainText(s)))
				if other := folded[key]; other != nil && other != u {
					t.Errorf("%s: in lower case %q means %q and %q", kind, s, other.plain, u.plain)
				}
				folded[key] = u
			}
		}
	}
}

func TestPlainUnitsAreASCIIAndKnown(t *testing.T) {
	for _, d := range doors {
		for _, s := range systems {
			unit := d.plainUnit(s)
			if !isASCII(unit) || mustFind(d.kind, unit) == nil {
				t.Errorf("%s in %s: unit %q", d.kind, s, unit)
			}
			for _, size := range shown[d.kind].in(s) {
				if mustFind(d.kind, size.unit) == nil {
					t.Errorf("%s in %s: no unit %q", d.kind, s, size.unit)
				}
			}
		}
		for _, u := range indexes[d.kind].units {
			if !isASCII(u.plain) {
				t.Errorf("%s: plain unit %q is not ASCII", d.kind, u.plain)
			}
		}
	}
}

func TestPlainUnitsAreThoseOfFiles(t *testing.T) {
	// kind: the file format's own choice, docs/reference.
	want := map[Kind][2]string{
		KindPressure: {"psi", "bar"}, KindFlow: {"gpm", "L/min"}, KindVolume: {"gal", "L"}, KindLength: {"ft", "m"},
		KindTemperature: {"F", "C"}, KindConductivity: {"uS/cm", "uS/cm"}, KindMassConc: {"mg/L", "mg/L"},
		KindCaCO3Conc: {"gpg", "mg/L as CaCO3"}, KindPower: {"W", "W"}, KindEnergy: {"kWh", "kWh"}, KindRatio: {"1", "1"},
	}
	for _, d := range doors {
		w, ok := want[d.kind]
		if !ok {
			continue
		}
		if got := [2]string{d.plainUnit(US), d.plainUnit(SI)}; got != w {
			t.Errorf("%s is written in %v, want %v", d.kind, got, w)
		}
	}
	for _, row := range []struct {
		door    door
		si      float64
		want    float64
		unit    string
		because string
	}{
		{doorOf[Pressure](), float64(Pascals(4e5)), 4, "bar", "by definition"},
		{doorOf[Mass](), float64(Kilograms(4)), 4, "kg", "by definition"},
		{doorOf[Flow](), 1e305, 1e305, "m3/s", "too large for L/min"},
	} {
		if x, unit := row.door.plain(row.si, SI); x != row.want || unit != row.unit {
			t.Errorf("%v is written as %v %s, want %v %s (%s)", row.si, x, unit, row.want, row.unit, row.because)
		}
	}
}

// A constructor and the text of the same number must give the same bits, or a
// site file would not read back to what made it.
func TestConstructorsAgreeWithParseBitForBit(t *testing.T) {
	for _, x := range []float64{0, 0.1, 0.3, 1, 4.4, 7.7, 14, 33.3, 60, 77, 98.6, 123.456, 1285} {
		n := plainDigits(x)
		for _, c := range []struct {
			text string
			made float64
			door door
		}{
			{n + " psi", float64(PSI(x)), doorOf[Pressure]()},
			{n + " bar", float64(Bar(x)), doorOf[Pressure]()},
			{n + " kPa", float64(Kilopascals(x)), doorOf[Pressure]()},
			{n + " gpm", float64(GallonsPerMinute(x)), doorOf[Flow]()},
			{n + " gpd", float64(GallonsPerDay(x)), doorOf[Flow]()},
			{n + " L/min", float64(LitresPerMinute(x)), doorOf[Flow]()},
			{n + " m3/h", float64(CubicMetresPerHour(x)), doorOf[Flow]()},
			{n + " L", float64(Litres(x)), doorOf[Volume]()},
			{n + " gal", float64(Gallons(x)), doorOf[Volume]()},
			{n + " ft3", float64(CubicFeet(x)), doorOf[Volume]()},
			{n + " mm", float64(Millimetres(x)), doorOf[Length]()},
			{n + " in", float64(Inches(x)), doorOf[Length]()},
			{n + " ft", float64(Feet(x)), doorOf[Length]()},
			{n + " ft2", float64(SquareFeet(x)), doorOf[Area]()},
			{n + " lb", float64(Pounds(x)), doorOf[Mass]()},
			{n + " C", float64(Celsius(x)), doorOf[Temperature]()},
			{n + " F", float64(Fahrenheit(x)), doorOf[Temperature]()},
			{n + " min", float64(Minutes(x)), doorOf[Time]()},
			{n + " h", float64(Hours(x)), doorOf[Time]()},
			{n + " d", float64(Days(x)), doorOf[Time]()},
			{n + " hp", float64(Horsepower(x)), doorOf[Power]()},
			{n + " kWh", float64(KilowattHours(x)), doorOf[Energy]()},
			{n + " %", float64(Percent(x)), doorOf[Ratio]()},
			{n + " LMH", float64(LitresPerSquareMetreHour(x)), doorOf[Flux]()},
			{n + " gfd", float64(GallonsPerSquareFootDay(x)), doorOf[Flux]()},
			{n + " uS/cm", float64(MicrosiemensPerCm(x)), doorOf[Conductivity]()},
			{n + " MOhm.cm", float64(MegohmCm(x)), doorOf[Resistivity]()},
			{n + " mg/L", float64(MilligramsPerLitre(x)), doorOf[MassConc]()},
			{n + " mg/L as CaCO3", float64(MilligramsPerLitreCaCO3(x)), doorOf[CaCO3Conc]()},
			{n + " gpg", float64(GrainsPerGallon(x)), doorOf[CaCO3Conc]()},
			{n + " mmol/L", float64(MillimolesPerLitre(x)), doorOf[MolarConc]()},
			{n + " meq/L", float64(MilliequivalentsPerLitre(x)), doorOf[EquivConc]()},
			{n + " ppm-hours", float64(MilligramHoursPerLitre(x)), doorOf[Exposure]()},
		} {
			if got, err := c.door.parse(c.text, Locale{}); err != nil || got != c.made {
				t.Errorf("%q reads as %v, %v; the constructor makes %v", c.text, got, err, c.made)
			}
		}
	}
}

func TestAccessorsUndoConstructors(t *testing.T) {
	const x, tol = 12.5, 1e-14
	for name, got := range map[string]float64{
		"bar": Bar(x).Bar(), "psi": PSI(x).PSI(), "L/min": LitresPerMinute(x).LitresPerMinute(),
		"gpm": GallonsPerMinute(x).GallonsPerMinute(), "gpd": GallonsPerDay(x).GallonsPerDay(),
		"m3/h": CubicMetresPerHour(x).CubicMetresPerHour(), "L": Litres(x).Litres(), "gal": Gallons(x).Gallons(),
		"ft3": CubicFeet(x).CubicFeet(), "mm": Millimetres(x).Millimetres(), "in": Inches(x).Inches(), "ft": Feet(x).Feet(),
		"ft2": SquareFeet(x).SquareFeet(), "lb": Pounds(x).Pounds(), "min": Minutes(x).Minutes(), "h": Hours(x).Hours(),
		"d": Days(x).Days(), "kWh": KilowattHours(x).KilowattHours(), "%": Percent(x).Percent(),
		"LMH": LitresPerSquareMetreHour(x).LitresPerSquareMetreHour(), "gfd": GallonsPerSquareFootDay(x).GallonsPerSquareFootDay(),
		"uS/cm": MicrosiemensPerCm(x).MicrosiemensPerCm(), "MOhm.cm": MegohmCm(x).MegohmCm(),
		"mg/L": MilligramsPerLitre(x).MilligramsPerLitre(), "as CaCO3": MilligramsPerLitreCaCO3(x).MilligramsPerLitreCaCO3(),
		"gpg": GrainsPerGallon(x).GrainsPerGallon(), "ppm-hours": MilligramHoursPerLitre(x).MilligramHoursPerLitre(),
		"as CaCO3 by charge": float64(MilliequivalentsPerLitre(x).AsCaCO3().Equivalents()),
	} {
		if !near(got, x, tol) {
			t.Errorf("%s: %v comes back as %v", name, x, got)
		}
	}
	if got := Celsius(25).Fahrenheit(); !near(got, 77, tol) {
		t.Errorf("25 °C is %v °F, want 77 (published: definition)", got)
	}
}
