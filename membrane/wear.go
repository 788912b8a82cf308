package membrane

import "rinsewright/quantity"

// Wear is what service has done to an element. Factors are against new: the
// fault finder and the tracker estimate these same numbers. What does the harm
// is told by [Fouled], [Scaled], [Oxidation] and [Leaking], and harms add up by
// [Wear.With].
type Wear struct {
	WaterPermeability float64        // A over new, a factor: fouling lowers it, oxidation raises it
	SaltPermeability  float64        // B over new, a factor: oxidation raises it
	Drop              float64        // channel friction over new, a factor
	Bypass            quantity.Ratio // leak past a seal or tear, in units of new pure-water permeability at 25 °C, driven by all of the pressure at the feed end
	ScaledTail        quantity.Ratio // share of the channel's length, from the concentrate end, under scale
}

// New returns the wear of an element out of its box.
func New() Wear {
	return Wear{WaterPermeability: 1, SaltPermeability: 1, Drop: 1}
}

// mostLost is the share of flow that a fouled element may have lost.
const mostLost = 0.99

// Fouled returns the wear of dirt over all of an element that took a share of
// its water permeability. The channel narrows with it:
//
//	A/A_0 = 1 − x      Δp/Δp_0 = 1/(1 − x)
//
// Source: [Memory]: cleaning is commonly called for at 10 to 15 % of either. A
// share that is no number from 0 to 0.99 is taken to the nearer end.
func Fouled(lost quantity.Ratio) Wear {
	w := New()
	w.WaterPermeability = 1 - share(lost, mostLost)
	w.Drop = 1 / w.WaterPermeability
	return w
}

// Scaled returns the wear of scale on a share of an element's channel, from its
// concentrate end. Water permeability under it falls to a quarter, and the
// channel's drop rises by twice the share:
//
//	Δp/Δp_0 = 1 + 2 x
//
// Source: [Memory]. A share that is no number from 0 to 1 is taken to the nearer
// end.
func Scaled(tail quantity.Ratio) Wear {
	w := New()
	x := share(tail, 1)
	w.ScaledTail, w.Drop = quantity.Ratio(x), 1+2*x
	return w
}

// Leaking returns the wear of a seal or a tear that lets feed past, in the units
// of [Wear].Bypass. A share that is no number from 0 to 1 is taken to the nearer
// end.
func Leaking(bypass quantity.Ratio) Wear {
	w := New()
	w.Bypass = quantity.Ratio(share(bypass, 1))
	return w
}

// share keeps x from 0 to most; what is no number is 0.
func share(x quantity.Ratio, most float64) float64 {
	if !(x > 0) {
		return 0
	}
	return min(float64(x), most)
}

// With returns two wears at once: factors multiply, leaks add, and scale reaches
// as far as the longer of the two.
func (w Wear) With(more Wear) Wear {
	w.WaterPermeability *= more.WaterPermeability
	w.SaltPermeability *= more.SaltPermeability
	w.Drop *= more.Drop
	w.Bypass += more.Bypass
	w.ScaledTail = max(w.ScaledTail, more.ScaledTail)
	return w
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
