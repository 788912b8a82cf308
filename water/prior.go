package water

import (
	"math"

	"rinsewright/quantity"
)

// Prior is what a water is taken to be like where nobody measured it: the
// middle of natural waters. How broad it is around that middle stands in
// [CityPrior]. Shares are of charge.
type Prior struct {
	Temperature     quantity.Temperature
	PH              quantity.PH
	HardnessShare   quantity.Ratio // calcium and magnesium, of the main cations
	CalciumShare    quantity.Ratio // of the hardness
	PotassiumShare  quantity.Ratio // of sodium and potassium
	AlkalinityShare quantity.Ratio // of the main anions
	SulphateShare   quantity.Ratio // of sulphate and chloride
	NitrateShare    quantity.Ratio // of nitrate, sulphate and chloride
	Silica          quantity.MassConc
	ScaleFactor     quantity.Ratio // of a pen whose scale nobody knows: ppm per µS/cm
}

// CityPrior returns the middle of treated surface and mixed supplies.
//
// Around it, the logarithm of what a share counts over what it leaves out is
// normal, wider upwards than downwards or the other way, so that the kinds of
// water that every handbook tells of lie within two standard deviations:
//
//	share              from                                to
//	hardness           softened or exchanged, 2 %          limestone, 98 %
//	calcium            serpentine, mixed with the sea, 25 % chalk and gypsum, 97 %
//	potassium          0.4 %                               leaves and volcanic glass, 35 %
//	alkalinity         rain and mine waters, 2 %           limestone and soda, 98 %
//	sulphate           lost where oxygen is, 0.2 %         gypsum, 98 %
//	nitrate            lost as well, 0.05 %                fields, 60 %
//	silica             2 mg/L                              volcanic rock, 80 mg/L
//	pH                 5.5                                 9.2
//	CO2 pressure       a tenth of the air's                0.2 atm
//
// Sulphate follows calcium and chloride follows sodium, as gypsum and salt
// dissolve: the logarithm of sulphate over chloride shifts by 0.4 of that of
// hardness over sodium. Temperature is within 5 K, a pen's unknown scale
// within 17 %, and the strength itself as good as free, a factor of 7.
//
// Source: [Memory], from memory, unverified: what handbooks say of fresh
// natural waters and of the world's rivers. Fitted to no table; how often its
// bands hold is measured, see docs/explanation/water-bands.md.
func CityPrior() Prior {
	return Prior{
		Temperature: quantity.Celsius(14), PH: 7.7, HardnessShare: 0.62, CalciumShare: 0.70, PotassiumShare: 0.05,
		AlkalinityShare: 0.58, SulphateShare: 0.45, NitrateShare: 0.04, Silica: quantity.MilligramsPerLitre(12), ScaleFactor: 0.58,
	}
}

// WellPrior returns the middle of untreated groundwaters, as broad as
// [CityPrior]: more carbon dioxide, alkalinity and silica than a city's supply.
// Source: [Memory].
func WellPrior() Prior {
	p := CityPrior()
	p.PH, p.Silica, p.AlkalinityShare, p.Temperature = 7.3, quantity.MilligramsPerLitre(18), 0.65, quantity.Celsius(12)
	return p
}

// A water's inside: numbers that may take any value, so that every composition
// they give is positive and electroneutral. Logarithms are natural.
const (
	atCharge      = iota // ln of the charge of Ca, Mg, Na and K, eq/m³
	atHardness           // ln of (Ca + Mg) over (Na + K), by charge
	atCalcium            // ln of Ca over Mg
	atPotassium          // ln of K over Na
	atAlkalinity         // ln of alkalinity over (Cl + SO4 + NO3)
	atSulphate           // ln of SO4 over Cl
	atNitrate            // ln of NO3 over (Cl + SO4)
	atPH                 // itself
	atSilica             // ln of mol/m³
	atTemperature        // K
	atScale              // ln of ppm per µS/cm
	nInside
)

type inside [nInside]float64

// widths are the standard deviations above and below the middle of a city's
// water: half the way to the ends that [CityPrior] lists.
var widths = [nInside][2]float64{
	atCharge: {2, 2}, atHardness: {1.7, 2.2}, atCalcium: {1.3, 1}, atPotassium: {1.2, 1.3}, atAlkalinity: {1.8, 2.1},
	atSulphate: {2.05, 3}, atNitrate: {1.8, 2.2}, atPH: {0.75, 1.1}, atSilica: {0.95, 0.9}, atTemperature: {5, 5}, atScale: {0.17, 0.17},
}

// The decimal logarithm of the CO2 pressure in atm, by the short form with
// constants of 12 °C: enough for a prior one power of ten wide.
const (
	middleCO2     = -2.5
	widthCO2      = 0.9
	carbonicAcid  = 6.45 // pK of CO2 and HCO3
	henrysAt12    = 1.30 // p of mol/kg per atm
	atCO2Pressure = nInside
	nPrior        = nInside + 1
)

const (
	middleCharge       = 1.6 // ln of 5 eq/m³
	sulphateOfHardness = 0.4
)

// middle is the prior's centre.
func (p Prior) middle() (x inside) {
	x[atCharge] = middleCharge
	x[atHardness], x[atCalcium] = logOdds(p.HardnessShare), logOdds(p.CalciumShare)
	x[atPotassium], x[atAlkalinity] = logOdds(p.PotassiumShare), logOdds(p.AlkalinityShare)
	x[atSulphate], x[atNitrate] = logOdds(p.SulphateShare), logOdds(p.NitrateShare)
	x[atPH], x[atTemperature] = float64(p.PH), float64(p.Temperature)
	x[atSilica] = math.Log(math.Max(float64(Silica.Molar(p.Silica)), 1e-4))
	x[atScale] = math.Log(math.Max(float64(p.ScaleFactor), 0.1))
	return x
}

func logOdds(share quantity.Ratio) float64 {
	x := math.Min(math.Max(float64(share), 1e-4), 1-1e-4)
	return math.Log(x / (1 - x))
}

func shareOf(logOdds float64) float64 { return 1 / (1 + math.Exp(-logOdds)) }

// off returns how far x lies from the middle in the prior's widths, each
// times slack.
func (p *priorFit) off(x *inside, out []float64) {
	for i := range nInside {
		d := x[i] - p.middle[i]
		if i == atSulphate {
			d -= sulphateOfHardness * (x[atHardness] - p.middle[atHardness])
		}
		width := widths[i][0]
		if d < 0 {
			width = widths[i][1]
		}
		out[i] = d / (width * p.slack)
	}
	out[atCO2Pressure] = (log10CO2(x) - middleCO2) / (widthCO2 * p.slack)
}

// log10CO2 is the decimal logarithm of the CO2 pressure of x, in atm.
func log10CO2(x *inside) float64 {
	bicarbonate := math.Exp(x[atCharge]) * shareOf(x[atAlkalinity]) / 1000 // mol/kg
	return math.Log10(math.Max(bicarbonate, 1e-12)) + carbonicAcid - x[atPH] + henrysAt12
}

type priorFit struct {
	middle inside
	slack  float64
}
