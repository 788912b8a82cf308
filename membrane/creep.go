package membrane

import (
	"math"

	"rinsewright/quantity"
)

// Hold-up of the permeate side. Source: [Memory], a tricot 0.25 mm thick and
// 80 % open in each envelope, a permeate tube 19 mm wide.
const (
	carrierHeight = 0.25e-3 // m
	carrierOpen   = 0.8
	tubeSection   = math.Pi / 4 * 19e-3 * 19e-3 // m2
)

// Creep is what a standstill leaves in the permeate side: water stronger than
// the permeate, which the first permeate washes out.
type Creep struct {
	Share  quantity.Ratio    // of the way from permeate to feed-side strength at the start
	First  quantity.MassConc // strength at the start
	Steady quantity.MassConc // strength it washes out to
	HoldUp quantity.Volume   // permeate side
}

// HoldUp returns the volume of the element's permeate side: half its membrane
// area times the carrier's open height, and the permeate tube. Source: [Memory],
// ± 30 %; about 1 L for 8 m².
func (e Element) HoldUp() quantity.Volume {
	carrier := float64(e.Sheet.Area) / 2 * carrierHeight * carrierOpen // m3
	return quantity.Volume(carrier + tubeSection*float64(e.Sheet.Length))
}

// FeedHoldUp returns the volume of the element's open feed channel.
func (e Element) FeedHoldUp() quantity.Volume {
	return quantity.Volume(e.section * float64(e.Sheet.Length))
}

// Creep returns what diffuses to the permeate side while the element stands
// idle with the given strengths on its two sides at the stop. Salt crosses at
// B until both sides are one strength:
//
//	d(c_f − c_p)/dt = −B S (1/V_p + 1/V_f) (c_f − c_p)
//
// Source: solution-diffusion without flux; hold-ups are [Memory]. Osmosis back
// through the membrane and the rig's pipes are left out. A first-minute
// reading of 250 ppm clearing in about 5 min has been seen on a tap-fed rig,
// and 0.3 gal of 150 ppm per start is a usual figure; both [Memory]. The error
// wraps [ErrRange].
func (e Element) Creep(idle quantity.Time, feedSide, permeate quantity.MassConc, t quantity.Temperature, w Wear) (Creep, error) {
	if err := e.creepable(idle, feedSide, permeate, t, w); err != nil {
		return Creep{}, err
	}
	vp, vf := float64(e.HoldUp()), float64(e.FeedHoldUp()) // m3
	b := float64(e.SaltPermeability) * w.SaltPermeability * e.Sheet.SaltEnergies.factor(float64(t), reference)
	rate := b * float64(e.Sheet.Area) * (1/vp + 1/vf) // 1/s
	share := vf / (vf + vp) * -math.Expm1(-rate*float64(idle))
	first := float64(permeate) + share*float64(feedSide-permeate)
	return Creep{Share: quantity.Ratio(share), First: quantity.MassConc(first), Steady: permeate, HoldUp: quantity.Volume(vp)}, nil
}

func (e *Element) creepable(idle quantity.Time, feedSide, permeate quantity.MassConc, t quantity.Temperature, w Wear) error {
	if !e.sound() {
		return within("membrane: creep", bound{"element's water permeability", math.NaN(), 0, 1, "m/(s·Pa)"})
	}
	if err := w.check(); err != nil {
		return err
	}
	return within("membrane: creep",
		bound{"idle time", float64(idle), 0, 1e9, "s"},
		bound{"feed-side strength", float64(feedSide), 0, 300, "kg/m3"},
		bound{"permeate strength", float64(permeate), 0, float64(feedSide), "kg/m3"},
		bound{"temperature", float64(t), 273.15, 333.15, "K"})
}

// Creep returns the train's creep: every element idles between the same two
// strengths, and their permeate sides are washed as one. Errors as [Element.Creep].
func (t Train) Creep(idle quantity.Time, feedSide, permeate quantity.MassConc, temp quantity.Temperature) (Creep, error) {
	if err := t.check(); err != nil {
		return Creep{}, err
	}
	var volume, salt, share float64
	for i := range t.Housings {
		h := &t.Housings[i]
		c, err := h.Element.Creep(idle, feedSide, permeate, temp, h.Wear)
		if err != nil {
			return Creep{}, err
		}
		v := float64(c.HoldUp)
		volume += v
		share += v * float64(c.Share)
		salt += v * float64(c.First)
	}
	rows := float64(max(t.Parallel, 1))
	return Creep{
		Share:  quantity.Ratio(share / volume),
		First:  quantity.MassConc(salt / volume),
		Steady: permeate,
		HoldUp: quantity.Volume(volume * rows),
	}, nil
}

// After returns the strength of the permeate once v of it has run since the
// start:
//
//	c = c_steady + (c_first − c_steady) exp(−v/V_p)
//
// Source: a permeate side mixed well. A negative or absent v counts as 0.
func (c Creep) After(v quantity.Volume) quantity.MassConc {
	return c.Steady + quantity.MassConc(float64(c.First-c.Steady)*math.Exp(-c.washed(v)))
}

// Excess returns how much of the start's excess is left after v, as a share of
// the way from permeate to feed-side strength. Anything that mixes linearly
// (an ion, conductivity at low strength) follows it.
func (c Creep) Excess(v quantity.Volume) quantity.Ratio {
	return quantity.Ratio(float64(c.Share) * math.Exp(-c.washed(v)))
}

// Mean returns the mean strength of the first v of permeate.
func (c Creep) Mean(v quantity.Volume) quantity.MassConc {
	n := c.washed(v)
	if n == 0 {
		return c.First
	}
	return c.Steady + quantity.MassConc(float64(c.First-c.Steady)*-math.Expm1(-n)/n)
}

// Extra returns the salt that a start delivers beyond what steady running
// would: what resin and tank must take per start.
func (c Creep) Extra() quantity.Mass {
	return quantity.Mass(float64(c.First-c.Steady) * float64(c.HoldUp))
}

// washed is how many hold-ups v is.
func (c Creep) washed(v quantity.Volume) float64 {
	if !(v > 0) || !(c.HoldUp > 0) {
		return 0
	}
	return min(float64(v)/float64(c.HoldUp), 700)
}
