package cli

import (
	"fmt"

	"rinsewright/quantity"
	"rinsewright/water"
)

// Bounds of what is read; the engine's own are narrower where it says so.
const (
	mostMassConc = 200_000 // mg/L
	coldest      = 0       // °C
	warmest      = 60      // °C
)

var idColumn = textColumn("id", "any name; comes back unchanged")

// ionColumns are the ions of an analysis; an empty one is none of it.
var ionColumns = []struct {
	name      string
	component water.Component
}{
	{"Ca_mgL", water.Calcium},
	{"Mg_mgL", water.Magnesium},
	{"Na_mgL", water.Sodium},
	{"K_mgL", water.Potassium},
	{"Ba_mgL", water.Barium},
	{"Sr_mgL", water.Strontium},
	{"Fe2_mgL", water.Iron},
	{"Mn_mgL", water.Manganese},
	{"NH4_mgL", water.Ammonia},
	{"Cl_mgL", water.Chloride},
	{"SO4_mgL", water.Sulphate},
	{"NO3_mgL", water.Nitrate},
	{"F_mgL", water.Fluoride},
	{"PO4_mgL", water.Phosphate},
	{"B_mgL", water.Boron},
	{"SiO2_mgL", water.Silica},
}

// waterColumns are the columns of one analysis.
func waterColumns() []calcColumn {
	columns := []calcColumn{
		needColumn("temp_C", "°C", "temperature at which pH was read", coldest, warmest),
		needColumn("pH", "", "pH", 0, 14),
		needColumn("alk_mgL_CaCO3", "mg/L", "alkalinity as CaCO3, 50.05 g (50.04555) per equivalent", -mostMassConc, mostMassConc),
	}
	return append(columns, ionInputs()...)
}

func ionInputs() (columns []calcColumn) {
	for _, ion := range ionColumns {
		columns = append(columns, mayColumn(ion.name, "mg/L", ion.component.String()+", as "+ion.component.Formula(), 0, mostMassConc, "0"))
	}
	return columns
}

// tableEquivalent is the g of CaCO3 per mole of charge in the columns'
// alkalinity, half of 40.08 + 12.0111 + 3 · 16: the reference code's, commonly
// told as 50.05. Package quantity holds today's atomic weights, 50.0435.
const tableEquivalent = 50.04555

// analysisOf makes an analysis of the columns of waterColumns. A litre is of
// solution at the water's own temperature.
func analysisOf(r calcRow) water.Analysis {
	meq := r.number("alk_mgL_CaCO3") / tableEquivalent
	a := water.Analysis{
		Alkalinity:  quantity.MilliequivalentsPerLitre(meq).AsCaCO3(),
		PH:          r.number("pH"),
		Temperature: quantity.Celsius(r.number("temp_C")),
	}
	for _, ion := range ionColumns {
		a.Mass[ion.component] = quantity.MilligramsPerLitre(r.number(ion.name))
	}
	return a
}

// describedColumns are the results of every door that answers with a water.
var describedColumns = []calcColumn{
	resultColumn("pH", "", "pH, by activity"),
	resultColumn("ionic_strength_molkgw", "mol/kg water", "ionic strength, ion pairs counted"),
	resultColumn("CO2aq_molkgw", "mol/kg water", "dissolved carbon dioxide"),
	resultColumn("HCO3_molkgw", "mol/kg water", "free bicarbonate"),
	resultColumn("CO3_molkgw", "mol/kg water", "free carbonate"),
	resultColumn("C4_total_molkgw", "mol/kg water", "all inorganic carbon"),
	resultColumn("alkalinity_eqkgw", "eq/kg water", "alkalinity"),
	resultColumn("SI_calcite", "", "saturation index; empty where its ions are not in the water, as with the next seven"),
	resultColumn("SI_aragonite", "", "saturation index"),
	resultColumn("SI_gypsum", "", "saturation index"),
	resultColumn("SI_barite", "", "saturation index"),
	resultColumn("SI_celestite", "", "saturation index"),
	resultColumn("SI_fluorite", "", "saturation index"),
	resultColumn("SI_SiO2a", "", "saturation index of amorphous silica"),
	resultColumn("SI_brucite", "", "saturation index"),
	resultColumn("logPCO2", "", "base-10 logarithm of the CO2 pressure in atm; empty without CO2"),
	resultColumn("SC_at_T_uScm", "µS/cm", "conductivity at the water's own temperature"),
	resultColumn("SC_25C_uScm", "µS/cm", "conductivity after warming or cooling to 25 °C in a closed vessel"),
	resultColumn("density_gcm3", "g/cm³", "density"),
	resultColumn("viscosity_mPas", "mPa·s", "dynamic viscosity"),
	resultColumn("osmotic_pressure_bar", "bar", "osmotic pressure against pure water"),
}

