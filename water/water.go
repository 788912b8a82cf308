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
