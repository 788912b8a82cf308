package quantity

// unitsOfKind is one heading of the table of units.
type unitsOfKind struct {
	kind  Kind
	units []unit
}

// Factors that only the table uses.
const (
	cubicMetresPerImpGal   = 4.54609e-3                                     // exact, [SP811]
	joulesPerBtu           = 1055.05585262                                  // International Table, [SP811]
	pascalsPerMetreWater   = 1000 * standardGravity                         // conventional water, 1000 kg/m³, [SP811]
	pascalsPerMetreMercury = 133322.4                                       // conventional, [SP811]
	pascalsPerAtmosphere   = 101325.0                                       // exact, [SP811]
	calciumOxideKg         = 0.0560774                                      // kg/mol, [CIAAW2021]
	germanDegree           = 0.010 * 2 * caco3EquivalentKg / calciumOxideKg // 1 °dH is 10 mg/L of CaO, as CaCO3 in kg/m³
	squareMetresPerFt2     = metresPerFoot * metresPerFoot                  //
	squareMetresPerIn2     = metresPerInch * metresPerInch                  //
	secondsPerWeek         = 7 * secondsPerDay                              //
	secondsPerYear         = 365 * secondsPerDay                            // [SP811] year of 365 days
	gfd                    = cubicMetresPerGal / squareMetresPerFt2 / 86400 // m/s
	gpmPerFt2              = cubicMetresPerGal / squareMetresPerFt2 / 60    // m/s
	lmhPer                 = 1000 * secondsPerHour                          // LMH in 1 m/s
	kilograinPerFt3        = 1000 * kilogramsPerGrain / cubicMetresPerFt3   // kg/m³
)

