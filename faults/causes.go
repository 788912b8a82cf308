package faults

import "rinsewright/quantity"

// The causes and what each does to the rig. Severities span the bands of
// [TradeFaults] section 4, its own columns quoted where they give numbers.
var causes = []Cause{
	{1, "oxidised membrane", "membrane", false, true, chlorineWeight, one(oxidised)}, // NPF >1.15, SPn >1.5, TC ≥0.1
	{2, "silt fouling", "membrane", false, true, siltWeight, one(func(s *state, x float64) { // NPF <.85, dPn >1.15
		s.foul(rising(x, 0.88, 0.5), 1.06, rising(x, 1.2, 2.5))
		s.rig.load(0.1 + 0.5*x)
	})},
	{3, "carbonate scale", "membrane", false, true, scaleWeight, one(scaled(1.15, 1.8))}, // SPn >1.2, tail, dPn up
	{4, "silica or sulphate scale", "membrane", false, true, silicaWeight, one(scaled(1.1, 1.7))},
	{5, "biofouling", "membrane", false, true, evenly(1), one(func(s *state, x float64) { // NPF <.85, SPn ≤1, dPn >1.3
		s.foul(rising(x, 0.87, 0.55), 0.97, rising(x, 1.35, 4))
	})},
	{6, "iron or manganese fouling", "membrane", false, true, ironWeight, one(func(s *state, x float64) { // Fe >0.05
		s.foul(rising(x, 0.88, 0.5), 1.03, rising(x, 1.05, 1.35))
		s.tap.iron += rising(x, 0.1, 0.9) * milligram
	})},
	{7, "organics adsorbed", "membrane", false, true, evenly(1), one(func(s *state, x float64) { // dPn ~1
		s.foul(rising(x, 0.88, 0.5), 1.02, 1.02)
	})},
	{8, "cold feed only", "tap", true, true, evenly(1), told(func(s *state, x float64) { // raw flow down 25 to 45 %
		s.rig.temperature = max(s.rig.temperature-rising(x, 4, 15), 273.3)
	})},
	{9, "blocked prefilter or carbon", "filter", false, true, filterWeight, one(func(s *state, x float64) { // Pf down >10 psi
		s.rig.load(0.7 + 1.4*x)
	})},
	{10, "weak or partly closed supply", "tap", false, true, evenly(1), one(func(s *state, x float64) { // static 60, dynamic 30
		s.rig.running *= rising(x, 2.5, 9)
	})},
	{11, "back-pressure on the permeate", "membrane", false, true, evenly(1), one(func(s *state, x float64) { // >5 psi
		s.rig.back += float64(quantity.PSI(rising(x, 5, 42)))
	})},
	{12, "restrictor blocked", "membrane", false, true, evenly(1), one(func(s *state, x float64) { // R >60 to 80 %
		s.rig.Restrictor *= rising(x, 0.65, 0.12)
	})},
	{13, "restrictor missing or flush valve open", "membrane", false, true, evenly(1), one(func(s *state, x float64) { // R <15 to 20 %
		s.rig.Restrictor *= rising(x, 1.8, 6)
	})},
	{14, "drain runs with the tank full", "tank", false, true, evenly(1), one(func(s *state, x float64) {
		s.drains = rising(x, 0.25, 1)
	})},
	{15, "seal or O-ring leak", "membrane", false, true, sealWeight, sealForms}, // one vessel 3 to 10 times the others
	{16, "feed changed", "tap", true, true, evenly(1), feedForms},
	{17, "creep and short cycling", "membrane", false, true, evenly(1), one(func(s *state, x float64) {
		s.starts *= rising(x, 2, 10)
		s.creep *= rising(x, 1.2, 2.5)
		s.washout *= rising(x, 1.2, 2)
	})},
	{18, "meter wrong", "meter", true, true, penWeight, penForms}, // 20 to 40 %
	{19, "lead resin spent", "resin", false, true, resinWeight, one(func(s *state, x float64) { // DI out >10, lag ok
		s.spend(rising(x, 1, 1.2), 0.1)
		s.lead += rising(x, 0.08, 0.9)
		s.leadGas, s.silicaOut = 1, s.rig.silica*0.1
		s.lag += 0.02 * x
	})},
	{20, "carbon dioxide load", "resin", false, true, gasWeight, gasForms}, // permeate pH ≤5.8, alk >80
	{21, "silica break", "resin", false, true, breakWeight, one(func(s *state, x float64) { // kit >0.5 to 1 mg/L, pen 0 to 2
		s.spend(rising(x, 0.85, 0.98), 0.1)
		s.silicaOut = rising(x, 0.5, 4) * milligram
	})},
	{22, "idle desorption or channel", "resin", false, true, resinWeight, one(func(s *state, x float64) {
		s.firstResin += rising(x, 8, 90) * microsiemens
		s.lead += rising(x, 0.01, 0.06)
		s.lag += rising(x, 0.01, 0.06)
	})},
	{23, "wrong flow through the resin", "resin", false, true, flowWeight, one(func(s *state, x float64) {
		s.lead += rising(x, 0.06, 0.4)
		s.lag += rising(x, 0.15, 0.6) // what slips here slips there too
	})},
	{24, "resin fouled by iron or organics", "resin", false, true, fouledWeight, one(func(s *state, x float64) {
		s.lead += rising(x, 0.05, 0.5)
		s.lag += 0.1 * x
		s.tap.iron += 0.25 * milligram
	})},
	{25, "new bottle not rinsed or badly regenerated", "resin", false, true, newBottleWeight, one(func(s *state, x float64) {
		s.spend(0.03, 0.7)
		s.rinseOut += rising(x, 8, 130) * microsiemens
		s.lag += rising(x, 0.03, 0.4)
	})},
	{26, "contaminated tank", "tank", false, true, evenly(1), one(func(s *state, x float64) { // 15 to 40 ppm
		s.tankDirt += rising(x, 12, 90) * microsiemens
	})},
	{27, "resin bypassed", "resin", false, true, resinWeight, one(func(s *state, x float64) { // tank as Cp, dP ~0
		s.bypassed = rising(x, 0.35, 1)
	})},
	{28, "cross-over in one bay", "gun", false, true, evenly(1), bayForms}, // 5 → 60+ ppm
	{29, "dead volume in the line", "gun", false, true, evenly(1), one(func(s *state, x float64) {
		s.stale = min(s.stale*rising(x, 4, 25), 0.8)
	})},
	{30, "etch, beading or technique", "panel", false, true, evenly(1), one(func(*state, float64) {})},
	{31, "under-rinse: film not displaced", "panel", false, true, evenly(1), one(func(s *state, x float64) { // 10 → 60 ppm
		s.film += rising(x, 50, 350) * microsiemens
	})},
	{32, "leak, weep or stuck vend valve", "pump", false, true, evenly(1), one(func(s *state, x float64) {
		s.leak += rising(x, 0.006, 0.06)
		s.level *= 1 - 0.6*x
	})},
	{33, "pump short-cycles", "pump", false, false, evenly(1), one(func(*state, float64) {})},
	{34, "pump draws air or starves", "pump", false, true, evenly(1), one(func(s *state, x float64) {
		s.pump *= rising(x, 0.7, 0.3)
	})},
	{35, "pump dead after running dry", "pump", false, true, evenly(1), one(func(s *state, _ float64) {
		s.pump *= 0.02
		s.level = 0.08
	})},
	{36, "pump or line undersized", "pump", false, true, baysWeight, one(func(s *state, x float64) { // weak with two bays
		s.line *= rising(x, 6, 40)
	})},
	{37, "worn nozzle or unloader", "gun", false, true, evenly(1), one(func(s *state, x float64) { // gpm +15 % at lower psi
		s.nozzle *= rising(x, 1.12, 1.6)
		s.pump *= rising(x, 0.95, 0.7)
	})},
	{38, "tank overflows", "tank", false, true, evenly(1), overflowForms},
	{39, "membrane never starts", "membrane", false, true, evenly(1), one(func(s *state, _ float64) {
		s.stopped, s.level = true, 0.1
	})},
	{40, "membrane starts and stops", "membrane", false, true, evenly(1), one(func(s *state, x float64) {
		s.starts *= rising(x, 30, 300)
		s.rig.running *= rising(x, 2.5, 8)
	})},
	{41, "feed valve late, pump deadheads", "membrane", false, true, evenly(1), one(func(s *state, x float64) {
		s.rig.Restrictor *= 0.1
		s.rig.Membrane.WaterPermeability *= rising(x, 0.7, 0.3)
	})},
	{42, "copper or brass corroding", "tank", false, true, evenly(1), one(func(s *state, x float64) {
		s.tankAcid += 0.2
		s.tankDirt += rising(x, 1, 6) * microsiemens
	})},
	{43, "hydrogen sulphide", "tap", false, false, rareWell, one(func(*state, float64) {})},
	{44, "biofilm in the tank", "tank", false, true, evenly(1), one(func(s *state, x float64) {
		s.tankDirt += rising(x, 1, 15) * microsiemens
	})},
	{45, "freeze or water hammer", "pump", false, true, evenly(1), one(func(s *state, x float64) {
		s.leak += rising(x, 0.004, 0.06)
	})},
	{46, "free-chlorine weeks through tired carbon", "carbon", false, true, switchWeight, one(switched)}, // SP 1.3 to 1.6
	{47, "vend control fails", "gun", false, false, evenly(1), one(func(*state, float64) {})},
	{48, "softener not softening", "softener", false, true, softenerWeight, one(func(s *state, x float64) { // >1 gpg
		s.rig.hardnessLeft = rising(x, 0.15, 1)
	})},
	{49, "demand outgrown", "tank", true, true, evenly(1), one(func(s *state, x float64) { // not of the trade's table
		s.demand *= rising(x, 1.5, 4)
		s.level *= 1 - 0.7*x
	})},
}

