// Package water holds what a water is and what follows from it: what a person
// measured ([Sample]), a complete water ([Water]), its species at equilibrium
// ([Solution]), its properties, what may settle from it, and what dosing,
// mixing, airing and concentrating do to it.
//
// Symbols: m molality (mol per kg of water), I ionic strength, γ activity
// coefficient, κ conductivity, φ osmotic coefficient, π osmotic pressure, ρ density, μ viscosity.
// A water is kept per litre; equilibrium is worked out per kilogram of water, and
// the volume of what is dissolved is counted on the way.
//
// Limits: 0 to 60 °C (constants checked 0 to 45 °C), ionic strength to about 1
// mol/kg, 1 atm, no oxidation or reduction, no organic acids.
//
// Sources:
// [PHREEQC3dat] constants of ion association, activity and solubility;
// [LogKTable], [SpeciationTable], [ConcentrateTable], [AcidTable], [CalciteTable], [SpreadTable] the reference tables of this package's tests;
// [TruesdellJones1974], [Davies1962] activity coefficients; [BradleyPitzer1979] permittivity of water;
// [GarrelsChrist1965] water activity; [Kell1975], [IAPWS2008visc], [WagnerPruss1993], [IAPWStable] pure water;
// [Millero1971] volumes; [JonesDole1929], [JenkinsMarcus1995] viscosity;
// [McCleskey2012], [RobinsonStokes1959], [Light2005], [SmithPiping2009], [Stuyfzand1987], [S65] conductivity;
// [HarvieMollerWeare1984], [PitzerMayorga1973] osmotic coefficient;
// [StummMorgan1996], [StandardMethods1030], [USGSwsp2254], [WRI024045] sums;
// [JCGM100], [Nocedal2006], [Gilks2001], [EPA1201] completing a water and its doubt;
// [Practice], [Memory] what was taken without a source, in docs/sources;
// [Langelier1936], [Carrier1965], [Ryznar1944], [StiffDavis1952], [StandardMethods4500CO2] the trade's indices.
package water

import "rinsewright/quantity"

// Component is a conserved constituent: whatever species it takes, its total
// is unchanged by mixing, concentrating and speciation.
type Component uint8

// The components. Carbon is total inorganic carbon (CO2 + HCO3 + CO3 and their
// pairs); Silica, Boron, Phosphate and Ammonia are totals of their weak acids.
const (
	Calcium Component = iota
	Magnesium
	Sodium
	Potassium
	Strontium
	Barium
	Iron // Fe(II)
	Manganese
	Ammonia
	Chloride
	Sulphate
	Nitrate
	Fluoride
	Carbon
	Silica
	Boron
	Phosphate
	NComponents
)

// Water is a complete water: what is conserved in it, and its temperature.
// Totals and alkalinity are linear under mixing and concentrating; pH and
// every species follow from them (see [Equilibrate]). Amounts are per volume
// of water; the difference between a litre of water and a kilogram of it is
// taken into account where the reference tables can see it (see [Solution]).
type Water struct {
	Total       [NComponents]quantity.MolarConc
	Alkalinity  quantity.EquivConc // charge of strong cations less strong anions, all weak acids at their CO2 reference level
	Temperature quantity.Temperature
}

// Stream is a water that flows: at a pressure, with a volume flow.
type Stream struct {
	Water    Water
	Flow     quantity.Flow
	Pressure quantity.Pressure
}