// unitTable lists every unit that can be read, by kind. The first unit of a
// kind is the SI one, with factor 1. Where two kinds share a spelling, an error
// names the one that comes first here.
var unitTable = []unitsOfKind{
	// US gauges are in psi, others in bar, kPa or kgf/cm²; heads in water columns. Absolute
	// units (psia, bara) are not read: this type is gauge.
	{KindPressure, []unit{
		{name: "Pa", spelling: []string{"pascal", "pascals"}},
		{name: "psi", factor: pascalsPerPSI, spelling: []string{"psig", "psid", "lb/in2", "lbf/in2", "lb/sq in", "lbs/in2", "pounds per square inch"}},
		{name: "bar", factor: 1e5, spelling: []string{"bars", "barg", "bar g"}},
		{name: "mbar", factor: 100, cased: []string{"mbarg"}, spelling: []string{"millibar", "hPa"}},
		{name: "kPa", factor: 1e3, spelling: []string{"kPag"}},
		{name: "MPa", factor: 1e6},
		{name: "inH2O", factor: pascalsPerMetreWater * metresPerInch, spelling: []string{"in wc", "in w.c.", "inWG", `"H2O`, `"WC`, "inch H2O", "inches H2O", "inches of water"}},
		{name: "ftH2O", factor: pascalsPerMetreWater * metresPerFoot, spelling: []string{"ft wc", "ft of water", "feet H2O", "feet of water", "ft of head", "ft head", "feet of head"}},
		{name: "mH2O", factor: pascalsPerMetreWater, cased: []string{"mwc", "m of water", "mwg"}},
		{name: "mmH2O", factor: pascalsPerMetreWater, per: 1000, cased: []string{"mmwc"}},
		{name: "cmH2O", factor: pascalsPerMetreWater, per: 100, spelling: []string{"cmwc"}},
		{name: "inHg", factor: pascalsPerMetreMercury * metresPerInch, spelling: []string{`"Hg`}},
		{name: "kgf/cm2", factor: standardGravity * 1e4, spelling: []string{"kg/cm2"}},
		{name: "atm", factor: pascalsPerAtmosphere},
	}},
	{KindFlow, []unit{
		{name: "m³/s", plain: "m3/s"},
		{name: "L/min", per: 6e4, spelling: []string{"lpm", "liter/min", "litre/min", "liters/min", "litres/min", "liters per minute", "litres per minute", "L/minute"}},
		{name: "gpm", factor: cubicMetresPerGal, per: secondsPerMinute, spelling: []string{"gal/min", "US gpm", "gallons/min", "gallon/min", "gallons per minute", "gal per min", "USgal/min", "gals/min"}},
		{name: "gph", factor: cubicMetresPerGal, per: secondsPerHour, spelling: []string{"gal/h", "gal/hr", "gal/hour", "gallons per hour", "gallons/hour"}},
		{name: "gpd", factor: cubicMetresPerGal, per: secondsPerDay, spelling: []string{"gal/d", "gal/day", "gallons/day", "gallons per day", "gal per day", "US gpd"}},
		{name: "imp gpm", factor: cubicMetresPerImpGal, per: secondsPerMinute, spelling: []string{"imp gal/min", "imperial gpm", "igpm"}},
		{name: "L/s", per: 1e3, spelling: []string{"lps", "L/sec", "liters/s", "litres/s"}},
		{name: "L/h", per: 3.6e6, spelling: []string{"lph", "L/hr", "L/hour", "liters/hour", "litres/hour", "litres per hour", "liters per hour"}},
		{name: "L/d", per: 8.64e7, spelling: []string{"lpd", "L/day", "litres/day", "liters/day", "litres per day", "liters per day"}},
		{name: "mL/min", per: 6e7, cased: []string{"ml/minute"}, spelling: []string{"cc/min", "cm3/min"}},
		{name: "m³/h", plain: "m3/h", per: secondsPerHour, spelling: []string{"m3/h", "m3/hr", "m3/hour", "cu m/h"}},
		{name: "m³/d", plain: "m3/d", per: secondsPerDay, spelling: []string{"m3/d", "m3/day", "cu m/d"}},
		{name: "ft³/min", plain: "ft3/min", factor: cubicMetresPerFt3, per: secondsPerMinute, spelling: []string{"cfm", "cu ft/min"}},
	}},
	// A gallon is the US one; the imperial gallon must be spelt out.
	{KindVolume, []unit{
		{name: "m³", plain: "m3", spelling: []string{"m3", "cu m", "cubic metres", "cubic meters", "cubic metre", "cubic meter"}},
		{name: "L", per: 1e3, spelling: []string{"liter", "liters", "litre", "litres", "dm3", "ltr"}},
		{name: "mL", per: 1e6, spelling: []string{"milliliter", "milliliters", "millilitre", "millilitres", "cm3", "cc"}},
		{name: "gal", factor: cubicMetresPerGal, spelling: []string{"gals", "gallon", "gallons", "US gal", "US gals", "US gallon", "US gallons", "gal US", "gallons US"}},
		{name: "imp gal", factor: cubicMetresPerImpGal, spelling: []string{"imperial gal", "imperial gallon", "imperial gallons", "imp gallon", "imp gallons", "UK gal", "gal imp"}},
		{name: "ft³", plain: "ft3", factor: cubicMetresPerFt3, spelling: []string{"cu ft", "cf", "cubic foot", "cubic feet", "cuft", "cft"}},
		{name: "in³", plain: "in3", factor: squareMetresPerIn2 * metresPerInch, spelling: []string{"cu in", "cubic inch", "cubic inches"}},
		{name: "qt", factor: cubicMetresPerGal, per: 4, spelling: []string{"quart", "quarts", "US qt"}},
		{name: "fl oz", factor: cubicMetresPerGal, per: 128, spelling: []string{"fluid ounce", "fluid ounces", "US fl oz"}},
	}},
	{KindLength, []unit{
		{name: "m", spelling: []string{"metre", "metres", "meter", "meters"}},
		{name: "mm", per: 1e3, spelling: []string{"mm", "millimetre", "millimetres", "millimeter", "millimeters"}},
		{name: "cm", per: 100, spelling: []string{"centimetre", "centimetres", "centimeter", "centimeters"}},
		{name: "µm", plain: "um", per: 1e6, spelling: []string{"micron", "microns", "micrometre", "micrometres", "micrometer", "micrometers"}},
		{name: "in", factor: metresPerInch, spelling: []string{`"`, "inch", "inches", "ins"}},
		{name: "ft", factor: metresPerFoot, spelling: []string{"'", "foot", "feet"}},
		{name: "yd", factor: 3 * metresPerFoot, spelling: []string{"yard", "yards"}},
		{name: "gal/1000 ft²", plain: "gal/1000 ft2", factor: cubicMetresPerGal, per: 1000 * squareMetresPerFt2, spelling: []string{"gal/1000 sq ft"}}, // water left on a surface
	}},
	{KindArea, []unit{
		{name: "m²", plain: "m2", spelling: []string{"sq m", "sqm", "square metres", "square meters", "square metre", "square meter"}},
		{name: "ft²", plain: "ft2", factor: squareMetresPerFt2, spelling: []string{"sq ft", "sf", "square feet", "square foot"}},
		{name: "in²", plain: "in2", factor: squareMetresPerIn2, spelling: []string{"sq in", "square inch", "square inches"}},
		{name: "cm²", plain: "cm2", per: 1e4, spelling: []string{"sq cm"}},
		{name: "mm²", plain: "mm2", per: 1e6, spelling: []string{"mm2", "sq mm"}},
	}},
	{KindMass, []unit{
		{name: "kg", spelling: []string{"kilogram", "kilograms", "kilo", "kilos", "kgs"}},
		{name: "g", per: 1e3, spelling: []string{"gram", "grams", "gm"}},
		{name: "mg", per: 1e6, spelling: []string{"milligram", "milligrams"}},
		{name: "lb", factor: kilogramsPerPound, spelling: []string{"lbs", "pound", "pounds"}},
		{name: "oz", factor: kilogramsPerPound, per: 16, spelling: []string{"ounce", "ounces"}},
		{name: "gr", factor: kilogramsPerGrain, spelling: []string{"grain", "grains"}},
		{name: "kgr", factor: 1000 * kilogramsPerGrain, spelling: []string{"kilograin", "kilograins"}},
	}},
	{KindTemperature, []unit{
		{name: "K", spelling: []string{"kelvin"}},
		{name: "°C", plain: "C", origin: -absoluteZeroC, spelling: []string{"celsius", "centigrade"}},
		{name: "°F", plain: "F", per: 1.8, zero: 32, origin: -absoluteZeroC, spelling: []string{"fahrenheit"}},
	}},
	{KindTemperatureDifference, []unit{
		{name: "K", spelling: []string{"kelvin"}},
		{name: "°C", plain: "C", spelling: []string{"celsius"}},
		{name: "°F", plain: "F", per: 1.8, spelling: []string{"fahrenheit"}},
	}},
	{KindTime, []unit{
		{name: "s", spelling: []string{"sec", "secs", "second", "seconds"}},
		{name: "min", factor: secondsPerMinute, spelling: []string{"min", "mins", "minute", "minutes"}},
		{name: "h", factor: secondsPerHour, spelling: []string{"hr", "hrs", "hour", "hours"}},
		{name: "d", factor: secondsPerDay, spelling: []string{"day", "days"}},
		{name: "wk", factor: secondsPerWeek, spelling: []string{"week", "weeks", "wks"}},
		{name: "yr", factor: secondsPerYear, spelling: []string{"year", "years", "yrs"}},
	}},
	{KindPower, []unit{
		{name: "W", spelling: []string{"watt", "watts"}},
		{name: "kW", factor: 1e3, spelling: []string{"kilowatt", "kilowatts"}},
		{name: "MW", factor: 1e6},
		{name: "hp", factor: wattsPerHorsepower, spelling: []string{"horsepower"}}, // of 550 ft·lbf/s
		{name: "Btu/h", factor: joulesPerBtu, per: secondsPerHour, spelling: []string{"btuh", "btu/hr"}},
	}},
	{KindEnergy, []unit{
		{name: "J", spelling: []string{"joule", "joules"}},
		{name: "kJ", factor: 1e3},
		{name: "MJ", factor: 1e6},
		{name: "Wh", factor: secondsPerHour, spelling: []string{"W hr"}},
		{name: "kWh", factor: 1e3 * secondsPerHour, spelling: []string{"kW hr", "kilowatt hour", "kilowatt hours"}},
		{name: "MWh", factor: 1e6 * secondsPerHour},
		{name: "Btu", factor: joulesPerBtu},
	}},
	{KindRatio, []unit{
		{name: "", plain: "1"},
		{name: "%", per: 100, spelling: []string{"percent", "per cent", "pct"}},
	}},
	{KindPH, []unit{
		{name: "", plain: "1", spelling: []string{"pH"}},
	}},
	{KindSpeed, []unit{
		{name: "m/s", cased: []string{"m/sec"}},
		{name: "cm/s", per: 100, spelling: []string{"cm/sec"}},
		{name: "mm/s", per: 1e3},
		{name: "m/h", per: secondsPerHour, cased: []string{"m/hr", "m3/m2/h"}},
		{name: "ft/s", factor: metresPerFoot, spelling: []string{"fps", "ft/sec", "feet/s", "feet per second"}},
		{name: "ft/min", factor: metresPerFoot, per: secondsPerMinute, spelling: []string{"fpm", "feet per minute"}},
		{name: "gpm/ft²", plain: "gpm/ft2", factor: gpmPerFt2, spelling: []string{"gpm/sq ft", "gpm/sf", "gal/min/ft2"}},
	}},
	{KindFlux, []unit{
		{name: "m/s"},
		{name: "LMH", per: lmhPer, spelling: []string{"L/m2/h", "L/m2/hr", "L/m2h", "L/m2hr"}},
		{name: "gfd", factor: gfd, spelling: []string{"gal/ft2/day", "gal/ft2/d", "gal/ft2day", "gal/ft2d", "gpd/ft2", "gpd/sq ft", "gsfd"}},
		{name: "gpm/ft²", plain: "gpm/ft2", factor: gpmPerFt2, spelling: []string{"gpm/sq ft", "gpm/sf", "gal/min/ft2"}},
	}},
	// A meter's "µS" stands for µS/cm.
	{KindConductivity, []unit{
		{name: "S/m"},
		{name: "µS/cm", plain: "uS/cm", per: 1e4, spelling: []string{"uS", "umho/cm", "umho", "umhos/cm", "umhos", "micromho", "micromhos", "micromho/cm", "micromhos/cm", "microsiemens", "microsiemens/cm", "micro S/cm"}},
		{name: "mS/cm", per: 10, cased: []string{"mS", "mmho/cm"}, spelling: []string{"millisiemens", "millisiemens/cm"}},
		{name: "mS/m", per: 1e3},
		{name: "S/cm", factor: 100},
	}},
	// "Megohm" on a meter stands for MΩ·cm.
	{KindResistivity, []unit{
		{name: "Ω·m", plain: "Ohm.m", spelling: []string{"ohm meter", "ohm metre"}},
		{name: "MΩ·cm", plain: "MOhm.cm", factor: 1e4, cased: []string{"MOhm", "MOhms", "MOhms cm", "Meg"}, spelling: []string{"megohm", "megohms", "megohm cm", "megohms cm", "megaohm", "megaohms", "megaohm cm"}},
		{name: "kΩ·cm", plain: "kOhm.cm", factor: 10, spelling: []string{"kOhm", "kOhms", "kOhms cm", "kilohm", "kilohm cm"}},
		{name: "Ω·cm", plain: "Ohm.cm", per: 100, spelling: []string{"Ohms cm"}},
	}},
	{KindDensity, []unit{
		{name: "kg/m³", plain: "kg/m3"},
		{name: "g/cm³", plain: "g/cm3", factor: 1e3, spelling: []string{"g/mL", "g/cc", "kg/L", "kg/dm3"}},
		{name: "g/L"},
		{name: "lb/ft³", plain: "lb/ft3", factor: kilogramsPerPound, per: cubicMetresPerFt3, spelling: []string{"lbs/ft3", "lb/cu ft", "pcf"}},
		{name: "lb/gal", factor: kilogramsPerPound, per: cubicMetresPerGal, spelling: []string{"lbs/gal", "ppg"}},
	}},
	{KindViscosity, []unit{
		{name: "Pa·s", plain: "Pa.s"},
		{name: "mPa·s", plain: "mPa.s", per: 1e3, spelling: []string{"cP", "centipoise"}},
	}},
	{KindDiffusivity, []unit{
		{name: "m²/s", plain: "m2/s"},
		{name: "cm²/s", plain: "cm2/s", per: 1e4},
	}},
	// Parts per million are read as mg/L: in fresh water the two agree to the density of water.
	{KindMassConc, []unit{
		{name: "kg/m³", plain: "kg/m3"},
		{name: "mg/L", per: 1e3, cased: []string{"MG/L", "mg/liter", "mg/litre"}, spelling: []string{"ppm", "g/m3"}},
		{name: "µg/L", plain: "ug/L", per: 1e6, spelling: []string{"ppb", "mcg/L", "mg/m3"}},
		{name: "g/L"},
	}},
	// Hardness degrees and grains per gallon are always as CaCO3. Bare mg/L or ppm is not read
	// here, since a report may mean the ion: it must say "as CaCO3".
	{KindCaCO3Conc, []unit{
		{name: "kg/m³ as CaCO3", plain: "kg/m3 as CaCO3", spelling: []string{"g/L as CaCO3"}},
		{
			name: "mg/L as CaCO3", per: 1e3, cased: []string{"mg/L CaCO3", "mg CaCO3/L", "MG/L as CaCO3", "MG/L CaCO3", "mg/L as calcium carbonate"},
			spelling: []string{"ppm as CaCO3", "ppm CaCO3", "ppm as calcium carbonate"},
		},
		{name: "gpg", factor: grainsPerGallon, spelling: []string{"gr/gal", "grain/gal", "grains/gal", "grain/gallon", "grains/gallon", "grains per gallon", "grain", "grains", "gpg as CaCO3"}},
		{name: "°dH", plain: "dH", factor: germanDegree, spelling: []string{"dGH", "dKH"}},
		{name: "°fH", plain: "fH", per: 100},
		{name: "kgr/ft³", plain: "kgr/ft3", factor: kilograinPerFt3, spelling: []string{"kgr/cu ft", "kilograins/ft3", "kgr CaCO3/ft3", "kilograins/cu ft", "kilograins per cubic foot", "kgr/cf"}},
	}},
	{KindMolarConc, []unit{
		{name: "mol/m³", plain: "mol/m3"},
		{name: "mmol/L", cased: []string{"mM", "MMOL/L"}, spelling: []string{"millimol/L"}},
		{name: "µmol/L", plain: "umol/L", per: 1e3},
		{name: "mol/L", factor: 1e3},
	}},
	{KindEquivConc, []unit{
		{name: "eq/m³", plain: "eq/m3"},
		{name: "meq/L", cased: []string{"MEQ/L", "mval/L"}},
		{name: "µeq/L", plain: "ueq/L", per: 1e3},
		{name: "eq/L", factor: 1e3},
	}},
	{KindWaterPermeability, []unit{
		{name: "m/(s·Pa)", plain: "m/(s.Pa)", cased: []string{"m/s/Pa"}},
		{name: "LMH/bar", per: lmhPer * 1e5, spelling: []string{"L/m2/h/bar", "L/m2h/bar", "L/m2hbar"}},
		{name: "gfd/psi", factor: gfd, per: pascalsPerPSI},
	}},
	{KindSaltPermeability, []unit{
		{name: "m/s"},
		{name: "LMH", per: lmhPer, spelling: []string{"L/m2/h", "L/m2h"}},
		{name: "gfd", factor: gfd},
	}},
	// Chlorine exposure is commonly told in ppm-hours, the same as mg/L-hours.
	{KindExposure, []unit{
		{name: "kg·s/m³", plain: "kg.s/m3"},
		{name: "mg·h/L", plain: "mg.h/L", factor: 3.6, cased: []string{"mg/L h", "mg/L hr", "mg/L hours"}, spelling: []string{"ppm h", "ppm hr", "ppm hours", "ppm hrs"}},
		{name: "mg·min/L", plain: "mg.min/L", factor: 0.06, cased: []string{"mg/L min"}, spelling: []string{"ppm min"}},
	}},
}