func (s *state) foul(water, salt, drop float64) {
	s.rig.Membrane.WaterPermeability *= water
	s.rig.Membrane.SaltPermeability *= salt
	s.rig.Membrane.Drop *= drop
}

// load is dirt that the cartridges have caught, in changes due.
func (r *railed) load(more float64) { r.Filters = min(r.Filters+quantity.Ratio(more), 3) }

// spend fixes how much of its life the lead vessel has behind it.
func (s *state) spend(share, sd float64) { s.used, s.usedSD = s.used/0.35*share, sd }

func scaled(lowSalt, highSalt float64) func(s *state, x float64) {
	return func(s *state, x float64) {
		s.rig.Membrane.ScaledTail = quantity.Ratio(rising(x, 0.2, 0.9))
		s.rig.Membrane.SaltPermeability *= rising(x, lowSalt, highSalt)
		s.rig.Membrane.Drop *= rising(x, 1.2, 2.2)
	}
}

func oxidised(s *state, x float64) {
	gain := rising(x, 0.4, 3.5) // of salt; water gains 0.3 of it, as the oxidation law has it
	s.rig.Membrane.SaltPermeability *= 1 + gain
	s.rig.Membrane.WaterPermeability *= 1 + 0.3*gain
	s.carbonUsed = shifted(s.carbonUsed, 3.5)
}

// switched is a chloramine town's weeks of free chlorine.
func switched(s *state, x float64) {
	s.tap.free, s.tap.combined = s.tap.free+0.9*s.tap.combined, 0.1*s.tap.combined
	s.carbonUsed = shifted(s.carbonUsed, 2.5)
	gain := rising(x, 0.2, 0.7)
	s.rig.Membrane.SaltPermeability *= 1 + gain
	s.rig.Membrane.WaterPermeability *= 1 + 0.3*gain
}
