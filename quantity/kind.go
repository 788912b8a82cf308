package quantity

// Kind names what a quantity measures, in the word shown to a person.
type Kind string

// The kinds, one for each type of this package.
const (
	KindPressure              Kind = "pressure"
	KindFlow                  Kind = "flow"
	KindVolume                Kind = "volume"
	KindLength                Kind = "length"
	KindArea                  Kind = "area"
	KindMass                  Kind = "mass"
	KindTemperature           Kind = "temperature"
	KindTemperatureDifference Kind = "temperature difference"
	KindTime                  Kind = "time"
	KindPower                 Kind = "power"
	KindEnergy                Kind = "energy"
	KindRatio                 Kind = "share"
	KindSpeed                 Kind = "speed"
	KindFlux                  Kind = "flux"
	KindConductivity          Kind = "conductivity"
	KindResistivity           Kind = "resistivity"
	KindDensity               Kind = "density"
	KindViscosity             Kind = "viscosity"
	KindDiffusivity           Kind = "diffusivity"
	KindMassConc              Kind = "concentration"
	KindCaCO3Conc             Kind = "concentration as CaCO3"
	KindMolarConc             Kind = "molar concentration"
	KindEquivConc             Kind = "charge concentration"
	KindWaterPermeability     Kind = "water permeability"
	KindSaltPermeability      Kind = "salt permeability"
	KindExposure              Kind = "exposure"
)

func (Pressure) kind() Kind              { return KindPressure }
func (Flow) kind() Kind                  { return KindFlow }
func (Volume) kind() Kind                { return KindVolume }
func (Length) kind() Kind                { return KindLength }
func (Area) kind() Kind                  { return KindArea }
func (Mass) kind() Kind                  { return KindMass }
func (Temperature) kind() Kind           { return KindTemperature }
func (TemperatureDifference) kind() Kind { return KindTemperatureDifference }
func (Time) kind() Kind                  { return KindTime }
func (Power) kind() Kind                 { return KindPower }
func (Energy) kind() Kind                { return KindEnergy }
func (Ratio) kind() Kind                 { return KindRatio }
func (Speed) kind() Kind                 { return KindSpeed }
func (Flux) kind() Kind                  { return KindFlux }
func (Conductivity) kind() Kind          { return KindConductivity }
func (Resistivity) kind() Kind           { return KindResistivity }
func (Density) kind() Kind               { return KindDensity }
func (Viscosity) kind() Kind             { return KindViscosity }
func (Diffusivity) kind() Kind           { return KindDiffusivity }
func (MassConc) kind() Kind              { return KindMassConc }
func (CaCO3Conc) kind() Kind             { return KindCaCO3Conc }
func (MolarConc) kind() Kind             { return KindMolarConc }
func (EquivConc) kind() Kind             { return KindEquivConc }
func (WaterPermeability) kind() Kind     { return KindWaterPermeability }
func (SaltPermeability) kind() Kind      { return KindSaltPermeability }
func (Exposure) kind() Kind              { return KindExposure }