// indexColumns are the minerals of describedColumns, in order.
var indexColumns = []water.Mineral{
	water.Calcite, water.Aragonite, water.Gypsum, water.Barite, water.Celestite, water.Fluorite, water.AmorphousSilica, water.Brucite,
}

// described returns describedColumns of d.
func described(d water.Description) calcAnswer {
	s := d.Solution
	a := calcAnswer{
		s.PH, s.IonicStrength, s.Molality(s.CO2()), s.Molality(s.Bicarbonate()), s.Molality(s.Carbonate()),
		s.MolalityOf(water.Carbon), s.MolalityOfAlkalinity(),
	}
	for _, m := range indexColumns {
		a = append(a, logarithm(d.Index[m]))
	}
	return append(a, logarithm(s.LogCO2Pressure()), d.Conductivity.MicrosiemensPerCm(), d.Conductivity25.MicrosiemensPerCm(),
		float64(d.Density)/1000, float64(d.Viscosity)*1000, d.OsmoticPressure.Bar())
}

// logarithm returns x, or nothing for the engine's mark of a logarithm of 0.
func logarithm(x float64) any {
	if x <= -99 {
		return nil
	}
	return x
}

var waterDoor = calcDoor{
	name: "water", about: "a water as analysed: its species, what may settle, conductivity, density, osmotic pressure",
	keys: []calcColumn{idColumn}, inputs: waterColumns(), results: describedColumns,
	compute: func(_ calcSetting, r calcRow) (calcAnswer, error) {
		d, err := water.DescribeWater(analysisOf(r))
		return describedOr(d, err)
	},
}

func describedOr(d water.Description, err error) (calcAnswer, error) {
	if err != nil {
		return nil, err
	}
	return described(d), nil
}

var factorColumn = needColumn("concentration_factor_watermass", "", "times the amounts per mass of water: 2 leaves half the water", 1e-6, 100)

var concentrateDoor = calcDoor{
	name: "concentrate", about: "a water after part of it was taken away as pure water",
	notes: "Closed vessel, same temperature, nothing settles.",
	keys:  []calcColumn{idColumn, factorColumn}, inputs: waterColumns(), results: describedColumns,
	compute: func(_ calcSetting, r calcRow) (calcAnswer, error) {
		d, err := water.DescribeConcentrate(analysisOf(r), r.number(factorColumn.name))
		return describedOr(d, err)
	},
}

const (
	closedVessel = "closed"
	openToAir    = "open_pCO2_10^-3.4"
)

var reagents = map[string]water.Reagent{"HCl": water.HydrochloricAcid, "H2SO4": water.SulphuricAcid, "NaOH": water.CausticSoda}

var acidDoor = calcDoor{
	name: "acid", about: "a water dosed to a pH, or left open to air",
	notes: "In a closed vessel all carbon dioxide stays in the water. `none` with `" + openToAir + "` and no target lets the water come to balance with air. " +
		"Caution: add acid to water, never water to acid; wear eye and hand protection; never mix acid with bleach, which sets chlorine free.",
	keys: []calcColumn{
		idColumn,
		wordColumn("reagent", "what is dosed, as 100 % pure", "", "HCl", "H2SO4", "NaOH", "none"),
		mayColumn("target_pH", "", "pH wanted; empty for none", 2, 13, ""),
		wordColumn("system", "what the water may exchange with", closedVessel, closedVessel, openToAir),
	},
	inputs: waterColumns(),
	results: append(append([]calcColumn{}, describedColumns...),
		resultColumn("dose_mmol_per_kgw", "mmol/kg water", "reagent"),
		resultColumn("dose_mgL_100pct", "mg/L", "reagent, pure, per litre of the water dosed"),
	),
	compute: func(_ calcSetting, r calcRow) (calcAnswer, error) {
		if r.text("reagent") == "none" {
			return airedAnswer(r)
		}
		return dosedAnswer(r)
	},
}

func airedAnswer(r calcRow) (calcAnswer, error) {
	if r.text("system") != openToAir || r.has("target_pH") {
		return nil, fmt.Errorf("reagent: read \"none\" with system %q and target_pH %q, wanted system %q and no target", r.text("system"), optionalText(r, "target_pH"), openToAir)
	}
	d, err := water.DescribeOpenToAir(analysisOf(r))
	if err != nil {
		return nil, err
	}
	return append(described(d), 0.0, 0.0), nil
}

func optionalText(r calcRow, name string) string {
	if !r.has(name) {
		return ""
	}
	return formatNumber(r.number(name))
}

