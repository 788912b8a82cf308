package rinse

import (
	"fmt"

	"rinsewright/quantity"
)

// Chain is the dissolved solids along the last metres: from the tank to the
// gun to what drips off the panel.
type Chain struct {
	Tank, Gun, Drip quantity.MassConc
}

// Link names where along a chain strength is picked up.
type Link string

// The links, in the order of the water.
const (
	FromWater Link = "the water itself: tank above the limit"
	FromBay   Link = "the bay's line: hose, dead leg or a cross-over adds between tank and gun"
	FromPanel Link = "the rinse: the wash film was not displaced, so rinse longer"
	FromDrops Link = "not the water: what drips is within the limit; look at wax, heat, old etching or how it dries"
)

// Weakest returns the first link at which the strength exceeds what the limit
// allows; doubt is how far two readings of one water may differ, as a share of
// the larger, plus one milligram per litre for the pen's last digit.
//
// A rule of thumb: common practice, no source. The error wraps [ErrRange]
// unless strengths are 0 to 100 g/L and doubt 0 to 1.
func (c Chain) Weakest(limit quantity.MassConc, doubt quantity.Ratio) (Link, error) {
	err := firstError(
		within("tank strength in kg/m³", float64(c.Tank), 0, 100),
		within("gun strength in kg/m³", float64(c.Gun), 0, 100),
		within("drip strength in kg/m³", float64(c.Drip), 0, 100),
		within("limit in kg/m³", float64(limit), 0, 100),
		within("doubt", float64(doubt), 0, 1),
	)
	if err != nil {
		return "", fmt.Errorf("chain to the panel: %w", err)
	}
	above := func(x, y quantity.MassConc) bool {
		return float64(x-y) > float64(doubt)*float64(max(x, y))+1e-3 // kg/m³
	}
	switch {
	case above(c.Tank, limit):
		return FromWater, nil
	case above(c.Gun, c.Tank) && above(c.Gun, limit):
		return FromBay, nil
	case above(c.Drip, c.Gun) && above(c.Drip, limit):
		return FromPanel, nil
	}
	return FromDrops, nil
}

// CrossOver returns the share of a bay's rinse that is tap water leaking in:
//
//	f = (C_gun - C_tank) / (C_tap - C_tank)
//
// By conservation of mass; read the gun once its line is purged. The error
// wraps [ErrRange] unless tank ≤ gun ≤ tap and tank < tap.
func CrossOver(tank, gun, tap quantity.MassConc) (quantity.Ratio, error) {
	err := firstError(
		within("tap strength in kg/m³", float64(tap), 0, 100),
		within("tank strength in kg/m³", float64(tank), 0, float64(tap)*(1-1e-12)),
		within("gun strength in kg/m³", float64(gun), float64(tank), float64(tap)),
	)
	if err != nil {
		return 0, fmt.Errorf("cross-over: %w", err)
	}
	return quantity.Ratio(min(float64(gun-tank)/float64(tap-tank), 1)), nil
}

// LinePurge returns how long a gun runs until the water that stood in hose and
// dead leg is out:
//
//	t = V / q
//
// By definition, as a plug; corners and a hose of wide bore hold some back, so
// double it where it must be sure. The error wraps [ErrRange] unless volume is
// 0 to 1 m³ and flow 0.01 to 1000 L/min.
func LinePurge(line quantity.Volume, flow quantity.Flow) (quantity.Time, error) {
	err := firstError(
		within("line volume in m³", float64(line), 0, 1),
		within("flow in m³/s", float64(flow), 0.01/60e3*(1-1e-12), 1000/60e3*(1+1e-12)),
	)
	if err != nil {
		return 0, fmt.Errorf("line purge: %w", err)
	}
	return quantity.Time(float64(line) / float64(flow)), nil
}

// TankLag returns the time in which a tank's strength makes 63 % of a change of
// what flows in:
//
//	τ = V / q
//
// A tank mixed through, by definition: so a repair is judged before the tank,
// not in it. The error wraps [ErrRange] unless volume is 0 to 1e5 m³ and flow
// 1e-9 to 1 m³/s.
func TankLag(held quantity.Volume, in quantity.Flow) (quantity.Time, error) {
	err := firstError(
		within("volume in m³", float64(held), 0, 1e5),
		within("inflow in m³/s", float64(in), 1e-9, 1),
	)
	if err != nil {
		return 0, fmt.Errorf("tank lag: %w", err)
	}
	return quantity.Time(float64(held) / float64(in)), nil
}
