package resin

import "rinsewright/quantity"

// mostConcentration bounds what may be sent to a bed, in mol/m³ and eq/m³: past
// sea-water strength no exchange bed is an answer.
const mostConcentration = 1000.0

// Inlet is what one litre of water brings to the resin, by charge for what is
// dissociated and by amount for weak acids, which load one site per molecule.
type Inlet struct {
	StrongCations quantity.EquivConc // Ca, Mg, Na, K and the like
	StrongAnions  quantity.EquivConc // Cl, SO4, NO3, F and the like
	Bicarbonate   quantity.EquivConc // HCO3, and CO3 counted once per carbon
	CO2           quantity.MolarConc // dissolved gas
	Silica        quantity.MolarConc
	Borate        quantity.MolarConc // total boron: boric acid loads as borate
	Ammonia       quantity.MolarConc // total: NH3 loads as NH4

	// Creep is the mean extra salt from starts, beyond the steady water above.
	// See [Starts].
	Creep quantity.EquivConc
}

// AnionLoad returns the charge that the anion resin must take up per volume of
// water:
//
//	L = strong anions + creep + HCO3 + CO2 + SiO2 + B
//
// Source: stoichiometry of exchange on OH resin, each weak acid once
// [Helfferich1962]. Exact as far as the inlet is known.
func (in Inlet) AnionLoad() quantity.EquivConc {
	return in.StrongAnions + in.Creep + in.Bicarbonate +
		quantity.EquivConc(in.CO2+in.Silica+in.Borate) // each weak acid carries one charge on the resin
}

// CationLoad returns the charge that the cation resin must take up per volume
// of water: strong cations, creep and all ammonia.
//
// Source: stoichiometry of exchange on H resin [Helfferich1962].
func (in Inlet) CationLoad() quantity.EquivConc {
	return in.StrongCations + in.Creep + quantity.EquivConc(in.Ammonia)
}

// Degassed returns the inlet with its dissolved CO2 lowered to co2, as in a
// vented, aerated tank ahead of the resin. CO2 already lower stays. Bicarbonate
// stays too: what leaves is gas.
func (in Inlet) Degassed(co2 quantity.MolarConc) Inlet {
	in.CO2 = min(in.CO2, co2)
	return in
}

// SaltScaled returns the inlet with what a membrane holds back scaled by share:
// 0.5 for half the salt passage. CO2 is unchanged, since it passes a membrane
// as if there were none.
func (in Inlet) SaltScaled(share quantity.Ratio) Inlet {
	in.StrongCations *= quantity.EquivConc(share)
	in.StrongAnions *= quantity.EquivConc(share)
	in.Bicarbonate *= quantity.EquivConc(share)
	in.Creep *= quantity.EquivConc(share)
	in.Silica *= quantity.MolarConc(share)
	in.Borate *= quantity.MolarConc(share)
	in.Ammonia *= quantity.MolarConc(share)
	return in
}

// StartsScaled returns the inlet with the creep of starts scaled by share: 0.25
// for a float switch that starts the membrane a quarter as often.
func (in Inlet) StartsScaled(share quantity.Ratio) Inlet {
	in.Creep *= quantity.EquivConc(share)
	return in
}

func (in Inlet) check(operation string) error {
	named := []struct {
		name string
		x    float64
	}{
		{"strong cations", float64(in.StrongCations)},
		{"strong anions", float64(in.StrongAnions)},
		{"bicarbonate", float64(in.Bicarbonate)},
		{"CO2", float64(in.CO2)},
		{"silica", float64(in.Silica)},
		{"borate", float64(in.Borate)},
		{"ammonia", float64(in.Ammonia)},
		{"creep of starts", float64(in.Creep)},
	}
	for _, n := range named {
		if err := within(operation, n.name, n.x, 0, mostConcentration, "mol/m³"); err != nil {
			return err
		}
	}
	return nil
}
