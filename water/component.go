package water

import "rinsewright/quantity"

// componentData describes a component in the form it is reported in: the ion
// itself, HCO3- for Carbon, SiO2 for Silica, B for Boron, PO4 for Phosphate.
type componentData struct {
	name      string
	formula   string
	molarMass float64 // kg/mol
	charge    int     // at the reference level of alkalinity; Carbon as HCO3-
}

// components: molar masses from the atomic weights of [PHREEQC3dat].
var components = [NComponents]componentData{
	Calcium:   {"calcium", "Ca", 40.08e-3, 2},
	Magnesium: {"magnesium", "Mg", 24.312e-3, 2},
	Sodium:    {"sodium", "Na", 22.9898e-3, 1},
	Potassium: {"potassium", "K", 39.102e-3, 1},
	Strontium: {"strontium", "Sr", 87.62e-3, 2},
	Barium:    {"barium", "Ba", 137.34e-3, 2},
	Iron:      {"iron", "Fe", 55.847e-3, 2},
	Manganese: {"manganese", "Mn", 54.938e-3, 2},
	Ammonia:   {"ammonia", "NH4", 18.0387e-3, 1},
	Chloride:  {"chloride", "Cl", 35.453e-3, -1},
	Sulphate:  {"sulphate", "SO4", 96.064e-3, -2},
	Nitrate:   {"nitrate", "NO3", 62.0067e-3, -1},
	Fluoride:  {"fluoride", "F", 18.9984e-3, -1},
	Carbon:    {"bicarbonate", "HCO3", 61.0191e-3, -1},
	Silica:    {"silica", "SiO2", 60.0843e-3, 0},
	Boron:     {"boron", "B", 10.81e-3, 0},
	Phosphate: {"phosphate", "PO4", 94.9738e-3, -1},
}

const carbonDioxideMass = 44.0111e-3 // kg/mol

// String returns the component's name.
func (c Component) String() string {
	if c >= NComponents {
		return "no component"
	}
	return components[c].name
}

// Formula returns what an analysis calls the component: Ca, SO4, SiO2, ...
func (c Component) Formula() string {
	if c >= NComponents {
		return ""
	}
	return components[c].formula
}

// Charge returns the charge of the form that is reported, in units of the
// proton's: +2 for calcium, -1 for Carbon (as HCO3-) and for Phosphate (as
// H2PO4-, its reference level), 0 for Silica and Boron.
func (c Component) Charge() int {
	if c >= NComponents {
		return 0
	}
	return components[c].charge
}

// Mass returns the mass concentration of amount m, as the reported form: HCO3
// for Carbon, SiO2, B, PO4, else the ion.
func (c Component) Mass(m quantity.MolarConc) quantity.MassConc {
	if c >= NComponents {
		return 0
	}
	return quantity.MassConc(float64(m) * components[c].molarMass)
}

// Molar is the inverse of [Component.Mass].
func (c Component) Molar(m quantity.MassConc) quantity.MolarConc {
	if c >= NComponents {
		return 0
	}
	return quantity.MolarConc(float64(m) / components[c].molarMass)
}

// Equivalents returns the charge that amount m of the reported form carries,
// without sign.
func (c Component) Equivalents(m quantity.MolarConc) quantity.EquivConc {
	z := c.Charge()
	if z < 0 {
		z = -z
	}
	return quantity.EquivConc(float64(z) * float64(m))
}

// AsCaCO3 returns amount m as the CaCO3 of the same charge.
func (c Component) AsCaCO3(m quantity.MolarConc) quantity.CaCO3Conc {
	return c.Equivalents(m).AsCaCO3()
}

// FromCaCO3 is the inverse of [Component.AsCaCO3]; an uncharged component
// gives 0.
func (c Component) FromCaCO3(m quantity.CaCO3Conc) quantity.MolarConc {
	per := float64(c.Equivalents(1))
	if per == 0 {
		return 0
	}
	return quantity.MolarConc(float64(m.Equivalents()) / per)
}

// CarbonDioxideMass returns amount m of dissolved CO2 as mass of CO2.
func CarbonDioxideMass(m quantity.MolarConc) quantity.MassConc {
	return quantity.MassConc(float64(m) * carbonDioxideMass)
}

// CarbonDioxideMolar is the inverse of [CarbonDioxideMass].
func CarbonDioxideMolar(m quantity.MassConc) quantity.MolarConc {
	return quantity.MolarConc(float64(m) / carbonDioxideMass)
}
