package membrane

import "rinsewright/quantity"

// Wear is what service has done to an element. Factors are against new: the
// fault finder and the tracker estimate these same numbers.
type Wear struct {
	WaterPermeability float64        // A over new: fouling lowers it, oxidation raises it
	SaltPermeability  float64        // B over new: oxidation raises it
	Drop              float64        // channel friction over new
	Bypass            quantity.Ratio // leak past a seal or tear, in units of new pure-water permeability at 25 °C, driven by all of the pressure at the feed end
	ScaledTail        quantity.Ratio // share of the channel's length, from the concentrate end, under scale
}

// New returns the wear of an element out of its box.
func New() Wear {
	return Wear{WaterPermeability: 1, SaltPermeability: 1, Drop: 1}
}

// scaledWater is the water permeability left under scale; salt permeability
// stays, so a scaled tail loses flow and gains passage. Source: [Memory].
const scaledWater = 0.25

// sound is check without its message, for the fast march.
func (w *Wear) sound() bool {
	return 1e-3 <= w.WaterPermeability && w.WaterPermeability <= 1e2 &&
		1e-3 <= w.SaltPermeability && w.SaltPermeability <= 1e4 &&
		0.1 <= w.Drop && w.Drop <= 1e3 &&
		0 <= w.Bypass && w.Bypass <= 1 &&
		0 <= w.ScaledTail && w.ScaledTail <= 1
}

func (w Wear) check() error {
	return within("membrane: wear",
		bound{"water permeability factor", w.WaterPermeability, 1e-3, 1e2, ""},
		bound{"salt permeability factor", w.SaltPermeability, 1e-3, 1e4, ""},
		bound{"drop factor", w.Drop, 0.1, 1e3, ""},
		bound{"bypass", float64(w.Bypass), 0, 1, ""},
		bound{"scaled tail", float64(w.ScaledTail), 0, 1, ""})
}
