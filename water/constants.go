package water

import "math"

// formed indexes the species that form from the components and H+.
type formed uint8

const (
	sOH formed = iota
	sHCO3
	sCO2
	sCO22
	sHSO4
	sHF
	sHF2
	sH3SiO4
	sH2SiO4
	sH2BO3
	sBFOH3
	sNH3
	sHPO4
	sH2PO4
	sH3PO4
	sNH4SO4
	sCaOH
	sCaCO3
	sCaHCO3
	sCaSO4
	sCaPO4
	sCaHPO4
	sCaH2PO4
	sMgOH
	sMgCO3
	sMgHCO3
	sMgSO4
	sMgSO42
	sMgF
	sMgPO4
	sMgHPO4
	sMgH2PO4
	sNaHCO3
	sNaSO4
	sNaF
	sNaHPO4
	sKHCO3
	sKSO4
	sKHPO4
	sSrOH
	sSrCO3
	sSrHCO3
	sSrSO4
	sBaOH
	sBaCO3
	sBaHCO3
	sBaSO4
	sFeOH
	sFeOH2
	sFeCl
	sFeCO3
	sFeHCO3
	sFeSO4
	sFeF
	sFeHPO4
	sFeH2PO4
	sMnOH
	sMnCl
	sMnCO3
	sMnHCO3
	sMnSO4
	sMnF
	nFormed
)

// hydrogen is the index of H+ after the components; absent marks a reaction
// with one component only.
const (
	hydrogen    = int(NComponents)
	absent      = hydrogen + 1
	nBasis      = hydrogen + 2
	noReaction  = nFormed
	kilocalorie = 4.184  // kJ, thermochemical
	molarGas    = 8.3147 // J/(mol K), the compilation's own value, so that its tabulated constants are met
	reference25 = 298.15 // K
)

// analytic is log10 K(T) = a0 + a1 T + a2/T + a3 log10 T + a4/T² + a5 T².
type analytic [6]float64

// temperature holds the powers that [analytic] needs, worked out once a call.
type temperature struct{ t, inverse, log10, inverse2, t2 float64 }

func powersOf(t float64) temperature {
	return temperature{t, 1 / t, math.Log10(t), 1 / (t * t), t * t}
}

func (a *analytic) log10K(p *temperature) float64 {
	return a[0] + a[1]*p.t + a[2]*p.inverse + a[3]*p.log10 + a[4]*p.inverse2 + a[5]*p.t2
}

// vantHoff is log10 K(T) from its value at 25 °C and a constant enthalpy of
// reaction in kJ/mol, brought to the form of [analytic].
func vantHoff(log25, kilojoules float64) analytic {
	slope := kilojoules * 1000 / (math.Ln10 * molarGas) // K
	return analytic{0: log25 + slope/reference25, 2: -slope}
}

// reaction forms one species from component one, component two and hydrogen
// ions (negative: set free). With through set, k is written from that species
// (two of it, if nOne is twice its own) instead of from its parts, and the
// constants add.
type reaction struct {
	formula     string
	charge      int
	one, two    int
	nOne, nTwo  int
	nHydrogen   int
	through     formed
	k           analytic
	activity    activityRule
	description string // where k and the activity rule come from
}

