// Package quantity holds the physical quantities of a rinse system, each a
// defined type over float64 in SI, so that a pressure cannot be added to a
// flow. It reads what people write ("60 psi", "14 gpg", "77F", "1/2 in") and
// prints in US or SI units with the digits that fit.
//
// Inside an equation drop to float64 SI locals with the unit in a trailing
// comment; never multiply two quantities, since Go would keep the type.
//
// Conversions are exact by definition (inch, pound, US gallon) or follow
// [SP811]. Concentration comes in four types because the trade's "ppm" means
// four things: mass of the ion, mass as CaCO3, amount, and charge.
//
// Sources:
//
//   - [SP811] NIST Special Publication 811, Guide for the Use of the International
//     System of Units, 2008, appendix B.
//   - [CIAAW2021] IUPAC, Standard atomic weights of the elements 2021, abridged.
package quantity

// Quantity is any type of this package. Every value is in the SI unit that its
// type names.
type Quantity interface {
	~float64
	kind() Kind
}

type (
	// Pressure is a gauge pressure or a pressure difference, in Pa.
	Pressure float64
	// Flow is a volume flow, in m³/s.
	Flow float64
	// Volume is in m³.
	Volume float64
	// Length is in m.
	Length float64
	// Area is in m².
	Area float64
	// Mass is in kg.
	Mass float64
	// Temperature is absolute, in K.
	Temperature float64
	// TemperatureDifference is in K.
	TemperatureDifference float64
	// Time is a duration, in s.
	Time float64
	// Power is in W.
	Power float64
	// Energy is in J.
	Energy float64
	// Ratio is a fraction: 0.5 is printed as 50 %.
	Ratio float64
	// Speed is in m/s.
	Speed float64
	// Flux is a volume flow per area, in m/s.
	Flux float64
	// Conductivity is in S/m.
	Conductivity float64
	// Resistivity is in Ω·m.
	Resistivity float64
	// Density is in kg/m³.
	Density float64
	// Viscosity is dynamic, in Pa·s.
	Viscosity float64
	// Diffusivity is in m²/s.
	Diffusivity float64
	// MassConc is mass of the species itself per volume of water, in kg/m³.
	MassConc float64
	// CaCO3Conc is the mass of CaCO3 that carries the same charge, per volume
	// of water, in kg/m³.
	CaCO3Conc float64
	// MolarConc is amount per volume of water, in mol/m³.
	MolarConc float64
	// EquivConc is charge per volume of water, in mol/m³ (eq/m³).
	EquivConc float64
	// WaterPermeability is flux per net driving pressure, in m/(s·Pa).
	WaterPermeability float64
	// SaltPermeability is salt flow per area and concentration difference, in m/s.
	SaltPermeability float64
	// Exposure is concentration times time, in kg·s/m³. Chlorine exposure is
	// commonly told in mg/L-hours.
	Exposure float64
)

// Exact factors to SI, [SP811] appendix B; the pound and the inch are exact by
// definition, so are those built from them.
const (
	metresPerInch      = 0.0254
	metresPerFoot      = 0.3048
	kilogramsPerPound  = 0.45359237
	standardGravity    = 9.80665                                                               // m/s²
	cubicMetresPerGal  = 231 * metresPerInch * metresPerInch * metresPerInch                   // US gallon
	cubicMetresPerFt3  = metresPerFoot * metresPerFoot * metresPerFoot                         //
	pascalsPerPSI      = kilogramsPerPound * standardGravity / (metresPerInch * metresPerInch) //
	kilogramsPerGrain  = kilogramsPerPound / 7000                                              //
	absoluteZeroC      = -273.15                                                               // °C
	secondsPerMinute   = 60.0                                                                  //
	secondsPerHour     = 3600.0                                                                //
	secondsPerDay      = 86400.0                                                               //
	caco3EquivalentKg  = 0.0500435                                                             // kg of CaCO3 per equivalent
	wattsPerHorsepower = 550 * metresPerFoot * kilogramsPerPound * standardGravity             //
	grainsPerGallon    = kilogramsPerGrain / cubicMetresPerGal                                 // kg/m³ in 1 gpg
)

// Pascals makes a pressure from Pa.
func Pascals(x float64) Pressure { return Pressure(x) }

// Bar makes a pressure from bar.
func Bar(x float64) Pressure { return Pressure(x * 1e5) }

// PSI makes a pressure from pounds-force per square inch.
func PSI(x float64) Pressure { return Pressure(x * pascalsPerPSI) }

// Bar returns p in bar.
func (p Pressure) Bar() float64 { return float64(p) / 1e5 }

// PSI returns p in pounds-force per square inch.
func (p Pressure) PSI() float64 { return float64(p) / pascalsPerPSI }

// LitresPerMinute makes a flow from L/min.
func LitresPerMinute(x float64) Flow { return Flow(x / (1e3 * secondsPerMinute)) }

// GallonsPerMinute makes a flow from US gpm.
func GallonsPerMinute(x float64) Flow { return Flow(x * cubicMetresPerGal / secondsPerMinute) }

