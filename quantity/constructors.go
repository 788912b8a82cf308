package quantity

// More constructors and their inverses, for units that are read off a gauge, a
// data sheet or a bill. Anything else goes through [Parse] and [In].

// Kilopascals makes a pressure from kPa.
func Kilopascals(x float64) Pressure { return Pressure(x * 1e3) }

// CubicMetresPerHour makes a flow from m³/h.
func CubicMetresPerHour(x float64) Flow { return Flow(x / secondsPerHour) }

// CubicMetresPerHour returns f in m³/h.
func (f Flow) CubicMetresPerHour() float64 { return float64(f) * secondsPerHour }

// GallonsPerDay returns f in US gpd.
func (f Flow) GallonsPerDay() float64 { return float64(f) * secondsPerDay / cubicMetresPerGal }

// CubicMetres makes a volume from m³.
func CubicMetres(x float64) Volume { return Volume(x) }

// Millimetres returns l in mm.
func (l Length) Millimetres() float64 { return float64(l) * 1e3 }

// Inches returns l in inches.
func (l Length) Inches() float64 { return float64(l) / metresPerInch }

// Feet returns l in feet.
func (l Length) Feet() float64 { return float64(l) / metresPerFoot }

// SquareMetres makes an area from m².
func SquareMetres(x float64) Area { return Area(x) }

// SquareFeet makes an area from ft².
func SquareFeet(x float64) Area { return Area(x * squareMetresPerFt2) }

// SquareFeet returns a in ft².
func (a Area) SquareFeet() float64 { return float64(a) / squareMetresPerFt2 }

// Kilograms makes a mass from kg.
func Kilograms(x float64) Mass { return Mass(x) }

// Pounds makes a mass from avoirdupois pounds.
func Pounds(x float64) Mass { return Mass(x * kilogramsPerPound) }

// Pounds returns m in avoirdupois pounds.
func (m Mass) Pounds() float64 { return float64(m) / kilogramsPerPound }

// Kelvin makes an absolute temperature from K.
func Kelvin(x float64) Temperature { return Temperature(x) }

// Fahrenheit returns t in °F.
func (t Temperature) Fahrenheit() float64 { return t.Celsius()*1.8 + 32 }

// Seconds makes a time from s.
func Seconds(x float64) Time { return Time(x) }

// Watts makes a power from W.
func Watts(x float64) Power { return Power(x) }

// Horsepower makes a power from hp of 550 ft·lbf/s.
func Horsepower(x float64) Power { return Power(x * wattsPerHorsepower) }

// KilowattHours makes an energy from kWh.
func KilowattHours(x float64) Energy { return Energy(x * (1e3 * secondsPerHour)) }

// KilowattHours returns e in kWh.
func (e Energy) KilowattHours() float64 { return float64(e) / (1e3 * secondsPerHour) }

// Percent makes a ratio from hundredths.
func Percent(x float64) Ratio { return Ratio(x / 100) }

// Percent returns r in hundredths.
func (r Ratio) Percent() float64 { return float64(r) * 100 }

// MetresPerSecond makes a speed from m/s.
func MetresPerSecond(x float64) Speed { return Speed(x) }

// GallonsPerSquareFootDay makes a flux from US gal/(ft²·day).
func GallonsPerSquareFootDay(x float64) Flux { return Flux(x * gfd) }

// GallonsPerSquareFootDay returns f in US gal/(ft²·day).
func (f Flux) GallonsPerSquareFootDay() float64 { return float64(f) / gfd }

// MegohmCm makes a resistivity from MΩ·cm.
func MegohmCm(x float64) Resistivity { return Resistivity(x * 1e4) }

// MegohmCm returns r in MΩ·cm.
func (r Resistivity) MegohmCm() float64 { return float64(r) / 1e4 }

// GrainsPerGallon makes a concentration from grains of CaCO3 per US gallon.
func GrainsPerGallon(x float64) CaCO3Conc { return CaCO3Conc(x * grainsPerGallon) }

// GrainsPerGallon returns c in grains of CaCO3 per US gallon.
func (c CaCO3Conc) GrainsPerGallon() float64 { return float64(c) / grainsPerGallon }

// MillimolesPerLitre makes a molar concentration from mmol/L.
func MillimolesPerLitre(x float64) MolarConc { return MolarConc(x) }

// MilliequivalentsPerLitre makes a charge concentration from meq/L.
func MilliequivalentsPerLitre(x float64) EquivConc { return EquivConc(x) }