// The constants. Every row is the reaction, log K expression and activity rule
// of [PHREEQC3dat] for the 3.8.8 release; rows marked "row checked" reproduce the
// tabulated constants of [LogKTable] at ten temperatures to 4 decimals (see
// TestConstantsMatchTheCompilation), the others are as read in the neighbouring
// releases of the same file.
var reactions = [nFormed]reaction{
	sOH:      {"OH-", -1, absent, absent, 0, 0, -1, noReaction, analytic{293.29227, 0.1360833, -10576.913, -123.73158, 0, -6.996455e-5}, sized(3.5, 0), "row checked"},
	sHCO3:    {"HCO3-", -1, int(Carbon), absent, 1, 0, 1, noReaction, analytic{107.8871, 0.03252849, -5151.79, -38.92561, 563713.9}, sized(5.4, 0), "row checked; Plummer and Busenberg 1982"},
	sCO2:     {"CO2", 0, int(Carbon), absent, 1, 0, 2, noReaction, analytic{464.1965, 0.09344813, -26986.16, -165.75951, 2248628.9}, neutral(0.066), "row checked; Plummer and Busenberg 1982; activity Rumpf 1994"},
	sCO22:    {"(CO2)2", 0, int(Carbon), absent, 2, 0, 4, sCO2, analytic{8.68, -0.0103, -2190}, neutral(0.066), "read"},
	sHSO4:    {"HSO4-", -1, int(Sulphate), absent, 1, 0, 1, noReaction, analytic{-56.889, 0.006473, 2307.9, 19.8858}, davies(), "row checked"},
	sHF:      {"HF", 0, int(Fluoride), absent, 1, 0, 1, noReaction, analytic{-2.033, 0.012645, 429.01}, neutral(0.1), "row checked"},
	sHF2:     {"HF2-", -1, int(Fluoride), absent, 2, 0, 1, noReaction, vantHoff(3.76, 4.55*kilocalorie), davies(), "read"},
	sH3SiO4:  {"H3SiO4-", -1, int(Silica), absent, 1, 0, -1, noReaction, analytic{-302.3724, -0.050698, 15669.69, 108.18466, -1119669}, sized(4, 0), "row checked"},
	sH2SiO4:  {"H2SiO4-2", -2, int(Silica), absent, 1, 0, -2, noReaction, analytic{-294.0184, -0.07265, 11204.49, 108.18466, -1119669}, sized(5.4, 0), "read"},
	sH2BO3:   {"H2BO3-", -1, int(Boron), absent, 1, 0, -1, noReaction, vantHoff(-9.24, 3.224*kilocalorie), davies(), "read"},
	sBFOH3:   {"BF(OH)3-", -1, int(Boron), int(Fluoride), 1, 1, 0, noReaction, vantHoff(-0.4, 1.85*kilocalorie), davies(), "read"},
	sNH3:     {"NH3", 0, int(Ammonia), absent, 1, 0, -1, noReaction, analytic{0.6322, -0.001225, -2835.76}, neutral(0.1), "read"},
	sHPO4:    {"HPO4-2", -2, int(Phosphate), absent, 1, 0, 1, noReaction, vantHoff(12.346, -3.53*kilocalorie), sized(5, 0), "read"},
	sH2PO4:   {"H2PO4-", -1, int(Phosphate), absent, 1, 0, 2, noReaction, vantHoff(19.553, -4.52*kilocalorie), sized(5.4, 0), "read"},
	sH3PO4:   {"H3PO4", 0, int(Phosphate), absent, 1, 0, 3, noReaction, vantHoff(21.721, -10.1), neutral(0.1), "read"},
	sNH4SO4:  {"NH4SO4-", -1, int(Ammonia), int(Sulphate), 1, 1, 0, noReaction, vantHoff(1.211, 8.56), sized(2.08, -0.0416), "read"},
	sCaOH:    {"CaOH+", 1, int(Calcium), absent, 1, 0, -1, noReaction, vantHoff(-12.78, 0), davies(), "read"},
	sCaCO3:   {"CaCO3", 0, int(Calcium), int(Carbon), 1, 1, 0, noReaction, analytic{-1228.732, -0.29944, 35512.75, 485.818}, neutral(0.1), "row checked; Plummer and Busenberg 1982"},
	sCaHCO3:  {"CaHCO3+", 1, int(Calcium), int(Carbon), 1, 1, 1, noReaction, analytic{-6.009, 3.377e-2, 2044}, sized(6, 0), "row checked"},
	sCaSO4:   {"CaSO4", 0, int(Calcium), int(Sulphate), 1, 1, 0, noReaction, analytic{1.478, 8.29e-3, -538.2}, neutral(0.0445), "row checked"},
	sCaPO4:   {"CaPO4-", -1, int(Calcium), int(Phosphate), 1, 1, 0, noReaction, vantHoff(6.459, 3.1*kilocalorie), sized(5.4, 0), "read"},
	sCaHPO4:  {"CaHPO4", 0, int(Calcium), int(Phosphate), 1, 1, 1, sHPO4, vantHoff(2.739, 3.3*kilocalorie), neutral(0.1), "read"},
	sCaH2PO4: {"CaH2PO4+", 1, int(Calcium), int(Phosphate), 1, 1, 2, sH2PO4, vantHoff(1.408, 3.4*kilocalorie), sized(5.4, 0), "read"},
	sMgOH:    {"MgOH+", 1, int(Magnesium), absent, 1, 0, -1, noReaction, vantHoff(-11.44, 15.952*kilocalorie), sized(6.5, 0), "read"},
	sMgCO3:   {"MgCO3", 0, int(Magnesium), int(Carbon), 1, 1, 0, noReaction, analytic{0.991, 0.00667}, neutral(0.1), "row checked"},
	sMgHCO3:  {"MgHCO3+", 1, int(Magnesium), int(Carbon), 1, 1, 1, noReaction, analytic{48.6721, 0.03252849, -2614.335, -18.00263, 563713.9}, sized(4, 0), "row checked"},
	sMgSO4:   {"MgSO4", 0, int(Magnesium), int(Sulphate), 1, 1, 0, noReaction, analytic{0, 9.64e-3, -136}, neutral(0.2), "row checked"},
	sMgSO42:  {"Mg(SO4)2-2", -2, int(Magnesium), int(Sulphate), 1, 2, 0, sMgSO4, analytic{0, -1.51e-3, 0, 0, 8.604e4}, sized(7, 0.047), "read"},
	sMgF:     {"MgF+", 1, int(Magnesium), int(Fluoride), 1, 1, 0, noReaction, vantHoff(1.82, 3.2*kilocalorie), sized(4.5, 0), "row checked"},
	sMgPO4:   {"MgPO4-", -1, int(Magnesium), int(Phosphate), 1, 1, 0, noReaction, vantHoff(6.589, 3.1*kilocalorie), sized(5.4, 0), "read"},
	sMgHPO4:  {"MgHPO4", 0, int(Magnesium), int(Phosphate), 1, 1, 1, sHPO4, vantHoff(2.87, 3.3*kilocalorie), neutral(0.1), "read"},
	sMgH2PO4: {"MgH2PO4+", 1, int(Magnesium), int(Phosphate), 1, 1, 2, sH2PO4, vantHoff(1.513, 3.4*kilocalorie), sized(5.4, 0), "read"},
	sNaHCO3:  {"NaHCO3", 0, int(Sodium), int(Carbon), 1, 1, 1, sHCO3, vantHoff(-0.06, 21), neutral(0.2), "row checked"},
	sNaSO4:   {"NaSO4-", -1, int(Sodium), int(Sulphate), 1, 1, 0, noReaction, analytic{-0.304, 4.51e-3, -28.9}, sized(3.5, 0.1072), "row checked"},
	sNaF:     {"NaF", 0, int(Sodium), int(Fluoride), 1, 1, 0, noReaction, vantHoff(-0.24, 0), neutral(0.1), "read"},
	sNaHPO4:  {"NaHPO4-", -1, int(Sodium), int(Phosphate), 1, 1, 1, sHPO4, vantHoff(0.29, 0), sized(5.4, 0), "read"},
	sKHCO3:   {"KHCO3", 0, int(Potassium), int(Carbon), 1, 1, 1, sHCO3, vantHoff(-0.35, 12), neutral(0.0094), "read"},
	sKSO4:    {"KSO4-", -1, int(Potassium), int(Sulphate), 1, 1, 0, noReaction, analytic{-3.0246, 9.986e-3, 0, 0, 1.093e5}, sized(5.4, 0.19), "read"},
	sKHPO4:   {"KHPO4-", -1, int(Potassium), int(Phosphate), 1, 1, 1, sHPO4, vantHoff(0.29, 0), sized(5.4, 0), "read"},
	sSrOH:    {"SrOH+", 1, int(Strontium), absent, 1, 0, -1, noReaction, vantHoff(-13.29, 0), sized(5, 0), "read"},
	sSrCO3:   {"SrCO3", 0, int(Strontium), int(Carbon), 1, 1, 0, noReaction, analytic{-1.019, 0.012826}, neutral(0.1), "read"},
	sSrHCO3:  {"SrHCO3+", 1, int(Strontium), int(Carbon), 1, 1, 1, noReaction, analytic{104.6391, 0.04739549, -5151.79, -38.92561, 563713.9}, sized(5.4, 0), "read"},
	sSrSO4:   {"SrSO4", 0, int(Strontium), int(Sulphate), 1, 1, 0, noReaction, vantHoff(2.29, 2.08*kilocalorie), neutral(0.1), "read"},
	sBaOH:    {"BaOH+", 1, int(Barium), absent, 1, 0, -1, noReaction, vantHoff(-13.47, 0), sized(5, 0), "read"},
	sBaCO3:   {"BaCO3", 0, int(Barium), int(Carbon), 1, 1, 0, noReaction, analytic{0.113, 0.008721}, neutral(0.1), "read"},
	sBaHCO3:  {"BaHCO3+", 1, int(Barium), int(Carbon), 1, 1, 1, sHCO3, analytic{-3.0938, 0.013669}, davies(), "read"},
	sBaSO4:   {"BaSO4", 0, int(Barium), int(Sulphate), 1, 1, 0, noReaction, analytic{8.0409, 0, -1366.687}, neutral(0.1), "3.46 at 25 °C read; its change with temperature found from the barite column of [ConcentrateTable] by least squares, within 0.0006"},
	sFeOH:    {"FeOH+", 1, int(Iron), absent, 1, 0, -1, noReaction, vantHoff(-9.5, 13.2*kilocalorie), sized(5, 0), "read"},
	sFeOH2:   {"Fe(OH)2", 0, int(Iron), absent, 1, 0, -2, noReaction, vantHoff(-20.57, 28.565*kilocalorie), neutral(0.1), "read"},
	sFeCl:    {"FeCl+", 1, int(Iron), int(Chloride), 1, 1, 0, noReaction, vantHoff(0.14, 0), davies(), "read"},
	sFeCO3:   {"FeCO3", 0, int(Iron), int(Carbon), 1, 1, 0, noReaction, vantHoff(4.38, 0), neutral(0.1), "read"},
	sFeHCO3:  {"FeHCO3+", 1, int(Iron), int(Carbon), 1, 1, 1, sHCO3, vantHoff(2, 0), davies(), "read"},
	sFeSO4:   {"FeSO4", 0, int(Iron), int(Sulphate), 1, 1, 0, noReaction, vantHoff(2.25, 3.23*kilocalorie), neutral(0.1), "read"},
	sFeF:     {"FeF+", 1, int(Iron), int(Fluoride), 1, 1, 0, noReaction, vantHoff(1, 0), davies(), "read"},
	sFeHPO4:  {"FeHPO4", 0, int(Iron), int(Phosphate), 1, 1, 1, sHPO4, vantHoff(3.6, 0), neutral(0.1), "read"},
	sFeH2PO4: {"FeH2PO4+", 1, int(Iron), int(Phosphate), 1, 1, 2, sH2PO4, vantHoff(2.7, 0), sized(5.4, 0), "read"},
	sMnOH:    {"MnOH+", 1, int(Manganese), absent, 1, 0, -1, noReaction, vantHoff(-10.59, 14.4*kilocalorie), sized(5, 0), "read"},
	sMnCl:    {"MnCl+", 1, int(Manganese), int(Chloride), 1, 1, 0, noReaction, vantHoff(0.61, 0), sized(5, 0), "read"},
	sMnCO3:   {"MnCO3", 0, int(Manganese), int(Carbon), 1, 1, 0, noReaction, vantHoff(4.9, 0), neutral(0.1), "read"},
	sMnHCO3:  {"MnHCO3+", 1, int(Manganese), int(Carbon), 1, 1, 1, sHCO3, vantHoff(1.95, 0), sized(5, 0), "read"},
	sMnSO4:   {"MnSO4", 0, int(Manganese), int(Sulphate), 1, 1, 0, noReaction, vantHoff(2.25, 3.37*kilocalorie), neutral(0.1), "read"},
	sMnF:     {"MnF+", 1, int(Manganese), int(Fluoride), 1, 1, 0, noReaction, vantHoff(0.84, 0), sized(5, 0), "read"},
}

// EachConstant calls visit with every reaction's product, its log10 K at 25 °C (a number) as
// written in the compilation, and where constant and activity rule come from.
func EachConstant(visit func(formula string, log10K float64, source string)) {
	p := powersOf(reference25)
	for f := range nFormed {
		r := &reactions[f]
		visit(r.formula, r.k.log10K(&p), r.description)
	}
}

// alkalinityOf is how much a species adds to alkalinity: the hydrogen ions it
// takes up on the way to CO2, H4SiO4, H3BO3, NH4+, H2PO4-, SO4-2 and F-.
func (r *reaction) alkalinityOf() int {
	alk := -r.nHydrogen
	for _, part := range [2][2]int{{r.one, r.nOne}, {r.two, r.nTwo}} {
		if part[0] == int(Carbon) || part[0] == int(Phosphate) {
			alk += 2 * part[1]
		}
	}
	return alk
}