// GallonsPerDay makes a flow from US gpd.
func GallonsPerDay(x float64) Flow { return Flow(x * cubicMetresPerGal / secondsPerDay) }

// LitresPerMinute returns f in L/min.
func (f Flow) LitresPerMinute() float64 { return float64(f) * (1e3 * secondsPerMinute) }

// GallonsPerMinute returns f in US gpm.
func (f Flow) GallonsPerMinute() float64 { return float64(f) * secondsPerMinute / cubicMetresPerGal }

// Over returns the volume that flow f carries in time t.
func (f Flow) Over(t Time) Volume { return Volume(float64(f) * float64(t)) }

// Litres makes a volume from L.
func Litres(x float64) Volume { return Volume(x / 1e3) }

// Gallons makes a volume from US gallons.
func Gallons(x float64) Volume { return Volume(x * cubicMetresPerGal) }

// CubicFeet makes a volume from ft³.
func CubicFeet(x float64) Volume { return Volume(x * cubicMetresPerFt3) }

// Litres returns v in L.
func (v Volume) Litres() float64 { return float64(v) * 1e3 }

// Gallons returns v in US gallons.
func (v Volume) Gallons() float64 { return float64(v) / cubicMetresPerGal }

// CubicFeet returns v in ft³.
func (v Volume) CubicFeet() float64 { return float64(v) / cubicMetresPerFt3 }

// Metres makes a length from m.
func Metres(x float64) Length { return Length(x) }

// Millimetres makes a length from mm.
func Millimetres(x float64) Length { return Length(x / 1e3) }

// Inches makes a length from in.
func Inches(x float64) Length { return Length(x * metresPerInch) }

// Feet makes a length from ft.
func Feet(x float64) Length { return Length(x * metresPerFoot) }

// Celsius makes an absolute temperature from °C.
func Celsius(x float64) Temperature { return Temperature(x - absoluteZeroC) }

// Fahrenheit makes an absolute temperature from °F.
func Fahrenheit(x float64) Temperature { return Celsius((x - 32) / 1.8) }

// Celsius returns t in °C.
func (t Temperature) Celsius() float64 { return float64(t) + absoluteZeroC }

// Minutes makes a time from min.
func Minutes(x float64) Time { return Time(x * secondsPerMinute) }

// Hours makes a time from h.
func Hours(x float64) Time { return Time(x * secondsPerHour) }

// Days makes a time from days of 24 h.
func Days(x float64) Time { return Time(x * secondsPerDay) }

// Minutes returns t in min.
func (t Time) Minutes() float64 { return float64(t) / secondsPerMinute }

// Hours returns t in h.
func (t Time) Hours() float64 { return float64(t) / secondsPerHour }

// Days returns t in days of 24 h.
func (t Time) Days() float64 { return float64(t) / secondsPerDay }

// MicrosiemensPerCm makes a conductivity from µS/cm.
func MicrosiemensPerCm(x float64) Conductivity { return Conductivity(x / 1e4) }

// MicrosiemensPerCm returns c in µS/cm.
func (c Conductivity) MicrosiemensPerCm() float64 { return float64(c) * 1e4 }

// MilligramsPerLitre makes a mass concentration from mg/L as the species.
func MilligramsPerLitre(x float64) MassConc { return MassConc(x / 1e3) }

// MilligramsPerLitre returns c in mg/L as the species.
func (c MassConc) MilligramsPerLitre() float64 { return float64(c) * 1e3 }

// MilligramsPerLitreCaCO3 makes a concentration from mg/L as CaCO3.
func MilligramsPerLitreCaCO3(x float64) CaCO3Conc { return CaCO3Conc(x / 1e3) }

// MilligramsPerLitreCaCO3 returns c in mg/L as CaCO3.
func (c CaCO3Conc) MilligramsPerLitreCaCO3() float64 { return float64(c) * 1e3 }

// Equivalents returns the charge that c stands for, by the definition of "as
// CaCO3": 50.0435 g carries one mole of charge.
func (c CaCO3Conc) Equivalents() EquivConc { return EquivConc(float64(c) / caco3EquivalentKg) }

// AsCaCO3 returns the mass of CaCO3 that carries the same charge.
func (c EquivConc) AsCaCO3() CaCO3Conc { return CaCO3Conc(float64(c) * caco3EquivalentKg) }

// LitresPerSquareMetreHour makes a flux from L/(m²·h).
func LitresPerSquareMetreHour(x float64) Flux { return Flux(x / (1e3 * secondsPerHour)) }

// LitresPerSquareMetreHour returns f in L/(m²·h).
func (f Flux) LitresPerSquareMetreHour() float64 { return float64(f) * (1e3 * secondsPerHour) }

// MilligramHoursPerLitre makes an exposure from mg/L-hours.
func MilligramHoursPerLitre(x float64) Exposure { return Exposure(x * (1e-3 * secondsPerHour)) }

// MilligramHoursPerLitre returns e in mg/L-hours.
func (e Exposure) MilligramHoursPerLitre() float64 { return float64(e) / (1e-3 * secondsPerHour) }