func dosedAnswer(r calcRow) (calcAnswer, error) {
	if r.text("system") != closedVessel || !r.has("target_pH") {
		return nil, fmt.Errorf("reagent: read %q with system %q and target_pH %q, wanted system %q and a target", r.text("reagent"), r.text("system"), optionalText(r, "target_pH"), closedVessel)
	}
	d, dose, err := water.DescribeDose(analysisOf(r), r.number("target_pH"), reagents[r.text("reagent")])
	if err != nil {
		return nil, err
	}
	return append(described(d), 1000*dose.Molality, dose.Mass.MilligramsPerLitre()), nil
}

var permeateDoor = calcDoor{
	name: "permeate", about: "pH, carbon dioxide and conductivity of a very dilute water made up from salts",
	keys: []calcColumn{idColumn},
	inputs: []calcColumn{
		needColumn("temp_C", "°C", "temperature", coldest, warmest),
		mayColumn("NaCl_mgL", "mg/L", "sodium chloride", 0, mostMassConc, "0"),
		mayColumn("NaHCO3_mgL", "mg/L", "sodium bicarbonate", 0, mostMassConc, "0"),
		mayColumn("CO2_added_mgL_as_CO2", "mg/L", "carbon dioxide on top", 0, mostMassConc, "0"),
		mayColumn("Ca_as_CaCl2_mgL_Ca", "mg/L", "calcium, as Ca, added as calcium chloride", 0, mostMassConc, "0"),
		mayColumn("SiO2_mgL", "mg/L", "silica", 0, mostMassConc, "0"),
	},
	results: []calcColumn{
		resultColumn("pH", "", "pH by charge balance"),
		resultColumn("CO2aq_mgL", "mg/L", "dissolved carbon dioxide, as CO2"),
		resultColumn("SC_at_T_uScm", "µS/cm", "conductivity at its own temperature"),
	},
	compute: func(_ calcSetting, r calcRow) (calcAnswer, error) {
		d, err := water.DescribePermeate(recipeOf(r))
		if err != nil {
			return nil, err
		}
		return calcAnswer{d.Solution.PH, water.CarbonDioxideMass(d.Solution.CO2()).MilligramsPerLitre(), d.Conductivity.MicrosiemensPerCm()}, nil
	},
}

func recipeOf(r calcRow) water.Recipe {
	mass := func(name string) quantity.MassConc { return quantity.MilligramsPerLitre(r.number(name)) }
	return water.Recipe{
		SodiumChloride: mass("NaCl_mgL"), SodiumBicarbonate: mass("NaHCO3_mgL"), CarbonDioxide: mass("CO2_added_mgL_as_CO2"),
		Calcium: mass("Ca_as_CaCl2_mgL_Ca"), Silica: mass("SiO2_mgL"), Temperature: quantity.Celsius(r.number("temp_C")),
	}
}

var calciteDoor = calcDoor{
	name: "calcite", about: "what settles or dissolves until calcite is in balance",
	notes:  "Closed vessel. A negative amount dissolves.",
	keys:   []calcColumn{idColumn, needColumn("temp_C", "°C", "temperature at which pH was read", coldest, warmest), factorColumn},
	inputs: waterColumns(),
	results: []calcColumn{
		resultColumn("calcite_precipitated_mmol_per_kg_final_water", "mmol/kg water", "amount settled"),
		resultColumn("calcite_precipitated_mg_per_kg_final_water", "mg/kg water", "mass settled"),
		resultColumn("pH_at_calcite_equilibrium", "", "pH afterwards"),
		resultColumn("alkalinity_eqkgw", "eq/kg water", "alkalinity afterwards"),
		resultColumn("m_Ca_molkgw", "mol/kg water", "calcium afterwards"),
		resultColumn("logPCO2", "", "base-10 logarithm of the CO2 pressure in atm; empty without CO2"),
		resultColumn("ionic_strength_molkgw", "mol/kg water", "ionic strength afterwards"),
	},
	compute: func(_ calcSetting, r calcRow) (calcAnswer, error) {
		d, settled, err := water.DescribeCalcite(analysisOf(r), r.number(factorColumn.name))
		if err != nil {
			return nil, err
		}
		s := d.Solution
		perKilogram := 1 / float64(s.WaterContent()) // m³/kg
		return calcAnswer{
			1e3 * float64(settled.Amount) * perKilogram, 1e6 * float64(settled.Mass) * perKilogram,
			s.PH, s.MolalityOfAlkalinity(), s.MolalityOf(water.Calcium), logarithm(s.LogCO2Pressure()), s.IonicStrength,
		}, nil
	},
}
